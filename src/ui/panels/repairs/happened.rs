//! Writing down what happened between inspections: a part fitted, the odometer, a fill, a fall.

use egui::{CollapsingHeader, RichText, Ui};

use super::typed::{day, depth, line, odometer, odometer_doubt};
use crate::edit::{Command, after_fitting};
use crate::garage::Bay;
use crate::inspection::{Condition, Event, EventId, EventKind, Fitting, PartRef};
use crate::machine::{BatteryKind, FinalDrive, Machine, SCHEMA, Tyre};
use crate::tyre::{TinDate, TyreMarking};
use crate::ui::widgets::{Doubted, choice, segments};
use crate::ui::{Action, UiState, ViewCtx};

/// What is being told.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum What {
    #[default]
    Part,
    Odometer,
    Fill,
    Replaced,
    Fall,
}

/// What is typed about it.
#[derive(Clone, Debug, Default)]
pub(super) struct HappenedForm {
    /// Whose it is.
    of: String,
    what: What,
    part: Option<PartRef>,
    other: String,
    is_used: bool,
    run: String,
    describes: String,
    marking: String,
    tin: String,
    measured: String,
    day: String,
    by: String,
    odometer: String,
    last: String,
    note: String,
    /// What of the odometer was doubted when it was to be written down.
    doubted: Doubted,
}

impl HappenedForm {
    /// Whether anything was typed that did not stand there by itself.
    pub(super) fn is_begun(&self) -> bool {
        let Self { other, run, describes, marking, tin, measured, odometer, last, note, .. } = self;
        let typed = [other, run, describes, marking, tin, measured, odometer, last, note];
        typed.iter().any(|text| !text.trim().is_empty())
    }
}

/// Draws the form.
pub(super) fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, bay: &Bay) {
    CollapsingHeader::new("Write down what happened").id_salt("happened").show(ui, |ui| {
        let form = &mut state.repairs.happened;
        if form.of != bay.machine.id.0 {
            *form = HappenedForm { of: bay.machine.id.0.clone(), by: cx.inspector.to_owned(), ..Default::default() };
        }
        let kinds = [
            (What::Part, "a part was fitted"),
            (What::Odometer, "the odometer was read"),
            (What::Fill, "filled or charged"),
            (What::Replaced, "the odometer was replaced"),
            (What::Fall, "it fell"),
        ];
        if let Some(what) = segments(ui, "What happened", &form.what, &kinds) {
            form.what = what;
        }
        let unit = crate::ui::panels::walk::distance_unit(cx.units()).symbol;
        if form.what == What::Part {
            part_fields(cx, ui, &bay.machine, form);
        }
        ui.horizontal_wrapped(|ui| {
            line(cx, ui, "On the day", &cx.today.to_string(), &mut form.day, 100.0);
            line(cx, ui, "Told by", "name", &mut form.by, 150.0);
            match form.what {
                What::Fall => {}
                What::Replaced => {
                    line(cx, ui, "The old one showed last", unit, &mut form.last, 150.0);
                    line(cx, ui, "The new one began at", unit, &mut form.odometer, 150.0);
                }
                _ => line(cx, ui, "Odometer on that day", unit, &mut form.odometer, 150.0),
            }
        });
        let doubt = match form.what {
            What::Fall | What::Replaced => None,
            What::Part | What::Odometer | What::Fill => odometer_doubt(cx, bay, &form.day, &form.odometer),
        };
        form.doubted.show(ui, doubt.as_deref());
        let wide = ui.available_width() - 20.0;
        line(cx, ui, "Note on it", "what else is worth knowing", &mut form.note, wide);
        let ready = event(cx, &bay.machine, form);
        let pressed = ui.add_enabled(ready.is_ok(), egui::Button::new("Write it down")).clicked();
        let is_taken = form.doubted.takes(doubt.as_deref(), pressed);
        match ready {
            Ok(event) if is_taken => {
                let machine = after_fitting(&bay.machine, &event);
                actions.push(Action::Edit(Command::Record(bay.machine.id.clone(), event)));
                // The machine's own data follow, so that age and marking are judged of the part that is in.
                actions.extend(machine.map(|m| Action::Edit(Command::EditMachine(m))));
                *form = HappenedForm::default();
            }
            Ok(_) => told(cx, ui, "It is kept as it is written. A wrong one is taken back by a further event."),
            Err(missing) => told(cx, ui, &missing),
        }
    });
}

fn told(cx: &ViewCtx<'_>, ui: &mut Ui, words: &str) {
    ui.label(RichText::new(words).small().color(cx.tokens.faint));
}

fn part_fields(cx: &ViewCtx<'_>, ui: &mut Ui, machine: &Machine, form: &mut HappenedForm) {
    let parts = parts(machine);
    let options: Vec<(Option<PartRef>, String)> =
        parts.into_iter().map(|p| (Some(p.clone()), p.words())).chain([(None, "another part".into())]).collect();
    if let Some(part) = choice(ui, "Part", &form.part, &options) {
        form.part = part;
    }
    let conditions = [(false, "new"), (true, "used")];
    if let Some(used) = segments(ui, "It was", &form.is_used, &conditions) {
        form.is_used = used;
    }
    ui.horizontal_wrapped(|ui| {
        if form.part.is_none() {
            line(cx, ui, "Which part", "clutch cable", &mut form.other, 150.0);
        }
        if form.is_used {
            let unit = crate::ui::panels::walk::distance_unit(cx.units()).symbol;
            line(cx, ui, "Run before", unit, &mut form.run, 100.0);
        }
        if matches!(form.part, Some(PartRef::Tyre(_))) {
            line(cx, ui, "Size and marking", "180/65 B16 81H", &mut form.marking, 150.0);
            line(cx, ui, "Date code", "4123", &mut form.tin, 80.0);
        }
        line(cx, ui, "What it is", "sintered pads", &mut form.describes, 170.0);
        if matches!(form.part, Some(PartRef::Tyre(_) | PartRef::Lining(..) | PartRef::Disc(..))) {
            let unit = cx.units().depth_unit().symbol;
            line(cx, ui, "Least depth or thickness when fitted", unit, &mut form.measured, 190.0);
        }
    });
}

/// The parts of a machine that have lives.
fn parts(machine: &Machine) -> Vec<PartRef> {
    let mut parts = Vec::new();
    for wheel in &machine.wheels {
        parts.push(PartRef::Tyre(wheel.position));
    }
    for wheel in machine.wheels.iter().filter(|w| !w.brakes.is_empty()) {
        parts.push(PartRef::Lining(wheel.position, None));
        let sides = wheel.disc_sides();
        if sides.len() > 1 {
            parts.extend(sides.iter().map(|s| PartRef::Lining(wheel.position, Some(*s))));
        }
        parts.extend(sides.into_iter().map(|s| PartRef::Disc(wheel.position, s)));
    }
    match machine.final_drive {
        FinalDrive::Chain => parts.push(PartRef::Chain),
        FinalDrive::Belt => parts.push(PartRef::Belt),
        FinalDrive::Shaft | FinalDrive::Hub => {}
    }
    if machine.battery != BatteryKind::None {
        parts.push(PartRef::Battery);
    }
    parts.extend(machine.fluids.iter().map(|f| PartRef::Fluid(f.kind)));
    parts
}

/// The event that the form describes, or what is missing or cannot be read.
fn event(cx: &ViewCtx<'_>, machine: &Machine, form: &HappenedForm) -> Result<Event, String> {
    let date = day(cx, &form.day)?;
    let units = cx.units();
    let read = odometer(units, "Odometer", &form.odometer)?;
    let needed = || read.ok_or_else(|| "Write what the odometer showed.".to_owned());
    let note = form.note.trim().to_owned();
    let (name, kind) = match form.what {
        What::Part => ("fitted", EventKind::PartFitted(Box::new(fitting(cx, machine, form)?))),
        What::Odometer => ("odometer", EventKind::Odometer(needed()?)),
        What::Fill => ("fill", EventKind::Fill { odometer: needed()?, note }),
        What::Replaced => {
            let last = odometer(units, "The old one showed last", &form.last)?;
            let first = read.ok_or_else(|| "Write what the new one began at.".to_owned())?;
            ("odometer-replaced", EventKind::OdometerReplaced { last, first, note })
        }
        What::Fall if note.is_empty() => return Err("Write how it fell.".into()),
        What::Fall => ("fall", EventKind::Fall { note }),
    };
    let id = EventId(format!("{date}-{name}-{}", cx.ids.fresh()));
    Ok(Event { schema: SCHEMA, id, date, by: form.by.trim().to_owned(), kind })
}

fn fitting(cx: &ViewCtx<'_>, machine: &Machine, form: &HappenedForm) -> Result<Fitting, String> {
    let part = match &form.part {
        Some(part) => part.clone(),
        None if form.other.trim().is_empty() => return Err("Choose which part was fitted, or write its name.".into()),
        None => PartRef::Other(form.other.trim().to_owned()),
    };
    let units = cx.units();
    let mut fitting = Fitting::new(part);
    fitting.odometer = odometer(units, "Odometer", &form.odometer)?;
    if form.is_used {
        fitting.condition = Condition::Used(odometer(units, "Run before", &form.run)?);
    }
    fitting.what = form.describes.trim().to_owned();
    fitting.note = form.note.trim().to_owned();
    fitting.measured = depth(units, "Depth or thickness", &form.measured)?;
    if let PartRef::Tyre(position) = &fitting.part {
        fitting.tyre = tyre(machine, *position, form)?.map(Box::new);
    }
    Ok(fitting)
}

/// The tyre by what is typed; the marking of the old one counts where only the date code is.
fn tyre(machine: &Machine, at: crate::machine::WheelPosition, form: &HappenedForm) -> Result<Option<Tyre>, String> {
    let typed = |text: &str| Some(text.trim().to_owned()).filter(|t| !t.is_empty());
    let tin = typed(&form.tin).map(|t| TinDate::parse(&t)).transpose().map_err(|e| format!("Date code: {e}"))?;
    let marking = typed(&form.marking).map(|t| TyreMarking::parse(&t)).transpose();
    let marking = marking.map_err(|e| format!("Size and marking: {e}"))?;
    let old = machine.wheel(at).and_then(|w| w.tyre.clone());
    let mut tyre = match (marking, old, &tin) {
        (Some(marking), _, _) => Tyre::new(marking),
        (None, Some(old), Some(_)) => Tyre::new(old.marking),
        (None, _, _) => return Ok(None),
    };
    tyre.tin = tin;
    Ok(Some(tyre))
}
