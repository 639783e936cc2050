//! Findings that may be an earlier defect seen again: proposed by nearness, confirmed or split by a person.

use std::f64::consts::PI;

use super::Lives;
use super::defects::{Defect, may_be_one, open_defects};
use crate::garage::Bay;
use crate::inspection::{Along, EventKind, Finding, FindingRef, Inspection, PartRef, Place, Zone};
use crate::machine::Wheel;
use crate::stats::pair_up;
use crate::units::Length;

/// A pair that may be one defect.
#[derive(Clone, Debug, PartialEq)]
pub struct Again {
    /// The last finding of the earlier defect.
    pub earlier: FindingRef,
    /// The finding of the inspection in question.
    pub later: FindingRef,
    /// How far apart they lie round the wheel in mm, where both have a spot and the wheel's size is known.
    pub apart_mm: Option<f64>,
    /// The sizes then and now, where both were measured.
    pub sizes: Option<(Length, Length)>,
    /// Whether the same fault was noted.
    pub is_same_fault: bool,
}

/// Two places within half a clock hour of each other may be one: a position read from a clock face by eye is good to a
/// quarter of an hour either way. House rule.
const NEAR_DEGREES: f64 = 15.0;
/// What another fault of the same check adds to the distance, as a share of the limit. House rule.
const OTHER_FAULT: f64 = 0.5;
/// What a size that has shrunk by more than a quarter adds: cracks and cuts do not close. House rule.
const SHRUNK: f64 = 0.3;
/// What a neighbouring zone adds. House rule.
const NEXT_ZONE: f64 = 0.4;

/// The pairs of an inspection's findings with defects that are open from earlier days, by optimal assignment: the
/// pairs together lie nearest, where the nearest pair first could take the only partner that another had. Nobody has
/// confirmed or split these pairs yet.
///
/// Only what is on the same part is paired: a tyre's with the tyre's of the same mounting (house rule 16), a rim's with
/// the rim's, a disc's with that disc's; elsewhere the same check at the same place.
pub fn seen_again(bay: &Bay, inspection: &Inspection, lives: &Lives) -> Vec<Again> {
    let earlier: Vec<Defect<'_>> = open_defects(bay)
        .into_iter()
        .filter(|d| {
            let (seen, _) = d.latest();
            seen.id != inspection.id && (seen.date, seen.started) <= (inspection.date, inspection.started)
        })
        .collect();
    let linked = |f: &Finding| {
        bay.in_force().any(|e| matches!(&e.kind, EventKind::SameDefect { later, .. } if later.finding == f.id))
    };
    let new: Vec<&Finding> =
        inspection.findings.iter().filter(|f| bay.closing(&f.id).is_none() && !linked(f)).collect();
    if earlier.is_empty() || new.is_empty() {
        return Vec::new();
    }
    let costs: Vec<Vec<f64>> =
        new.iter().map(|f| earlier.iter().map(|d| cost(bay, lives, inspection, f, d)).collect()).collect();
    // The costs are finite or forbidden, and every row may stay alone, so an assignment is always there.
    let pairs = pair_up(&costs, 1.0).unwrap_or_default();
    let reference = |i: &Inspection, f: &Finding| FindingRef { inspection: i.id.clone(), finding: f.id.clone() };
    pairs
        .into_iter()
        .enumerate()
        .filter_map(|(row, column)| {
            let (finding, defect) = (new.get(row)?, earlier.get(column?)?);
            let (_, before) = defect.latest();
            Some(Again {
                earlier: defect.reference(),
                later: reference(inspection, finding),
                apart_mm: apart(bay, &finding.place, &before.place).and_then(|a| a.mm),
                sizes: defect.size().zip(finding.size),
                is_same_fault: before.fault == finding.fault && before.check == finding.check,
            })
        })
        .collect()
}

/// The cost of taking two for one, 1 at the limit; infinite where they cannot be.
fn cost(bay: &Bay, lives: &Lives, inspection: &Inspection, finding: &Finding, defect: &Defect<'_>) -> f64 {
    let (seen, before) = defect.latest();
    if before.check != finding.check || !may_be_one(before, finding) || is_split(bay, defect, finding) {
        return f64::INFINITY;
    }
    let of_tyre = |f: &Finding| match &f.place {
        Place::Wheel { position, zone, .. } if zone.is_tyre() => Some(PartRef::Tyre(*position)),
        _ => None,
    };
    if of_tyre(finding).is_some_and(|tyre| !lives.is_same(&tyre, seen, inspection)) {
        return f64::INFINITY;
    }
    let Some(apart) = apart(bay, &finding.place, &before.place) else { return f64::INFINITY };
    let mut cost = apart.share;
    if before.fault != finding.fault {
        cost += OTHER_FAULT;
    }
    if defect.size().zip(finding.size).is_some_and(|(then, now)| now.as_mm() < 0.75 * then.as_mm()) {
        cost += SHRUNK;
    }
    cost
}

/// Whether a person has said that a finding and any of a defect's are two.
fn is_split(bay: &Bay, defect: &Defect<'_>, finding: &Finding) -> bool {
    bay.in_force().any(|e| match &e.kind {
        EventKind::Apart { earlier, later } => {
            (later.finding == finding.id && defect.holds(&earlier.finding))
                || (earlier.finding == finding.id && defect.holds(&later.finding))
        }
        _ => false,
    })
}

/// How far two places are apart.
struct Apart {
    /// As a share of the farthest that may still be one.
    share: f64,
    /// In mm round the wheel.
    mm: Option<f64>,
}

/// How far apart two places are; none where they are on different parts.
fn apart(bay: &Bay, a: &Place, b: &Place) -> Option<Apart> {
    match (a, b) {
        (Place::Wheel { position, zone: za, spot: sa }, Place::Wheel { position: other, zone: zb, spot: sb })
            if position == other =>
        {
            let zones = zone_share(*za, *zb)?;
            let (Some(sa), Some(sb)) = (sa, sb) else {
                // One of them has no spot: the zone all round holds every spot of it.
                let share = if sa.is_none() && sb.is_none() { 0.0 } else { 0.5 };
                return Some(Apart { share: zones + share, mm: None });
            };
            let degrees = sa.apart(*sb);
            let wheel = bay.machine.wheel(*position);
            // A spoke is one of many: the next one is another defect, however near it stands.
            let spokes = wheel.filter(|_| *za == Zone::Spoke).and_then(|w| w.rim.kind.spokes());
            let near = spokes.map_or(NEAR_DEGREES, |n| 0.75 * 360.0 / f64::from(n.get()));
            let mm = wheel.and_then(|w| round_mm(w, *za)).map(|round| round * degrees / 360.0);
            Some(Apart { share: zones + degrees / near, mm })
        }
        (Place::Part { station, part }, Place::Part { station: other, part: words }) if station == other => {
            let same = part.trim().to_lowercase() == words.trim().to_lowercase();
            Some(Apart { share: if same { 0.0 } else { 0.6 }, mm: None })
        }
        _ => None,
    }
}

/// What two zones add to the distance: nothing for the same, a share for neighbours on the tread, else never one.
fn zone_share(a: Zone, b: Zone) -> Option<f64> {
    let place = |zone| Zone::TREAD.iter().position(|z| *z == zone);
    match (place(a), place(b)) {
        _ if a == b => Some(0.0),
        (Some(a), Some(b)) if a.abs_diff(b) == 1 => Some(NEXT_ZONE),
        _ => None,
    }
}

/// The length once round a zone in mm, where the wheel's data tell it.
fn round_mm(wheel: &Wheel, zone: Zone) -> Option<f64> {
    match zone.along() {
        Along::Crown => wheel.circumference_mm(),
        Along::Rim => wheel.tyre.as_ref().map(|t| t.marking.size.rim_diameter_mm() * PI),
        Along::Disc => wheel.disc_diameter.map(|d| d.as_mm() * PI),
    }
}
