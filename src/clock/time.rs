//! The hour-hand clock: one hour is 30°, one minute is half a degree.

use std::fmt;

use thiserror::Error;

/// A reading of the hour-hand clock in whole minutes, 0 to 719. `0:00` is accepted, `12:00` is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ClockTime(u16);

/// Why a text is not a clock position.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error(
    "expected a clock position from 0:00 to 12:00, found \"{found}\": write it as in 4:30, with twelve at the valve stem"
)]
pub struct ClockError {
    /// What was typed.
    pub found: String,
}

impl ClockTime {
    /// The valve stem.
    pub const TWELVE: Self = Self(0);

    /// The nearest clock minute to an angle in degrees clockwise from twelve; any finite angle.
    pub fn from_degrees(degrees: f64) -> Self {
        Self(((degrees * 2.0).round().rem_euclid(720.0)) as u16 % 720)
    }
    /// Degrees clockwise from twelve, 0 to 359.5.
    pub fn degrees(self) -> f64 {
        f64::from(self.0) / 2.0
    }
    /// Reads `4:30`, `4`, `04:30`, `0:00`, `12:00`.
    pub fn parse(text: &str) -> Result<Self, ClockError> {
        let error = || ClockError { found: text.trim().to_owned() };
        let (hour, minute) = match text.trim().split_once(':') {
            Some((hour, minute)) if minute.len() == 2 => (hour, minute),
            Some(_) => return Err(error()),
            None => (text.trim(), "00"),
        };
        let digits = |s: &str| (!s.is_empty() && s.len() <= 2 && s.bytes().all(|b| b.is_ascii_digit())).then_some(());
        digits(hour).and(digits(minute)).ok_or_else(error)?;
        let hour: u16 = hour.parse().map_err(|_| error())?;
        let minute: u16 = minute.parse().map_err(|_| error())?;
        if hour > 12 || minute > 59 {
            return Err(error());
        }
        Ok(Self((hour % 12) * 60 + minute))
    }
}

impl fmt::Display for ClockTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hour = if self.0 < 60 { 12 } else { self.0 / 60 };
        write!(f, "{hour}:{:02}", self.0 % 60)
    }
}

impl std::str::FromStr for ClockTime {
    type Err = ClockError;
    fn from_str(text: &str) -> Result<Self, ClockError> {
        Self::parse(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clock_positions_are_read_and_printed() {
        for (text, printed, degrees) in [
            ("4:30", "4:30", 135.0),
            ("0:00", "12:00", 0.0),
            ("12:00", "12:00", 0.0),
            ("12:30", "12:30", 15.0),
            ("0:30", "12:30", 15.0),
            ("6", "6:00", 180.0),
            ("11:59", "11:59", 359.5),
        ] {
            let time = ClockTime::parse(text).expect(text);
            assert_eq!((time.to_string().as_str(), time.degrees()), (printed, degrees));
        }
        assert_eq!(ClockTime::from_degrees(359.9).to_string(), "12:00");
        assert_eq!(ClockTime::from_degrees(-30.0).to_string(), "11:00");
    }

    #[test]
    fn what_is_no_clock_position_is_refused() {
        for text in ["", "13:00", "4:60", "4:3", "4:300", "-1:00", "4.30", "half past", "12:60", "+4:30", "4:+3"] {
            assert!(ClockTime::parse(text).is_err(), "{text}");
        }
    }
}
