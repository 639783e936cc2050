//! The plan of a printed sheet, its number, and the way back from the number to the plan.
//!
//! Nothing about a sheet is stored. Its number says the kind, the minutes and the day, from which the same records give
//! the same plan again; its last four signs are a sum over the machine and the checks in their order, so that another
//! plan is never taken for the sheet's own.

use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;

use crate::catalogue::{Catalogue, Kind};
use crate::garage::Bay;
use crate::inspection::{CheckRef, Inspection, InspectionId};
use crate::units::Preferences;
use crate::walk::{Plan, Request, plan};

/// What a sheet is made for.
#[derive(Clone, Copy, Debug)]
pub struct Wanted<'a> {
    /// The kind of inspection.
    pub kind: &'a Kind,
    /// The checks asked, where they are not those of the kind.
    pub asks: &'a [CheckRef],
    /// The minutes there are; none for as long as it takes.
    pub minutes: Option<u32>,
    /// Whether only what fits into the minutes is on it, where the required checks alone take longer.
    pub part: bool,
    /// The day.
    pub day: NaiveDate,
}

/// The number of a sheet: `ride-20-261125-k7q2`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetNumber {
    /// The kind of inspection by its id.
    pub kind: String,
    /// The minutes; none for as long as it takes.
    pub minutes: Option<u32>,
    /// The day.
    pub day: NaiveDate,
    /// The sum over the machine and the checks in their order.
    pub sum: String,
}

impl fmt::Display for SheetNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let minutes = self.minutes.map_or_else(|| "all".to_owned(), |m| m.to_string());
        write!(f, "{}-{minutes}-{}-{}", self.kind, self.day.format("%y%m%d"), self.sum)
    }
}

impl FromStr for SheetNumber {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let typed = text.trim().to_lowercase().replace(' ', "-");
        let error = || {
            format!(
                "expected the number of a sheet, as in ride-20-261125-k7q2, found \"{}\": it stands at the head of every \
                 page of the sheet",
                text.trim()
            )
        };
        // A kind of the owner's may have hyphens in its id: the other three parts are taken from the end.
        let mut parts = typed.rsplitn(4, '-');
        let (sum, day, minutes, kind) = match (parts.next(), parts.next(), parts.next(), parts.next()) {
            (Some(sum), Some(day), Some(minutes), Some(kind)) if !kind.is_empty() => (sum, day, minutes, kind),
            _ => return Err(error()),
        };
        let minutes = match minutes {
            "all" => None,
            figure => Some(figure.parse().map_err(|_| error())?),
        };
        let day = NaiveDate::parse_from_str(day, "%y%m%d").map_err(|_| error())?;
        Ok(Self { kind: kind.to_owned(), minutes, day, sum: sum.to_owned() })
    }
}

/// A sheet: its number and its plan.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The number.
    pub number: SheetNumber,
    /// The plan.
    pub plan: Plan,
}

/// Four signs for a machine and its checks in order: 32-bit FNV-1a (its published constants), in letters and figures
/// that nobody confuses when they are written by hand.
fn sum(bay: &Bay, plan: &Plan) -> String {
    const SIGNS: &[u8] = b"abcdefghjkmnpqrstuvwxyz23456789";
    let mut hash: u32 = 0x811c_9dc5;
    let mut take = |text: &str| {
        for byte in text.bytes().chain([b'\n']) {
            hash = (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193);
        }
    };
    take(&bay.machine.id.0);
    plan.steps.iter().for_each(|step| take(&step.check.to_string()));
    let mut signs = String::new();
    for _ in 0..4 {
        signs.push(char::from(SIGNS[hash as usize % SIGNS.len()]));
        hash /= SIGNS.len() as u32;
    }
    signs
}

/// The sheet of a machine from its records as they are.
pub fn sheet(bay: &Bay, catalogue: &Catalogue, units: &Preferences, wanted: &Wanted<'_>) -> Sheet {
    let mut request = Request::new(bay, catalogue, units, wanted.kind, wanted.day);
    request.asks = wanted.asks;
    request.seconds = wanted.minutes.map(|m| m.saturating_mul(60));
    request.part = wanted.part;
    let plan = plan(&request);
    let number =
        SheetNumber { kind: wanted.kind.id.clone(), minutes: wanted.minutes, day: wanted.day, sum: sum(bay, &plan) };
    Sheet { number, plan }
}

/// The sheet with a number, from the records as they were when it was printed: those of later days and the inspection
/// that is being filled in are left out, and of those of the day itself as many from the end as it takes. None where
/// no such state of the records gives the sheet's own sum, because the machine's data were changed since.
pub fn find(
    bay: &Bay,
    catalogue: &Catalogue,
    units: &Preferences,
    number: &SheetNumber,
    filled: Option<&InspectionId>,
) -> Option<Sheet> {
    let kind = catalogue.kind(&number.kind)?;
    let is_of_then = |i: &&Inspection| i.date <= number.day && Some(&i.id) != filled;
    let inspections: Vec<Inspection> = bay.inspections.iter().filter(is_of_then).cloned().collect();
    let events: Vec<_> = bay.events.iter().filter(|e| e.date <= number.day).cloned().collect();
    let asks = filled.and_then(|id| bay.inspection(id)).map_or(&[][..], |i| i.asks.as_slice());
    let same_day = inspections.iter().filter(|i| i.date == number.day).count();
    let day_events = events.iter().filter(|e| e.date == number.day).count();
    for fewer in 0..=same_day {
        for events_fewer in [0, day_events] {
            let then = Bay {
                inspections: inspections[..inspections.len() - fewer].to_vec(),
                events: events[..events.len() - events_fewer].to_vec(),
                ..bay.clone()
            };
            // The number does not say whether only what fits is on the sheet; its sum does.
            for part in [false, true] {
                let wanted = Wanted { kind, asks, minutes: number.minutes, part, day: number.day };
                let found = sheet(&then, catalogue, units, &wanted);
                if found.number == *number {
                    return Some(found);
                }
                if found.plan.missing.is_none() {
                    break;
                }
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inspection::{Finding, FindingId, Place, Station, Subject};
    use crate::machine::{Layout, Machine, MachineId};

    fn day() -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 11, 25).expect("a day")
    }

    fn bay(id: &str) -> Bay {
        let machine = Machine::new(MachineId(id.into()), "Bench", Layout::Solo);
        Bay { machine, inspections: Vec::new(), events: Vec::new(), unread: Vec::new() }
    }

    fn printed(bay: &Bay) -> Sheet {
        let catalogue = Catalogue::builtin();
        let kind = catalogue.kind("ride").expect("a kind");
        let wanted = Wanted { kind, asks: &[], minutes: Some(20), part: false, day: day() };
        sheet(bay, catalogue, &Preferences::default(), &wanted)
    }

    #[test]
    fn a_number_survives_being_written_down_and_typed() {
        let number = printed(&bay("heron-1")).number;
        assert_eq!(number.to_string().parse(), Ok(number.clone()));
        assert_eq!(number.to_string().to_uppercase().replace('-', " ").parse(), Ok(number.clone()));
        assert!(number.to_string().starts_with("ride-20-261125-"), "{number}");
        let own: SheetNumber = "my-own-kind-all-261125-abcd".parse().expect("a kind with hyphens");
        assert_eq!((own.kind.as_str(), own.minutes), ("my-own-kind", None));
        for wrong in ["", "ride", "ride-20-abc-k7q2", "ride-x-261125-k7q2"] {
            assert!(wrong.parse::<SheetNumber>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_sheet_is_found_again_after_its_results_came_in_and_not_on_another_machine() {
        let mut bay_then = bay("heron-1");
        let sheet = printed(&bay_then);
        // The inspection being filled in, with something dangerous in it, would drop the ride from a new plan.
        let id = InspectionId("2026-11-25-ride-1".into());
        let mut filled = Inspection::new(id.clone(), "ride", day());
        filled.findings.push(Finding {
            id: FindingId("f-1".into()),
            check: CheckRef::new("leaks", Subject::Machine),
            fault: "unknown".into(),
            place: Place::Part { station: Station::EngineRoom, part: String::new() },
            size: None,
            note: String::new(),
            overrule: None,
            photos: Vec::new(),
        });
        bay_then.inspections.push(filled);
        let catalogue = Catalogue::builtin();
        let units = Preferences::default();
        for filling in [Some(&id), None] {
            let found = find(&bay_then, catalogue, &units, &sheet.number, filling).expect("found again");
            assert_eq!(found.plan.steps, sheet.plan.steps);
        }
        assert!(find(&bay("plover-2"), catalogue, &units, &sheet.number, None).is_none());
    }

    #[test]
    fn a_sheet_of_only_what_fits_is_found_again_by_its_number() {
        let bay = bay("heron-1");
        let catalogue = Catalogue::builtin();
        let units = Preferences::default();
        let kind = catalogue.kind("periodic").expect("a kind");
        let of = |part| {
            let wanted = Wanted { kind, asks: &[], minutes: Some(20), part, day: day() };
            sheet(&bay, catalogue, &units, &wanted)
        };
        let (all, part) = (of(false), of(true));
        assert!(all.plan.missing.is_some() && part.plan.missing.is_none());
        assert!(part.plan.seconds <= 20 * 60 && part.plan.required_left_out() > 0);
        assert_ne!(all.number, part.number);
        for one in [all, part] {
            let found = find(&bay, catalogue, &units, &one.number, None).expect("found again");
            assert_eq!(found.plan.steps, one.plan.steps);
        }
    }
}
