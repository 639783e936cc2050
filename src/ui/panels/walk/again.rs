//! A defect over time, in the pane at the right: an earlier finding looked at again, and a new one that may be an old
//! one. The program proposes; a person says whether it is the same.

use egui::{RichText, Ui, vec2};

use super::field::{FieldLook, Typed, chip, field};
use super::round::Round;
use super::{reading_fields, size_field, words};
use crate::edit::Command;
use crate::history::{Again, Defect};
use crate::inspection::{EventKind, Finding, FindingId, FindingRef, Revisit, Seen};
use crate::ui::theme::strong_family;
use crate::ui::{Action, UiState};
use crate::units::{Length, Preferences};

/// The field of its size now.
pub(super) const SIZE: &str = "|size";
/// The field of the reason why it could not be looked at.
pub(super) const WHY: &str = "|why";

/// Draws the question about a finding of an earlier day that the inspection in hand carries: still there, grown, gone?
pub(super) fn revisit(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    finding: &Finding,
) {
    let Some(revisit) = round.inspection.carried.get(&finding.id) else { return };
    let tokens = round.cx.tokens;
    ui.add_space(4.0);
    ui.label(RichText::new("Is it still there?").family(strong_family()).color(tokens.strong));
    let mut changed = revisit.clone();
    ui.horizontal_wrapped(|ui| {
        for (seen, words) in [(Seen::Still, "still there"), (Seen::Grown, "grown"), (Seen::Gone, "gone")] {
            if chip(ui, tokens, revisit.seen == seen, words) {
                changed.seen = if revisit.seen == seen { Seen::NotYet } else { seen };
            }
        }
    });
    if matches!(revisit.seen, Seen::Still | Seen::Grown) {
        size(round, state, ui, finding, &mut changed);
        // Enter ends there: the reason why nobody could look is no next line of it.
        state.walk.drafts.focus_next = false;
    }
    let why = if let Seen::CouldNot(why) = &revisit.seen { why.clone() } else { String::new() };
    let look = FieldLook {
        key: &key(&finding.id, WHY),
        label: "Could not be looked at, because",
        hint: "the wheel is out",
        shown: &why,
        width: (ui.available_width() - 20.0).clamp(120.0, 290.0),
        label_above: true,
    };
    match field(ui, tokens, &mut state.walk.drafts, &look, |text| Ok(text.trim().to_owned())) {
        Typed::Nothing => {}
        Typed::Cleared if !why.is_empty() => changed.seen = Seen::NotYet,
        Typed::Cleared => {}
        Typed::Read(why) => changed.seen = Seen::CouldNot(why),
    }
    state.walk.drafts.focus_next = false;
    if revisit.seen == Seen::Gone {
        let words = "Gone closes nothing by itself: close it below as repaired, or as recorded by mistake.";
        ui.label(RichText::new(words).small().color(tokens.faint));
    }
    if changed != *revisit {
        actions.push(answer(round, &finding.id, changed));
    }
}

/// Says what was seen of a finding of an earlier day.
pub(super) fn answer(round: &Round<'_>, finding: &FindingId, revisit: Revisit) -> Action {
    Action::Edit(Command::Revisit {
        machine: round.machine().id.clone(),
        inspection: round.inspection.id.clone(),
        finding: finding.clone(),
        revisit,
    })
}

/// The key of a finding looked at again among the drafts; its size and the reason why nobody could look follow behind.
pub(super) fn key(finding: &FindingId, field: &str) -> String {
    format!("again|{finding}{field}")
}

fn size(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, finding: &Finding, changed: &mut Revisit) {
    let label = match finding.size {
        Some(size) => format!("Size now (then {size})"),
        None => "Size now".to_owned(),
    };
    match size_field::ui(round, state, ui, &key(&finding.id, ""), &label, changed.size) {
        Typed::Nothing => {}
        Typed::Cleared => changed.size = None,
        Typed::Read(size) => {
            // A larger figure is growth, whatever was pressed first.
            if finding.size.is_some_and(|then| size > then) {
                changed.seen = Seen::Grown;
            }
            changed.size = Some(size);
        }
    }
}

/// Draws what is known of the defect that a finding is part of, and whether it may be an earlier one.
pub(super) fn over_time(round: &Round<'_>, actions: &mut Vec<Action>, ui: &mut Ui, finding: &Finding) {
    let tokens = round.cx.tokens;
    if let Some(again) = round.cx.derived.again.iter().find(|a| a.later.finding == finding.id) {
        ui.add_space(4.0);
        egui::Frame::new().fill(tokens.wash).corner_radius(4.0).inner_margin(8.0).show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.label(RichText::new("Seen before?").family(strong_family()).color(tokens.strong));
            ui.label(proposal_words(round, again));
            ui.horizontal_wrapped(|ui| {
                let button = |words: &str| egui::Button::new(words.to_owned()).min_size(vec2(0.0, tokens.target));
                let (earlier, later) = (again.earlier.clone(), again.later.clone());
                if ui.add(button("The same one")).clicked() {
                    actions.push(round.record("same", EventKind::SameDefect { earlier, later }, &round.person()));
                } else if ui.add(button("Another one")).clicked() {
                    let (earlier, later) = (again.earlier.clone(), again.later.clone());
                    actions.push(round.record("apart", EventKind::Apart { earlier, later }, &round.person()));
                }
            });
        });
    }
    let Some(defect) = round.defect(finding) else { return };
    if defect.findings.len() > 1 || !defect.looks.is_empty() {
        ui.add_space(4.0);
        ui.label(RichText::new("Over time").family(strong_family()).color(tokens.strong));
        for line in history_words(&defect, round.units()) {
            ui.label(RichText::new(line).small());
        }
    }
    for event in round.bay.in_force() {
        let EventKind::SameDefect { earlier, later } = &event.kind else { continue };
        let is_of = |r: &FindingRef| r.finding == finding.id;
        if (is_of(later) || is_of(earlier)) && ui.button("They are two after all").clicked() {
            let kind = EventKind::Apart { earlier: earlier.clone(), later: later.clone() };
            actions.push(round.record("apart", kind, &round.person()));
        }
    }
}

fn proposal_words(round: &Round<'_>, again: &Again) -> String {
    let date = round.bay.inspection(&again.earlier.inspection).map_or_else(String::new, |i| words::day(i.date));
    let mut text = format!("On {date} something was found here");
    if let Some(mm) = again.apart_mm {
        let unit = reading_fields::unit_of::<Length>(round.units());
        let decimals = if unit.symbol == "mm" { 0 } else { unit.decimals.min(1) };
        text.push_str(&format!(", {} away", Length::mm(mm).show_with(unit, decimals, round.units().decimal_comma)));
    }
    if !again.is_same_fault {
        text.push_str(", noted as another fault");
    }
    if let Some((then, now)) = again.sizes {
        let grown = if now > then { ": it would have grown" } else { "" };
        text.push_str(&format!(", {then} then and {now} now{grown}"));
    }
    text.push_str(". Is it the same one?");
    text
}

/// The sightings of a defect, oldest first.
fn history_words(defect: &Defect<'_>, units: &Preferences) -> Vec<String> {
    let sized = |size: Option<Length>| size.map_or_else(String::new, |s| format!(", {}", show(s, units)));
    let found = defect.findings.iter().map(|(i, f)| (i.date, i.started, format!("found{}", sized(f.size))));
    let looked = defect.looks.iter().map(|(i, r)| (i.date, i.started, format!("{}{}", r.seen.words(), sized(r.size))));
    let mut all: Vec<_> = found.chain(looked).collect();
    all.sort();
    all.into_iter().map(|(date, _, words)| format!("{}: {words}", words::day(date))).collect()
}

fn show(size: Length, units: &Preferences) -> String {
    size.show_in(size.unit(), units.decimal_comma)
}
