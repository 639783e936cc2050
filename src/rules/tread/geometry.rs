//! Where round and across the tyre a law wants its depth, worked out on readings by clock position and zone.
//!
//! Pure: it knows a law and readings, no machine and no severity.

use crate::catalogue::{TreadGeometry, TreadLaw};
use crate::clock::Spot;
use crate::inspection::{TreadPoint, Zone};
use crate::units::Length;

/// How many clock positions make "all round" (house rule 6).
pub const POSITIONS_ALL_ROUND: usize = 8;
/// The widest gap between two positions that still counts as all round, in degrees (house rule: eight even positions
/// stand 45° apart, and a hand's error is allowed).
const WIDEST_GAP: f64 = 60.0;
/// How far from its even place a reading may stand to count as one of four, in degrees (half of 45°).
const OFF_EVEN: f64 = 22.5;

/// One depth with its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Depth {
    /// How deep.
    pub depth: Length,
    /// Where round the wheel.
    pub spot: Spot,
    /// Which zone.
    pub zone: Zone,
}

/// What a law makes of the readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TreadOutcome {
    /// The reading that decides under the law's geometry.
    pub deciding: Depth,
    /// The least reading anywhere on the tread.
    pub least: Depth,
    /// Whether the deciding reading is below the law's figure.
    pub below: bool,
    /// Whether as many places were read as the law's geometry needs; else the outcome holds at the places measured.
    pub all_round: bool,
    /// At how many clock positions the zones that count were read.
    pub positions: usize,
}

impl TreadOutcome {
    /// Where the outcome holds, in words.
    pub fn extent(&self) -> String {
        if self.all_round {
            return "all round".into();
        }
        let s = if self.positions == 1 { "place" } else { "places" };
        format!("at the {} {s} measured, not all round", self.positions)
    }
}

/// Every reading on the tread, one for each place; other zones are left out.
pub fn depths(points: &[TreadPoint]) -> Vec<Depth> {
    points
        .iter()
        .flat_map(|p| p.depths.iter().map(|(zone, depth)| Depth { depth: *depth, spot: p.spot, zone: *zone }))
        .filter(|d| d.zone.is_tread())
        .collect()
}

/// The least of some readings.
pub fn least<'a>(depths: impl IntoIterator<Item = &'a Depth>) -> Option<Depth> {
    depths.into_iter().min_by(|a, b| a.depth.base().total_cmp(&b.depth.base())).copied()
}

/// Judges readings by a law. None when nothing was read in the zones that count.
///
/// The law's figure and a reading in another unit compare as equal when they are the same length, so a reading of
/// 1/32 in is not below a law of 1/32 in.
pub fn judge(law: &TreadLaw, points: &[TreadPoint]) -> Option<TreadOutcome> {
    judge_by(law.geometry, law.minimum, points)
}

/// The same for a figure that no law gives.
pub(super) fn judge_by(geometry: TreadGeometry, minimum: Length, points: &[TreadPoint]) -> Option<TreadOutcome> {
    let all = depths(points);
    let least_anywhere = least(&all)?;
    let (deciding, zones) = match geometry {
        TreadGeometry::ContinuousBand(percent) => best_band(&all, percent)?,
        TreadGeometry::MainGrooves(percent) => {
            let zones: Vec<Zone> = Zone::TREAD.into_iter().filter(|z| in_the_middle(*z, percent)).collect();
            (least(all.iter().filter(|d| zones.contains(&d.zone)))?, zones)
        }
        TreadGeometry::ThinnestGroove => (least_anywhere, Zone::TREAD.to_vec()),
        TreadGeometry::FourPoints { may_be_below } => {
            return Some(four_points(minimum, points, least_anywhere, may_be_below as usize));
        }
    };
    let read: Vec<Spot> = distinct(
        points.iter().filter(|p| zones.iter().all(|z| p.depths.iter().any(|(zone, _)| zone == z))).map(|p| p.spot),
    );
    let touched = distinct(all.iter().filter(|d| zones.contains(&d.zone)).map(|d| d.spot)).len();
    let all_round = read.len() >= POSITIONS_ALL_ROUND && widest_gap(&read) <= WIDEST_GAP;
    Some(TreadOutcome {
        deciding,
        least: least_anywhere,
        below: deciding.depth < minimum,
        all_round,
        positions: touched,
    })
}

/// The band of neighbouring zones, at least so many per cent wide, whose least reading is greatest. A band that runs
/// over part of a zone counts the whole zone, since one reading stands for it; zones that were not read do not
/// decide, but the outcome then holds only at the places measured.
fn best_band(all: &[Depth], percent: f64) -> Option<(Depth, Vec<Zone>)> {
    let wanted = percent.clamp(0.0, 100.0);
    let mut best: Option<(Depth, Vec<Zone>)> = None;
    for first in 0..Zone::TREAD.len() {
        for last in first..Zone::TREAD.len() {
            let zones = &Zone::TREAD[first..=last];
            let width: f64 = zones.iter().filter_map(|z| z.breadth_span()).map(|(from, to)| to - from).sum();
            if width + 1e-9 < wanted {
                continue;
            }
            // A wider band can only be worse: the narrowest that is wide enough from here will do.
            if let Some(worst) = least(all.iter().filter(|d| zones.contains(&d.zone)))
                && best.as_ref().is_none_or(|(b, _)| worst.depth > b.depth)
                && middle_is_read(all, zones)
            {
                best = Some((worst, zones.to_vec()));
            }
            break;
        }
    }
    best
}

/// Whether any zone that every wide band crosses was read; a shoulder alone says nothing of a band.
fn middle_is_read(all: &[Depth], zones: &[Zone]) -> bool {
    all.iter().any(|d| zones.contains(&d.zone) && !matches!(d.zone, Zone::Shoulder(_)))
}

fn in_the_middle(zone: Zone, percent: f64) -> bool {
    let half = percent.clamp(0.0, 100.0) / 2.0;
    zone.breadth_span().is_some_and(|(from, to)| from < 50.0 + half - 1e-9 && to > 50.0 - half + 1e-9)
}

/// Four points spread evenly: of every even set of four the worst counts. Without one, every place read counts.
fn four_points(minimum: Length, points: &[TreadPoint], least_anywhere: Depth, may_be_below: usize) -> TreadOutcome {
    let places: Vec<Depth> = {
        let mut places: Vec<Depth> = Vec::new();
        for depth in depths(points) {
            match places.iter_mut().find(|p| p.spot.apart(depth.spot) < 0.25) {
                Some(place) if depth.depth < place.depth => *place = depth,
                Some(_) => {}
                None => places.push(depth),
            }
        }
        places
    };
    // The one that decides is the first that may no longer be below.
    let decides = |mut set: Vec<Depth>| {
        set.sort_by(|a, b| a.depth.base().total_cmp(&b.depth.base()));
        set.get(may_be_below).or(set.last()).copied().unwrap_or(least_anywhere)
    };
    let mut worst: Option<Depth> = None;
    for start in &places {
        let set: Vec<Depth> = (0..4)
            .filter_map(|quarter| {
                let wanted = Spot::from_degrees(start.spot.degrees() + 90.0 * f64::from(quarter))?;
                places
                    .iter()
                    .filter(|p| p.spot.apart(wanted) <= OFF_EVEN)
                    .min_by(|a, b| a.spot.apart(wanted).total_cmp(&b.spot.apart(wanted)))
                    .copied()
            })
            .collect();
        if set.len() == 4 {
            let deciding = decides(set);
            if worst.is_none_or(|w| deciding.depth < w.depth) {
                worst = Some(deciding);
            }
        }
    }
    let all_round = worst.is_some();
    let positions = places.len();
    let deciding = worst.unwrap_or_else(|| decides(places));
    TreadOutcome { deciding, least: least_anywhere, below: deciding.depth < minimum, all_round, positions }
}

/// Spots that stand at least half a clock minute apart.
fn distinct(spots: impl Iterator<Item = Spot>) -> Vec<Spot> {
    let mut kept: Vec<Spot> = Vec::new();
    for spot in spots {
        if kept.iter().all(|k| k.apart(spot) >= 0.25) {
            kept.push(spot);
        }
    }
    kept
}

fn widest_gap(spots: &[Spot]) -> f64 {
    let mut degrees: Vec<f64> = spots.iter().map(|s| s.degrees()).collect();
    degrees.sort_by(f64::total_cmp);
    let Some((first, last)) = degrees.first().zip(degrees.last()) else { return 360.0 };
    let over_the_valve = first + 360.0 - last;
    degrees.windows(2).map(|w| w[1] - w[0]).fold(over_the_valve, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::Side;

    fn law(minimum: Length, geometry: TreadGeometry) -> TreadLaw {
        TreadLaw {
            categories: vec![],
            above_cc: None,
            up_to_cc: None,
            minimum,
            geometry,
            binds: true,
            citation: "a law".into(),
            remark: String::new(),
            from: None,
            until: None,
        }
    }

    /// The same five depths in mm at evenly spread positions.
    fn round(positions: u32, mm: [f64; 5]) -> Vec<TreadPoint> {
        (0..positions)
            .map(|i| TreadPoint {
                spot: Spot::from_degrees(360.0 / f64::from(positions) * f64::from(i)).expect("finite"),
                depths: Zone::TREAD.into_iter().zip(mm.map(Length::mm)).collect(),
            })
            .collect()
    }

    #[test]
    fn a_continuous_band_of_three_quarters_lets_the_shoulders_go() {
        // SI 1986/1078 regulation 27: 1.0 mm over a continuous three quarters, not necessarily the middle.
        let gb = law(Length::mm(1.0), TreadGeometry::ContinuousBand(75.0));
        let outcome = judge(&gb, &round(8, [0.3, 1.2, 1.2, 1.2, 0.3])).expect("read");
        assert!(!outcome.below && outcome.all_round);
        assert_eq!(outcome.least.depth, Length::mm(0.3));
        // A worn middle breaks every band of three quarters.
        assert!(judge(&gb, &round(8, [2.0, 2.0, 0.9, 2.0, 2.0])).expect("read").below);
        assert!(judge(&gb, &round(8, [2.0, 0.9, 2.0, 2.0, 2.0])).expect("read").below);
        // One thin place round the wheel is enough.
        let mut points = round(8, [2.0; 5]);
        points[3].depths[2].1 = Length::mm(0.8);
        let outcome = judge(&gb, &points).expect("read");
        assert!(outcome.below);
        assert_eq!(outcome.deciding.spot.time(Side::Right).to_string(), "4:30");
    }

    #[test]
    fn a_shoulder_alone_says_nothing_of_a_band_or_of_main_grooves() {
        let points =
            vec![TreadPoint { spot: Spot::VALVE, depths: vec![(Zone::Shoulder(Side::Left), Length::mm(0.2))] }];
        for geometry in [TreadGeometry::ContinuousBand(75.0), TreadGeometry::MainGrooves(75.0)] {
            assert_eq!(judge(&law(Length::mm(1.0), geometry), &points), None);
        }
        assert!(judge(&law(Length::mm(1.0), TreadGeometry::ThinnestGroove), &points).expect("read").below);
    }

    #[test]
    fn main_grooves_are_those_of_the_middle_three_quarters() {
        // StVZO section 36(3): main grooves stand within about the middle three quarters.
        let de = law(Length::mm(1.6), TreadGeometry::MainGrooves(75.0));
        assert!(!judge(&de, &round(8, [0.5, 1.6, 2.0, 1.6, 0.5])).expect("read").below);
        assert!(judge(&de, &round(8, [3.0, 1.5, 2.0, 2.0, 3.0])).expect("read").below);
    }

    #[test]
    fn the_thinnest_groove_may_be_anywhere_and_an_equal_reading_is_not_below() {
        // COMAR 11.14.03.05: less than 1/32 in is rejected reads 2/32, 1/32, 3/32.
        let md = law(Length::thirty_seconds(1.0), TreadGeometry::ThinnestGroove);
        let points = vec![TreadPoint {
            spot: Spot::VALVE,
            depths: vec![
                (Zone::Intermediate(Side::Left), Length::thirty_seconds(2.0)),
                (Zone::Centre, Length::thirty_seconds(1.0)),
                (Zone::Intermediate(Side::Right), Length::thirty_seconds(3.0)),
            ],
        }];
        let outcome = judge(&md, &points).expect("read");
        assert!(!outcome.below && !outcome.all_round);
        assert_eq!(outcome.extent(), "at the 1 place measured, not all round");
        // The law prints 0.8 mm: a metric gauge that shows 0.8 is not below 1/32 in either, and 0.7 is.
        assert!(!judge(&md, &round(8, [0.8; 5])).expect("read").below);
        assert!(judge(&md, &round(8, [0.7; 5])).expect("read").below);
    }

    #[test]
    fn one_of_four_points_may_be_below() {
        // French order JORFARTI000038987859: below 1 mm at no more than one point in four.
        let fr = law(Length::mm(1.0), TreadGeometry::FourPoints { may_be_below: 1 });
        let mut points = round(4, [1.5; 5]);
        points[2].depths[2].1 = Length::mm(0.5);
        let outcome = judge(&fr, &points).expect("read");
        assert!(!outcome.below && outcome.all_round);
        points[0].depths[0].1 = Length::mm(0.9);
        assert!(judge(&fr, &points).expect("read").below);
        // Three places are no four, and two of them below are still two.
        let outcome = judge(&fr, &points[..3]).expect("read");
        assert!(outcome.below && !outcome.all_round);
    }

    #[test]
    fn all_round_needs_eight_positions_with_every_zone_and_no_wide_gap() {
        let gb = law(Length::mm(1.0), TreadGeometry::ContinuousBand(75.0));
        assert!(!judge(&gb, &round(7, [2.0; 5])).expect("read").all_round);
        let mut points = round(8, [2.0; 5]);
        points[5].depths.retain(|(z, _)| *z != Zone::Centre);
        assert!(!judge(&gb, &points).expect("read").all_round, "a zone is missing at one position");
        let crowded: Vec<TreadPoint> = round(36, [2.0; 5]).into_iter().take(10).collect();
        assert!(!judge(&gb, &crowded).expect("read").all_round, "ten positions in one quarter are not all round");
        assert_eq!(judge(&gb, &[]), None);
    }
}
