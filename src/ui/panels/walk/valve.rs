//! Where the valve stands on the parked wheel: typed as a clock position or dragged, and the way to bring a spot up.

use egui::{RichText, Ui};

use super::field::{FieldLook, Typed, field};
use super::round::Round;
use super::select;
use crate::clock::{ClockTime, Parked, Spot};
use crate::machine::{Wheel, WheelPosition};
use crate::ui::UiState;
use crate::units::{Length, Preferences};

/// Where the valve of a wheel stands now, if anyone said.
pub(super) fn parked(state: &UiState, position: WheelPosition) -> Option<Parked> {
    state.walk.valves.get(&position).map(|spot| Parked::from_spot(*spot))
}

/// How to find a spot on the parked wheel: where it is now, and which way and how far to roll it to the top.
fn roll_words(parked: Parked, spot: Spot, side: crate::clock::Side, wheel: &Wheel, units: &Preferences) -> String {
    let now = parked.now(spot).time(side);
    let mut words = format!("It stands at {now} now, from the {}.", side.word());
    if parked.is_underneath(spot) {
        words = format!("It stands at {now} now, under the tyre: roll it.");
    }
    match wheel.circumference_mm() {
        Some(round) => {
            let roll = parked.roll_to_top(spot, round);
            let unit = super::reading_fields::unit_of::<Length>(units);
            let decimals = if unit.symbol == "mm" { 0 } else { 1 };
            let show = |mm: f64| Length::mm(mm).show_with(unit, decimals, units.decimal_comma);
            words.push_str(&format!(
                " Roll forward {} or back {} to bring it to the top.",
                show(roll.forward_mm),
                show(roll.back_mm)
            ));
        }
        None => words.push_str(" With the tyre's size known, the way to roll it is told here."),
    }
    words
}

/// Draws the entry of the valve's place; `spot` is the one in hand.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, position: WheelPosition, spot: Option<Spot>) {
    let tokens = round.cx.tokens;
    let side = select::side(state);
    let shown = state.walk.valves.get(&position).map_or_else(String::new, |v| v.time(side).to_string());
    let key = format!("valve|{}", position.id());
    let label = format!("Valve stands at, from the {}", side.word());
    ui.horizontal_wrapped(|ui| {
        let look = FieldLook { key: &key, label: &label, hint: "2:00", shown: &shown, width: 70.0, label_above: true };
        let read = |text: &str| ClockTime::parse(text).map(|t| Spot::at(t, side)).map_err(|e| e.to_string());
        match field(ui, tokens, &mut state.walk.drafts, &look, read) {
            Typed::Nothing => {}
            Typed::Cleared => {
                state.walk.valves.remove(&position);
            }
            Typed::Read(valve) => {
                state.walk.valves.insert(position, valve);
            }
        }
        // Enter here turns the wheel and hands the keyboard to no other field.
        state.walk.drafts.focus_next = false;
        ui.vertical(|ui| {
            let words = match (parked(state, position), spot, round.machine().wheel(position)) {
                (None, _, _) => {
                    "Twelve is straight up. Type where the valve stands, or drag the wheel round.".to_owned()
                }
                (Some(parked), Some(spot), Some(wheel)) => roll_words(parked, spot, side, wheel, round.units()),
                (Some(_), _, _) => "Twelve is straight up. Choose a finding to be told the way to it.".to_owned(),
            };
            ui.label(RichText::new(words).small());
        });
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::Side;
    use crate::machine::Tyre;
    use crate::tyre::TyreMarking;

    #[test]
    fn a_spot_on_the_parked_wheel_is_found_and_rolled_to_the_top() {
        let mut wheel = Wheel::bare(WheelPosition::Front);
        wheel.tyre = Some(Tyre::new(TyreMarking::try_from("120/70-17".to_owned()).expect("a metric size")));
        let units = Preferences::default();
        let spot = Spot::at(ClockTime::parse("4:30").expect("a time"), Side::Right);
        // House rule 14: from the right 2:00 + 4:30 = 6:30; 120/70-17 at 6:30: forward 864 mm or back 1021 mm.
        let two = Parked::valve_at(ClockTime::parse("2:00").expect("a time"), Side::Right);
        let right = roll_words(two, spot, Side::Right, &wheel, &units);
        assert!(right.contains("864 mm") && right.contains("1021 mm"), "{right}");
        assert!(right.contains("roll it"), "6:30 is within 20° of straight down: {right}");
        let left = roll_words(two, spot, Side::Left, &wheel, &units);
        assert!(left.contains("864") && left.contains("1021"), "the roll does not depend on the side: {left}");
        // With the valve at 4:00 it stands at 8:30 from the right and 3:30 from the left.
        let four = Parked::valve_at(ClockTime::parse("4:00").expect("a time"), Side::Right);
        assert!(roll_words(four, spot, Side::Right, &wheel, &units).contains("at 8:30 now, from the right"));
        assert!(roll_words(four, spot, Side::Left, &wheel, &units).contains("at 3:30 now, from the left"));
        wheel.tyre = None;
        assert!(roll_words(four, spot, Side::Right, &wheel, &units).contains("size"));
    }
}
