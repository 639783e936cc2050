//! What was looked at, felt and measured on one day: answers, readings, findings; and the events that follow.
//!
//! Pure records. Judging them is the work of [`crate::rules`]. Must not know rules, files or the window.

mod answer;
mod check_ref;
mod event;
mod event_words;
mod finding;
mod inspection_record;
mod job;
mod marker;
mod part;
mod revisit;
mod zone;

pub use answer::{Answer, CheckState, DialPoint, LevelReading, Mark, NumberPoint, TreadPoint, Value};
pub use check_ref::{CheckRef, Subject};
pub use event::{Closing, Event, EventId, EventKind, Until};
pub use event_words::{closing_words, event_words, until_words};
pub use finding::{Finding, FindingId, Overrule, Place, Severity, Station, may_overrule};
pub use inspection_record::{Conditions, Inspection, InspectionId};
pub use job::{FindingRef, Job, JobRef, TorqueApplied};
pub use marker::{clock_words, marker_words, marker_words_in};
pub use part::{Condition, Fitting, PartRef};
pub use revisit::{Revisit, Seen};
pub use zone::{Along, Zone};
