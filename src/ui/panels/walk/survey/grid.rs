//! The cells of a survey, in clock order: Enter or Tab goes on to the next, and one may stay empty.

use egui::{Grid, RichText, Ui};

use super::super::field::{FieldLook, Typed, field};
use super::super::round::Round;
use super::Survey;
use super::change::{self, Reading};
use crate::catalogue::FieldKind;
use crate::clock::Spot;
use crate::inspection::Zone;
use crate::ui::UiState;
use crate::units::{Length, Preferences, Unit, parse_number, print_short};

/// Short names of the zones over the columns.
const HEADS: [&str; 5] = ["L sh.", "L mid", "centre", "R mid", "R sh."];

/// A place, its zone, and the reading there; no reading when it was taken out.
type Entered = (Spot, Option<Zone>, Option<Reading>);

/// Draws the cells; gives what was entered.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, survey: &Survey<'_>) -> Option<Entered> {
    let tokens = round.cx.tokens;
    let zones = survey.zones();
    let mut entered = None;
    let grid = |columns: usize| {
        Grid::new(("survey-grid", survey.key)).num_columns(columns).min_col_width(0.0).spacing([4.0, 3.0])
    };
    if zones.len() > 1 {
        let width = ((ui.available_width() - 44.0) / zones.len() as f32 - 4.0).clamp(30.0, 60.0);
        grid(zones.len() + 1).show(ui, |ui| {
            ui.label("");
            for head in HEADS {
                ui.label(RichText::new(head).size(11.0).color(tokens.faint));
            }
            ui.end_row();
            for spot in &survey.spots {
                ui.label(survey.name(*spot));
                for zone in zones {
                    entered = cell(round, state, ui, survey, (*spot, *zone), width).or(entered);
                }
                ui.end_row();
            }
        });
    } else {
        // As many pairs of a position and its cell beside each other as fit; they run on from row to row.
        let label = if survey.spokes.is_some() { 24.0 } else { 40.0 };
        let pairs = ((ui.available_width() + 6.0) / (label + 66.0)).floor().clamp(1.0, 4.0) as usize;
        let width = (ui.available_width() / pairs as f32 - label - 10.0).clamp(44.0, 84.0);
        grid(pairs * 2).show(ui, |ui| {
            for (index, spot) in survey.spots.iter().enumerate() {
                ui.label(survey.name(*spot));
                entered = cell(round, state, ui, survey, (*spot, None), width).or(entered);
                if (index + 1) % pairs == 0 {
                    ui.end_row();
                }
            }
        });
    }
    entered
}

fn cell(
    round: &Round<'_>,
    state: &mut UiState,
    ui: &mut Ui,
    survey: &Survey<'_>,
    (spot, zone): (Spot, Option<Zone>),
    width: f32,
) -> Option<Entered> {
    let units = round.units();
    let unit = units.depth_unit();
    let zone_words = zone.map_or_else(String::new, |z| z.words());
    let key = format!("{}|{}|{zone_words}", survey.key, spot.degrees());
    let name = survey.name(spot);
    let label = match (&survey.of.kind, zone) {
        (FieldKind::TreadGrid, _) => format!("Depth at {name}, {zone_words}"),
        (FieldKind::DialSurvey, _) => format!("Dial at {name}"),
        _ if survey.spokes.is_some() => format!("Spoke {name}"),
        _ => format!("Reading at {name}"),
    };
    let shown = survey.current.and_then(|v| change::shown(v, spot, zone)).map_or_else(String::new, |r| text(r, units));
    let look = FieldLook { key: &key, label: &label, hint: "", shown: &shown, width, label_above: false };
    match field(ui, round.cx.tokens, &mut state.walk.drafts, &look, |text| read(text, &survey.of.kind, unit)) {
        Typed::Nothing => None,
        Typed::Cleared => Some((spot, zone, None)),
        Typed::Read(reading) => Some((spot, zone, Some(reading))),
    }
}

/// Reads the text of a cell.
fn read(text: &str, kind: &FieldKind, unit: &'static Unit) -> Result<Reading, String> {
    if *kind == FieldKind::RoundNumber {
        let number = parse_number(text).map_err(|e| e.to_string())?;
        return if number >= 0.0 {
            Ok(Reading::Number(number))
        } else {
            Err(format!("expected a number of zero or more, found {}: read the meter again", text.trim()))
        };
    }
    let length = Length::parse(text, Some(unit)).map_err(|e| e.to_string())?;
    if *kind != FieldKind::DialSurvey && length.as_mm() < 0.0 {
        return Err(format!("expected a length of zero or more, found {length}: read the gauge again"));
    }
    Ok(Reading::Length(length))
}

/// A reading in its cell: the figure alone where it is in the unit that the user likes.
fn text(reading: Reading, units: &Preferences) -> String {
    let text = match reading {
        Reading::Number(number) => print_short(number, 2, false),
        Reading::Length(length) if length.unit() == units.depth_unit() => {
            length.to_string().trim_end_matches(length.unit().symbol).trim().to_owned()
        }
        Reading::Length(length) => length.to_string(),
    };
    if units.decimal_comma { text.replace('.', ",") } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_dial_swings_below_nought_and_what_is_no_reading_says_so() {
        let unit = Length::mm(0.0).unit();
        assert_eq!(read("-0,05", &FieldKind::DialSurvey, unit), Ok(Reading::Length(Length::mm(-0.05))));
        for (text, kind, words) in [
            ("-1", FieldKind::TreadGrid, "zero or more"),
            ("-1", FieldKind::RoundDepth, "zero or more"),
            ("-3", FieldKind::RoundNumber, "zero or more"),
            ("NaN", FieldKind::RoundNumber, "finite"),
            ("tight", FieldKind::RoundNumber, "number"),
            ("2 kg", FieldKind::RoundDepth, "length"),
        ] {
            let message = read(text, &kind, unit).expect_err(text);
            assert!(message.contains(words), "{text}: {message}");
        }
        let units = Preferences { decimal_comma: true, ..Preferences::default() };
        assert_eq!(super::text(Reading::Number(21.5), &units), "21,5");
        assert_eq!(super::text(Reading::Length(Length::mm(4.9)), &units), "4,9");
    }
}
