//! The finding in hand: what is seen, where, how large, how bad by whose rule, and what a person set against it.

use egui::{RichText, Ui, vec2};

use super::field::{FieldLook, Typed, chip, field};
use super::round::Round;
use super::{again, closing, mark, place_form, proof, size_field, words};
use crate::catalogue::{Catalogue, Check};
use crate::edit::PhotoHome;
use crate::edit::may_overrule;
use crate::inspection::{Finding, Inspection, Overrule, Severity};
use crate::ui::theme::strong_family;
use crate::ui::widgets::typed_line;
use crate::ui::{Action, UiState};

/// Draws the finding in hand.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    inspection: &Inspection,
    finding: &Finding,
) {
    let tokens = round.cx.tokens;
    let entry = round.entry(&finding.check);
    ui.label(RichText::new(words::capital(round.catalogue().fault_words(finding))).heading().color(tokens.strong));
    if let Some(closed) = round.bay.closing(&finding.id) {
        ui.label(place_form::marker_words(round, state, &finding.place));
        closing::closed(round, state, actions, ui, &finding.id, closed);
        photos(round, state, actions, ui, inspection, finding);
        return;
    }
    let is_of_today = inspection.id == round.inspection.id;
    if is_of_today {
        edit(round, state, actions, ui, finding, entry);
    } else {
        ui.label(place_form::marker_words(round, state, &finding.place));
        let words =
            format!("Seen on {} and still open. Open that inspection to change it.", words::day(inspection.date));
        ui.label(words);
        if ui.button(format!("Open the inspection of {}", words::day(inspection.date))).clicked() {
            state.inspection = Some(inspection.id.clone());
        }
        again::revisit(round, state, actions, ui, finding);
    }
    again::over_time(round, actions, ui, finding);
    photos(round, state, actions, ui, inspection, finding);
    closing::ui(round, state, actions, ui, inspection, finding);
    if is_of_today {
        ui.add_space(6.0);
        let remove = ui.button("Remove it, a slip of the hand");
        if remove.on_hover_text("For what was never meant. Undo brings it back.").clicked() {
            actions.push(round.remove(&finding.id));
            state.finding = None;
        }
    }
}

/// The photos of a finding.
fn photos(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    inspection: &Inspection,
    finding: &Finding,
) {
    ui.add_space(4.0);
    ui.label(RichText::new("Photos").family(strong_family()).color(round.cx.tokens.strong));
    let home = PhotoHome::Finding(inspection.id.clone(), finding.id.clone());
    let of = (&round.machine().id, &home);
    crate::ui::panels::photos::strip(&round.cx, &mut state.photos, state.place, actions, ui, of, &finding.photos);
}

fn edit(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    finding: &Finding,
    entry: Option<&Check>,
) {
    let tokens = round.cx.tokens;
    let key = format!("finding|{}", finding.id);
    let mut changed = finding.clone();
    place_form::ui(round, state, ui, &key, &mut changed.place);
    if let Some(entry) = entry {
        fault_choice(ui, round.catalogue(), entry, &mut changed);
        if entry.fault(&finding.fault).is_some_and(|f| f.sized) || finding.size.is_some() {
            match size_field::ui(round, state, ui, &key, "Size", changed.size) {
                Typed::Nothing => {}
                Typed::Cleared => changed.size = None,
                Typed::Read(size) => changed.size = Some(size),
            }
        }
    }
    let (note_key, shown) = (format!("{key}|note"), finding.note.clone());
    let look = FieldLook {
        key: &note_key,
        label: "Note",
        hint: "what else was seen",
        shown: &shown,
        width: (ui.available_width() - 20.0).clamp(120.0, 290.0),
        label_above: true,
    };
    match field(ui, tokens, &mut state.walk.drafts, &look, |text| Ok(text.trim().to_owned())) {
        Typed::Nothing => {}
        Typed::Cleared => changed.note.clear(),
        Typed::Read(note) => changed.note = note,
    }
    // Enter in the last of these fields ends there and hands the keyboard to no field elsewhere.
    state.walk.drafts.focus_next = false;
    ui.add_space(4.0);
    severity(round, state, ui, finding, &mut changed);
    if changed != *finding {
        actions.push(round.put(changed));
    }
}

fn fault_choice(ui: &mut Ui, catalogue: &Catalogue, entry: &Check, changed: &mut Finding) {
    if entry.faults.len() < 2 {
        return;
    }
    let label = ui.label(RichText::new("What is seen").small());
    let shown = words::capital(catalogue.fault_words(changed));
    let width = (ui.available_width() - 20.0).clamp(140.0, 290.0);
    egui::ComboBox::from_id_salt("fault-choice")
        .selected_text(shown)
        .width(width)
        .truncate()
        .height(420.0)
        .show_ui(ui, |ui| {
            for fault in &entry.faults {
                ui.selectable_value(&mut changed.fault, fault.id.clone(), words::capital(&fault.words));
            }
        })
        .response
        .labelled_by(label.id);
}

/// The class that is proposed with its reason, and another one set by a person with a reason, within house rule 3.
fn severity(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, finding: &Finding, changed: &mut Finding) {
    let tokens = round.cx.tokens;
    let Some(proposed) = round.proposed(finding) else {
        ui.label(RichText::new("Its class is being worked out.").small().color(tokens.faint));
        return;
    };
    let class = round.severity(finding).unwrap_or(proposed);
    ui.horizontal_wrapped(|ui| {
        mark::severity(ui, tokens, Some(class), 22.0);
        ui.label(RichText::new(words::capital(class.word())).family(strong_family()).size(17.0).color(tokens.strong));
        ui.label(RichText::new(words::severity_meaning(class)).small().color(tokens.faint));
    });
    for (salt, judgement) in round.grading(finding).enumerate() {
        proof::judgement(ui, tokens, judgement, salt);
    }
    if let Some(set) = &finding.overrule {
        if is_taken_back(ui, set, proposed) {
            changed.overrule = None;
        }
        return;
    }
    if let Some(overrule) = overrule_form(round, state, ui, &finding.id.to_string(), proposed) {
        changed.overrule = Some(overrule);
    }
}

/// The class that a person set instead of the proposed one, and why; true when the proposed one is to stand again.
pub(super) fn is_taken_back(ui: &mut Ui, set: &Overrule, proposed: Severity) -> bool {
    let who = if set.by.is_empty() { "A person" } else { set.by.as_str() };
    ui.label(format!("{who} set {} instead of {}: {}", set.severity.word(), proposed.word(), set.reason));
    ui.button("Take the proposed class again").clicked()
}

/// Another class with its reason. A dangerous is never offered to be lowered.
pub(super) fn overrule_form(
    round: &Round<'_>,
    state: &mut UiState,
    ui: &mut Ui,
    of: &str,
    proposed: Severity,
) -> Option<Overrule> {
    let tokens = round.cx.tokens;
    let others: Vec<Severity> =
        Severity::ALL.into_iter().filter(|s| *s != proposed && may_overrule(proposed, *s)).collect();
    if others.is_empty() {
        let words = "A dangerous finding clears only by repair and a second look, or by being withdrawn as a mistake.";
        ui.label(RichText::new(words).small().color(tokens.faint));
        return None;
    }
    let mut set = None;
    egui::CollapsingHeader::new("Set another class").id_salt(("overrule", of)).show(ui, |ui| {
        let form = &mut state.walk.overrule;
        if form.of != of {
            *form = OverruleForm { of: of.to_owned(), ..OverruleForm::default() };
        }
        ui.horizontal_wrapped(|ui| {
            for severity in others {
                if chip(ui, tokens, form.severity == Some(severity), severity.word()) {
                    form.severity = Some(severity);
                }
            }
        });
        let label = ui.label(RichText::new("Reason for it").small().color(tokens.faint));
        let width = ui.available_width() - 10.0;
        ui.add(typed_line(&mut form.reason).desired_width(width).min_size(vec2(0.0, tokens.target)))
            .labelled_by(label.id);
        let ready = form.severity.is_some() && !form.reason.trim().is_empty();
        let response = ui.add_enabled(ready, egui::Button::new("Set this class"));
        // A line stands here in either case, or the button would move away under the hand.
        let told = if ready { "The record keeps both classes." } else { "Choose a class and write the reason." };
        ui.label(RichText::new(told).small().color(tokens.faint));
        if response.clicked()
            && let Some(severity) = form.severity
        {
            set = Some(Overrule { severity, reason: form.reason.trim().to_owned(), by: round.person() });
            *form = OverruleForm::default();
        }
    });
    set
}

/// A class that a person is about to set.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct OverruleForm {
    of: String,
    severity: Option<Severity>,
    reason: String,
}
