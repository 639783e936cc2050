//! Vector drawings that carry meaning: the machine in plan, the wheel as a clock, the unrolled tread, the notch marks.
//!
//! A drawing is data ([`shape::Drawing`]): the window paints it with egui, the report places it on a page, and a test
//! can read it. This module must not know egui, the PDF writer, files or the clock.

pub mod clock_face;
pub mod curve;
pub mod notch;
pub mod plan;
pub mod shape;
pub mod strip;
pub mod survey;
