//! The garage on disk: a plain folder of RON files that a person can read, diff and mend in a text editor.
//!
//! ```text
//! garage.ron                                  name and units
//! kinds/*.ron   regions/*.ron                 what the garage adds to the catalogue
//! machines/<id>/machine.ron
//! machines/<id>/inspections/<id>.ron          one file an inspection
//! machines/<id>/events/<id>.ron               one file an event, never edited after
//! machines/<id>/photos/
//! exercises/<id>/exercise.ron                 what the students are given
//! exercises/<id>/key.ron                      the instructor's key; never in a students' pack
//! exercises/<id>/sheets/<id>.ron              one file a student
//! ```
//!
//! Every write is whole or not at all; what cannot be read is named with file, line and column and left as it is,
//! while the rest opens. A garage from a stranger is data: it can name no path outside itself. This is the only room
//! of the house that touches files. Must not know the window, and judges nothing.

mod atomic;
mod class_pack;
mod codec;
mod create;
mod crossref;
mod crossref_events;
mod error;
mod hints;
mod layout;
mod lock;
mod open;
mod photos;
mod problem;
mod sample;
mod save;
mod stored;
mod validate;

pub use class_pack::{is_pack, read_sheet, unpack, write_pack, write_sheet};
pub use create::{copy_additions, copy_attachments, create, is_garage, save_all};
pub use error::StoreError;
pub use lock::FolderLock;
pub use open::{Opened, open, read};
pub use photos::{add_photo, keep_photo, photo_bytes, read_picture};
pub use problem::Problem;
pub use sample::copy_sample;
pub use save::{Saved, save, save_record};
pub use validate::validate;

pub use atomic::{Standing, is_same_place, make_folder, read_file, read_own, standing_at, write_file};
