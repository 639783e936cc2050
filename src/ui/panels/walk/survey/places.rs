//! The positions that a survey offers, in clock order. Pure.

use crate::clock::{Side, SpokeCount, Spot};

/// How many positions may be chosen: quarters, every two hours, the eight that a law about the whole way round needs
/// (house rule 6), every hour, every half hour.
pub(super) const COUNTS: [usize; 5] = [4, 6, 8, 12, 24];
/// What is offered where nothing was chosen and nothing is recorded.
const USUAL: usize = 8;
/// Positions nearer to each other than this, in degrees, are one: half a minute of the clock.
pub(super) const SAME_DEG: f64 = 0.25;

/// The least number that holds every recorded position, else the usual one.
pub(super) fn usual(read: &[Spot]) -> usize {
    let holds = |n: &usize| read.iter().all(|spot| even(*n).iter().any(|s| s.apart(*spot) <= SAME_DEG));
    let enough = |n: &usize| *n >= USUAL.min(read.len().max(4));
    if read.is_empty() { USUAL } else { COUNTS.into_iter().find(|n| enough(n) && holds(n)).unwrap_or(USUAL) }
}

/// Evenly spread positions, the first at the valve.
fn even(count: usize) -> Vec<Spot> {
    (0..count).map(|i| Spot::from_degrees(i as f64 * 360.0 / count as f64).unwrap_or(Spot::VALVE)).collect()
}

/// So many positions and those already read, clockwise from twelve as seen from the side.
pub(super) fn rows(side: Side, count: usize, read: impl Iterator<Item = Spot>) -> Vec<Spot> {
    let mut spots = even(count);
    for spot in read {
        if spots.iter().all(|s| s.apart(spot) > SAME_DEG) {
            spots.push(spot);
        }
    }
    spots.sort_by(|a, b| a.degrees_from(side).total_cmp(&b.degrees_from(side)));
    spots
}

/// One position a spoke, in the order of their numbers.
pub(super) fn spokes(count: SpokeCount) -> Vec<Spot> {
    (1..=u32::from(count.get())).filter_map(|number| count.spot(number).ok()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_run_clockwise_from_twelve_as_seen_from_the_side() {
        let extra = Spot::from_degrees(10.0).expect("finite");
        let times = |side| {
            rows(side, 4, [extra, Spot::VALVE].into_iter()).iter().map(|s| s.time(side).to_string()).collect::<Vec<_>>()
        };
        // 10° clockwise from the right is 12:20; from the left it is 350°, 11:40.
        assert_eq!(times(Side::Right), ["12:00", "12:20", "3:00", "6:00", "9:00"]);
        assert_eq!(times(Side::Left), ["12:00", "3:00", "6:00", "9:00", "11:40"]);
        assert_eq!(rows(Side::Right, 12, std::iter::empty()).len(), 12);
    }

    #[test]
    fn what_was_read_decides_how_many_places_are_offered() {
        let at = |hours: &[f64]| -> Vec<Spot> {
            hours.iter().map(|h| Spot::from_degrees(h * 30.0).expect("finite")).collect()
        };
        assert_eq!(usual(&[]), 8);
        assert_eq!(usual(&at(&[0.0, 3.0, 6.0, 9.0])), 4);
        assert_eq!(usual(&at(&[0.0, 2.0, 4.0, 6.0, 8.0, 10.0])), 6);
        assert_eq!(usual(&at(&[0.0, 1.5, 3.0])), 8);
        assert_eq!(usual(&at(&[0.0, 1.0, 2.0, 3.0])), 12);
        assert_eq!(usual(&at(&[0.1])), 8, "an odd place is added to the usual ones");
    }
}
