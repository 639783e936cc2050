//! Beginning an inspection, and choosing among the machine's earlier ones.

use chrono::NaiveDate;
use egui::{RichText, ScrollArea, Ui, vec2};

use super::field::chip;
use super::round::Round;
use super::{odometer_doubt, reading_fields, words};
use crate::edit::Command;
use crate::garage::Bay;
use crate::inspection::{Conditions, Inspection, InspectionId};
use crate::machine::SCHEMA;
use crate::rules::{carry_over, standing};
use crate::ui::theme::strong_family;
use crate::ui::widgets::{Doubted, typed_line};
use crate::ui::{Action, UiState, ViewCtx};
use crate::units::{Distance, Temperature, day, parse_number};

/// What is typed about the conditions, as text; empty where it is not known.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct ConditionsForm {
    /// Who looks.
    pub inspector: String,
    /// Odometer.
    pub odometer: String,
    /// Where it is done.
    pub place: String,
    /// Temperature of the air.
    pub ambient: String,
    /// Hours at rest.
    pub standing: String,
    /// With passenger or luggage.
    pub loaded: bool,
}

/// What is typed about a new inspection.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct StartForm {
    /// The kind by its id.
    pub kind: String,
    /// The day; empty for today.
    pub date: String,
    /// How it is.
    pub conditions: ConditionsForm,
    /// What of the odometer was doubted when it was to begin.
    pub doubted: Doubted,
}

impl StartForm {
    /// The form for a kind, with who looks.
    pub fn of_kind(kind: &str, inspector: &str) -> Self {
        let conditions = ConditionsForm { inspector: inspector.to_owned(), ..ConditionsForm::default() };
        Self { kind: kind.to_owned(), conditions, ..Self::default() }
    }
}

/// The conditions as they go into the record.
pub(super) struct Read {
    /// The odometer.
    pub odometer: Option<Distance>,
    /// The rest.
    pub conditions: Conditions,
}

impl ConditionsForm {
    /// The form filled from a record.
    pub fn of(inspection: &Inspection) -> Self {
        let c = &inspection.conditions;
        Self {
            inspector: inspection.inspector.clone(),
            odometer: inspection.odometer.map_or_else(String::new, |o| o.to_string()),
            place: c.place.clone(),
            ambient: c.ambient.map_or_else(String::new, |a| a.to_string()),
            standing: c.standing_hours.map_or_else(String::new, |h| h.to_string()),
            loaded: c.loaded,
        }
    }
    /// Reads every field; the first that cannot be read is said with its name.
    pub fn read(&self, units: &crate::units::Preferences) -> Result<Read, String> {
        fn optional<T>(what: &str, text: &str, read: impl Fn(&str) -> Result<T, String>) -> Result<Option<T>, String> {
            match text.trim() {
                "" => Ok(None),
                text => read(text).map(Some).map_err(|e| format!("{what}: {e}")),
            }
        }
        let odometer = optional("Odometer", &self.odometer, |t| {
            Distance::parse(t, Some(reading_fields::unit_of::<Distance>(units))).map_err(|e| e.to_string())
        })?;
        let ambient = optional("Air", &self.ambient, |t| {
            Temperature::parse(t, Some(reading_fields::unit_of::<Temperature>(units))).map_err(|e| e.to_string())
        })?;
        let standing_hours = optional("At rest", &self.standing, |t| {
            let hours = parse_number(t.trim_end_matches(['h', ' '])).map_err(|e| e.to_string())?;
            if hours < 0.0 {
                return Err(format!("expected hours of zero or more, found {hours}: type how long it has stood"));
            }
            Ok(hours)
        })?;
        let conditions =
            Conditions { place: self.place.trim().to_owned(), ambient, standing_hours, loaded: self.loaded };
        Ok(Read { odometer, conditions })
    }
}

/// Draws the fields of the conditions, and the day of an inspection that is not yet begun.
/// What is doubted of the odometer is said below it.
pub(super) fn conditions_fields(
    cx: &ViewCtx<'_>,
    ui: &mut Ui,
    form: &mut ConditionsForm,
    day: Option<&mut String>,
    (doubted, doubt): (&Doubted, Option<&str>),
) {
    let units = cx.units();
    let tokens = cx.tokens;
    let line = |ui: &mut Ui, label: &str, hint: &str, text: &mut String, width: f32| {
        ui.vertical(|ui| {
            let label = ui.label(RichText::new(label).small().color(tokens.faint));
            let edit = typed_line(text).hint_text(hint).desired_width(width);
            ui.add(edit.min_size(vec2(0.0, tokens.target))).labelled_by(label.id);
        });
    };
    let distance = reading_fields::unit_of::<Distance>(units).symbol;
    let temperature = reading_fields::unit_of::<Temperature>(units).symbol;
    ui.horizontal_wrapped(|ui| {
        if let Some(day) = day {
            line(ui, "Day", &cx.today.to_string(), day, 100.0);
        }
        line(ui, "Who looks", "name", &mut form.inspector, 150.0);
        line(ui, "Odometer", distance, &mut form.odometer, 110.0);
        line(ui, "Where", "garage", &mut form.place, 110.0);
    });
    doubted.show(ui, doubt);
    ui.horizontal_wrapped(|ui| {
        line(ui, "Air", temperature, &mut form.ambient, 80.0);
        line(ui, "Hours at rest", "3 or more make a cold tyre", &mut form.standing, 190.0);
    });
    ui.checkbox(&mut form.loaded, "With passenger or luggage, so the loaded placard pressure counts");
}

/// Whether Escape was pressed while nothing was being typed: where something is, it ends the typing first.
pub(super) fn is_left(ui: &Ui) -> bool {
    let is_typing = ui.text_edit_focused();
    let was_typing = ui.data_mut(|d| {
        let id = egui::Id::unique("the begin page was typed into");
        std::mem::replace(d.get_temp_mut_or_default::<bool>(id), is_typing)
    });
    !is_typing && !was_typing && ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, egui::Key::Escape))
}

/// Draws the place before an inspection is in hand: begin one, or open an earlier one.
pub(super) fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, bay: &Bay) {
    ScrollArea::vertical().id_salt("start").auto_shrink([false, false]).show(ui, |ui| {
        ui.set_max_width(620.0);
        ui.label(
            RichText::new(format!("Begin an inspection of {}", bay.machine.name)).heading().color(cx.tokens.strong),
        );
        begin(cx, state, actions, ui, bay);
        ui.add_space(14.0);
        history(cx, state, ui, bay);
    });
}

fn begin(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, bay: &Bay) {
    let tokens = cx.tokens;
    let form = &mut state.walk.start;
    if form.kind.is_empty() {
        let first = cx.catalogue.kinds.first();
        form.kind = first.map(|k| k.id.clone()).unwrap_or_default();
        form.conditions.inspector = cx.inspector.to_owned();
    }
    ui.label(RichText::new("What for").small().color(tokens.faint));
    ui.horizontal_wrapped(|ui| {
        for kind in &cx.catalogue.kinds {
            if chip(ui, tokens, form.kind == kind.id, &kind.name) {
                form.kind = kind.id.clone();
            }
        }
    });
    if let Some(kind) = cx.catalogue.kind(&form.kind) {
        let n = cx.catalogue.checks_for(&bay.machine, kind).len();
        let row = cx.derived.rows.iter().find(|r| r.id == bay.machine.id);
        let again = row.and_then(|r| r.verdict.as_ref()).map_or(0, |v| v.asked_again.len());
        let mut text = match (form.kind == "work", again) {
            (true, 1..) => {
                format!("{} that the work has disturbed, and no others.", words::count(again, "check", "checks"))
            }
            _ => format!("{} of this machine.", words::count(n, "check", "checks")),
        };
        if let Some(open) = row.map(|r| r.defects).filter(|n| *n > 0) {
            let open = words::count(open, "open finding is asked about again", "open findings are asked about again");
            text.push_str(&format!(" {open}: still there, grown, or gone."));
        }
        ui.label(RichText::new(text).small());
    }
    let doubt = match day_of(cx, form) {
        Ok(date) => odometer_doubt(cx, bay, (date, &form.conditions.odometer), None),
        Err(_) => None,
    };
    let told = (&form.doubted, doubt.as_deref());
    conditions_fields(cx, ui, &mut form.conditions, Some(&mut form.date), told);
    let ready = inspection(cx, form);
    ui.add_space(4.0);
    let words = RichText::new("Begin the inspection").family(strong_family());
    let pressed =
        ui.add_enabled(ready.is_ok(), egui::Button::new(words).min_size(vec2(0.0, tokens.target + 6.0))).clicked();
    let is_taken = form.doubted.takes(doubt.as_deref(), pressed);
    match ready {
        Ok(inspection) if is_taken => start(cx, state, actions, bay, inspection),
        Ok(_) => {}
        Err(message) => {
            ui.label(RichText::new(message).small().color(tokens.strong));
        }
    }
}

/// Takes a new inspection in hand, with what is carried over to it.
fn start(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, bay: &Bay, mut inspection: Inspection) {
    inspection.id = InspectionId(format!("{}-{}-{}", inspection.date, inspection.kind, cx.ids.fresh()));
    let stands = standing(bay, cx.catalogue, cx.units(), inspection.date);
    carry_over(&stands, &bay.machine, cx.catalogue, &mut inspection);
    state.inspection = Some(inspection.id.clone());
    state.check = None;
    state.finding = None;
    state.walk.start = StartForm::default();
    state.walk.choosing = false;
    state.walk.take_first = true;
    actions.push(Action::Edit(Command::StartInspection(bay.machine.id.clone(), inspection)));
}

/// Begins one of today of the same kind as the one in hand, by the same person.
pub(super) fn begin_today(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>) {
    let form = StartForm::of_kind(&round.inspection.kind, &round.inspection.inspector);
    match inspection(&round.cx, &form) {
        Ok(inspection) => start(&round.cx, state, actions, round.bay, inspection),
        Err(why) => state.walk.guided.told_why(why),
    }
}

/// The day that is typed; today where none is.
fn day_of(cx: &ViewCtx<'_>, form: &StartForm) -> Result<NaiveDate, String> {
    match form.date.trim() {
        "" => Ok(cx.today),
        text => day::parse(text),
    }
}

/// The inspection that the form describes, its id still to be given, or what could not be read.
fn inspection(cx: &ViewCtx<'_>, form: &StartForm) -> Result<Inspection, String> {
    let date = day_of(cx, form)?;
    if date > cx.today {
        return Err(format!("expected a day up to today, {}, found {date}: look at the year again", cx.today));
    }
    let Read { odometer, conditions } = form.conditions.read(cx.units())?;
    Ok(Inspection {
        schema: SCHEMA,
        id: InspectionId(String::new()),
        kind: form.kind.clone(),
        date,
        started: (date == cx.today).then(|| cx.now.time()),
        inspector: form.conditions.inspector.trim().to_owned(),
        odometer,
        conditions,
        asks: Vec::new(),
        carried: Default::default(),
        answers: Default::default(),
        findings: Vec::new(),
        overrules: Default::default(),
        note: String::new(),
    })
}

fn history(cx: &ViewCtx<'_>, state: &mut UiState, ui: &mut Ui, bay: &Bay) {
    let tokens = cx.tokens;
    ui.label(RichText::new("Earlier inspections").family(strong_family()).color(tokens.strong));
    if bay.inspections.is_empty() {
        ui.label(RichText::new("None yet. The first one begins above.").color(tokens.faint));
    }
    for inspection in bay.inspections.iter().rev() {
        let kind = cx.catalogue.kind(&inspection.kind).map_or(inspection.kind.as_str(), |k| k.name.as_str());
        let chosen = state.inspection.as_ref() == Some(&inspection.id);
        let title = format!("{} · {kind}", words::day(inspection.date));
        let mut rest = vec![
            words::count(inspection.answers.len(), "answer", "answers"),
            words::count(inspection.findings.len(), "finding", "findings"),
        ];
        if !inspection.inspector.is_empty() {
            rest.push(format!("by {}", inspection.inspector));
        }
        ui.horizontal_wrapped(|ui| {
            if ui.add(egui::Button::selectable(chosen, title).min_size(vec2(220.0, tokens.target))).clicked() {
                state.inspection = Some(inspection.id.clone());
                state.check = None;
                state.finding = None;
                state.walk.choosing = false;
            }
            ui.label(RichText::new(rest.join(", ")).small().color(tokens.faint));
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Preferences;

    #[test]
    fn conditions_are_read_in_the_liked_units_and_an_empty_field_is_not_known() {
        let us = Preferences { distance: "mi".into(), temperature: "°F".into(), ..Preferences::default() };
        let form = ConditionsForm {
            odometer: "12 400".into(),
            ambient: "41".into(),
            standing: "3 h".into(),
            ..Default::default()
        };
        let read = form.read(&us).expect("readable");
        assert_eq!(read.odometer, Some(Distance::miles(12_400.0)));
        assert_eq!(read.conditions.ambient, Some(Temperature::fahrenheit(41.0)));
        assert_eq!(read.conditions.standing_hours, Some(3.0));
        let empty = ConditionsForm::default().read(&us).expect("nothing is known");
        assert!(empty.odometer.is_none() && empty.conditions.ambient.is_none());
    }

    #[test]
    fn a_condition_that_cannot_be_read_is_named() {
        let wrong = ConditionsForm { ambient: "12 psi".into(), ..Default::default() };
        let message = wrong.read(&Preferences::default()).err().expect("pressure is no temperature");
        assert!(message.starts_with("Air") && message.contains("temperature"), "{message}");
        let negative = ConditionsForm { standing: "-2".into(), ..Default::default() };
        assert!(negative.read(&Preferences::default()).err().expect("negative").contains("zero or more"));
    }
}
