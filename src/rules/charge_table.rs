//! Rest voltage to charge: published tables for a 12 V battery. They differ by 0.05 to 0.1 V, so a band is given.

use crate::machine::BatteryKind;

/// Voltage and charge in per cent, falling, of a 12 V battery that has rested.
type Table = &'static [(f64, f64)];

/// Flooded, table A (from memory, high; quoted in many guides).
const FLOODED_A: Table = &[(12.65, 100.0), (12.45, 75.0), (12.24, 50.0), (12.06, 25.0), (11.89, 0.0)];
/// Flooded, table B (seen).
const FLOODED_B: Table = &[(12.6, 100.0), (12.4, 75.0), (12.2, 50.0), (12.0, 25.0), (11.6, 0.0)];
/// Flooded, table C (seen); it gives no figure for an empty one.
const FLOODED_C: Table = &[(12.66, 100.0), (12.45, 75.0), (12.30, 50.0), (12.15, 25.0)];
/// Glass mat, the charging table of an owner's manual (seen): 12.8 to 13.2 is full.
const AGM: Table = &[(12.8, 100.0), (12.6, 75.0), (12.3, 50.0), (12.0, 25.0)];

/// What a rest voltage says of the charge.
#[derive(Clone, Debug, PartialEq)]
pub struct Charge {
    /// In words: `75 to 81 %`, `middle`.
    pub words: String,
    /// Which tables say so.
    pub tables: &'static str,
    /// What to do about it.
    pub state: State,
}

/// What a charge asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Nothing.
    Charged,
    /// It is charged before it is left standing or ridden far.
    NeedsCharge,
    /// It is empty.
    Flat,
    /// Above a full battery at rest: it has not rested, or a charger is on.
    NotRested,
}

/// The charge of a battery by its rest voltage, scaled to 12 V by its nominal voltage. None for no battery.
pub fn charge(kind: BatteryKind, rest_volts: f64, nominal_volts: f64) -> Option<Charge> {
    let volts = rest_volts * 12.0 / nominal_volts;
    if !volts.is_finite() {
        return None;
    }
    Some(match kind {
        BatteryKind::Flooded => {
            // Recharge at 12.4 V or less (common practice).
            lead(&[FLOODED_A, FLOODED_B, FLOODED_C], volts, volts <= 12.4 + 1e-9, "flooded tables A, B and C")
        }
        BatteryKind::Agm => lead(&[AGM], volts, volts < 12.6 - 1e-9, "a glass-mat table of an owner's manual"),
        BatteryKind::Gel => {
            lead(&[AGM], volts, volts < 12.6 - 1e-9, "a glass-mat table, since no table for gel was found")
        }
        BatteryKind::LithiumIronPhosphate => lithium(volts),
        BatteryKind::None => return None,
    })
}

fn lead(tables: &[Table], volts: f64, needs_charge: bool, name: &'static str) -> Charge {
    // Several tables make a band by themselves; of a single one the two rows are given between which the reading lies.
    let shares: Vec<(f64, f64)> = match tables {
        [only] => vec![rows(only, volts)],
        several => several.iter().map(|t| interpolate(t, volts)).collect(),
    };
    let low = shares.iter().map(|s| s.0).fold(f64::INFINITY, f64::min);
    let high = shares.iter().map(|s| s.1).fold(f64::NEG_INFINITY, f64::max);
    let words = if high - low < 1.0 { format!("about {low:.0} %") } else { format!("{low:.0} to {high:.0} %") };
    let state = match volts {
        // A full glass-mat battery shows 13.2 V at rest and a flooded one less; above that it has not rested.
        v if v > 13.2 + 1e-9 => State::NotRested,
        // The lowest figure of the tables for an empty battery.
        v if v < 11.6 => State::Flat,
        _ if needs_charge => State::NeedsCharge,
        _ => State::Charged,
    };
    Charge { words, tables: name, state }
}

/// The curve is flat (0.05 V is about 30 %), so only full, middle or low is said. Two charts, seen: 13.6 V 100 %,
/// 13.4 V 90 %, 13.3 V 70 %, 13.2 V 40 %, 12.8 to 13.0 V 20 to 30 %, 12.0 V 10 %, 10.0 V 0 %.
fn lithium(volts: f64) -> Charge {
    let (words, state) = match volts {
        v if v > 14.0 => ("above full", State::NotRested),
        v if v >= 13.4 - 1e-9 => ("full", State::Charged),
        v if v > 13.0 + 1e-9 => ("middle", State::Charged),
        v if v >= 12.0 - 1e-9 => ("low", State::NeedsCharge),
        _ => ("empty", State::Flat),
    };
    Charge { words: words.into(), tables: "two charts for lithium iron phosphate", state }
}

/// Least and most charge by one table: straight lines between the rows; beyond the ends, the end. Below the last row of
/// a table that does not go down to empty, anything from nothing to that row, since it says no more.
fn interpolate(table: Table, volts: f64) -> (f64, f64) {
    for pair in table.windows(2) {
        let ((high, more), (low, less)) = (pair[0], pair[1]);
        if volts >= high {
            return (more, more);
        }
        if volts >= low {
            let share = less + (more - less) * (volts - low) / (high - low);
            return (share, share);
        }
    }
    table.last().map_or((0.0, 0.0), |(_, least)| (0.0, *least))
}

/// The two rows of a table between which a reading lies; on a row or beyond the ends, see [`interpolate`].
fn rows(table: Table, volts: f64) -> (f64, f64) {
    let between = table.windows(2).find(|pair| volts < pair[0].0 - 1e-9 && volts > pair[1].0 + 1e-9);
    between.map_or_else(|| interpolate(table, volts), |pair| (pair[1].1, pair[0].1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rest_voltages_agree_with_the_published_tables() {
        // Published tables of battery makers and of an owner's manual; they agree within their steps.
        let flooded = charge(BatteryKind::Flooded, 12.45, 12.0).expect("a battery");
        assert_eq!((flooded.words.as_str(), flooded.state), ("75 to 81 %", State::Charged));
        let agm = charge(BatteryKind::Agm, 12.45, 12.0).expect("a battery");
        assert_eq!(agm.state, State::NeedsCharge);
        assert_eq!(agm.words, "50 to 75 %", "between 12.3 V (50 %) and 12.6 V (75 %)");
        assert_eq!(charge(BatteryKind::Agm, 12.6, 12.0).expect("a battery").words, "about 75 %");
        let lithium = charge(BatteryKind::LithiumIronPhosphate, 13.2, 12.0).expect("a battery");
        assert_eq!(lithium.words, "middle");
        let low = charge(BatteryKind::Agm, 11.9, 12.0).expect("a battery");
        assert_eq!(low.words, "0 to 25 %", "the manual says no more below 12.0 V");
        assert_eq!(charge(BatteryKind::None, 12.6, 12.0), None);
    }

    #[test]
    fn other_nominal_voltages_are_scaled() {
        // House rule 9: 6.225 V of a 6 V battery is 12.45 V of a 12 V one.
        for (rest, nominal) in [(6.225, 6.0), (24.9, 24.0), (49.8, 48.0)] {
            let scaled = charge(BatteryKind::Flooded, rest, nominal).expect("a battery");
            assert_eq!(scaled.words, "75 to 81 %", "{nominal} V");
        }
    }
}
