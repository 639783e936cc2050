//! How far it is from one station to the next, on foot round the machine.

use crate::inspection::Station;

/// Seconds for one step round the machine, and for getting down to look underneath and up again. Common practice.
const STEP: u32 = 3;
const KNEEL: u32 = 6;

/// Where a station is on the ring of twelve steps round the machine, from the nose along the right side to the tail
/// and back along the left, and how long it takes to get in and out of it.
fn place(station: Station) -> (u32, u32) {
    match station {
        Station::FrontWheel => (0, 0),
        Station::Bars => (11, 0),
        Station::RightFlank => (3, 0),
        Station::SidecarSide => (3, STEP * 2),
        Station::RearWheel => (5, 0),
        Station::Tail => (6, 0),
        Station::Saddle | Station::OnTheRoad => (8, 0),
        Station::LeftFlank => (9, 0),
        Station::EngineRoom => (9, STEP),
        Station::Underneath => (8, KNEEL),
    }
}

/// Seconds to walk from one station to another, the shorter way round.
pub fn walk_seconds(from: Station, to: Station) -> u32 {
    if from == to {
        return 0;
    }
    let ((a, out), (b, into)) = (place(from), place(to));
    let way = a.abs_diff(b);
    way.min(12 - way) * STEP + out + into
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_detour_is_shorter_than_the_straight_way() {
        for a in Station::ALL {
            for b in Station::ALL {
                assert_eq!(walk_seconds(a, b), walk_seconds(b, a));
                for c in Station::ALL {
                    assert!(walk_seconds(a, c) <= walk_seconds(a, b) + walk_seconds(b, c), "{a:?} {b:?} {c:?}");
                }
            }
        }
    }
}
