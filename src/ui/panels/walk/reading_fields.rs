//! The fields of a check: each takes one reading in the user's units and sends it to the record when it is left.

use egui::{RichText, Ui};

use super::drafts::Drafts;
use super::field::{FieldLook, Typed, asking, chip, trouble};
use super::round::Round;
use super::{survey, torque_list};
use crate::catalogue::{Choice, Field, FieldKind};
use crate::inspection::{CheckRef, LevelReading, Mark, Subject, Value};
use crate::machine::{FluidState, Stance};
use crate::tyre::pressure_doubt;
use crate::ui::{Action, UiState};
use crate::units::{Dimension, Preferences, Quantity, Unit, day, parse_number};

/// A fluid level that is not yet said whole.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct LevelDraft {
    mark: Option<Mark>,
    stance: Option<Stance>,
    state: Option<FluidState>,
}

/// The key of a field among the drafts.
pub(super) fn key(round: &Round<'_>, check: &CheckRef, field: &Field) -> String {
    format!("reading|{}|{check}|{}", round.inspection.id, field.id)
}

/// Sends readings whose field is no longer drawn, because another check was taken in hand before Enter was pressed.
pub(super) fn send_left_behind(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>) {
    let in_hand = state.check.as_ref().map(ToString::to_string);
    for (key, text) in state.walk.drafts.under(&format!("reading|{}|", round.inspection.id)) {
        let mut parts = key.splitn(4, '|').skip(2);
        let (Some(check), Some(field_id)) = (parts.next(), parts.next()) else { continue };
        if in_hand.as_deref() == Some(check) {
            continue;
        }
        let Ok(reference) = CheckRef::try_from(check.to_owned()) else { continue };
        let Some(entry) = round.entry(&reference).and_then(|c| c.field(field_id)) else { continue };
        // A text that cannot be read stays and is shown with its reason when the check is taken in hand again.
        if let Ok(value) = read(&text, &entry.kind, round.units())
            && doubt(round, &reference, &value).is_none()
        {
            state.walk.drafts.clear(&key);
            let mut answer = round.answer(&reference);
            answer.readings.insert(field_id.to_owned(), value);
            actions.push(round.set_answer(&reference, answer));
        }
    }
}

/// Reads a text as a value of a simple field.
pub(super) fn read(text: &str, kind: &FieldKind, units: &Preferences) -> Result<Value, String> {
    fn quantity<D: Dimension>(text: &str, unit: &'static Unit) -> Result<Quantity<D>, String> {
        Quantity::parse(text, Some(unit)).map_err(|e| e.to_string())
    }
    Ok(match kind {
        FieldKind::Pressure => Value::Pressure(quantity(text, unit_of::<crate::units::Pressure>(units))?),
        FieldKind::Depth => Value::Length(quantity(text, units.depth_unit())?),
        FieldKind::Length => Value::Length(quantity(text, unit_of::<crate::units::Length>(units))?),
        FieldKind::Temperature => Value::Temperature(quantity(text, unit_of::<crate::units::Temperature>(units))?),
        FieldKind::Voltage => Value::Voltage(quantity(text, unit_of::<crate::units::Voltage>(units))?),
        FieldKind::Torque => Value::Torque(quantity(text, unit_of::<crate::units::Torque>(units))?),
        FieldKind::Distance => Value::Distance(quantity(text, unit_of::<crate::units::Distance>(units))?),
        FieldKind::Number => Value::Number(parse_number(text).map_err(|e| e.to_string())?),
        FieldKind::Date => Value::Date(day::parse(text)?),
        FieldKind::Choice(_)
        | FieldKind::Level
        | FieldKind::TreadGrid
        | FieldKind::DialSurvey
        | FieldKind::RoundDepth
        | FieldKind::RoundNumber
        | FieldKind::Fasteners => {
            return Err("expected a choice or a survey, found a text: use the field of this check".into());
        }
    })
}

/// Names the preferred unit of a quantity type.
pub(super) trait Liked {
    /// The unit the user likes.
    fn liked(units: &Preferences) -> &'static Unit;
}
impl<D: crate::units::Shows> Liked for Quantity<D> {
    fn liked(units: &Preferences) -> &'static Unit {
        units.unit::<D>()
    }
}
/// The unit the user likes for a quantity type.
pub(super) fn unit_of<Q: Liked>(units: &Preferences) -> &'static Unit {
    Q::liked(units)
}

/// The text with which a value is shown in its field: as it was typed.
fn shown(value: Option<&Value>, comma: bool) -> String {
    let text = match value {
        Some(Value::Pressure(q)) => q.to_string(),
        Some(Value::Length(q)) => q.to_string(),
        Some(Value::Temperature(q)) => q.to_string(),
        Some(Value::Voltage(q)) => q.to_string(),
        Some(Value::Torque(q)) => q.to_string(),
        Some(Value::Distance(q)) => q.to_string(),
        Some(Value::Number(n)) => n.to_string(),
        Some(Value::Date(d)) => return d.to_string(),
        _ => String::new(),
    };
    if comma { text.replace('.', ",") } else { text }
}

/// An example of an entry, shown in the empty field.
fn hint(kind: &FieldKind, units: &Preferences) -> String {
    let unit: &Unit = match kind {
        FieldKind::Pressure => unit_of::<crate::units::Pressure>(units),
        FieldKind::Depth => units.depth_unit(),
        FieldKind::Length => unit_of::<crate::units::Length>(units),
        FieldKind::Temperature => unit_of::<crate::units::Temperature>(units),
        FieldKind::Voltage => unit_of::<crate::units::Voltage>(units),
        FieldKind::Torque => unit_of::<crate::units::Torque>(units),
        FieldKind::Distance => unit_of::<crate::units::Distance>(units),
        FieldKind::Date => return "year-month-day".into(),
        _ => return String::new(),
    };
    unit.symbol.to_owned()
}

/// Draws a field and sends what was read.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    check: &CheckRef,
    of: &Field,
) {
    let answer = round.answer(check);
    let tokens = round.cx.tokens;
    let current = answer.readings.get(&of.id);
    let key = key(round, check, of);
    let new: Option<Option<Value>> = match &of.kind {
        FieldKind::Choice(choices) => choice(round, ui, of, choices, current),
        FieldKind::Level => level(round, state, ui, check, of, current),
        FieldKind::TreadGrid | FieldKind::DialSurvey | FieldKind::RoundDepth | FieldKind::RoundNumber => {
            survey::ui(round, state, ui, &key, (check, of), current)
        }
        FieldKind::Fasteners => torque_list::ui(round, state, ui, &key, of, current),
        kind => {
            let shown = shown(current, round.units().decimal_comma);
            let hint = hint(kind, round.units());
            let look =
                FieldLook { key: &key, label: &of.label, hint: &hint, shown: &shown, width: 130.0, label_above: true };
            let drafts: &mut Drafts = &mut state.walk.drafts;
            let read = |text: &str, is_again: bool| {
                let value = read(text, kind, round.units())?;
                // What is hardly what the gauge shows is asked about before it is written.
                match doubt(round, check, &value).filter(|_| !is_again) {
                    Some(doubt) => Err(format!("{doubt} Enter once more takes it as it stands.")),
                    None => Ok(value),
                }
            };
            match asking(ui, tokens, drafts, &look, read) {
                Typed::Nothing => None,
                Typed::Cleared => Some(None),
                Typed::Read(value) => Some(Some(value)),
            }
        }
    };
    if let Some(doubt) = current.and_then(|value| doubt(round, check, value)) {
        trouble(ui, tokens, &doubt);
    }
    if !of.hint.is_empty() {
        ui.label(RichText::new(&of.hint).small().color(tokens.faint));
    }
    if let Some(value) = new {
        let mut answer = answer.clone();
        match value {
            Some(value) => answer.readings.insert(of.id.clone(), value),
            None => answer.readings.remove(&of.id),
        };
        actions.push(round.set_answer(check, answer));
    }
}

/// What is asked about a reading that is hardly what the gauge shows.
fn doubt(round: &Round<'_>, check: &CheckRef, value: &Value) -> Option<String> {
    match value {
        Value::Pressure(read) => pressure_doubt(*read, placard(round, check)),
        _ => None,
    }
}

/// The placard's pressure for the wheel of a check, as it is ridden today.
fn placard(round: &Round<'_>, check: &CheckRef) -> Option<crate::units::Pressure> {
    let placard = round.machine().wheel(check.subject.wheel()?)?.placard.as_ref()?;
    let is_loaded = round.inspection.conditions.loaded;
    Some(placard.loaded.filter(|_| is_loaded).unwrap_or(placard.solo))
}

/// The stance and the temperature in which the manual of this machine reads the level of a fluid; none where its data
/// do not say.
pub(super) fn level_of_manual(round: &Round<'_>, check: &CheckRef) -> Option<(Stance, FluidState)> {
    match check.subject {
        Subject::Fluid(kind) => round.machine().fluid(kind).map(|f| (f.stance, f.state)),
        _ => None,
    }
}

/// Pressing the chosen one again takes the choice back.
fn choice(
    round: &Round<'_>,
    ui: &mut Ui,
    of: &Field,
    choices: &[Choice],
    current: Option<&Value>,
) -> Option<Option<Value>> {
    ui.label(RichText::new(&of.label).small().color(round.cx.tokens.faint));
    let mut new = None;
    ui.horizontal_wrapped(|ui| {
        for choice in choices {
            let chosen = matches!(current, Some(Value::Choice(id)) if *id == choice.id);
            if chip(ui, round.cx.tokens, chosen, &choice.label) {
                new = Some((!chosen).then(|| Value::Choice(choice.id.clone())));
            }
        }
    });
    new
}

/// A level is taken only whole: what is seen, how the machine stands, how warm the fluid is.
fn level(
    round: &Round<'_>,
    state: &mut UiState,
    ui: &mut Ui,
    check: &CheckRef,
    of: &Field,
    current: Option<&Value>,
) -> Option<Option<Value>> {
    let tokens = round.cx.tokens;
    let recorded = match current {
        Some(Value::Level(level)) => {
            LevelDraft { mark: Some(level.mark), stance: Some(level.stance), state: Some(level.state) }
        }
        _ => LevelDraft::default(),
    };
    // Where the manual reads it at any temperature, nobody is asked how warm it is.
    let any = match check.subject {
        Subject::Fluid(kind) => round.machine().fluid(kind).is_some_and(|f| f.state == FluidState::Any),
        _ => false,
    };
    let recorded = if any { LevelDraft { state: Some(FluidState::Any), ..recorded } } else { recorded };
    let mut draft = state.walk.levels.get(check).copied().unwrap_or(recorded);
    let before = draft;
    ui.label(RichText::new(&of.label).small().color(tokens.faint));
    if let Subject::Fluid(kind) = check.subject
        && let Some(fluid) = round.machine().fluid(kind)
    {
        let words = format!("By the manual it is read {}, {}.", fluid.stance.word(), fluid.state.word());
        ui.label(RichText::new(words).small());
    }
    chips(ui, round, "The level stands", &mut draft.mark, Mark::ALL, Mark::word);
    chips(ui, round, "The machine stands", &mut draft.stance, Stance::ALL, Stance::word);
    if !any {
        let states = [FluidState::Cold, FluidState::Warm, FluidState::Hot];
        chips(ui, round, "The fluid is", &mut draft.state, states, FluidState::word);
    }
    if draft == before {
        return None;
    }
    match draft {
        LevelDraft { mark: Some(mark), stance: Some(stance), state: Some(fluid) } => {
            state.walk.levels.remove(check);
            Some(Some(Value::Level(LevelReading { mark, stance, state: fluid })))
        }
        part => {
            state.walk.levels.insert(check.clone(), part);
            None
        }
    }
}

fn chips<T: Copy + PartialEq, const N: usize>(
    ui: &mut Ui,
    round: &Round<'_>,
    what: &str,
    value: &mut Option<T>,
    all: [T; N],
    word: fn(T) -> &'static str,
) {
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(what).small().color(round.cx.tokens.faint));
        for one in all {
            if chip(ui, round.cx.tokens, *value == Some(one), word(one)) {
                *value = Some(one);
            }
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Length, Pressure};

    #[test]
    fn readings_take_the_liked_unit_and_keep_the_typed_one() {
        let us = Preferences { pressure: "psi".into(), depth: "/32 in".into(), ..Preferences::default() };
        assert_eq!(read("36", &FieldKind::Pressure, &us), Ok(Value::Pressure(Pressure::psi(36.0))));
        assert_eq!(read("2,5 bar", &FieldKind::Pressure, &us), Ok(Value::Pressure(Pressure::bar(2.5))));
        assert_eq!(read("4", &FieldKind::Depth, &us), Ok(Value::Length(Length::thirty_seconds(4.0))));
        assert_eq!(read("2.5 mm", &FieldKind::Depth, &us), Ok(Value::Length(Length::mm(2.5))));
        let shown_again = shown(Some(&Value::Pressure(Pressure::bar(2.5))), true);
        assert_eq!(shown_again, "2,5 bar");
    }

    #[test]
    fn what_is_no_reading_says_what_was_expected() {
        let eu = Preferences::default();
        for (text, kind, words) in [
            ("36 mm", FieldKind::Pressure, "pressure"),
            ("-2 bar", FieldKind::Pressure, "zero or more"),
            ("much", FieldKind::Number, "number"),
            ("NaN", FieldKind::Voltage, "finite"),
            ("5/6/2026", FieldKind::Date, "year-month-day"),
        ] {
            let message = read(text, &kind, &eu).expect_err(text);
            assert!(message.contains(words), "{text}: {message}");
        }
    }
}
