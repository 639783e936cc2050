//! A series against its limits: how far and until when, with the interval of both.

use chrono::NaiveDate;

use super::limits::{LimitLine, Trust};
use super::series::{Series, series};
use super::wear::{Crossing, Way};
use crate::catalogue::Catalogue;
use crate::garage::Bay;
use crate::history::{OdometerLog, Pace};
use crate::machine::Months;
use crate::units::{Distance, DistanceTag, Preferences, day};

/// When one limit is reached.
#[derive(Clone, Debug, PartialEq)]
pub struct Ahead {
    /// The limit.
    pub limit: LimitLine,
    /// Where on the line, in km since the part was fitted.
    pub crossing: Crossing,
    /// km still to go from the last odometer reading; below nought where it is reached already.
    pub km: f64,
    /// The near end of the same.
    pub km_earliest: f64,
    /// The far end; none where it is open.
    pub km_latest: Option<f64>,
    /// The day by the owner's pace; none beyond ten years or without a pace.
    pub date: Option<NaiveDate>,
    /// The near end of the same.
    pub date_earliest: Option<NaiveDate>,
    /// The far end of the same.
    pub date_latest: Option<NaiveDate>,
}

/// A series and what lies ahead of it.
#[derive(Clone, Debug)]
pub struct Outlook {
    /// The readings and their line.
    pub series: Series,
    /// One for each limit, the nearest first; empty where there is no line.
    pub ahead: Vec<Ahead>,
}

/// Every series of a machine with what lies ahead, as known on a day. `off` holds the months off the road of the
/// garage; a machine's own go before them.
pub fn outlooks(bay: &Bay, catalogue: &Catalogue, units: &Preferences, off: Months, today: NaiveDate) -> Vec<Outlook> {
    let log = OdometerLog::of(bay, today);
    let pace = Pace::of(&log, bay.machine.off_road.unwrap_or(off));
    let last = log.sound().next_back();
    let all = series(bay, &log, catalogue, units, today);
    all.into_iter().map(|series| Outlook { ahead: ahead(&series, last, pace.as_ref()), series }).collect()
}

fn ahead(series: &Series, last: Option<(NaiveDate, f64)>, pace: Option<&Pace>) -> Vec<Ahead> {
    let (Ok(wear), Some((day, run))) = (&series.wear, last) else { return Vec::new() };
    let now = run - series.fitted_km;
    let date = |km: f64| pace.and_then(|p| p.when(day, km.max(0.0)));
    let mut ahead: Vec<Ahead> = series
        .limits
        .iter()
        .map(|limit| {
            let crossing = wear.crossing(limit.value);
            let (km, near) = (crossing.at - now, crossing.earliest - now);
            let far = crossing.latest.map(|l| l - now);
            Ahead {
                limit: limit.clone(),
                crossing,
                km,
                km_earliest: near,
                km_latest: far,
                date: date(km),
                date_earliest: date(near),
                date_latest: far.and_then(date),
            }
        })
        .collect();
    ahead.sort_by(|a, b| a.km.total_cmp(&b.km));
    ahead
}

impl Outlook {
    /// The limit that is reached first among those that bind or are practice.
    pub fn next(&self) -> Option<&Ahead> {
        self.ahead.iter().find(|a| a.limit.trust != Trust::Comparison)
    }
    /// How fast it wears, in a sentence: the slope with its interval.
    pub fn rate(&self, units: &Preferences) -> String {
        let wear = match &self.series.wear {
            Ok(wear) => wear,
            Err(none) => return none.words(),
        };
        let per = units.unit::<DistanceTag>();
        let thousand = 1000.0 * per.factor;
        let show = |slope: f64| self.series.figure.show((slope * thousand).abs(), units);
        let word = if self.series.way == Way::Falls { "less" } else { "more" };
        let between = match wear.line.interval.filter(|_| wear.readings > 2) {
            // Ordered as magnitudes, and said as nought where the interval reaches the other way.
            Some((a, b)) => {
                let (small, large) = if self.series.way == Way::Falls { (-b, -a) } else { (a, b) };
                format!(" (80 %: {} to {})", show(small.max(0.0)), show(large.max(0.0)))
            }
            None => String::new(),
        };
        format!("{}{between} {word} in 1000 {}, by {} readings.", show(wear.line.slope), per.symbol, wear.readings)
    }
}

impl Ahead {
    /// In a sentence: distance, day, both with their interval.
    pub fn words(&self, outlook: &Outlook, units: &Preferences) -> String {
        let shown = outlook.series.figure.show(self.limit.value, units);
        let km = |km: f64| units.show(Distance::km(two_figures(km)));
        let cautious = match &outlook.series.wear {
            Ok(wear) if wear.cautious => "Cautious figure, two readings only and nothing checks them: ",
            _ => "",
        };
        if self.km <= 0.0 {
            return format!(
                "{cautious}{shown} ({}) is reached by the line already: measure it now.",
                self.limit.trust.word()
            );
        }
        let near = if self.km_earliest <= 0.0 { "now".to_owned() } else { km(self.km_earliest) };
        let far = self.km_latest.map_or("not yet to be said".to_owned(), km);
        let day = |d: Option<NaiveDate>| d.map_or("beyond ten years".to_owned(), day::words);
        let dates = match (self.date, self.date_earliest) {
            (None, None) => String::new(),
            (date, early) => {
                let late = if self.km_latest.is_none() { "open".to_owned() } else { day(self.date_latest) };
                format!(" At your pace {}, between {} and {late}.", day(date), day(early))
            }
        };
        format!(
            "{cautious}{shown} ({}) in about {}, 80 % between {near} and {far}.{dates}",
            self.limit.trust.word(),
            km(self.km)
        )
    }
}

/// Two figures are enough: the interval is wide.
pub fn two_figures(km: f64) -> f64 {
    let step = 10f64.powf((km.max(1.0).log10().floor() - 1.0).max(0.0));
    (km / step).round() * step
}
