//! Findings of an earlier day as steps of their own, beside the checks of the place where each is looked at again.

use super::Leg;
use super::legs::setup_cautions;
use crate::inspection::{CheckRef, FindingId, Station};
use crate::machine::Machine;
use crate::walk::Now;

/// Seconds that looking at one finding again takes; our own figure, common practice.
pub const AGAIN_SECONDS: u32 = 60;

/// A finding of an earlier day that is to be looked at again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Again {
    /// The finding.
    pub finding: FindingId,
    /// The check by which it was found.
    pub check: CheckRef,
    /// Where it is and what it is.
    pub title: String,
    /// Where one stands.
    pub station: Station,
}

/// Puts the findings between the steps of a plan: before the check that found it, which sets the machine up as it was
/// seen; else before the first check at its place with the engine at rest; else first of all, with the machine as it
/// stands.
pub fn beside(legs: Vec<Leg>, again: &[Again], machine: &Machine, now: Now) -> Vec<Leg> {
    let is_same = |leg: &Leg, one: &Again| leg.is_check() && leg.check == one.check;
    let is_here =
        |leg: &Leg, one: &Again| leg.is_check() && leg.station == one.station && leg.setup.engine.is_at_rest();
    let placed: Vec<(usize, Leg)> = again
        .iter()
        .map(|one| {
            let same = legs.iter().position(|leg| is_same(leg, one));
            let at = same.or_else(|| legs.iter().position(|leg| is_here(leg, one)));
            let setup = at.map_or(now.setup, |at| legs[at].setup);
            let given = same.map_or_else(Vec::new, |at| legs[at].cautions.clone());
            let leg = Leg {
                check: one.check.clone(),
                title: one.title.clone(),
                change: None,
                again: Some(one.finding.clone()),
                setup,
                station: one.station,
                seconds: AGAIN_SECONDS,
                cautions: setup_cautions(machine, given, &setup),
                required: true,
            };
            (at.unwrap_or(0), leg)
        })
        .collect();
    let mut all = Vec::with_capacity(legs.len() + placed.len());
    let take =
        |all: &mut Vec<Leg>, at: usize| all.extend(placed.iter().filter(|(i, _)| *i == at).map(|(_, l)| l.clone()));
    let count = legs.len();
    for (at, leg) in legs.into_iter().enumerate() {
        take(&mut all, at);
        all.push(leg);
    }
    if count == 0 {
        take(&mut all, 0);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;
    use crate::garage::Bay;
    use crate::guide::legs;
    use crate::inspection::Subject;
    use crate::machine::{Layout, MachineId, WheelPosition};
    use crate::units::Preferences;
    use crate::walk::{Request, plan};

    fn again(id: &str, check: CheckRef, station: Station) -> Again {
        Again { finding: FindingId(id.into()), check, title: id.to_owned(), station }
    }

    #[test]
    fn each_stands_before_its_check_else_at_its_place_else_first_and_no_check_is_lost() {
        let machine = Machine::new(MachineId("m-1".into()), "Bench", Layout::Solo);
        let bay = Bay { machine, inspections: Vec::new(), events: Vec::new(), unread: Vec::new() };
        let catalogue = Catalogue::builtin();
        let kind = catalogue.kind("ride").expect("a kind");
        let day = chrono::NaiveDate::from_ymd_opt(2026, 11, 25).expect("a day");
        let (units, now) = (Preferences::default(), Now::found(&bay.machine));
        let planned = legs(&plan(&Request::new(&bay, catalogue, &units, kind, day)), &bay.machine);
        let tyre = CheckRef::new("tyre-look", Subject::Wheel(WheelPosition::Rear));
        let elsewhere = CheckRef::new("not-asked-by-this-kind", Subject::Machine);
        let asked = [
            again("cut", tyre.clone(), Station::RearWheel),
            again("scratch", elsewhere.clone(), Station::RearWheel),
            again("tear", tyre, Station::RearWheel),
        ];
        let all = beside(planned.clone(), &asked, &bay.machine, now);
        let at = |key: &str| all.iter().position(|l| l.key() == key).expect("it is on the walk");
        assert_eq!(at("again cut") + 1, at("again tear"));
        assert_eq!(at("again tear") + 1, at("tyre-look@rear"));
        let scratch = &all[at("again scratch")];
        assert!(scratch.station == Station::RearWheel && scratch.setup.engine.is_at_rest());
        assert_eq!(all[at("again scratch") + 1].station, Station::RearWheel);
        let rest: Vec<Leg> = all.into_iter().filter(|l| l.again.is_none()).collect();
        assert_eq!(rest, planned);
        let alone = beside(Vec::new(), &asked[1..2], &bay.machine, now);
        assert_eq!((alone.len(), alone[0].setup), (1, now.setup), "nothing else is planned");
    }
}
