//! The months in which a machine stays off the road, as the owner sets them.

use serde::{Deserialize, Serialize};

/// A set of months, 1 for January to 12 for December. Stored as a list.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Vec<u32>", into = "Vec<u32>")]
pub struct Months(u16);

impl Months {
    /// The names of the months.
    pub const NAMES: [&'static str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    /// A set of these months; others than 1 to 12 are left out.
    pub fn of(months: &[u32]) -> Self {
        Self(months.iter().filter(|m| (1..=12).contains(*m)).fold(0, |set, m| set | 1 << m))
    }
    /// Whether a month is in it.
    pub fn holds(self, month: u32) -> bool {
        (1..=12).contains(&month) && self.0 & (1 << month) != 0
    }
    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0 == 0
    }
    /// Adds a month, or takes it out.
    #[must_use]
    pub fn with(self, month: u32, is_in: bool) -> Self {
        let one = Self::of(&[month]).0;
        Self(if is_in { self.0 | one } else { self.0 & !one })
    }
    /// The months in order.
    pub fn iter(self) -> impl Iterator<Item = u32> {
        (1..=12).filter(move |m| self.holds(*m))
    }
    /// In words: `November, December, January` in the order of the calendar; empty where there is none.
    pub fn words(self) -> String {
        self.iter().filter_map(|m| Self::NAMES.get(m as usize - 1).copied()).collect::<Vec<_>>().join(", ")
    }
}

impl From<Months> for Vec<u32> {
    fn from(months: Months) -> Self {
        months.iter().collect()
    }
}
impl TryFrom<Vec<u32>> for Months {
    type Error = String;
    fn try_from(months: Vec<u32>) -> Result<Self, String> {
        match months.iter().find(|m| !(1..=12).contains(*m)) {
            Some(wrong) => Err(format!("expected months from 1 for January to 12 for December, found {wrong}")),
            None => Ok(Self::of(&months)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_are_a_set_over_the_turn_of_the_year() {
        let winter = Months::of(&[11, 12, 1, 2]);
        assert!(winter.holds(12) && winter.holds(1) && !winter.holds(6) && !winter.holds(0) && !winter.holds(13));
        assert_eq!(Vec::from(winter), [1, 2, 11, 12]);
        assert_eq!(winter.with(2, false).with(3, true).words(), "January, March, November, December");
        assert!(Months::try_from(vec![0]).is_err() && Months::try_from(vec![13]).is_err());
    }
}
