//! The date code at the end of a tyre identification number (49 CFR 574.5): week and year of manufacture.

use std::fmt;

use chrono::{Datelike, Duration, NaiveDate};
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// A date code as moulded: four digits (week, year) since July 2000, three (week, last digit of the year) before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct TinDate {
    week: u8,
    year: Year,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Year {
    /// Two digits: 2000 to 2099.
    Full(u16),
    /// One digit; the decade is not coded.
    LastDigit(u8),
}

/// Why a text is not a date code.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum TinError {
    /// Not three or four digits at the end.
    #[error(
        "expected the last four digits of the tyre's identification number (week and year, as in 4819), found \"{0}\""
    )]
    Form(String),
    /// No year has such a week.
    #[error(
        "expected a week from 01 to 53 in the first two digits, found {week:02} in \"{found}\": read the moulding again, the last four digits are week and year"
    )]
    Week {
        /// The week read.
        week: u8,
        /// What was typed.
        found: String,
    },
}

impl TinDate {
    /// Reads `4819`, `DOT XX XX 4819` or a three-digit code of before 2000; the last group of digits counts.
    pub fn parse(text: &str) -> Result<Self, TinError> {
        let found = text.trim();
        let tail: String =
            found.chars().rev().take_while(char::is_ascii_digit).collect::<Vec<_>>().into_iter().rev().collect();
        let error = || TinError::Form(found.to_owned());
        let number = |s: &str| s.parse::<u16>().map_err(|_| error());
        // In a whole number the code may follow a maker's own figures without a gap: its last four count.
        let whole = tail.len() > 4 && found.len() > tail.len();
        let tail = if whole { &tail[tail.len() - 4..] } else { tail.as_str() };
        let (week, year) = match tail.len() {
            4 => (number(&tail[..2])?, Year::Full(2000 + number(&tail[2..])?)),
            3 => (number(&tail[..2])?, Year::LastDigit(number(&tail[2..])? as u8)),
            _ => return Err(error()),
        };
        if !(1..=53).contains(&week) {
            return Err(TinError::Week { week: week as u8, found: found.to_owned() });
        }
        Ok(Self { week: week as u8, year })
    }
    /// The week, 1 to 53.
    pub fn week(self) -> u8 {
        self.week
    }
    /// The year, or the years of the 1980s and 1990s that a three-digit code may mean.
    pub fn years(self) -> Vec<i32> {
        match self.year {
            Year::Full(year) => vec![i32::from(year)],
            Year::LastDigit(digit) => [1980, 1990].iter().map(|decade| decade + i32::from(digit)).collect(),
        }
    }
    /// The first day of the week of manufacture, in the latest year it may mean. Week 01 is taken as the first full
    /// week, Sunday to Saturday (from memory, medium-high).
    pub fn made(self) -> Option<NaiveDate> {
        let year = *self.years().last()?;
        let new_year = NaiveDate::from_ymd_opt(year, 1, 1)?;
        let to_sunday = (7 - new_year.weekday().num_days_from_sunday()) % 7;
        Some(new_year + Duration::days(i64::from(to_sunday) + 7 * (i64::from(self.week) - 1)))
    }
    /// Whole months from the week of manufacture to a day; none if the tyre would be made after that day.
    pub fn age_months(self, on: NaiveDate) -> Option<i32> {
        let made = self.made()?;
        let months =
            (on.year() - made.year()) * 12 + on.month() as i32 - made.month() as i32 - i32::from(on.day() < made.day());
        (on >= made).then_some(months)
    }
}

impl fmt::Display for TinDate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.year {
            Year::Full(year) => write!(f, "{:02}{:02}", self.week, year % 100),
            Year::LastDigit(digit) => write!(f, "{:02}{digit}", self.week),
        }
    }
}
impl TryFrom<String> for TinDate {
    type Error = TinError;
    fn try_from(text: String) -> Result<Self, TinError> {
        Self::parse(&text)
    }
}
impl From<TinDate> for String {
    fn from(date: TinDate) -> String {
        date.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn date_codes_are_week_and_year() {
        // 49 CFR 574.5.
        for (text, week, year) in
            [("4819", 48, 2019), ("2219", 22, 2019), ("DOT AB12 CDEF 2319", 23, 2019), ("DOT 1M3 0054819", 48, 2019)]
        {
            let date = TinDate::parse(text).expect(text);
            assert_eq!((date.week(), date.years()), (week, vec![year]));
        }
        assert_eq!(TinDate::parse("259").expect("three digits").years(), [1989, 1999]);
    }

    #[test]
    fn age_is_counted_in_whole_months() {
        let date = TinDate::parse("4819").expect("code");
        // The 48th full week of 2019 begins on Sunday 1 December (1 January 2019 was a Tuesday).
        assert_eq!(date.made(), NaiveDate::from_ymd_opt(2019, 12, 1));
        assert_eq!(NaiveDate::from_ymd_opt(2026, 11, 25).and_then(|d| date.age_months(d)), Some(83));
        assert_eq!(NaiveDate::from_ymd_opt(2019, 1, 1).and_then(|d| date.age_months(d)), None);
    }

    #[test]
    fn what_is_no_date_code_is_refused() {
        for text in ["5419", "0019", "48", "", "48195", "week 12"] {
            assert!(TinDate::parse(text).is_err(), "{text}");
        }
    }
}
