//! A quantity that is read round the clock: one widget for tread, run-out, thickness, slack and spokes.
//!
//! ```text
//! places   the positions that are offered, in clock order
//! change   a survey with one reading put in or taken out
//! grid     the cells, one after the other with Enter or Tab
//! seen     the polar plot, the strip, and what they show in sentences
//! ```
//!
//! Drawn and worked out by the same functions as in the report; nothing is judged here.

mod change;
mod grid;
mod places;
mod seen;

use egui::{RichText, Ui};

use super::field::{chip, trouble};
use super::round::Round;
use super::select;
use crate::catalogue::{Field, FieldKind};
use crate::clock::{Side, SpokeCount, Spot};
use crate::inspection::{CheckRef, Value, Zone};
use crate::ui::UiState;
use places::COUNTS;

/// A field that is read round the wheel, as the parts of the widget see it.
struct Survey<'a> {
    /// The check it belongs to.
    check: &'a CheckRef,
    /// The field.
    of: &'a Field,
    /// The key of the field among the drafts.
    key: &'a str,
    /// What is recorded.
    current: Option<&'a Value>,
    /// The side one stands on, from which clock positions are read.
    side: Side,
    /// The positions in the order in which they are entered.
    spots: Vec<Spot>,
    /// The spokes at which the positions are, where spokes are measured.
    spokes: Option<SpokeCount>,
}

impl Survey<'_> {
    /// The columns: the zones for tread, else one.
    fn zones(&self) -> &'static [Option<Zone>] {
        const TREAD: [Option<Zone>; 5] = [
            Some(Zone::TREAD[0]),
            Some(Zone::TREAD[1]),
            Some(Zone::TREAD[2]),
            Some(Zone::TREAD[3]),
            Some(Zone::TREAD[4]),
        ];
        if self.of.kind == FieldKind::TreadGrid { &TREAD } else { &[None] }
    }
    /// The positions of which nothing is recorded, once something is.
    fn empty(&self) -> Vec<Spot> {
        let Some(value) = self.current else { return Vec::new() };
        let is_empty = |spot: &Spot| self.zones().iter().all(|zone| change::shown(value, *spot, *zone).is_none());
        self.spots.iter().copied().filter(is_empty).collect()
    }
    /// A position as it is called: `4:30`, or `14` for a spoke.
    fn name(&self, spot: Spot) -> String {
        match self.spokes {
            Some(spokes) => spokes.nearest(spot).0.to_string(),
            None => spot.time(self.side).to_string(),
        }
    }
}

/// Draws the survey; gives its value anew when a reading was entered, or none when the last one was taken out.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    ui: &mut Ui,
    key: &str,
    (check, of): (&CheckRef, &Field),
    current: Option<&Value>,
) -> Option<Option<Value>> {
    let tokens = round.cx.tokens;
    let side = select::side(state);
    ui.label(RichText::new(&of.label).small().color(tokens.faint));
    let spokes = (of.kind == FieldKind::RoundNumber)
        .then(|| round.machine().wheel(check.subject.wheel()?)?.rim.kind.spokes())
        .flatten();
    let mut new = None;
    let dial_side = match current {
        Some(Value::Dial(dial_side, _)) => *dial_side,
        _ => side,
    };
    if of.kind == FieldKind::DialSurvey
        && let Some(chosen) = dial_stands(round, ui, dial_side)
    {
        match current {
            Some(Value::Dial(_, points)) => new = Some(Some(Value::Dial(chosen, points.clone()))),
            _ => state.side = Some(chosen),
        }
    }
    let read = current.map_or_else(Vec::new, change::spots);
    let name = format!("{}|{}", check.check, of.id);
    let spots = match spokes {
        Some(spokes) => places::spokes(spokes),
        None => {
            // What was offered first stays: the rows do not change under the hand that fills them.
            let offered = *state.walk.places.entry(key.to_owned()).or_insert_with(|| places::usual(&read));
            let count = state.walk.places.get(&name).copied().unwrap_or(offered);
            let mut chosen = count;
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 4.0;
                for n in COUNTS {
                    if super::field::chip_named(ui, tokens, n == count, &n.to_string(), &format!("{n} places")) {
                        chosen = n;
                    }
                }
                ui.label(RichText::new("places").small().color(tokens.faint));
            });
            if chosen != count {
                state.walk.places.insert(name, chosen);
            }
            places::rows(side, chosen, read.iter().copied())
        }
    };
    ui.label(RichText::new(caption(&of.kind, side, spokes.is_some())).small().color(tokens.faint));
    let survey = Survey { check, of, key, current, side, spots, spokes };
    if let Some((spot, zone, reading)) = grid::ui(round, state, ui, &survey) {
        new = Some(change::with(&of.kind, current, dial_side, (spot, zone), reading));
    }
    if let Some(why) = state.walk.drafts.refused_under(key) {
        trouble(ui, tokens, why);
    }
    seen::ui(round, ui, &survey);
    new
}

/// Where the dial stands; gives another side when it was chosen.
fn dial_stands(round: &Round<'_>, ui: &mut Ui, current: Side) -> Option<Side> {
    let mut chosen = None;
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("The dial stands").small().color(round.cx.tokens.faint));
        for side in Side::BOTH {
            if chip(ui, round.cx.tokens, current == side, &format!("at the {}", side.word())) && current != side {
                chosen = Some(side);
            }
        }
    });
    chosen
}

/// How the positions are read and what a sign means.
fn caption(kind: &FieldKind, side: Side, at_spokes: bool) -> String {
    let from = format!("Clock seen from the {}, twelve at the valve.", side.word());
    match kind {
        FieldKind::TreadGrid => {
            format!(
                "{from} Columns from the machine's left to its right. Fewer than eight places speak for those places only."
            )
        }
        FieldKind::DialSurvey => {
            format!("{from} Sideways counts plus towards the machine's right, outward counts plus.")
        }
        _ if at_spokes => "Spokes from the valve, clockwise as seen from the right.".into(),
        _ => from,
    }
}
