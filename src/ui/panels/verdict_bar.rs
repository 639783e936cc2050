//! The verdict as a sentence along the bottom, with the findings that make it so, what is still open, and what is next.

use egui::{RichText, ScrollArea, Ui, vec2};

use super::walk::select;
use crate::drawing::notch::{self, Mark};
use crate::garage::Bay;
use crate::inspection::{InspectionId, Severity};
use crate::rules::{Assessment, Decision, Verdict};
use crate::ui::theme::strong_family;
use crate::ui::widgets::paint;
use crate::ui::{Action, Place, UiState, ViewCtx};

/// Said beside every verdict, since no verdict of this program is a legal one.
const CAUTION: &str = "Stemclock never says a machine is legally roadworthy.";

/// The rest of the caution, on hovering.
const CAUTION_MORE: &str =
    "The service manual, the law of your place and a licensed mechanic or test station come before this sentence.";

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
        ui.label(RichText::new("Next: begin an inspection in the walk-around (F1).").color(cx.tokens.line));
        caution(cx, ui);
        return;
    };
    ui.horizontal(|ui| {
        mark(cx, ui, decision_mark(verdict), 26.0);
        let size = if ui.available_width() < 1000.0 { 15.0 } else { 17.0 };
        let sentence = RichText::new(verdict.sentence()).family(strong_family()).size(size).color(cx.tokens.strong);
        ui.add(egui::Label::new(sentence).wrap());
    });
    ScrollArea::horizontal().id_salt("reasons").show(ui, |ui| {
        ui.horizontal(|ui| {
            next(cx, state, ui, verdict);
            reasons(cx, state, ui, bay, verdict);
        });
    });
    caution(cx, ui);
}

/// The verdict that is shown: of the machine as it stands for its newest inspection, else of the one in hand alone.
fn verdict<'a>(cx: &ViewCtx<'a>, state: &UiState, bay: &'a Bay) -> Option<&'a Verdict> {
    let of_machine = || cx.derived.rows.iter().find(|r| r.id == bay.machine.id).and_then(|r| r.verdict.as_ref());
    let is_newest = |id: &InspectionId| bay.latest().is_some_and(|latest| &latest.id == id);
    match &state.inspection {
        Some(id) if !is_newest(id) => cx.derived.assessment.as_ref().map(|a: &Assessment| &a.verdict),
        _ => of_machine(),
    }
}

fn decision_mark(verdict: &Verdict) -> Mark {
    match verdict.decision {
        Decision::DoNotRide => Mark::Found(Severity::Dangerous),
        Decision::NotFitUntilRepaired => Mark::Found(Severity::Major),
        Decision::FitWithMinorDefects => Mark::Found(Severity::Minor),
        Decision::NotYetDecided => Mark::Unchecked,
        Decision::FitToRide => Mark::Sound,
    }
}

fn mark(cx: &ViewCtx<'_>, ui: &mut Ui, what: Mark, size: f32) {
    let (rect, _) = ui.allocate_exact_size(vec2(size, size), egui::Sense::hover());
    paint(ui.painter(), &notch::drawing(what, size), rect.min, 1.0, cx.tokens);
}

/// What speaks against riding, worst first; a press takes it in hand.
fn reasons(cx: &ViewCtx<'_>, state: &mut UiState, ui: &mut Ui, bay: &Bay, verdict: &Verdict) {
    for because in &verdict.because {
        ui.add_space(6.0);
        mark(cx, ui, Mark::Found(because.severity), 16.0);
        let words = format!("{}: {}", because.severity.word(), shortened(&because.words));
        let button = egui::Button::new(RichText::new(words).size(13.5)).frame_when_inactive(false);
        if ui.add(button).on_hover_text(&because.words).clicked() {
            take(cx, state, bay, because);
        }
    }
}

/// At most some ninety letters, cut at a word.
fn shortened(words: &str) -> String {
    let limit = 90;
    if words.chars().count() <= limit {
        return words.to_owned();
    }
    let cut: String = words.chars().take(limit).collect();
    let whole = cut.rsplit_once(' ').map_or(cut.as_str(), |(whole, _)| whole);
    format!("{}…", whole.trim_end_matches([',', ';', ':']))
}

fn take(cx: &ViewCtx<'_>, state: &mut UiState, bay: &Bay, because: &crate::rules::Because) {
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
    let words = match (verdict.decision, &verdict.lapsed) {
        (_, Some(_)) => "Next: begin a new inspection.",
        (Decision::DoNotRide | Decision::NotFitUntilRepaired, _) => {
            "Next: repair, look a second time, then close the finding."
        }
        (Decision::FitWithMinorDefects, _) => "Next: put the minor defects right in time, or save the report (F3).",
        (Decision::FitToRide | Decision::NotYetDecided, _) => "Next: save the report (F3).",
    };
    ui.label(words);
}

fn caution(cx: &ViewCtx<'_>, ui: &mut Ui) {
    ui.add(egui::Label::new(RichText::new(CAUTION).size(11.5).color(cx.tokens.faint)).wrap())
        .on_hover_text(CAUTION_MORE);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_reasons_are_cut_at_a_word() {
        assert_eq!(shortened("Cold pressure, front: low"), "Cold pressure, front: low");
        let long = "word ".repeat(40);
        let cut = shortened(&long);
        assert!(cut.ends_with("word…") && cut.chars().count() <= 91, "{cut}");
    }
}
