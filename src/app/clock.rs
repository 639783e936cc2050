//! The only place that asks what time it is. Everything else is told.

use chrono::{DateTime, FixedOffset, Local};

/// Tells the moment, with the offset from universal time of the place.
pub trait Clock: Send {
    /// Now.
    fn now(&self) -> DateTime<FixedOffset>;
}

/// The clock of the machine that the program runs on.
#[derive(Clone, Copy, Debug, Default)]
pub struct WallClock;

impl Clock for WallClock {
    fn now(&self) -> DateTime<FixedOffset> {
        Local::now().fixed_offset()
    }
}

/// A clock that stands still, for tests and pictures.
#[derive(Clone, Copy, Debug)]
pub struct StoppedClock(pub DateTime<FixedOffset>);

impl Clock for StoppedClock {
    fn now(&self) -> DateTime<FixedOffset> {
        self.0
    }
}
