//! How near a student's finding is to one of the key's: name, zone, side and clock position, each said apart and put
//! together to one cost for the assignment. Must not know who the student is.

use crate::clock::{Side, Spot};
use crate::exercise::{Mark, ZoneRule};
use crate::inspection::{Along, Finding, Place, Station, Zone};
use crate::machine::{Machine, WheelPosition};

/// Minutes of the hour-hand clock in a degree (house rule 12).
const MINUTES_PER_DEGREE: f64 = 2.0;
/// A position this many minutes off counts as much as another name: a quarter of the wheel.
const FAR_MINUTES: f64 = 180.0;
/// What each kind of slip costs. A house rule, so that a right name in a wrong place still beats a wrong name in the
/// right place, and a mirrored place is nearer than any other wrong one.
mod cost {
    pub(super) const OTHER_FAULT: f64 = 0.35;
    pub(super) const OTHER_CHECK: f64 = 0.7;
    pub(super) const OTHER_ZONE: f64 = 0.3;
    pub(super) const OTHER_SIDE: f64 = 0.2;
    pub(super) const MIRRORED: f64 = 0.2;
    pub(super) const NO_POSITION: f64 = 0.3;
    pub(super) const FAR: f64 = 0.7;
}

/// What is wrong with a position.
#[derive(Clone, Debug, PartialEq)]
pub enum PositionSlip {
    /// The clock position was read from the other side: its mirror image would have been near enough.
    Mirrored,
    /// The part of the wheel is right and the machine's side is not: the left shoulder for the right.
    OtherSide,
    /// Another zone of the same wheel.
    OtherZone,
    /// Too far round the wheel.
    Far,
    /// No clock position was given where the key has one.
    NotGiven,
}

/// How a student's finding stands to one of the key's.
#[derive(Clone, Debug, PartialEq)]
pub struct Nearness {
    /// Whether the name counts.
    pub named: bool,
    /// How far apart round the wheel, in minutes of the hour-hand clock; none where one of them has no position.
    pub minutes: Option<f64>,
    /// The same along the crown, the rim or the disc, in mm, where its size is known.
    pub millimetres: Option<f64>,
    /// What is wrong with the place; empty when it is near enough.
    pub slips: Vec<PositionSlip>,
    /// The cost of pairing the two, 0 for alike.
    pub cost: f64,
}

/// How a student's finding stands to one of the key's; none where the two cannot be the same: another wheel, another
/// end of the machine, or neither name nor place alike.
pub fn nearness(machine: &Machine, key: &Finding, mark: &Mark, found: &Finding) -> Option<Nearness> {
    let named = mark.accepts(key, found);
    let mut near = match (&key.place, &found.place) {
        (
            Place::Wheel { position: a, zone: zone_a, spot: spot_a },
            Place::Wheel { position: b, zone: zone_b, spot: spot_b },
        ) => {
            if a != b {
                return None;
            }
            on_wheel(machine, *a, (*zone_a, *spot_a), (*zone_b, *spot_b), mark)
        }
        (Place::Wheel { position, .. }, Place::Part { station, .. })
        | (Place::Part { station, .. }, Place::Wheel { position, .. }) => {
            if Station::of_wheel(*position) != *station {
                return None;
            }
            without_position()
        }
        (Place::Part { station: a, .. }, Place::Part { station: b, .. }) => {
            // Where one stands for a part is a matter of taste: what it is called decides.
            let cost = if a == b || named { 0.0 } else { cost::OTHER_ZONE };
            Nearness { named, minutes: None, millimetres: None, slips: Vec::new(), cost }
        }
    };
    near.named = named;
    if !named {
        // Another name for something elsewhere is another thing.
        let same_part = key.check.subject == found.check.subject;
        if !near.slips.is_empty() || (matches!(key.place, Place::Part { .. }) && !same_part) {
            return None;
        }
        if key.check == found.check {
            near.cost += cost::OTHER_FAULT;
        } else if matches!((&key.place, &found.place), (Place::Wheel { spot: Some(_), .. }, Place::Wheel { .. })) {
            near.cost += cost::OTHER_CHECK;
        } else {
            // Without a position, two checks of one place have nothing in common.
            return None;
        }
    }
    Some(near)
}

fn without_position() -> Nearness {
    Nearness {
        named: false,
        minutes: None,
        millimetres: None,
        slips: vec![PositionSlip::NotGiven],
        cost: cost::NO_POSITION,
    }
}

fn on_wheel(
    machine: &Machine,
    wheel: WheelPosition,
    (key_zone, key_spot): (Zone, Option<Spot>),
    (zone, spot): (Zone, Option<Spot>),
    mark: &Mark,
) -> Nearness {
    let mut slips = Vec::new();
    let mut total = 0.0;
    let zone_counts = match mark.zone {
        ZoneRule::Any => true,
        ZoneRule::Same => zone == key_zone,
        ZoneRule::Neighbouring => zone == key_zone || beside(key_zone, zone),
    };
    if !zone_counts {
        let (slip, more) = if mirrored_zone(key_zone) == zone {
            (PositionSlip::OtherSide, cost::OTHER_SIDE)
        } else {
            (PositionSlip::OtherZone, cost::OTHER_ZONE)
        };
        slips.push(slip);
        total += more;
    }
    let (mut minutes, mut millimetres) = (None, None);
    match (key_spot, spot) {
        (Some(key_spot), Some(spot)) => {
            let off = key_spot.apart(spot);
            minutes = Some(off * MINUTES_PER_DEGREE);
            millimetres = round(machine, wheel, key_zone).map(|mm| mm * off / 360.0);
            // Half a minute is how finely the clock is written.
            let near = |s: Spot| key_spot.apart(s) * MINUTES_PER_DEGREE <= mark.near_minutes + 0.5;
            if !near(spot) {
                if near(Spot::from_side_degrees(spot.degrees_from(Side::Right), Side::Left)) {
                    slips.push(PositionSlip::Mirrored);
                    total += cost::MIRRORED;
                } else {
                    slips.push(PositionSlip::Far);
                    total += cost::FAR * (off * MINUTES_PER_DEGREE / FAR_MINUTES).min(1.0);
                }
            } else {
                // Of two that are near enough, the nearer is the better match.
                total += 0.05 * off * MINUTES_PER_DEGREE / mark.near_minutes.max(1.0);
            }
        }
        (Some(_), None) => {
            slips.push(PositionSlip::NotGiven);
            total += cost::NO_POSITION;
        }
        // The key is content with the zone.
        (None, _) => {}
    }
    Nearness { named: false, minutes, millimetres, slips, cost: total }
}

/// The circumference that a distance in a zone is measured along, in mm, where it is known.
fn round(machine: &Machine, wheel: WheelPosition, zone: Zone) -> Option<f64> {
    let wheel = machine.wheel(wheel)?;
    match zone.along() {
        Along::Crown => wheel.circumference_mm(),
        Along::Rim => wheel.tyre.as_ref().map(|t| std::f64::consts::PI * t.marking.size.rim_inch * 25.4),
        Along::Disc => wheel.disc_diameter.map(|d| std::f64::consts::PI * d.as_mm()),
    }
}

/// The same zone on the machine's other side.
fn mirrored_zone(zone: Zone) -> Zone {
    match zone {
        Zone::Intermediate(s) => Zone::Intermediate(s.other()),
        Zone::Shoulder(s) => Zone::Shoulder(s.other()),
        Zone::Sidewall(s) => Zone::Sidewall(s.other()),
        Zone::Bead(s) => Zone::Bead(s.other()),
        Zone::RimFlange(s) => Zone::RimFlange(s.other()),
        Zone::Disc(s) => Zone::Disc(s.other()),
        middle @ (Zone::Centre | Zone::RimWell | Zone::Spoke | Zone::Hub) => middle,
    }
}

/// Whether two zones lie beside each other, going across the wheel from the rim at the left to the rim at the right.
fn beside(a: Zone, b: Zone) -> bool {
    use Side::{Left, Right};
    const ACROSS: [Zone; 12] = [
        Zone::RimWell,
        Zone::RimFlange(Left),
        Zone::Bead(Left),
        Zone::Sidewall(Left),
        Zone::Shoulder(Left),
        Zone::Intermediate(Left),
        Zone::Centre,
        Zone::Intermediate(Right),
        Zone::Shoulder(Right),
        Zone::Sidewall(Right),
        Zone::Bead(Right),
        Zone::RimFlange(Right),
    ];
    let at = |z| ACROSS.iter().position(|x| *x == z);
    match (at(a), at(b)) {
        // The rim well lies between the two flanges, so the row closes to a ring.
        (Some(a), Some(b)) => a.abs_diff(b) == 1 || a.abs_diff(b) == ACROSS.len() - 1,
        _ => false,
    }
}
