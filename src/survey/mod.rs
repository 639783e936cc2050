//! Wheel surveys: any quantity that is read round the clock, and what can be worked out of it.
//!
//! ```text
//! figures    least, greatest, mean, spread, gaps, harmonic, outliers and the local bend of one ring of readings
//! harmonic   the first harmonic by least squares, so that gaps are allowed (house rule 18)
//! edge       what a limit asks of the readings
//! rings      a reading of the record as rings of samples
//! outlier    which readings stand apart from the rest: median and MAD
//! words      the figures as plain sentences, in the unit of whoever asks
//! ```
//!
//! Plain numbers in the base unit of their dimension. The rules, the calculator of run-out, the window and the report
//! ask the same functions. Must not judge: it knows no limits, rules, files or window.

mod edge;
mod figures;
mod harmonic;
mod outlier;
mod rings;
mod words;

pub use edge::Edge;
pub use figures::{Bend, Figures, Gap, LEAST_FOR_BEND, LEAST_PLACES, Sample, WIDE_GAP_DEG, figures};
pub use harmonic::Harmonic;
pub use outlier::{LEAST_FOR_OUTLIERS, RULE as OUTLIER_RULE, THRESHOLD, outliers};
pub use rings::{Ring, Rings, rings};
pub use words::{Quantity, sentences};
