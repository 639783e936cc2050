//! What falls due, by date or by distance, whichever is first: papers, services, fluids, age, wear, watched findings.

use chrono::{Months as CalendarMonths, NaiveDate};

use super::fitted::fitted;
use super::outlook::{Ahead, Outlook, outlooks, two_figures};
use crate::catalogue::Catalogue;
use crate::garage::{Bay, Garage, GarageInfo};
use crate::history::{OdometerLog, Pace};
use crate::inspection::{EventKind, PartRef, Subject, Value};
use crate::machine::{BatteryKind, FluidKind, MachineId, Service};
use crate::rules::fluid_age::CHANGE_AFTER_MONTHS;
use crate::rules::tyre_age::{INSPECT_FROM_MONTHS, REPLACE_AT_MONTHS};
use crate::units::{Distance, Preferences, day};

/// A starter battery lasts four to six years (common practice, from memory); the middle of it is when to look.
const BATTERY_MONTHS: u32 = 5 * 12;

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

/// What is known of one machine on a day.
struct Desk<'a> {
    bay: &'a Bay,
    units: &'a Preferences,
    today: NaiveDate,
    log: OdometerLog,
    pace: Option<Pace>,
    found: Vec<Due>,
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

fn spoken(day: NaiveDate) -> String {
    day::words(day)
}

impl Desk<'_> {
    /// Puts an item on the list; `date` and `km` are each where that side falls due.
    fn add(
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
    fn about(&mut self, part: PartRef) {
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

    fn papers(&mut self) {
        let machine = &self.bay.machine;
        let (test, insured) = (machine.test_due, machine.insured_until);
        if let Some(day) = test {
            let why = format!("The test of the law falls due by {}.", spoken(day));
            self.add(
                DueKind::Papers,
                "papers-test".into(),
                "Test of the law".into(),
                (Some(day), None),
                why,
                "the machine's papers".into(),
            );
        }
        if let Some(day) = insured {
            let why = format!("It is insured until {}.", spoken(day));
            self.add(
                DueKind::Papers,
                "papers-insurance".into(),
                "Insurance".into(),
                (Some(day), None),
                why,
                "the machine's papers".into(),
            );
        }
    }

    fn services(&mut self) {
        for service in self.bay.machine.services.clone() {
            let (last_on, last_km) = self.last_done(&service);
            let date = service.every_months.zip(last_on).and_then(|(m, d)| months_on(d, m));
            let now = self.log.sound().next_back().map(|(_, run)| run);
            let km = service.every.zip(last_km).zip(now).map(|((every, last), now)| last + every.as_km() - now);
            let mut every: Vec<String> = Vec::new();
            every.extend(service.every_months.map(|m| format!("{m} months")));
            every.extend(service.every.map(|d| self.units.show(d)));
            let every = if every.is_empty() { "an interval that is not entered".into() } else { every.join(" or ") };
            let since = last_on.map_or("never taken down as done".into(), |d| format!("last done on {}", spoken(d)));
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

    fn fluids(&mut self) {
        let hydraulic = [FluidKind::FrontBrakeFluid, FluidKind::RearBrakeFluid, FluidKind::ClutchFluid];
        for kind in hydraulic {
            let in_list = self.bay.machine.services.iter().any(|s| s.fluid == Some(kind));
            if in_list || self.bay.machine.fluid(kind).is_none() {
                continue;
            }
            let fitted = fitted(self.bay, &self.log, &PartRef::Fluid(kind), self.today).map(|f| f.on);
            let read = self.bay.inspections.iter().filter(|i| i.date <= self.today).flat_map(|i| &i.answers);
            let read = read
                .filter(|(c, _)| c.check == "brake-fluid-age" && c.subject == Subject::Fluid(kind))
                .filter_map(|(_, a)| match a.readings.get("changed") {
                    Some(Value::Date(day)) => Some(*day),
                    _ => None,
                })
                .filter(|day| *day <= self.today)
                .max();
            let changed = fitted.max(read);
            let date = changed.and_then(|d| months_on(d, CHANGE_AFTER_MONTHS));
            let since = changed.map_or("it was never taken down when".into(), |d| format!("changed on {}", spoken(d)));
            let why = format!("Changed every {CHANGE_AFTER_MONTHS} months; {since}.");
            let word = kind.word();
            let what = format!("Change the {word}");
            self.add(
                DueKind::Fluid,
                format!("fluid-{}", kind.id()),
                what,
                (date, None),
                why,
                "common practice; the handbook may ask for less".into(),
            );
            self.about(PartRef::Fluid(kind));
        }
    }

    fn ages(&mut self) {
        let months = |m: i32| u32::try_from(m).unwrap_or(0);
        let tyres: Vec<_> =
            self.bay.machine.wheels.iter().filter_map(|w| Some((w.position, w.tyre.as_ref()?.tin?.made()?))).collect();
        for (wheel, made) in tyres {
            let source = || "trade advice, no law for motorcycles".to_owned();
            let by = |m: i32| months_on(made, months(m));
            let ten = by(REPLACE_AT_MONTHS);
            let of = format!("made in the week of {}", spoken(made));
            // From five years on the next yearly look, as long as it comes before the tenth year.
            let look = (0..)
                .map(|year| by(INSPECT_FROM_MONTHS + 12 * year))
                .find(|d| d.is_none_or(|d| d >= self.today))
                .flatten();
            if let Some(look) = look.filter(|l| ten.is_none_or(|t| *l < t)) {
                let why = format!("From five years on a tyre is looked over every year, inside and out; {of}.");
                self.add(
                    DueKind::Age,
                    format!("age-look-{}", wheel.id()),
                    format!("Look over the {} tyre for age", wheel.word()),
                    (Some(look), None),
                    why,
                    source(),
                );
                self.about(PartRef::Tyre(wheel));
            }
            if ten.is_some() {
                let why = format!("At ten years a tyre is replaced, whatever it looks like; {of}.");
                self.add(
                    DueKind::Age,
                    format!("age-tyre-{}", wheel.id()),
                    format!("Replace the {} tyre for age", wheel.word()),
                    (ten, None),
                    why,
                    source(),
                );
                self.about(PartRef::Tyre(wheel));
            }
        }
        if self.bay.machine.battery != BatteryKind::None
            && let Some(since) = fitted(self.bay, &self.log, &PartRef::Battery, self.today)
        {
            let why = format!("A battery lasts four to six years; fitted on {}.", spoken(since.on));
            let date = months_on(since.on, BATTERY_MONTHS);
            self.add(
                DueKind::Age,
                "age-battery".into(),
                "Have the battery tested for age".into(),
                (date, None),
                why,
                "common practice, from memory".into(),
            );
            self.about(PartRef::Battery);
        }
    }

    fn watched(&mut self, catalogue: &Catalogue) {
        let bay = self.bay;
        let today = self.today;
        let so_far = || bay.in_force().filter(|e| e.date <= today);
        for event in so_far() {
            let EventKind::Watched { of, until, reason } = &event.kind else { continue };
            // A later word on the same finding stands before an earlier one.
            let later = so_far().any(|e| {
                matches!(&e.kind, EventKind::Watched { of: other, .. } if other == of)
                    && (e.date, &e.id) > (event.date, &event.id)
            });
            if later || bay.closing(&of.finding).is_some() {
                continue;
            }
            let Some((inspection, finding)) = bay.finding(&of.finding) else { continue };
            let now = self.log.sound().next_back().map(|(_, run)| run);
            let km = until.odometer.zip(now).map(|(shown, now)| self.log.run_at(event.date, shown) - now);
            let what = format!("Look again: {}", catalogue.fault_words(finding));
            let because = if reason.trim().is_empty() { String::new() } else { format!(" ({})", reason.trim()) };
            let why = format!(
                "Found on {}, {}, and watched since {}{because}.",
                spoken(inspection.date),
                finding.check.subject.words(),
                spoken(event.date)
            );
            self.add(
                DueKind::Watched,
                format!("watched-{}", finding.id),
                what,
                (until.date, km),
                why.replace(", , ", ", "),
                "the owner's own word".into(),
            );
        }
    }

    fn wear(&mut self, outlooks: &[Outlook]) {
        // Of the zones of one tyre the first to reach its limit stands for all.
        let mut first: Vec<(&PartRef, &Outlook, &Ahead)> = Vec::new();
        for outlook in outlooks {
            let Some(ahead) = outlook.next() else { continue };
            match first.iter_mut().find(|(part, _, _)| *part == &outlook.series.part) {
                Some(entry) if ahead.km < entry.2.km => *entry = (&outlook.series.part, outlook, ahead),
                Some(_) => {}
                None => first.push((&outlook.series.part, outlook, ahead)),
            }
        }
        for (part, outlook, ahead) in first {
            let why = format!("{}: {}", outlook.series.title, ahead.words(outlook, self.units));
            let source = format!("{}: {}", ahead.limit.trust.word(), ahead.limit.source);
            self.add(
                DueKind::Wear,
                format!("wear-{}", slug(&part.words())),
                format!("Renew the {}", part.words()),
                (None, Some(ahead.km)),
                why,
                source,
            );
            if let Some(item) = self.found.last_mut() {
                item.between = Some((ahead.date_earliest, ahead.date_latest));
            }
            self.about(part.clone());
        }
    }
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
                (_, _, Some(day)) => format!("overdue since {}", spoken(day)),
                _ => "overdue".into(),
            },
            (When::Unknown, _) => "not known when".into(),
            (_, Some(day)) => match km {
                Some(km) => format!("about {}, or in {km}", spoken(day)),
                None => format!("by {}", spoken(day)),
            },
            (_, None) => km.map_or("not known when".into(), |km| format!("in {km}, no day can be given")),
        }
    }
}
