//! The checks that look at what falls due, so that a walk can put them first. Must not plan.

use std::collections::BTreeSet;

use chrono::{Days, NaiveDate};

use super::due::{DueKind, When, due_of};
use crate::catalogue::Catalogue;
use crate::garage::{Bay, GarageInfo};
use crate::inspection::{CheckRef, FindingId, PartRef, Subject};
use crate::units::Preferences;

/// What falls due within these days is worth a look on today's walk (house figure: before the next walk of a season).
const AHEAD_DAYS: u64 = 30;

/// The checks of a machine that look at what is overdue or falls due within a month. Distances are turned into days
/// by the machine's own months off the road.
pub fn checks_due(bay: &Bay, catalogue: &Catalogue, units: &Preferences, today: NaiveDate) -> BTreeSet<CheckRef> {
    let info = GarageInfo { units: units.clone(), ..GarageInfo::default() };
    let until = today.checked_add_days(Days::new(AHEAD_DAYS)).unwrap_or(today);
    due_of(bay, catalogue, &info, today)
        .into_iter()
        .filter(|due| due.when == When::Overdue || due.date.is_some_and(|day| day <= until))
        .filter_map(|due| match (due.kind, due.part) {
            (DueKind::Watched, _) => {
                let id = FindingId(due.id.strip_prefix("watched-")?.to_owned());
                Some(bay.finding(&id)?.1.check.clone())
            }
            (kind, Some(part)) => looked_at_by(kind, &part),
            (_, None) => None,
        })
        .collect()
}

/// The check that reads the wear or the age of a part.
fn looked_at_by(kind: DueKind, part: &PartRef) -> Option<CheckRef> {
    Some(match part {
        PartRef::Tyre(w) if kind == DueKind::Age => CheckRef::new("tyre-age", Subject::Wheel(*w)),
        PartRef::Tyre(w) => CheckRef::new("tyre-tread", Subject::Wheel(*w)),
        PartRef::Lining(w, _) => CheckRef::new("brake-lining", Subject::Wheel(*w)),
        PartRef::Disc(w, side) => CheckRef::new("disc", Subject::Disc(*w, *side)),
        PartRef::Chain | PartRef::Belt => CheckRef::new("drive-wear", Subject::Machine),
        PartRef::Battery => CheckRef::new("battery-rest", Subject::Machine),
        PartRef::Fluid(fluid) => CheckRef::new("brake-fluid-age", Subject::Fluid(*fluid)),
        PartRef::Other(_) => return None,
    })
}
