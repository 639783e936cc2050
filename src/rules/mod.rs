//! Judging: each rule turns what was read or found into judgements with their proof.
//!
//! One file a rule, one line in [`RULES`]. A judgement without a source is a bug. Rules must not know files, the
//! window or the clock: the day is an argument.

mod after_work;
mod assess;
mod axle_difference;
mod battery_charging;
mod battery_rest;
pub mod boiling;
mod brake_balance;
pub mod braking;
mod carry;
mod case;
pub mod chain;
pub mod charge_table;
mod choice;
pub mod dial;
mod disc;
mod drum;
mod exhaust_gas;
#[cfg(test)]
pub(crate) mod fixture;
mod flash_rate;
pub mod fluid_age;
mod graded;
pub mod headlamp_aim;
mod judgement;
mod level;
mod lever_play;
mod limits;
pub mod lining;
mod parking_brake;
mod past;
mod pressure;
mod proof;
mod readings;
mod region_change;
mod rim_runout;
mod sidecar;
mod slack;
mod sound_level;
mod spoke_tension;
mod standing;
mod survey_edge;
mod together;
mod torque;
pub mod tread;
pub mod tyre_age;
pub mod tyre_cut;
mod tyre_load;
mod tyre_speed;
mod verdict;
mod worn;

pub use after_work::{AskedAgain, is_second_look};
pub use assess::{Assessment, CarriedResult, CheckResult, Status, assess};
pub use carry::carry_over;
pub use case::Case;
pub use graded::proposed;
pub use judgement::{Judgement, LimitUsed, Outcome, Source};
pub use limits::{Expected, expected};
pub use region_change::{RegionChange, region_changes};
pub use standing::{OpenFinding, Standing, standing};
pub use survey_edge::survey_edges;
pub use together::Together;
pub use verdict::{Because, Decision, Verdict};

use crate::catalogue::Fault;
use crate::inspection::{Answer, CheckRef, Finding};

/// A rule of the trade.
pub trait Rule: Sync {
    /// Its id, used once.
    fn id(&self) -> &'static str;
    /// What it judges and by which sources, in a sentence or two, for help and for the contributors' table.
    fn explain(&self) -> &'static str;
    /// The ids of the checks whose readings it judges; empty for a rule that judges the readings of every check.
    fn checks(&self) -> &'static [&'static str];
    /// Whether it judges the readings of a check.
    fn judges(&self, check: &str) -> bool {
        self.checks().is_empty() || self.checks().contains(&check)
    }
    /// Judges the readings of one check on one part. The answer may be missing where the machine's data alone can be
    /// judged. No judgement means that there is nothing to judge yet.
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement>;
    /// Judges a finding beyond its graded class (a cut by its length, say). Most rules do not.
    fn judge_finding(&self, _case: &Case<'_>, _finding: &Finding, _fault: &Fault) -> Option<Judgement> {
        None
    }
}

/// Every rule, in the order in which proofs are shown.
pub static RULES: &[&dyn Rule] = &[
    &pressure::ColdPressure,
    &tread::TreadDepth,
    &axle_difference::AxleDifference,
    &tyre_age::TyreAge,
    &tyre_load::TyreLoad,
    &tyre_speed::TyreSpeed,
    &tyre_cut::TyreCut,
    &rim_runout::RimRunout,
    &spoke_tension::SpokeTension,
    &lining::Lining,
    &disc::Disc,
    &drum::Drum,
    &braking::Braking,
    &brake_balance::BrakeBalance,
    &parking_brake::ParkingBrake,
    &slack::DriveSlack,
    &chain::ChainWear,
    &battery_rest::BatteryRest,
    &battery_charging::BatteryCharging,
    &level::FluidLevel,
    &fluid_age::FluidAge,
    &boiling::BoilingPoint,
    &flash_rate::FlashRate,
    &headlamp_aim::HeadlampAim,
    &lever_play::LeverPlay,
    &sidecar::SidecarAlignment,
    &torque::FastenerTorque,
    &exhaust_gas::ExhaustGas,
    &sound_level::SoundLevel,
    // Every check: after the rules that know the figures.
    &choice::ChoiceRule,
    &readings::ReadingsFit,
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;

    #[test]
    fn rule_ids_are_used_once_and_their_checks_exist() {
        let mut ids: Vec<_> = RULES.iter().map(|r| r.id()).collect();
        ids.sort_unstable();
        let count = ids.len();
        ids.dedup();
        assert_eq!(ids.len(), count, "a rule id is used twice");
        for rule in RULES {
            for check in rule.checks() {
                assert!(Catalogue::builtin().check(check).is_some(), "{} names the check {check}", rule.id());
            }
        }
        for region in &Catalogue::builtin().regions {
            for law in &region.laws {
                let known = RULES.iter().any(|r| r.id() == law.rule);
                assert!(known, "the region {} names the rule {}", region.id, law.rule);
            }
        }
    }
}
