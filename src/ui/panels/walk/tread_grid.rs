//! Tread depths as a grid that is filled from the keyboard: clock positions down, zones from left to right across.

use egui::{Grid, RichText, Ui};

use super::field::{FieldLook, Typed, chip, field, trouble};
use super::round::Round;
use super::select;
use crate::catalogue::Field;
use crate::clock::{ClockTime, Side, Spot};
use crate::inspection::{TreadPoint, Value, Zone};
use crate::ui::UiState;
use crate::units::Length;

/// The eight positions offered: a law about the whole way round needs at least eight (house rule, decisions 6).
pub fn usual_spots(side: Side, eight: bool) -> Vec<Spot> {
    let step = if eight { 45.0 } else { 90.0 };
    let n = if eight { 8 } else { 4 };
    (0..n).map(|i| Spot::from_side_degrees(f64::from(i) * step, side)).collect()
}

/// The spots of the rows: the usual ones and those already read, clockwise from twelve as seen from the side.
pub fn rows(side: Side, eight: bool, read: impl Iterator<Item = Spot>) -> Vec<Spot> {
    let mut spots = usual_spots(side, eight);
    for spot in read {
        if spots.iter().all(|s| s.apart(spot) > 0.25) {
            spots.push(spot);
        }
    }
    spots.sort_by(|a, b| a.degrees_from(side).total_cmp(&b.degrees_from(side)));
    spots
}

/// Short names of the zones over the columns.
const HEADS: [&str; 5] = ["L sh.", "L mid", "centre", "R mid", "R sh."];

/// The points with one depth put in or taken out.
fn with_depth(points: &[TreadPoint], spot: Spot, zone: Zone, depth: Option<Length>) -> Vec<TreadPoint> {
    let mut points = points.to_vec();
    let index = points.iter().position(|p| p.spot.apart(spot) <= 0.25).unwrap_or_else(|| {
        points.push(TreadPoint { spot, depths: Vec::new() });
        points.len() - 1
    });
    let depths = &mut points[index].depths;
    depths.retain(|(z, _)| *z != zone);
    if let Some(depth) = depth {
        depths.push((zone, depth));
        depths.sort_by_key(|(z, _)| *z);
    }
    points.retain(|p| !p.depths.is_empty());
    points.sort_by(|a, b| a.spot.degrees().total_cmp(&b.spot.degrees()));
    points
}

/// Draws the grid; gives the new survey when a depth was read, or none when the last one was taken out.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    ui: &mut Ui,
    key: &str,
    of: &Field,
    current: Option<&Value>,
) -> Option<Option<Value>> {
    let tokens = round.cx.tokens;
    let side = select::side(state);
    let empty = Vec::new();
    let points = match current {
        Some(Value::Tread(points)) => points,
        _ => &empty,
    };
    ui.label(RichText::new(&of.label).small().color(tokens.faint));
    let few = state.walk.four_positions;
    ui.horizontal_wrapped(|ui| {
        if chip(ui, tokens, !few, "eight places") {
            state.walk.four_positions = false;
        }
        if chip(ui, tokens, few, "four places") {
            state.walk.four_positions = true;
        }
    });
    let caption = format!(
        "Clock seen from the {}, twelve at the valve. Columns from the machine's left to its right. Fewer than eight places speak for those places only.",
        side.word()
    );
    ui.label(RichText::new(caption).small().color(tokens.faint));
    let width = ((ui.available_width() - 44.0) / 5.0 - 4.0).clamp(30.0, 60.0);
    let spots = rows(side, !few, points.iter().map(|p| p.spot));
    let mut new = None;
    Grid::new(("tread-grid", key)).num_columns(6).min_col_width(0.0).spacing([4.0, 3.0]).show(ui, |ui| {
        ui.label("");
        for head in HEADS {
            ui.label(RichText::new(head).size(11.0).color(tokens.faint));
        }
        ui.end_row();
        for spot in spots {
            let time: ClockTime = spot.time(side);
            ui.label(time.to_string());
            for zone in Zone::TREAD {
                let depth = points
                    .iter()
                    .find(|p| p.spot.apart(spot) <= 0.25)
                    .and_then(|p| p.depths.iter().find(|(z, _)| *z == zone))
                    .map(|(_, d)| *d);
                let cell_key = format!("{key}|{}|{}", spot.degrees(), zone.words());
                let label = format!("Depth at {time}, {}", zone.words());
                let shown = depth.map_or_else(String::new, |d| cell(d, round));
                let look =
                    FieldLook { key: &cell_key, label: &label, hint: "", shown: &shown, width, label_above: false };
                let unit = round.units().depth_unit();
                let read = |text: &str| {
                    let depth = Length::parse(text, Some(unit)).map_err(|e| e.to_string())?;
                    if depth.as_mm() < 0.0 {
                        return Err(format!("expected a depth of zero or more, found {depth}: read the gauge again"));
                    }
                    Ok(depth)
                };
                match field(ui, tokens, &mut state.walk.drafts, &look, read) {
                    Typed::Nothing => {}
                    Typed::Cleared => new = Some(with_depth(points, spot, zone, None)),
                    Typed::Read(depth) => new = Some(with_depth(points, spot, zone, Some(depth))),
                }
            }
            ui.end_row();
        }
    });
    if let Some(why) = state.walk.drafts.refused_under(key) {
        trouble(ui, tokens, why);
    }
    new.map(|points| (!points.is_empty()).then_some(Value::Tread(points)))
}

/// A depth in its cell: the figure alone where it is in the unit that the user likes.
fn cell(depth: Length, round: &Round<'_>) -> String {
    let units = round.units();
    let text = depth.to_string();
    let text = if depth.unit() == units.depth_unit() {
        text.trim_end_matches(depth.unit().symbol).trim().to_owned()
    } else {
        text
    };
    if units.decimal_comma { text.replace('.', ",") } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_run_clockwise_from_twelve_as_seen_from_the_side() {
        let extra = Spot::from_degrees(10.0).expect("finite");
        let times = |side| {
            rows(side, false, [extra, Spot::VALVE].into_iter())
                .iter()
                .map(|s| s.time(side).to_string())
                .collect::<Vec<_>>()
        };
        // 10° clockwise from the right is 12:20; from the left it is 350°, 11:40.
        assert_eq!(times(Side::Right), ["12:00", "12:20", "3:00", "6:00", "9:00"]);
        assert_eq!(times(Side::Left), ["12:00", "3:00", "6:00", "9:00", "11:40"]);
        assert_eq!(rows(Side::Right, true, std::iter::empty()).len(), 8);
    }

    #[test]
    fn a_depth_is_put_in_changed_and_taken_out() {
        let three = usual_spots(Side::Right, false)[1];
        let one = with_depth(&[], three, Zone::Centre, Some(Length::mm(2.5)));
        let two = with_depth(&one, three, Zone::Shoulder(Side::Left), Some(Length::mm(3.0)));
        assert_eq!((two.len(), two[0].depths.len()), (1, 2));
        let changed = with_depth(&two, three, Zone::Centre, Some(Length::mm(2.0)));
        assert!(changed[0].depths.contains(&(Zone::Centre, Length::mm(2.0))));
        let out = with_depth(&one, three, Zone::Centre, None);
        assert!(out.is_empty(), "a place without a depth is not a place that was measured");
    }
}
