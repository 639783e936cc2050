//! A finding of an earlier day, looked at again by keyboard: what it was, where and how bad, and what is seen of it now.
//! Where it is gone, the form that closes it stands below.

use egui::{Key, RichText, Ui};

use super::super::field::trouble;
use super::super::round::Round;
use super::super::{again, closing, mark, place_form, proof, words};
use super::parts::{self, act};
use super::{course, fields, leave, step};
use crate::edit::PhotoHome;
use crate::guide::Leg;
use crate::inspection::{Finding, FindingId, Inspection, Revisit, Seen};
use crate::photo::Keep;
use crate::rules::{CarriedResult, Judgement};
use crate::ui::theme::{LargeType, strong_family};
use crate::ui::{Action, UiState};

/// What is told where Enter is pressed and nobody has said what is seen.
const NOTHING_SAID: &str = "Nothing is said of this finding yet: S where it is still there, G where it has grown, X where \
                            it is gone, C where it could not be looked at, K to skip it.";

/// Draws the step.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    large: &LargeType,
    (leg, id): (&Leg, &FindingId),
) {
    let figure = fields::figure(ui);
    let about = |state: &mut UiState, ui: &mut Ui| {
        step::head(round, ui, large, leg);
        if let Some((inspection, finding)) = round.finding(id) {
            was(round, state, ui, inspection, finding);
        }
        parts::cautions_of_step(round, state, ui, leg);
    };
    if ui.available_width() < 860.0 {
        about(state, ui);
        question(round, state, actions, ui, id, figure);
        return;
    }
    ui.columns(2, |columns| {
        let ragged = egui::Layout::top_down(egui::Align::Min);
        columns[0].with_layout(ragged, |ui| about(state, ui));
        columns[1].with_layout(ragged, |ui| question(round, state, actions, ui, id, figure));
    });
}

/// The finding among those that the inspection began with, as it is judged now.
fn result<'a>(round: &Round<'a>, id: &FindingId) -> Option<&'a CarriedResult> {
    let assessment = round.cx.derived.assessment.as_ref()?;
    assessment.carried.iter().find(|c| &c.finding.id == id)
}

/// What it was: place, class, day, size, note, and the work of which only the second look is still to be said.
fn was(round: &Round<'_>, state: &UiState, ui: &mut Ui, inspection: &Inspection, finding: &Finding) {
    let tokens = round.cx.tokens;
    let place = place_form::marker_words(round, state, &finding.place);
    ui.label(RichText::new(words::capital(&place)).color(tokens.strong));
    let graded = || result(round, &finding.id)?.judgements.iter().filter_map(Judgement::severity).max();
    let severity = round.severity_of(inspection, finding).or_else(graded);
    let by = if inspection.inspector.is_empty() { String::new() } else { format!(" by {}", inspection.inspector) };
    let size = finding.size.map_or_else(String::new, |size| format!(", {size}"));
    ui.horizontal_wrapped(|ui| {
        mark::severity(ui, tokens, severity, 22.0);
        let class = severity.map_or("not graded", |s| s.word());
        let day = words::day(inspection.date);
        ui.label(format!("{}{size}. Seen on {day}{by}.", words::capital(class)));
    });
    if !finding.note.is_empty() {
        ui.label(RichText::new(format!("\"{}\"", finding.note)).color(tokens.line));
    }
    if let Some(done) = closing::waiting_work(round, finding) {
        ui.label(format!("{done} Look whether it holds."));
    }
    ui.add_space(4.0);
}

/// Draws what is asked, what was answered and judged, and where it is gone how it is closed. A figure that was typed
/// into no field is its size now.
pub(super) fn question(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    id: &FindingId,
    figure: Option<String>,
) {
    let tokens = round.cx.tokens;
    let asked = round.inspection.carried.get(id);
    let (Some((inspection, finding)), Some(revisit)) = (round.finding(id), asked) else {
        ui.label("This finding is not on record any more. Skip it.");
        return;
    };
    if let Some(event) = round.bay.closing(id) {
        closing::closed(round, state, actions, ui, id, event);
        return;
    }
    if let Some(figure) = figure.filter(|_| matches!(revisit.seen, Seen::Still | Seen::Grown)) {
        state.walk.drafts.focus_key = Some(again::key(id, again::SIZE));
        state.walk.drafts.seed = Some(figure);
    }
    again::revisit(round, state, actions, ui, finding);
    if let Some((result, severity)) = result(round, id).and_then(|r| Some((r, r.severity?))) {
        ui.horizontal_wrapped(|ui| {
            mark::severity(ui, tokens, Some(severity), 28.0);
            let words = format!("{}: {}", words::capital(severity.word()), words::severity_meaning(severity));
            ui.label(RichText::new(words).family(strong_family()).color(tokens.strong));
        });
        for (salt, judgement) in result.judgements.iter().enumerate() {
            proof::judgement(ui, tokens, judgement, salt);
        }
    }
    if revisit.seen == Seen::Gone {
        parts::over(
            ui,
            tokens,
            "R where it was repaired, M where it was recorded by mistake; Enter goes from line to line.",
        );
        closing::form(round, state, actions, ui, inspection, finding);
    }
    let told = state.walk.guided.told.clone();
    if !told.is_empty() {
        trouble(ui, tokens, &told);
    }
}

/// The keys of the step.
pub(super) fn keys(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, id: &FindingId) {
    let tokens = round.cx.tokens;
    let revisit = round.inspection.carried.get(id).cloned().unwrap_or_default();
    let found = round.finding(id).filter(|_| round.bay.closing(id).is_none());
    ui.horizontal_wrapped(|ui| {
        if parts::forth(ui, tokens, "Go on") {
            if found.is_some() && revisit.seen == Seen::NotYet {
                state.walk.guided.told = NOTHING_SAID.into();
            } else {
                course::on(round, state);
            }
        }
        if let Some((inspection, _)) = found {
            seen_keys(round, state, actions, ui, (id, &revisit));
            if revisit.seen == Seen::Gone {
                if act(ui, tokens, "Repaired", Key::R, false) {
                    closing::begin(round, state, id, closing::Way::Repaired);
                } else if act(ui, tokens, "By mistake", Key::M, false) {
                    closing::begin(round, state, id, closing::Way::Withdrawn);
                }
            }
            if act(ui, tokens, "Photo", Key::P, false) {
                let home = PhotoHome::Finding(inspection.id.clone(), id.clone());
                actions.push(Action::ChoosePhotos(round.machine().id.clone(), home, Keep::PictureOnly));
            }
        }
        if act(ui, tokens, "Back", Key::B, false) {
            let at = state.walk.guided.walk_mut(round).at.saturating_sub(1);
            course::go_to(round, state, at);
        } else if act(ui, tokens, "Skip", Key::K, false) {
            course::skip(round, state);
        }
        if parts::away(ui, tokens) {
            leave(state);
        }
    });
}

/// The keys that say what is seen.
fn seen_keys(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    (id, revisit): (&FindingId, &Revisit),
) {
    let tokens = round.cx.tokens;
    let ways = [(Seen::Still, "Still there", Key::S), (Seen::Grown, "Grown", Key::G), (Seen::Gone, "Gone", Key::X)];
    for (seen, words, key) in ways {
        if act(ui, tokens, words, key, revisit.seen == seen) {
            if seen == Seen::Grown {
                // How far it has grown is asked at once.
                state.walk.drafts.focus_key = Some(again::key(id, again::SIZE));
            }
            actions.push(again::answer(round, id, Revisit { seen, ..revisit.clone() }));
            state.walk.guided.told.clear();
        }
    }
    let could_not = matches!(revisit.seen, Seen::CouldNot(_));
    if act(ui, tokens, "Could not look", Key::C, could_not) {
        state.walk.drafts.focus_key = Some(again::key(id, again::WHY));
        state.walk.guided.told.clear();
    }
}
