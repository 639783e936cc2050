//! Services by the machine's own list, each from the day and the distance at which it was last done.

use chrono::NaiveDate;

use super::desk::Desk;
use super::{DueKind, months_on, slug};
use crate::inspection::{EventKind, PartRef, Subject};
use crate::machine::Service;
use crate::units::day;

impl Desk<'_> {
    pub(super) fn services(&mut self) {
        for service in self.bay.machine.services.clone() {
            let (last_on, last_km) = self.last_done(&service);
            let date = service.every_months.zip(last_on).and_then(|(m, d)| months_on(d, m));
            let now = self.log.sound().next_back().map(|(_, run)| run);
            let km = service.every.zip(last_km).zip(now).map(|((every, last), now)| last + every.as_km() - now);
            let mut every: Vec<String> = Vec::new();
            every.extend(service.every_months.map(|m| format!("{m} months")));
            every.extend(service.every.map(|d| self.units.show(d)));
            let every = if every.is_empty() { "an interval that is not entered".into() } else { every.join(" or ") };
            let since =
                last_on.map_or("never taken down as done".into(), |d| format!("last done on {}", day::words(d)));
            let why = format!("Every {every}, whichever is first; {since}.");
            self.add(
                DueKind::Service,
                format!("service-{}", slug(&service.what)),
                service.what.clone(),
                (date, km),
                why,
                service.source.to_string(),
            );
        }
    }

    /// When a service was last done and at which distance of the machine: by the record, or by a later event.
    fn last_done(&self, service: &Service) -> (Option<NaiveDate>, Option<f64>) {
        let by_record = service.last_on.filter(|d| *d <= self.today).map(|d| (d, service.last_at));
        let renews = |part: &PartRef| match (part, service.fluid) {
            (PartRef::Fluid(kind), Some(fluid)) => *kind == fluid,
            (PartRef::Other(what), _) => what.trim().eq_ignore_ascii_case(service.what.trim()),
            _ => false,
        };
        let told = self.bay.in_force().filter(|e| e.date <= self.today).filter_map(|e| match &e.kind {
            EventKind::PartFitted(f) if renews(&f.part) => Some((e.date, f.odometer)),
            EventKind::Job(job) => {
                let fluid = service.fluid.map(Subject::Fluid);
                let changed = job.jobs.iter().any(|j| j.job.starts_with("fluid") && Some(j.at) == fluid);
                let named = job.work.trim().eq_ignore_ascii_case(service.what.trim());
                (changed || named).then_some((e.date, job.odometer))
            }
            _ => None,
        });
        let last = told.chain(by_record).max_by_key(|(day, shown)| (*day, shown.is_some()));
        match last {
            Some((day, shown)) => {
                let km = shown.map(|s| self.log.run_at(day, s)).or_else(|| self.log.run_between(day));
                (Some(day), km)
            }
            // Without a day the figure alone still counts, by the instrument that is in now.
            None => (None, service.last_at.map(|s| self.log.run_at(self.today, s))),
        }
    }
}
