//! The check in hand: how it is done, what it was last time, its fields, and what was read judged beside them.

use egui::{RichText, Ui, vec2};

use super::field::{FieldLook, Typed, field, trouble};
use super::round::Round;
use super::{checks, finding_form, mark, proof, proposal, reading_fields, select, words};
use crate::catalogue::Check;
use crate::edit::Command;
use crate::inspection::{CheckRef, CheckState};
use crate::machine::Stance;
use crate::rules::{CheckResult, Judgement, Outcome, Status};
use crate::ui::panels::calculator;
use crate::ui::panels::calculator::beside::{self, Beside};
use crate::ui::theme::strong_family;
use crate::ui::{Action, UiState};

/// Draws the check in hand.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, result: &CheckResult) {
    let tokens = round.cx.tokens;
    let check = &result.check;
    let Some(entry) = round.entry(check) else {
        ui.label("This check is not in the catalogue any more. Its answer is kept.");
        return;
    };
    ui.label(RichText::new(&result.title).heading().color(tokens.strong));
    state_line(round, ui, result);
    if let Some(stop) = round.stop(entry) {
        trouble(ui, tokens, stop);
        ui.add_space(4.0);
    }
    for id in &entry.cautions {
        if let Some(caution) = round.catalogue().caution(id) {
            egui::Frame::new().fill(tokens.wash).inner_margin(8.0).corner_radius(4.0).show(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.label(RichText::new(&caution.title).family(strong_family()).color(tokens.strong));
                ui.label(RichText::new(&caution.text).small());
            });
        }
    }
    last_time(round, state, ui, check, entry);
    ui.add_space(2.0);
    for of in &entry.fields {
        reading_fields::ui(round, state, actions, ui, check, of);
        ui.add_space(2.0);
    }
    let offers = beside::check(
        &entry.id,
        &Beside {
            machine: round.machine(),
            answer: round.inspection.answer(check),
            conditions: Some(&round.inspection.conditions),
            check: Some(check),
            wheel: check.subject.wheel().and_then(|w| round.machine().wheel(w)),
        },
    );
    let place = format!("{}|{}|{check}", round.machine().id, round.inspection.id);
    calculator::ui(&mut state.calculator, tokens, round.cx.today, ui, &place, &offers);
    if state.walk.go_on.take().as_ref() == Some(check) && is_plainly_sound(result) {
        go_on(round, state, check);
    }
    if std::mem::take(&mut state.walk.drafts.focus_next) {
        // Enter in the last field goes on to the next open check and its first field; after a new reading only once it is
        // judged, and not past a judgement that is to be read.
        if state.walk.drafts.read_new {
            state.walk.go_on = Some(check.clone());
            ui.request_repaint();
        } else {
            go_on(round, state, check);
        }
    }
    for (salt, judgement) in result.judgements.iter().filter(|j| j.finding.is_none()).enumerate() {
        proof::judgement(ui, tokens, judgement, salt);
    }
    overrule(round, state, actions, ui, result);
    answers(round, state, actions, ui, result, entry);
    findings(round, state, ui, check);
    ui.separator();
    ui.label(RichText::new("How").family(strong_family()).color(tokens.strong));
    ui.label(&entry.how);
    method_line(round, ui, entry);
    egui::CollapsingHeader::new(RichText::new("Why, and what a fault looks like").small())
        .id_salt(("why", check.to_string()))
        .show(ui, |ui| {
            ui.label(RichText::new(&entry.why).small());
            if !entry.signs.is_empty() {
                ui.label(RichText::new(format!("Signs: {}", entry.signs)).small());
            }
            for limit in &entry.limits {
                let words = format!("For any machine: {} ({}).", limit.words, limit.source);
                ui.label(RichText::new(words).small());
            }
        });
}

/// Whether there is nothing to read in what was judged of a check.
fn is_plainly_sound(result: &CheckResult) -> bool {
    result.status == Status::Sound && result.judgements.iter().all(|j| j.outcome == Outcome::Sound)
}

fn go_on(round: &Round<'_>, state: &mut UiState, check: &CheckRef) {
    if let Some(next) = select::next_open(round.results(), Some(check)) {
        select::check(state, next);
        state.walk.drafts.focus_next = round.entry(&next.check).is_some_and(|c| !c.fields.is_empty());
    }
}

fn state_line(round: &Round<'_>, ui: &mut Ui, result: &CheckResult) {
    let tokens = round.cx.tokens;
    ui.horizontal_wrapped(|ui| {
        match (&result.status, result.severity) {
            (Status::HasFinding, severity) => mark::severity(ui, tokens, severity, 16.0),
            (Status::Sound, _) => mark::severity(ui, tokens, None, 16.0),
            _ => mark::in_flow(ui, tokens, crate::drawing::notch::Mark::Unchecked, 16.0),
        }
        let words = match (&result.status, result.severity) {
            (Status::HasFinding, Some(severity)) => format!("Has a finding, {}", severity.word()),
            (status, _) => words::capital(&status.words()),
        };
        ui.label(words);
        if result.required && result.status.is_open() {
            ui.label(RichText::new("no verdict without it").small().color(tokens.faint));
        }
    });
}

fn method_line(round: &Round<'_>, ui: &mut Ui, entry: &Check) {
    let tokens = round.cx.tokens;
    let tool = if entry.tool.is_empty() { "eyes and hands".to_owned() } else { entry.tool.clone() };
    let minutes = crate::units::print_number(f64::from(entry.minutes), 1, round.units().decimal_comma);
    let minutes = minutes.trim_end_matches(".0").trim_end_matches(",0");
    let stance = match entry.stance {
        Stance::RiderAboard => words::capital(entry.stance.word()),
        _ => format!("Machine {}", entry.stance.word()),
    };
    let line = format!("With: {tool}. {stance}, {}. About {minutes} min.", entry.engine.word());
    ui.label(RichText::new(line).small().color(tokens.faint));
}

/// What was answered last time, in one line.
pub(super) fn last_time(round: &Round<'_>, state: &UiState, ui: &mut Ui, check: &CheckRef, entry: &Check) {
    let side = select::side(state);
    let last = round.earlier().find_map(|i| {
        let words = i.answer(check).map(|a| words::answer(a, entry, side, round.units()))?;
        (!words.is_empty()).then_some((i.date, words))
    });
    let words = match last {
        Some((date, words)) => format!("Last time, {}: {words}", words::day(date)),
        None => "Nothing was recorded for it before.".to_owned(),
    };
    ui.label(RichText::new(words).small().color(round.cx.tokens.faint));
}

/// A class set against a judged reading, with its reason.
fn overrule(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, result: &CheckResult) {
    let read = result.judgements.iter().filter(|j| j.finding.is_none());
    let Some(proposed) = read.filter_map(Judgement::severity).max() else { return };
    let check = &result.check;
    let send = |overrule| {
        Action::Edit(Command::Overrule(
            round.machine().id.clone(),
            round.inspection.id.clone(),
            check.clone(),
            overrule,
        ))
    };
    if let Some(set) = round.inspection.overrules.get(check) {
        if finding_form::is_taken_back(ui, set, proposed) {
            actions.push(send(None));
        }
    } else if let Some(set) = finding_form::overrule_form(round, state, ui, &check.to_string(), proposed) {
        actions.push(send(Some(set)));
    }
}

fn answers(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    result: &CheckResult,
    entry: &Check,
) {
    let tokens = round.cx.tokens;
    let check = &result.check;
    let answer = round.answer(check);
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        let button = |ui: &mut Ui, words: &str, key: &str, selected: bool| {
            let button = egui::Button::new(words).selected(selected).min_size(vec2(0.0, tokens.target + 4.0));
            ui.add(button).on_hover_text(format!("Key {key}")).clicked()
        };
        if button(ui, "Sound", "S", answer.state == CheckState::Sound) {
            checks::sound_and_on(round, state, actions);
        }
        if !entry.faults.is_empty() && button(ui, "Finding…", "F", false) {
            state.walk.proposal = proposal::at_check(round, check);
        }
        if button(ui, "Could not check…", "C", matches!(answer.state, CheckState::CouldNot(_))) {
            checks::could_not(state, check);
        }
        // Offered only where the machine's data lack the part (house rule 5).
        let applies = entry.when.iter().all(|w| w.holds(round.machine()))
            && entry.on.subjects(round.machine()).contains(&check.subject);
        if !applies && button(ui, "The machine lacks it", "none", answer.state == CheckState::NotApplicable) {
            actions.push(round.set_state(check, CheckState::NotApplicable));
        }
        if answer.state != CheckState::Unchecked && button(ui, "Take the answer back", "none", false) {
            actions.push(round.set_state(check, CheckState::Unchecked));
        }
    });
    if state.walk.could_not_open || matches!(answer.state, CheckState::CouldNot(_)) {
        could_not_field(round, state, actions, ui, check);
    }
}

/// The field for the reason why a check could not be done.
pub(super) fn could_not_field(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    check: &CheckRef,
) {
    let tokens = round.cx.tokens;
    let why = match round.answer(check).state {
        CheckState::CouldNot(why) => why,
        _ => String::new(),
    };
    {
        let key = checks::could_not_key(check);
        let look = FieldLook {
            key: &key,
            label: "Why it could not be checked",
            hint: "no gauge at hand",
            shown: &why,
            width: (ui.available_width() - 20.0).clamp(120.0, 290.0),
            label_above: true,
        };
        match field(ui, tokens, &mut state.walk.drafts, &look, |text| Ok(text.trim().to_owned())) {
            Typed::Nothing => {}
            Typed::Cleared => actions.push(round.set_state(check, CheckState::Unchecked)),
            Typed::Read(why) => {
                state.walk.could_not_open = false;
                actions.push(round.set_state(check, CheckState::CouldNot(why)));
            }
        }
        ui.label(RichText::new("It counts as unchecked.").small().color(tokens.faint));
    }
}

fn findings(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, check: &CheckRef) {
    for finding in round.inspection.findings_of(check) {
        let words = format!(
            "{}, {}",
            words::capital(round.catalogue().fault_words(finding)),
            words::place(&finding.place, select::side(state))
        );
        ui.horizontal(|ui| {
            mark::severity(ui, round.cx.tokens, round.severity(finding), 14.0);
            if ui.add(egui::Button::new(words).wrap()).clicked() {
                select::finding(state, round.inspection, finding);
            }
        });
    }
}
