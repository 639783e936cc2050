//! What the records of a machine say over time: the odometer log, the months it is ridden, the lives of its parts, and
//! defects that are seen again.
//!
//! Pure functions of a bay; "today" is an argument. Nothing is judged here. Must not know rules, files or the window.

pub mod again;
pub mod defects;
pub mod lives;
pub mod odometer;
pub mod pace;
pub mod planted;

pub use again::{Again, on_both_days, seen_again};
pub use defects::{Defect, Watch, defects, open_defects};
pub use lives::{Life, LifeNote, Lives};
pub use odometer::OdometerLog;
pub use pace::Pace;
pub use planted::{Planted, planted};
