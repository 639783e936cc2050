//! Looking ahead with honest uncertainty: how fast a part wears, when it reaches its limit, what falls due.
//!
//! Pure functions of a bay, the catalogue and a day. Nothing is judged here: a forecast is no verdict. Must not know
//! files, the window or the clock.
//!
//! ```text
//! gauge     the stated errors of readings                 outlook   limits, distances and dates of a series
//! wear      a line with an interval                       due       what falls due, from every source
//! series    the readings of a part since it was fitted    ics       the same as an iCalendar file
//! checks    the checks that look at what falls due
//! ```

mod battery;
mod checks;
pub mod due;
mod fitted;
pub mod gauge;
pub mod ics;
mod limits;
mod outlook;
mod series;
pub mod wear;

pub use battery::{Season, battery_seasons};
pub use checks::checks_due;
pub use due::{Due, DueKind, When, due, due_of, in_order, months_on};
pub use limits::{LimitLine, Trust};
pub use outlook::{Ahead, Outlook, outlooks, two_figures};
pub use series::{Figure, Reading, Series, series};
