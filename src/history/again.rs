//! Findings that may be an earlier defect seen again: proposed by nearness, confirmed or split by a person.

use std::f64::consts::PI;

use super::Lives;
use super::defects::{Defect, defects, may_be_one, open_defects};
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
/// Only what is on the same part is paired: a tyre's with the tyre's of the same mounting, a rim's with
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
    let before: Vec<Before<'_>> = earlier
        .iter()
        .map(|defect| {
            let (seen, finding) = defect.latest();
            Before { defect: Some(defect), seen, finding, size: defect.size() }
        })
        .collect();
    paired(bay, lives, inspection, &new, &before)
}

/// The findings of two inspections that are one defect, for a look at both days: those that a person said are one, then
/// of the rest the pairs that together lie nearest, by the same distances as [`seen_again`]. A defect that was closed
/// between the two days and found again is a pair, too.
pub fn on_both_days(bay: &Bay, earlier: &Inspection, later: &Inspection, lives: &Lives) -> Vec<Again> {
    let all = defects(bay);
    let defect_of = |f: &Finding| all.iter().find(|d| d.holds(&f.id));
    let before: Vec<Before<'_>> = earlier
        .findings
        .iter()
        .map(|f| Before { defect: defect_of(f), seen: earlier, finding: f, size: f.size })
        .collect();
    let (mut said, mut rest): (Vec<Again>, Vec<&Finding>) = (Vec::new(), Vec::new());
    for finding in &later.findings {
        let is_free = |b: &&Before<'_>| said.iter().all(|pair| pair.earlier.finding != b.finding.id);
        let mut free = before.iter().filter(is_free);
        match free.find(|b| b.defect.is_some_and(|d| d.holds(&finding.id))) {
            Some(one) => said.push(again(bay, one, later, finding)),
            None => rest.push(finding),
        }
    }
    let left: Vec<Before<'_>> =
        before.into_iter().filter(|b| said.iter().all(|pair| pair.earlier.finding != b.finding.id)).collect();
    said.extend(paired(bay, lives, later, &rest, &left));
    said
}

/// What a finding is compared with.
#[derive(Clone, Copy)]
struct Before<'a> {
    /// The defect that it is one of, where it is one.
    defect: Option<&'a Defect<'a>>,
    seen: &'a Inspection,
    finding: &'a Finding,
    size: Option<Length>,
}

/// The pairs of an inspection's findings with earlier ones at the least cost together.
fn paired(bay: &Bay, lives: &Lives, inspection: &Inspection, new: &[&Finding], before: &[Before<'_>]) -> Vec<Again> {
    let costs: Vec<Vec<f64>> =
        new.iter().map(|f| before.iter().map(|b| cost(bay, lives, inspection, f, b)).collect()).collect();
    // The costs are finite or forbidden, and every row may stay alone, so an assignment is always there.
    let pairs = pair_up(&costs, 1.0).unwrap_or_default();
    let pair = |(row, column): (usize, Option<usize>)| {
        let (finding, one) = (new.get(row)?, before.get(column?)?);
        Some(again(bay, one, inspection, finding))
    };
    pairs.into_iter().enumerate().filter_map(pair).collect()
}

fn again(bay: &Bay, before: &Before<'_>, inspection: &Inspection, finding: &Finding) -> Again {
    let reference = |i: &Inspection, f: &Finding| FindingRef { inspection: i.id.clone(), finding: f.id.clone() };
    Again {
        earlier: reference(before.seen, before.finding),
        later: reference(inspection, finding),
        apart_mm: apart(bay, &finding.place, &before.finding.place).and_then(|a| a.mm),
        sizes: before.size.zip(finding.size),
        is_same_fault: before.finding.fault == finding.fault && before.finding.check == finding.check,
    }
}

/// The cost of taking two for one, 1 at the limit; infinite where they cannot be.
fn cost(bay: &Bay, lives: &Lives, inspection: &Inspection, finding: &Finding, one: &Before<'_>) -> f64 {
    let (seen, before) = (one.seen, one.finding);
    if before.check != finding.check
        || !may_be_one(before, finding)
        || one.defect.is_some_and(|d| is_split(bay, d, finding))
    {
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
    if one.size.zip(finding.size).is_some_and(|(then, now)| now.as_mm() < 0.75 * then.as_mm()) {
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
