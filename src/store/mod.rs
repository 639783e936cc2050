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

mod alone;
mod atomic;
mod class_pack;
mod codec;
mod create;
mod crossref;
mod crossref_class;
mod crossref_events;
mod each;
mod error;
mod held;
mod hints;
mod kept;
mod layout;
mod lock;
mod look;
mod medium;
mod migrate;
mod open;
mod photos;
mod problem;
mod rest;
mod sample;
mod save;
mod stored;
mod swift;
mod target;
mod validate;
mod watch;
mod writing;

pub use alone::{By, Sort, normal_form, reads};
pub use class_pack::read_sheet;
pub use create::is_garage;
pub use error::StoreError;
pub use kept::Question;
pub use lock::FolderLock;
pub use look::{Look, look};
pub use medium::{Medium, RealDisk};
pub use open::{Opened, read, read_each, read_machine};
pub use photos::{photo_bytes, read_picture};
pub use problem::Problem;
pub use save::{OnDisk, Outcome, Saved, path_of, text_of};
pub use target::{Form, may_fill, may_write, outside};
pub use validate::{Validated, validate, validated};
pub use watch::{Touched, Watch, changed_since, moment};
pub use writing::{
    Store, add_photo, copy_attachments, copy_sample, create, keep_photo, make_folder, open, read_each_kept, save,
    save_all, save_record, unpack, write_file, write_pack, write_pack_folder, write_sheet,
};

pub use atomic::{Standing, is_same_place, read_file, read_own, standing_at};
