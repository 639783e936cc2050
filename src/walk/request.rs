//! What a plan is asked for: the machine, the kind, the minutes, the state now, what is done, and what is forbidden.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::{EngineNow, Pose, Setup};
use crate::catalogue::{Catalogue, Kind};
use crate::forecast::checks_due;
use crate::garage::Bay;
use crate::inspection::{CheckRef, InspectionId, Severity, Station};
use crate::machine::{Layout, Machine};
use crate::rules::standing;
use crate::units::Preferences;

/// Checks whose dangerous finding forbids starting the engine (house rule 22).
const FUEL: [&str; 2] = ["fuel-leaks", "fuel-lines"];

/// How the machine stands and where the person is, at the moment the plan begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Now {
    /// How the machine is set up.
    pub setup: Setup,
    /// Where the person stands.
    pub station: Station,
}

impl Now {
    /// A machine as it is found: at rest on its stand, engine cold, everything fitted, the person at the front wheel.
    pub fn found(machine: &Machine) -> Self {
        Self {
            setup: Setup {
                pose: resting_pose(machine),
                engine: EngineNow::Cold,
                ignition: false,
                covers_off: false,
                luggage_off: false,
            },
            station: Station::FrontWheel,
        }
    }
}

/// How a machine rests by itself: on its side stand, else its centre stand; what has three wheels stands upright.
pub(super) fn resting_pose(machine: &Machine) -> Pose {
    match machine.layout {
        Layout::Sidecar(_) | Layout::Trike => Pose::Upright,
        _ if machine.stands.side => Pose::SideStand,
        _ if machine.stands.centre => Pose::CentreStand,
        _ => Pose::Upright,
    }
}

/// What is forbidden by what was found (house rules 2 and 22).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stop {
    /// Why the engine is not started, if it is not.
    pub start: Option<String>,
    /// Why the machine is not ridden, if it is not.
    pub ride: Option<String>,
}

impl Stop {
    /// What findings forbid: a dangerous fuel leak the starting of the engine, anything major or dangerous the ride.
    pub fn of<'a>(findings: impl IntoIterator<Item = (&'a CheckRef, Severity)>) -> Self {
        let mut stop = Self::default();
        for (check, severity) in findings {
            if severity == Severity::Dangerous && FUEL.contains(&check.check.as_str()) {
                stop.start = Some("a fuel leak is open".into());
            }
            if severity >= Severity::Major && stop.ride.as_deref() != Some("something dangerous is open") {
                stop.ride = Some(format!("something {} is open", severity.word()));
            }
        }
        if stop.start.is_some() {
            stop.ride = stop.start.clone();
        }
        stop
    }
    /// What is open on a machine today forbids.
    pub fn standing(bay: &Bay, catalogue: &Catalogue, units: &Preferences, today: NaiveDate) -> Self {
        let standing = standing(bay, catalogue, units, today);
        let because = standing.verdict.as_ref().map(|v| v.because.as_slice()).unwrap_or_default();
        Self::of(because.iter().map(|b| (&b.check, b.severity)))
    }
}

/// What a plan is made for.
#[derive(Clone, Debug)]
pub struct Request<'a> {
    /// The machine with its inspections and events.
    pub bay: &'a Bay,
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// The owner's units, for what the rules say.
    pub units: &'a Preferences,
    /// The kind of inspection.
    pub kind: &'a Kind,
    /// The checks asked, where they are not those of the kind (see `Inspection::asks`); empty for those of the kind.
    pub asks: &'a [CheckRef],
    /// The inspection in hand, if it has begun; it says nothing of what was skipped last time.
    pub inspection: Option<&'a InspectionId>,
    /// The day.
    pub today: NaiveDate,
    /// The seconds there are; none for as long as it takes.
    pub seconds: Option<u32>,
    /// Where the required checks do not fit into the seconds: whether to plan the part of all checks that takes away
    /// the most risk. Else every required check comes, and the plan says what is missing.
    pub part: bool,
    /// Whether a second person is there.
    pub helper: bool,
    /// How the machine is set up now, and where the person is.
    pub now: Now,
    /// The checks that are done.
    pub done: BTreeSet<CheckRef>,
    /// What is forbidden.
    pub stop: Stop,
    /// Checks that fall due by date or distance.
    pub due: BTreeSet<CheckRef>,
}

impl<'a> Request<'a> {
    /// A first plan for a machine as it is found, with a helper, for as long as it takes.
    pub fn new(
        bay: &'a Bay,
        catalogue: &'a Catalogue,
        units: &'a Preferences,
        kind: &'a Kind,
        today: NaiveDate,
    ) -> Self {
        Self {
            bay,
            catalogue,
            units,
            kind,
            asks: &[],
            inspection: None,
            today,
            seconds: None,
            part: false,
            helper: true,
            now: Now::found(&bay.machine),
            done: BTreeSet::new(),
            stop: Stop::standing(bay, catalogue, units, today),
            due: checks_due(bay, catalogue, units, today),
        }
    }
    /// The same with this many minutes.
    #[must_use]
    pub fn within_minutes(mut self, minutes: u32) -> Self {
        self.seconds = Some(minutes.saturating_mul(60));
        self
    }
    /// The same for the rest of a walk: what was passed counts as done, machine and person are where they stand now, and
    /// so many seconds are left.
    #[must_use]
    pub fn from_here(mut self, now: Now, passed: impl IntoIterator<Item = CheckRef>, seconds: Option<u32>) -> Self {
        self.now = now;
        self.done.extend(passed);
        self.seconds = seconds;
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inspection::Subject;

    #[test]
    fn a_fuel_leak_forbids_starting_and_a_major_only_the_ride() {
        let leak = CheckRef::new("fuel-leaks", Subject::Machine);
        let lamp = CheckRef::new("headlamp", Subject::Machine);
        let stop = Stop::of([(&lamp, Severity::Major)]);
        assert_eq!((stop.start, stop.ride), (None, Some("something major is open".into())));
        let stop = Stop::of([(&leak, Severity::Dangerous), (&lamp, Severity::Major)]);
        assert!(stop.start.is_some() && stop.ride.is_some());
        assert_eq!(Stop::of([(&lamp, Severity::Minor)]), Stop::default());
    }
}
