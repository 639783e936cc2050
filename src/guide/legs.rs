//! A plan as one step after another: set the machine up, then look. Each step has the cautions that count while it is
//! done, the raised machine and the running engine at every check that is made so and not only at the first.

use serde::{Deserialize, Serialize};

use crate::inspection::{CheckRef, FindingId, Station};
use crate::machine::{Machine, Power};
use crate::walk::{Change, EngineNow, Plan, Pose, Setup};

/// One step of a guided walk, as it is shown and as it is kept between two runs of the program.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Leg {
    /// The check that is made, for which the machine is set up otherwise, or which found what is looked at again.
    pub check: CheckRef,
    /// The title of the check with its part.
    pub title: String,
    /// What is done to the machine, as one sentence, where this step is a change of its set-up and not a check.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub change: Option<String>,
    /// The finding of an earlier day, where this step is to look at it again and not a check.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub again: Option<FindingId>,
    /// How the machine is set up meanwhile.
    pub setup: Setup,
    /// Where one stands.
    pub station: Station,
    /// Seconds that it takes, the way there with it.
    pub seconds: u32,
    /// Ids of the cautions to show.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Whether there is no verdict without it.
    #[serde(default)]
    pub required: bool,
}

impl Leg {
    /// A name that stays the same when the plan is made anew.
    pub fn key(&self) -> String {
        match (&self.change, &self.again) {
            (Some(_), _) => format!("before {}", self.check),
            (None, Some(finding)) => format!("again {finding}"),
            (None, None) => self.check.to_string(),
        }
    }
    /// Whether it is a change of set-up.
    pub fn is_change(&self) -> bool {
        self.change.is_some()
    }
    /// Whether it is a check, and not a change of set-up or a finding of an earlier day.
    pub fn is_check(&self) -> bool {
        self.change.is_none() && self.again.is_none()
    }
}

/// What is done, as one sentence.
fn sentence(changes: &[Change]) -> String {
    let words: Vec<String> = changes.iter().map(|c| c.words()).collect();
    let words = words.join("; ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |c| format!("{}{}.", c.to_uppercase(), letters.as_str()))
}

/// Ids of the cautions that count for as long as the machine is set up so, by common practice.
pub fn cautions_of(setup: &Setup) -> Vec<&'static str> {
    let mut cautions = Vec::new();
    if setup.pose.is_raised() || setup.pose == Pose::CentreStand {
        cautions.push("raised-machine");
    }
    if setup.pose.is_raised() || setup.pose == Pose::Upright {
        cautions.push("helper");
    }
    match setup.engine {
        EngineNow::Running => cautions.push("carbon-monoxide"),
        EngineNow::OnTheRoad => cautions.push("road-trial"),
        EngineNow::Warm | EngineNow::Hot => cautions.push("hot-parts"),
        EngineNow::Cold | EngineNow::Off => {}
    }
    cautions
}

/// Seconds as whole minutes in words: `26 minutes`.
pub fn minutes_words(seconds: u32) -> String {
    match (f64::from(seconds) / 60.0).round() {
        1.0 => "1 minute".into(),
        minutes => format!("{minutes} minutes"),
    }
}

/// The cautions in one list, each once: those given, then those of the set-up.
fn with_setup(given: Vec<String>, setup: &Setup) -> Vec<String> {
    let mut cautions: Vec<String> = Vec::new();
    for id in given.into_iter().chain(cautions_of(setup).into_iter().map(str::to_owned)) {
        if !cautions.contains(&id) {
            cautions.push(id);
        }
    }
    cautions
}

/// The cautions given and those of the set-up, as far as they concern the machine.
pub(super) fn setup_cautions(machine: &Machine, given: Vec<String>, setup: &Setup) -> Vec<String> {
    with_setup(given, setup).into_iter().filter(|id| concerns(machine, id)).collect()
}

/// Whether the machine has what a caution is about.
fn concerns(machine: &Machine, caution: &str) -> bool {
    !matches!(caution, "carbon-monoxide" | "fuel") || machine.power == Power::Combustion
}

/// The steps of a plan, each change of set-up before the check it is made for.
///
/// A machine without a combustion engine has no exhaust gas and no fuel to mind.
pub fn legs(plan: &Plan, machine: &Machine) -> Vec<Leg> {
    let mut legs = Vec::new();
    for step in &plan.steps {
        let leg = |change: Option<String>, cautions, seconds| Leg {
            check: step.check.clone(),
            title: step.title.clone(),
            change,
            again: None,
            setup: step.setup,
            station: step.station,
            seconds,
            cautions: setup_cautions(machine, cautions, &step.setup),
            required: step.required,
        };
        if !step.changes.is_empty() {
            let of_changes = step.changes.iter().filter_map(|c| c.caution()).map(str::to_owned).collect();
            legs.push(leg(Some(sentence(&step.changes)), of_changes, step.change_seconds));
        }
        legs.push(leg(None, step.cautions.clone(), step.seconds + step.walk_seconds));
    }
    legs
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;
    use crate::garage::Bay;
    use crate::machine::{Layout, MachineId};
    use crate::units::Preferences;
    use crate::walk::{Request, plan};

    fn all_legs() -> Vec<Leg> {
        let machine = Machine::new(MachineId("m-1".into()), "Bench", Layout::Solo);
        let bay = Bay { machine, inspections: Vec::new(), events: Vec::new(), unread: Vec::new() };
        let catalogue = Catalogue::builtin();
        let kind = catalogue.kind("season").expect("a kind");
        let day = chrono::NaiveDate::from_ymd_opt(2026, 11, 25).expect("a day");
        legs(&plan(&Request::new(&bay, catalogue, &Preferences::default(), kind, day)), &bay.machine)
    }

    #[test]
    fn every_raised_running_and_ridden_step_shows_its_caution() {
        // Common practice: an engine running means carbon monoxide, a lifted machine means firm stands.
        let legs = all_legs();
        let mut seen = [0; 3];
        for leg in &legs {
            let has = |id: &str| leg.cautions.iter().any(|c| c == id);
            let setup = &leg.setup;
            if setup.pose.is_raised() {
                assert!(has("raised-machine") && has("helper"), "{}", leg.key());
                seen[0] += 1;
            }
            if setup.engine == EngineNow::Running {
                assert!(has("carbon-monoxide"), "{}", leg.key());
                seen[1] += 1;
            }
            if setup.engine == EngineNow::OnTheRoad {
                assert!(has("road-trial"), "{}", leg.key());
                seen[2] += 1;
            }
        }
        assert!(seen.iter().all(|n| *n > 1), "{seen:?}");
    }

    #[test]
    fn a_change_of_set_up_is_a_step_of_its_own_before_its_check() {
        let legs = all_legs();
        let setups = legs.iter().filter(|l| l.is_change()).count();
        assert!(setups > 3, "{setups}");
        for pair in legs.windows(2) {
            if let Some(change) = &pair[0].change {
                assert_eq!(pair[1].key(), pair[0].check.to_string());
                assert!(change.ends_with('.') && change.starts_with(char::is_uppercase), "{change}");
            }
        }
    }
}
