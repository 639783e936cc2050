//! What the markings on a tyre say: size, load, speed, and the week it was made.
//!
//! Must not know machines, rules, files or the window.

mod doubt;
mod load_index;
mod marking;
mod size;
mod speed_symbol;
mod tin;

pub use doubt::pressure_doubt;
pub use load_index::{LoadIndex, LoadIndexError};
pub use marking::TyreMarking;
pub use size::{Construction, SizeFormat, TyreError, TyreSize};
pub use speed_symbol::{SpeedSymbol, SpeedSymbolError};
pub use tin::{TinDate, TinError};
