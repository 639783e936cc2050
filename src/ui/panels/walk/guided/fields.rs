//! Where the result of a check goes. A digit that is typed goes into the first field without anyone looking for it; where
//! a check has only choices or a level, the digit is the number of the choice.

use egui::{Event, RichText, Ui};

use super::super::field::chip_named;
use super::super::reading_fields;
use super::super::round::Round;
use crate::catalogue::{Check, Field, FieldKind};
use crate::inspection::{CheckRef, Mark, Value};
use crate::ui::{Action, UiState};

/// Whether a field is typed into.
fn is_typed(field: &Field) -> bool {
    !matches!(field.kind, FieldKind::Choice(_) | FieldKind::Level)
}

/// Whether a field is a grid of places.
fn is_survey(field: &Field) -> bool {
    matches!(
        field.kind,
        FieldKind::TreadGrid
            | FieldKind::DialSurvey
            | FieldKind::RoundDepth
            | FieldKind::RoundNumber
            | FieldKind::Fasteners
    )
}

/// What is told where a figure finds every field filled.
const READ_ALREADY: &str = "Every field here has its figure already: Tab to the one that is to be changed.";

/// The text typed in this frame that begins like a figure, while no field has the keyboard; it is taken.
pub(super) fn figure(ui: &Ui) -> Option<String> {
    if ui.text_edit_focused() {
        return None;
    }
    ui.input_mut(|i| {
        let mut text = String::new();
        i.events.retain(|event| match event {
            Event::Text(typed) if is_figure(typed, text.is_empty()) => {
                text.push_str(typed);
                false
            }
            _ => true,
        });
        (!text.is_empty()).then_some(text)
    })
}

fn is_figure(typed: &str, first: bool) -> bool {
    let begins = |c: char| c.is_ascii_digit() || matches!(c, '-' | '.' | ',' | '+');
    typed.chars().next().is_some_and(|c| begins(c) || (!first && c == ':'))
}

/// Draws the fields of a check; `figure` is what was typed without a field having the keyboard.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    (check, entry): (&CheckRef, &Check),
    figure: Option<String>,
) {
    if state.walk.guided.at_choice.as_ref() != Some(check) {
        state.walk.guided.at_choice = None;
    }
    // Digits go into a field until Enter has gone through the fields; then they choose.
    let has_typed = entry.fields.iter().any(is_typed) && state.walk.guided.at_choice.is_none();
    if let Some(text) = figure {
        if has_typed {
            // A figure goes where nothing stands yet; only where one field is all there is does it mend what was read.
            let mut typed = entry.fields.iter().filter(|f| is_typed(f));
            let (first, is_alone) = (typed.next(), typed.next().is_none());
            let is_figure = first.is_some_and(|f| !is_survey(f));
            state.walk.drafts.open_only = !(is_alone && is_figure);
            state.walk.drafts.focus_next = true;
            state.walk.drafts.seed = Some(text);
        } else if let Ok(number) = text.trim().parse::<usize>() {
            numbered(round, state, actions, check, entry, number);
        }
    }
    // What is typed into comes first: there Tab and the digits arrive.
    for field in entry.fields.iter().filter(|f| is_typed(f)) {
        reading_fields::ui(round, state, actions, ui, check, field);
    }
    if std::mem::take(&mut state.walk.drafts.open_only) && state.walk.drafts.seed.take().is_some() {
        state.walk.drafts.focus_next = false;
        state.walk.guided.told = READ_ALREADY.into();
    }
    // Enter in the last of them goes on to the choice that is still to be made.
    if state.walk.drafts.focus_next
        && has_typed
        && first_open(round, check, entry).is_some_and(|f| is_open(round, check, f))
    {
        state.walk.drafts.focus_next = false;
        state.walk.guided.at_choice = Some(check.clone());
        ui.ctx().request_repaint();
    }
    for field in entry.fields.iter().filter(|f| !is_typed(f)) {
        match &field.kind {
            FieldKind::Choice(choices) => {
                let labels: Vec<&str> = choices.iter().map(|c| c.label.as_str()).collect();
                let chosen = match round.answer(check).readings.get(&field.id) {
                    Some(Value::Choice(id)) => choices.iter().position(|c| c.id == *id),
                    _ => None,
                };
                let is_numbered = !has_typed && first_open(round, check, entry).is_some_and(|f| f.id == field.id);
                if let Some(index) = choice(round, ui, &field.label, &labels, chosen, is_numbered) {
                    let value = (chosen != Some(index)).then(|| Value::Choice(choices[index].id.clone()));
                    send(round, actions, check, field, value);
                }
            }
            _ => {
                let labels: Vec<&str> = Mark::ALL.into_iter().map(Mark::word).collect();
                let mark = match round.answer(check).readings.get(&field.id) {
                    Some(Value::Level(level)) => Mark::ALL.into_iter().position(|m| m == level.mark),
                    _ => None,
                };
                // Where the manual says how it is read, the walk has set the machine up so, and the mark is enough.
                if reading_fields::level_of_manual(round, check).is_some() {
                    if let Some(index) = choice(round, ui, &field.label, &labels, mark, !has_typed) {
                        level(round, actions, check, field, index);
                    }
                    let value = reading_fields::level_of_manual(round, check);
                    let told = value.map(|(stance, fluid)| {
                        format!("Read {} and {}, as this step and the manual say.", stance.word(), fluid.word())
                    });
                    ui.label(RichText::new(told.unwrap_or_default()).small().color(round.cx.tokens.faint));
                } else {
                    reading_fields::ui(round, state, actions, ui, check, field);
                }
            }
        }
    }
}

/// Whether a choice or a level is still to be said.
fn is_open(round: &Round<'_>, check: &CheckRef, field: &Field) -> bool {
    !round.answer(check).readings.contains_key(&field.id)
}

/// The first choice that is not yet made, else the first of all; a level counts where its mark alone is enough.
fn first_open<'c>(round: &Round<'_>, check: &CheckRef, entry: &'c Check) -> Option<&'c Field> {
    let is_numbered = |f: &&Field| match f.kind {
        FieldKind::Choice(_) => true,
        FieldKind::Level => reading_fields::level_of_manual(round, check).is_some(),
        _ => false,
    };
    let mut choices = entry.fields.iter().filter(is_numbered);
    choices.clone().find(|f| is_open(round, check, f)).or_else(|| choices.next())
}

/// Takes the choice with a number.
fn numbered(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    check: &CheckRef,
    entry: &Check,
    number: usize,
) {
    let Some(field) = first_open(round, check, entry) else { return };
    let Some(index) = number.checked_sub(1) else { return };
    match &field.kind {
        FieldKind::Choice(choices) => match choices.get(index) {
            Some(choice) => send(round, actions, check, field, Some(Value::Choice(choice.id.clone()))),
            None => {
                state.walk.guided.told =
                    format!("There are {} choices here; Tab goes to the fields above.", choices.len());
            }
        },
        FieldKind::Level => level(round, actions, check, field, index),
        _ => {}
    }
}

/// A level as the manual of this machine reads it.
fn level(round: &Round<'_>, actions: &mut Vec<Action>, check: &CheckRef, field: &Field, index: usize) {
    let Some((stance, state)) = reading_fields::level_of_manual(round, check) else { return };
    if let Some(mark) = Mark::ALL.get(index) {
        let level = crate::inspection::LevelReading { mark: *mark, stance, state };
        send(round, actions, check, field, Some(Value::Level(level)));
    }
}

fn send(round: &Round<'_>, actions: &mut Vec<Action>, check: &CheckRef, field: &Field, value: Option<Value>) {
    let mut answer = round.answer(check);
    match value {
        Some(value) => answer.readings.insert(field.id.clone(), value),
        None => answer.readings.remove(&field.id),
    };
    actions.push(round.set_answer(check, answer));
}

/// Choices to press, with their numbers where a digit takes them.
fn choice(
    round: &Round<'_>,
    ui: &mut Ui,
    label: &str,
    labels: &[&str],
    chosen: Option<usize>,
    is_numbered: bool,
) -> Option<usize> {
    let tokens = round.cx.tokens;
    ui.label(RichText::new(label).small().color(tokens.faint));
    let mut pressed = None;
    ui.horizontal_wrapped(|ui| {
        for (index, words) in labels.iter().enumerate() {
            let shown = if is_numbered { format!("{}  {words}", index + 1) } else { (*words).to_owned() };
            if chip_named(ui, tokens, chosen == Some(index), &shown, words) {
                pressed = Some(index);
            }
        }
    });
    pressed
}
