//! The verdict as a sentence along the bottom, with the findings that make it so, what is still open, and what is next.

use egui::{Align, Layout, RichText, ScrollArea, Ui, vec2};

use super::walk::{select, words};
use crate::drawing::notch::{self, Mark};
use crate::garage::Bay;
use crate::inspection::InspectionId;
use crate::report::content::decision_mark;
use crate::rules::{Assessment, Because, Decision, Verdict};
use crate::ui::theme::strong_family;
use crate::ui::widgets::paint;
use crate::ui::{Action, Place, UiState, ViewCtx};

/// Said beside every verdict, since no verdict of this program is a legal one.
const CAUTION: &str = "Stemclock never says a machine is legally roadworthy.";

/// The rest of the caution, on hovering.
const CAUTION_MORE: &str =
    "The service manual, the law of your place and a licensed mechanic or test station come before this sentence.";

/// The width in points from which the reasons stand beside what is next.
const SIDE_BY_SIDE: f32 = 760.0;

/// The height in points of a window below which the verdict takes one line, so that there is room for the work.
const SHORT: f32 = 440.0;

/// The width in points of what is next, with the caution under it.
const LEFT: f32 = 300.0;

/// The width in points from which the reasons stand in two columns, each wide enough for a place and its fault.
const TWO_COLUMNS: f32 = 880.0;

/// How many rows of reasons are seen at once; the others are scrolled to.
const ROWS: f32 = 2.0;

/// Draws the panel.
pub fn ui(cx: &ViewCtx<'_>, state: &mut UiState, _actions: &mut Vec<Action>, ui: &mut Ui) {
    let Some(bay) = cx.bay(state) else {
        ui.label(RichText::new("No machine is in hand.").color(cx.tokens.faint));
        return;
    };
    let Some(verdict) = verdict(cx, state, bay) else {
        ui.horizontal_wrapped(|ui| {
            mark(cx, ui, Mark::Unchecked, 24.0);
            let words = format!("Not yet decided: {} has not been inspected.", bay.machine.name);
            ui.label(RichText::new(words).family(strong_family()).size(17.0).color(cx.tokens.strong));
        });
        if ui.button("Next: begin an inspection").on_hover_text("In the walk-around, F1").clicked() {
            state.place = Place::Walk;
        }
        caution(cx, ui);
        return;
    };
    if ui.ctx().content_rect().height() < SHORT {
        // The verdict first and whole; what is next is cut where it is long, and said whole where the pointer rests.
        let line = vec2(ui.available_width(), cx.tokens.target);
        ui.allocate_ui_with_layout(line, Layout::left_to_right(Align::Center), |ui| {
            mark(cx, ui, decision_mark(verdict.decision), 22.0);
            let words = words::capital(&verdict.words());
            let words = RichText::new(words).family(strong_family()).color(cx.tokens.strong);
            let more = format!("{}\n{CAUTION} {CAUTION_MORE}", verdict.sentence());
            ui.add(egui::Label::new(words).truncate()).on_hover_text(more);
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Truncate);
            next(cx, state, ui, verdict);
        });
        return;
    }
    ui.horizontal(|ui| {
        mark(cx, ui, decision_mark(verdict.decision), 26.0);
        let size = if ui.available_width() < 1000.0 { 15.0 } else { 17.0 };
        let sentence = RichText::new(verdict.sentence()).family(strong_family()).size(size).color(cx.tokens.strong);
        ui.add(egui::Label::new(sentence).wrap());
    });
    if ui.available_width() < SIDE_BY_SIDE {
        next(cx, state, ui, verdict);
        reasons(cx, state, ui, bay, verdict);
        caution(cx, ui);
        return;
    }
    ui.horizontal_top(|ui| {
        ui.allocate_ui_with_layout(vec2(LEFT, 0.0), Layout::top_down(Align::Min), |ui| {
            ui.set_width(LEFT);
            next(cx, state, ui, verdict);
            caution(cx, ui);
        });
        reasons(cx, state, ui, bay, verdict);
    });
}

/// The verdict that is shown: of the machine as it stands for its newest inspection, else of the one in hand alone.
fn verdict<'a>(cx: &ViewCtx<'a>, state: &UiState, bay: &'a Bay) -> Option<&'a Verdict> {
    let of_machine = || cx.derived.rows.iter().find(|r| r.id == bay.machine.id).and_then(|r| r.verdict.as_ref());
    let is_newest = |id: &InspectionId| bay.latest().is_some_and(|latest| &latest.id == id);
    match &state.inspection {
        // A machine with planted defects says so whichever inspection is looked at.
        Some(id) if !is_newest(id) && of_machine().is_none_or(|v| v.planted.is_empty()) => {
            cx.derived.assessment.as_ref().map(|a: &Assessment| &a.verdict)
        }
        _ => of_machine(),
    }
}

fn mark(cx: &ViewCtx<'_>, ui: &mut Ui, what: Mark, size: f32) {
    let (rect, _) = ui.allocate_exact_size(vec2(size, size), egui::Sense::hover());
    paint(ui.painter(), &notch::drawing(what, size), rect.min, 1.0, cx.tokens);
}

/// What speaks against riding, worst first, each in one line of its own column; a press takes it in hand.
fn reasons(cx: &ViewCtx<'_>, state: &mut UiState, ui: &mut Ui, bay: &Bay, verdict: &Verdict) {
    if verdict.because.is_empty() {
        return;
    }
    let columns = if ui.available_width() < TWO_COLUMNS { 1 } else { 2 };
    let row = cx.tokens.target;
    let gap = ui.spacing().item_spacing;
    let most = ROWS * row + (ROWS - 1.0) * gap.y;
    ScrollArea::vertical().id_salt("reasons").max_height(most).auto_shrink([false, true]).show(ui, |ui| {
        let width = (ui.available_width() - gap.x * columns as f32) / columns as f32;
        ui.vertical(|ui| {
            for several in verdict.because.chunks(columns) {
                ui.horizontal(|ui| {
                    for because in several {
                        ui.allocate_ui_with_layout(vec2(width, row), Layout::left_to_right(Align::Center), |ui| {
                            ui.set_min_width(width);
                            reason(cx, state, ui, bay, because);
                        });
                    }
                });
            }
            together(cx, state, ui, bay);
        });
    });
}

/// Faults that may count as more together, after the reasons; a press shows the proposal in the pane at the right.
fn together(cx: &ViewCtx<'_>, state: &mut UiState, ui: &mut Ui, bay: &Bay) {
    let Some(assessment) = cx.derived.assessment.as_ref() else { return };
    for proposal in &assessment.together {
        let open: Vec<&Because> =
            proposal.because.iter().filter(|b| b.finding.as_ref().is_none_or(|id| bay.closing(id).is_none())).collect();
        let Some(first) = open.first().filter(|_| open.len() >= 2) else { continue };
        let words = format!(
            "together: {} {} of {} may count as {}",
            open.len(),
            proposal.class.word(),
            proposal.area,
            proposal.to.word()
        );
        let button = egui::Button::new(RichText::new(words).size(13.5)).truncate().frame_when_inactive(false);
        if ui.add(button).on_hover_text(proposal.sentence()).clicked() {
            take(cx, state, bay, first);
        }
    }
}

/// A reason in one line: where round which wheel and what, so that two alike are told apart; else as the rules say it.
fn line(cx: &ViewCtx<'_>, state: &UiState, bay: &Bay, because: &Because) -> String {
    let side = select::side(state);
    let placed = because.finding.as_ref().and_then(|id| {
        let finding = bay.inspections.iter().flat_map(|i| &i.findings).find(|f| &f.id == id)?;
        let crate::inspection::Place::Wheel { position, spot: Some(spot), .. } = &finding.place else { return None };
        let fault = cx.catalogue.fault_words(finding);
        Some(format!("{} · {} from the {}: {fault}", position.word(), spot.time(side), side.word()))
    });
    placed.unwrap_or_else(|| because.words.clone())
}

fn reason(cx: &ViewCtx<'_>, state: &mut UiState, ui: &mut Ui, bay: &Bay, because: &Because) {
    mark(cx, ui, Mark::Found(because.severity), 16.0);
    let words = format!("{}: {}", because.severity.word(), line(cx, state, bay, because));
    let button = egui::Button::new(RichText::new(words).size(13.5)).truncate().frame_when_inactive(false);
    if ui.add(button).on_hover_text(&because.words).clicked() {
        take(cx, state, bay, because);
    }
}

fn take(cx: &ViewCtx<'_>, state: &mut UiState, bay: &Bay, because: &Because) {
    state.place = Place::Walk;
    let found = because
        .finding
        .as_ref()
        .and_then(|id| bay.inspections.iter().find_map(|i| Some((i, i.findings.iter().find(|f| &f.id == id)?))));
    if state.inspection.is_none() {
        state.inspection = Some(because.inspection.clone());
    }
    if let Some((inspection, finding)) = found {
        select::finding(state, inspection, finding);
    } else if let Some(result) = cx.derived.assessment.as_ref().and_then(|a| a.result(&because.check)) {
        select::check(state, result);
    }
}

/// What is next: the next open required check, else the repairs, else the report.
fn next(cx: &ViewCtx<'_>, state: &mut UiState, ui: &mut Ui, verdict: &Verdict) {
    let open = verdict.required_open.len();
    let results = cx.derived.assessment.as_ref().map_or(&[][..], |a| a.results.as_slice());
    if open > 0 {
        let words = match open {
            1 => "Next: 1 required check is open".to_owned(),
            n => format!("Next: {n} required checks are open"),
        };
        if ui.button(words).on_hover_text("Take the next open check in hand").clicked() {
            state.place = Place::Walk;
            if state.inspection.is_none() {
                state.inspection = cx.bay(state).and_then(Bay::latest).map(|i| i.id.clone());
            }
            let after = state.check.clone();
            let required: Vec<_> = results.iter().filter(|r| r.required).cloned().collect();
            if let Some(result) = select::next_open(&required, after.as_ref()) {
                select::check(state, result);
            }
        }
        return;
    }
    if !verdict.asked_again.is_empty() {
        let words = match verdict.asked_again.len() {
            1 => "Next: look again at 1 check that the work has disturbed".to_owned(),
            n => format!("Next: look again at {n} checks that the work has disturbed"),
        };
        if ui.button(words).on_hover_text("Begin a second look after work").clicked() {
            state.place = Place::Walk;
            state.walk.begin("work", cx.inspector);
        }
        return;
    }
    ui.label(next_words(verdict));
}

/// What is next once nothing is left to look at.
fn next_words(verdict: &Verdict) -> &'static str {
    match (verdict.decision, &verdict.lapsed) {
        _ if !verdict.planted.is_empty() => {
            "Next: take the planted defects out by the removal list (Class, F7), one by one."
        }
        (Decision::NotYetDecided, None) if verdict.carried_open > 0 => {
            "Next: look again at the findings of earlier days (key N)."
        }
        (_, Some(_)) => "Next: begin a new inspection.",
        (Decision::DoNotRide | Decision::NotFitUntilRepaired, _) => {
            "Next: repair (F8), look a second time, then close the finding."
        }
        (Decision::FitWithMinorDefects, _) => "Next: put the minor defects right in time, or save the report (F3).",
        (Decision::FitToRide | Decision::NotYetDecided, _) => "Next: save the report (F3).",
    }
}

fn caution(cx: &ViewCtx<'_>, ui: &mut Ui) {
    ui.add(egui::Label::new(RichText::new(CAUTION).size(11.5).color(cx.tokens.faint)).wrap())
        .on_hover_text(CAUTION_MORE);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn planted_defects_come_out_by_the_removal_list_and_not_by_a_repair() {
        let planted = vec!["a nail in the tread".into()];
        let mut verdict = Verdict::of_planted(planted, chrono::NaiveDate::default());
        assert!(next_words(&verdict).contains("removal list (Class, F7)"));
        verdict.planted.clear();
        assert!(next_words(&verdict).contains("repair (F8)"));
    }
}
