//! Dial readings round the clock: the side the dial stands on, and one reading at each position.

use egui::{Grid, RichText, Ui};

use super::field::{FieldLook, Typed, chip, field, trouble};
use super::round::Round;
use super::{select, tread_grid};
use crate::catalogue::Field;
use crate::clock::{Side, Spot};
use crate::inspection::{DialPoint, Value};
use crate::ui::UiState;
use crate::units::Length;

/// The points with one reading put in or taken out.
fn with_reading(points: &[DialPoint], spot: Spot, reading: Option<Length>) -> Vec<DialPoint> {
    let mut points: Vec<DialPoint> = points.iter().filter(|p| p.spot.apart(spot) > 0.25).cloned().collect();
    points.extend(reading.map(|reading| DialPoint { spot, reading }));
    points.sort_by(|a, b| a.spot.degrees().total_cmp(&b.spot.degrees()));
    points
}

/// Draws the survey; gives it anew when it changed.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    ui: &mut Ui,
    key: &str,
    of: &Field,
    current: Option<&Value>,
) -> Option<Option<Value>> {
    let tokens = round.cx.tokens;
    let (recorded, empty) = (None, Vec::new());
    let (dial_side, points): (Option<Side>, &Vec<DialPoint>) = match current {
        Some(Value::Dial(side, points)) => (Some(*side), points),
        _ => (recorded, &empty),
    };
    let side = select::side(state);
    let dial_side = dial_side.unwrap_or(side);
    let mut new = None;
    ui.label(RichText::new(&of.label).small().color(tokens.faint));
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("The dial stands").small().color(tokens.faint));
        for one in Side::BOTH {
            if chip(ui, tokens, dial_side == one, &format!("at the {}", one.word())) && dial_side != one {
                if points.is_empty() {
                    state.side = Some(one);
                } else {
                    new = Some((one, points.clone()));
                }
            }
        }
    });
    let caption = format!(
        "Clock seen from the {}, twelve at the valve. Sideways counts plus towards the machine's right, outward counts plus.",
        side.word()
    );
    ui.label(RichText::new(caption).small().color(tokens.faint));
    let spots = tread_grid::rows(side, true, points.iter().map(|p| p.spot));
    let unit = round.units().depth_unit();
    let columns = if ui.available_width() < 230.0 { 1 } else { 2 };
    Grid::new(("dial-grid", key)).num_columns(columns * 2).min_col_width(0.0).spacing([6.0, 3.0]).show(ui, |ui| {
        for (index, spot) in spots.iter().enumerate() {
            let time = spot.time(side);
            ui.label(time.to_string());
            let shown = points.iter().find(|p| p.spot.apart(*spot) <= 0.25).map_or_else(String::new, |p| {
                let text = p.reading.to_string();
                if round.units().decimal_comma { text.replace('.', ",") } else { text }
            });
            let (cell_key, label) = (format!("{key}|{}", spot.degrees()), format!("Dial at {time}"));
            let look = FieldLook {
                key: &cell_key,
                label: &label,
                hint: unit.symbol,
                shown: &shown,
                width: 84.0,
                label_above: false,
            };
            let read = |text: &str| Length::parse(text, Some(unit)).map_err(|e| e.to_string());
            match field(ui, tokens, &mut state.walk.drafts, &look, read) {
                Typed::Nothing => {}
                Typed::Cleared => new = Some((dial_side, with_reading(points, *spot, None))),
                Typed::Read(reading) => new = Some((dial_side, with_reading(points, *spot, Some(reading)))),
            }
            if (index + 1) % columns == 0 {
                ui.end_row();
            }
        }
    });
    if let Some(why) = state.walk.drafts.refused_under(key) {
        trouble(ui, tokens, why);
    }
    new.map(|(side, points)| (!points.is_empty()).then_some(Value::Dial(side, points)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_is_put_in_changed_and_taken_out() {
        let spot = Spot::from_degrees(90.0).expect("finite");
        let one = with_reading(&[], spot, Some(Length::mm(-0.1)));
        let changed = with_reading(&one, spot, Some(Length::mm(0.2)));
        assert_eq!(changed.iter().map(|p| p.reading.as_mm()).collect::<Vec<_>>(), [0.2]);
        assert!(with_reading(&changed, spot, None).is_empty());
    }
}
