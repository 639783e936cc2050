//! What falls due, by date or by distance, whichever is first: papers, services, fluids, age, wear, watched findings.

mod ages;
mod desk;
mod papers;
mod services;
mod wear;

use chrono::{Months as CalendarMonths, NaiveDate};

use self::desk::Desk;
use super::outlook::{outlooks, two_figures};
use crate::catalogue::Catalogue;
use crate::garage::{Bay, Garage, GarageInfo};
use crate::history::{OdometerLog, Pace};
use crate::inspection::PartRef;
use crate::machine::MachineId;
use crate::units::{Distance, Preferences, day};

/// What sort of thing falls due.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DueKind {
    /// A date of the law or of the insurer.
    Papers,
    /// A service of the machine's own list.
    Service,
    /// A fluid by its age.
    Fluid,
    /// A part by its age.
    Age,
    /// A part by its wear: an estimate.
    Wear,
    /// A minor finding that is watched until then.
    Watched,
}

impl DueKind {
    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Papers => "papers",
            Self::Service => "service",
            Self::Fluid => "fluid",
            Self::Age => "age",
            Self::Wear => "wear",
            Self::Watched => "watched",
        }
    }
}

/// Where a due item stands on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum When {
    /// The day or the distance has passed.
    Overdue,
    /// Within the next twelve months.
    WithinAYear,
    /// Later.
    Later,
    /// By a distance for which no day can be given.
    ByDistance,
    /// Nothing is known from which to count: it was never taken down.
    Unknown,
}

/// Something that falls due.
#[derive(Clone, Debug, PartialEq)]
pub struct Due {
    /// The machine.
    pub machine: MachineId,
    /// Its name.
    pub name: String,
    /// Stable from day to day: `service-engine-oil`, `wear-tread-rear`.
    pub id: String,
    /// What sort.
    pub kind: DueKind,
    /// The part that it is about, where it is one.
    pub part: Option<PartRef>,
    /// What is due: `Engine oil`.
    pub what: String,
    /// The day, whichever of date and distance is first; none where only a distance is known, or nothing.
    pub date: Option<NaiveDate>,
    /// The near and the far end of an estimate.
    pub between: Option<(Option<NaiveDate>, Option<NaiveDate>)>,
    /// km still to go by the last odometer reading, where a distance counts; below nought where it has passed.
    pub km: Option<f64>,
    /// Where it stands.
    pub when: When,
    /// Why then, in a sentence.
    pub why: String,
    /// Where the interval or the limit comes from.
    pub source: String,
}

/// Everything that falls due over all machines in use, overdue first, then by day. A history that was taken in to be read
/// is of somebody else's machine and asks for nothing here.
pub fn due(garage: &Garage, catalogue: &Catalogue, today: NaiveDate) -> Vec<Due> {
    let info = &garage.info;
    let machines = garage.bays.iter().filter(|b| !b.machine.archived && b.machine.read_only.is_none());
    in_order(machines.flat_map(|bay| due_of(bay, catalogue, info, today)).collect())
}

/// What falls due on several machines in one order: overdue first, then by day.
pub fn in_order(mut items: Vec<Due>) -> Vec<Due> {
    sort(&mut items);
    items
}

/// What falls due on one machine.
pub fn due_of(bay: &Bay, catalogue: &Catalogue, info: &GarageInfo, today: NaiveDate) -> Vec<Due> {
    let (units, off) = (&info.units, info.off_road);
    let log = OdometerLog::of(bay, today);
    let pace = Pace::of(&log, bay.machine.off_road.unwrap_or(off));
    let mut desk = Desk { bay, units, today, log, pace, found: Vec::new() };
    desk.papers();
    desk.services();
    desk.fluids();
    desk.ages();
    desk.watched(catalogue);
    desk.wear(&outlooks(bay, catalogue, units, off, today));
    let mut found = desk.found;
    sort(&mut found);
    found
}

fn sort(items: &mut [Due]) {
    items.sort_by(|a, b| {
        let day = |d: &Due| d.date.unwrap_or(NaiveDate::MAX);
        (a.when, day(a), &a.name, &a.id).cmp(&(b.when, day(b), &b.name, &b.id))
    });
}

/// A day some months on; at the end of a shorter month its last day, as RFC 5545 and most calendars leave it to do.
pub fn months_on(day: NaiveDate, months: u32) -> Option<NaiveDate> {
    day.checked_add_months(CalendarMonths::new(months))
}

/// An id of small letters, figures and hyphens.
fn slug(words: &str) -> String {
    let plain: String = words.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    plain.split('-').filter(|p| !p.is_empty()).collect::<Vec<_>>().join("-")
}

impl Due {
    /// How far off it is, in a few words: `overdue since 1 March 2026`, `by 1 March 2027, or in 2 100 km`.
    pub fn by_words(&self, units: &Preferences) -> String {
        let is_estimate = self.kind == DueKind::Wear;
        let km = self.km.map(|km| {
            let km = km.abs();
            units.show(Distance::km(if is_estimate { two_figures(km) } else { km.round() }))
        });
        match (self.when, self.date) {
            (When::Overdue, date) => match (self.km.filter(|km| *km <= 0.0), km, date) {
                (Some(_), Some(km), _) if is_estimate => format!("reached by the line about {km} ago, measure it now"),
                (Some(_), Some(km), _) => format!("overdue by {km}"),
                (_, _, Some(day)) => format!("overdue since {}", day::words(day)),
                _ => "overdue".into(),
            },
            (When::Unknown, _) => "not known when".into(),
            (_, Some(day)) => match km {
                Some(km) => format!("about {}, or in {km}", day::words(day)),
                None => format!("by {}", day::words(day)),
            },
            (_, None) => km.map_or("not known when".into(), |km| format!("in {km}, no day can be given")),
        }
    }
}
