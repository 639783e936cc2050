//! The figures of a survey as plain sentences. Whoever asks says how a number and a place are shown.

use super::{Figures, OUTLIER_RULE, Sample};
use crate::clock::{Side, Spot};

/// What is measured round the wheel, as far as the words differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// How far a rim or disc swings: the total indicator reading counts, and a bend.
    Swing,
    /// How much there is of something (tread, disc, slack, tension): the least counts.
    Amount,
}

/// The figures in sentences, the most wanted first. `show` writes a value with its unit, `side` is the one that clock
/// positions are read from, `empty` the places that were offered and left empty.
pub fn sentences(
    found: &Figures,
    quantity: Quantity,
    side: Side,
    show: &dyn Fn(f64) -> String,
    empty: &[Spot],
) -> Vec<String> {
    let at = |spot: Spot| format!("at {}", spot.time(side));
    let mut lines = Vec::new();
    let n = found.samples.len();
    let (least, greatest) = (found.least, found.greatest);
    lines.push(match quantity {
        Quantity::Swing if found.shows_runout() => format!(
            "Total indicator reading {}: from {} {} to {} {}.",
            show(found.spread),
            show(least.value),
            at(least.spot),
            show(greatest.value),
            at(greatest.spot)
        ),
        Quantity::Swing => format!(
            "{} so far; a swing shows from {} places on.",
            if n == 1 { "1 reading".into() } else { format!("{n} readings") },
            super::LEAST_PLACES
        ),
        Quantity::Amount if n == 1 => format!("{} {}.", show(least.value), at(least.spot)),
        Quantity::Amount => format!(
            "Least {} {}; mean {}; greatest {} {}; spread {}.",
            show(least.value),
            at(least.spot),
            show(found.mean),
            show(greatest.value),
            at(greatest.spot),
            show(found.spread)
        ),
    });
    match found.harmonic {
        Some(h) if n > 3 && h.amplitude() > 1e-9 => lines.push(format!(
            "First harmonic ±{} about {}, high {}.",
            show(h.amplitude()),
            show(h.mean),
            at(h.high_spot())
        )),
        Some(_) | None => {}
    }
    if let (Quantity::Swing, Some(bend)) = (quantity, found.bend) {
        lines.push(format!("Local bend: {} off the circle of the other places, {}.", show(bend.off), at(bend.spot)));
    }
    if quantity == Quantity::Amount && !found.outliers.is_empty() {
        let list: Vec<String> =
            found.outliers.iter().map(|s: &Sample| format!("{} {}", show(s.value), at(s.spot))).collect();
        lines.push(format!("Apart from the rest: {} ({OUTLIER_RULE}). Read it again.", list.join(", ")));
    }
    if !empty.is_empty() {
        let list: Vec<String> = empty.iter().map(|s| s.time(side).to_string()).collect();
        lines.push(format!("Left empty: {}. The figures are worked out from the other {n}.", list.join(", ")));
    }
    if found.has_wide_gap() && n > 1 {
        lines.push(format!(
            "Nothing was read over {:.0}° of the wheel: a fault may sit there.",
            found.widest_gap.degrees
        ));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::super::figures;
    use super::*;

    #[test]
    fn what_is_left_empty_and_what_stands_apart_is_said() {
        let spot = |hour: f64| Spot::from_degrees(hour * 30.0).expect("finite");
        let readings = [(0.0, 2.4), (1.5, 2.3), (3.0, 2.4), (4.5, 1.2), (6.0, 2.3), (9.0, 2.4), (10.5, 2.35)];
        let samples: Vec<Sample> = readings.map(|(hour, value)| Sample { spot: spot(hour), value }).to_vec();
        let found = figures(&samples, 0.05).expect("seven readings");
        let show = |mm: f64| format!("{mm:.2} mm");
        let lines = sentences(&found, Quantity::Amount, Side::Right, &show, &[spot(7.5)]);
        let all = lines.join(" ");
        assert!(all.contains("Least 1.20 mm at 4:30") && all.contains("Left empty: 7:30"), "{all}");
        assert!(all.contains("Apart from the rest: 1.20 mm at 4:30"), "{all}");
        assert!(all.contains("90° of the wheel"), "{all}");
        let left = sentences(&found, Quantity::Amount, Side::Left, &show, &[spot(7.5)]).join(" ");
        assert!(left.contains("Least 1.20 mm at 7:30") && left.contains("Left empty: 4:30"), "{left}");
    }
}
