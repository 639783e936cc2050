//! What is known of one machine on a day, and how an item goes on its list of what falls due.

use chrono::NaiveDate;

use super::{Due, DueKind, When, months_on};
use crate::garage::Bay;
use crate::history::{OdometerLog, Pace};
use crate::inspection::PartRef;
use crate::units::Preferences;

/// What is known of one machine on a day.
pub(super) struct Desk<'a> {
    pub(super) bay: &'a Bay,
    pub(super) units: &'a Preferences,
    pub(super) today: NaiveDate,
    pub(super) log: OdometerLog,
    pub(super) pace: Option<Pace>,
    pub(super) found: Vec<Due>,
}

impl Desk<'_> {
    /// Puts an item on the list; `date` and `km` are each where that side falls due.
    pub(super) fn add(
        &mut self,
        kind: DueKind,
        id: String,
        what: String,
        (date, km): (Option<NaiveDate>, Option<f64>),
        why: String,
        source: String,
    ) {
        let by_distance = km.and_then(|km| self.day_of(km));
        let first = match (date, by_distance) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        let when = self.when(first, km);
        self.found.push(Due {
            machine: self.bay.machine.id.clone(),
            name: self.bay.machine.name.clone(),
            id,
            kind,
            part: None,
            what,
            date: first,
            between: None,
            km,
            when,
            why,
            source,
        });
    }

    /// Says which part the item just added is about.
    pub(super) fn about(&mut self, part: PartRef) {
        if let Some(item) = self.found.last_mut() {
            item.part = Some(part);
        }
    }

    /// The day by which so many km from the last reading are ridden; that day itself where they have passed.
    fn day_of(&self, km: f64) -> Option<NaiveDate> {
        let (day, _) = self.log.sound().next_back()?;
        self.pace.as_ref()?.when(day, km.max(0.0))
    }

    fn when(&self, date: Option<NaiveDate>, km: Option<f64>) -> When {
        let year = months_on(self.today, 12).unwrap_or(NaiveDate::MAX);
        match date {
            _ if km.is_some_and(|km| km <= 0.0) => When::Overdue,
            Some(day) if day < self.today => When::Overdue,
            Some(day) if day <= year => When::WithinAYear,
            Some(_) => When::Later,
            None if km.is_some() => When::ByDistance,
            None => When::Unknown,
        }
    }
}
