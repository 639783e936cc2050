//! A pressure that no motorcycle tyre is set to: most often a figure typed without its unit.

use crate::units::Pressure;

/// The most a motorcycle tyre is set to. Common practice: sidewalls give 2.9 bar (42 psi), those of heavy tourers up to
/// 3.5 bar (50 psi); above 4.5 bar nothing is read on one.
const MOST_KPA: f64 = 450.0;
/// How many times its placard a tyre is not read at, above and below; a flat tyre reads nothing at all.
const FAR: f64 = 1.8;

/// What to ask about a pressure that is beyond any motorcycle tyre, or far above the placard where one is known: which
/// unit was meant. None where it may well be what the gauge shows.
pub fn pressure_doubt(read: Pressure, placard: Option<Pressure>) -> Option<String> {
    let is_beyond = read.as_kpa() > MOST_KPA;
    let is_far = placard.is_some_and(|p| read.as_kpa() > FAR * p.as_kpa());
    if !is_beyond && !is_far {
        return None;
    }
    let usual = placard.map_or(140.0..=350.0, |p| p.as_kpa() / FAR..=p.as_kpa() * FAR);
    let amount = read.amount_in(read.unit());
    let meant = [Pressure::psi(amount), Pressure::bar(amount), Pressure::kpa(amount)];
    let meant = meant.into_iter().find(|m| usual.contains(&m.as_kpa()));
    let what = match placard {
        Some(placard) if !is_beyond => format!("far above the placard's {placard}"),
        _ => "more than any motorcycle tyre is set to".into(),
    };
    Some(match meant {
        Some(meant) => format!("{read} is {what}. {meant}? Type the figure with its unit."),
        None => format!("{read} is {what}: look at the gauge and its unit again."),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_without_its_unit_is_asked_about() {
        let placard = Some(Pressure::bar(2.5));
        // 36 psi are 2.48 bar (1 psi = 6.894757 kPa, NIST SP 811).
        assert!(pressure_doubt(Pressure::bar(36.0), placard).is_some_and(|d| d.contains("36 psi?")));
        assert!(pressure_doubt(Pressure::bar(36.0), None).is_some_and(|d| d.contains("36 psi?")));
        assert!(pressure_doubt(Pressure::psi(250.0), placard).is_some_and(|d| d.contains("250 kPa?")));
        // 12 psi would be 0.83 bar, no pressure of a tyre that is ridden either.
        assert!(pressure_doubt(Pressure::bar(12.0), placard).is_some_and(|d| d.contains("look at the gauge")));
        assert!(pressure_doubt(Pressure::bar(4.6), None).is_some());
    }

    #[test]
    fn what_a_gauge_may_show_is_not_asked_about() {
        for read in [0.0, 0.4, 2.1, 2.5, 2.9, 3.4] {
            assert_eq!(pressure_doubt(Pressure::bar(read), Some(Pressure::bar(2.5))), None, "{read} bar");
        }
        assert_eq!(pressure_doubt(Pressure::psi(42.0), None), None);
        assert!(pressure_doubt(Pressure::bar(4.0), Some(Pressure::bar(2.0))).is_some_and(|d| d.contains("placard")));
    }
}
