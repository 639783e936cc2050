//! How far a machine is ridden in each month of the year, and when it will have gone a distance.

use chrono::{Datelike, NaiveDate};

use super::OdometerLog;
use crate::machine::Months;

/// Kilometres a day, month by month.
#[derive(Clone, Debug, PartialEq)]
pub struct Pace {
    /// Kilometres on a day of each month, January first; nought in a month off the road.
    pub km_a_day: [f64; 12],
    /// How many days of each month the readings cover; a month with none takes the mean of the others.
    pub days: [u32; 12],
    /// The kilometres that the readings span.
    pub km: f64,
}

/// Beyond this many days a date says nothing: ten years. House rule.
const HORIZON_DAYS: i64 = 3653;

impl Pace {
    /// The pace by the log, with the months off the road; none without two readings on different days.
    ///
    /// What was ridden between two readings is spread evenly over the days on the road between them.
    pub fn of(log: &OdometerLog, off: Months) -> Option<Self> {
        let points: Vec<(NaiveDate, f64)> = log.sound().collect();
        let (mut ridden, mut days) = ([0.0; 12], [0u32; 12]);
        let mut km = 0.0;
        for pair in points.windows(2) {
            let [(from, low), (to, high)] = pair else { continue };
            if to == from {
                continue;
            }
            let between = from.iter_days().skip(1).take_while(|d| d <= to).map(|d| d.month0() as usize);
            let on_road = |m: &usize| !off.holds(*m as u32 + 1);
            let months: Vec<usize> = between.collect();
            let riding: Vec<usize> = months.iter().copied().filter(on_road).collect();
            // Ridden all the same in months off the road: then these days were days of riding.
            let riding = if riding.is_empty() && high > low { months } else { riding };
            let each = if riding.is_empty() { 0.0 } else { (high - low) / riding.len() as f64 };
            for month in riding {
                ridden[month] += each;
                days[month] += 1;
            }
            km += high - low;
        }
        let (all_km, all_days) = (ridden.iter().sum::<f64>(), days.iter().sum::<u32>());
        if all_days == 0 {
            return None;
        }
        let mean = all_km / f64::from(all_days);
        let km_a_day = std::array::from_fn(|m| match days[m] {
            _ if off.holds(m as u32 + 1) => 0.0,
            0 => mean,
            n => ridden[m] / f64::from(n),
        });
        Some(Self { km_a_day, days, km })
    }
    /// Kilometres in a month of 30.4 days, January first.
    pub fn km_a_month(&self) -> [f64; 12] {
        self.km_a_day.map(|km| km * 365.25 / 12.0)
    }
    /// The first day on which a distance will have been ridden, counted from the day after `from`; none within ten
    /// years, or where the machine is not ridden at all.
    pub fn when(&self, from: NaiveDate, km: f64) -> Option<NaiveDate> {
        if km <= 0.0 {
            return Some(from);
        }
        let mut left = km;
        for day in from.iter_days().skip(1).take(usize::try_from(HORIZON_DAYS).unwrap_or(0)) {
            left -= self.km_a_day[day.month0() as usize];
            if left <= 1e-9 {
                return Some(day);
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garage::Bay;
    use crate::inspection::{Event, EventId, EventKind};
    use crate::machine::{Layout, Machine, MachineId};
    use crate::units::Distance;

    fn day(text: &str) -> NaiveDate {
        text.parse().expect("a day")
    }

    fn log(readings: &[(&str, f64)]) -> OdometerLog {
        let mut bay = Bay::new(Machine::new(MachineId("m".into()), "M", Layout::Solo));
        for (index, (date, km)) in readings.iter().enumerate() {
            bay.events.push(Event {
                schema: 1,
                id: EventId(format!("e{index}")),
                date: day(date),
                by: String::new(),
                kind: EventKind::Odometer(Distance::km(*km)),
            });
        }
        OdometerLog::of(&bay, day("2030-01-01"))
    }

    #[test]
    fn a_distance_is_spread_over_the_days_on_the_road_alone() {
        // 1 April to 1 October: 183 days after the first; 1830 km are 10 km a day. By hand.
        let log = log(&[("2025-04-01", 1000.0), ("2025-10-01", 2830.0), ("2026-04-01", 2840.0)]);
        let winter = Months::of(&[11, 12, 1, 2, 3]);
        let pace = Pace::of(&log, winter).expect("three readings");
        assert!((pace.km_a_day[5] - 10.0).abs() < 1e-9, "June");
        assert_eq!(pace.km_a_day[0], 0.0, "January is off the road");
        // 100 km from 25 October: six days of October, none until April. October holds the 1st at 10 km and 30 days of
        // the winter's 10 km over 31 days (2 to 31 October and 1 April): less than 1 km a day, so the rest is of April.
        let date = pace.when(day("2025-10-25"), 100.0).expect("within ten years");
        assert_eq!(date.month(), 4, "{date}");
        assert!(pace.when(day("2025-10-25"), 1e9).is_none(), "beyond ten years nothing is said");
    }

    #[test]
    fn one_reading_or_one_day_gives_no_pace() {
        assert!(Pace::of(&log(&[("2025-04-01", 1000.0)]), Months::default()).is_none());
        assert!(Pace::of(&log(&[("2025-04-01", 1000.0), ("2025-04-01", 1200.0)]), Months::default()).is_none());
    }

    #[test]
    fn the_kilometres_of_a_year_come_back() {
        // 3653 km in the 3652 days of ten years: 1 km a day in every month, 365.25 a year.
        let log = log(&[("2015-01-01", 0.0), ("2024-12-31", 3652.0)]);
        let pace = Pace::of(&log, Months::default()).expect("two readings");
        let year: f64 = pace.km_a_month().iter().sum();
        assert!((year - 365.25).abs() < 0.01, "{year}");
        assert_eq!(pace.when(day("2025-01-01"), 10.0), Some(day("2025-01-11")));
    }
}
