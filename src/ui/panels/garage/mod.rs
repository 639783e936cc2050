//! The garage: its name, its units, where it is on disk, and what could not be read.

mod kinds;

use egui::{ScrollArea, Ui};

use crate::edit::Command;
use crate::garage::GarageInfo;
use crate::ui::widgets::{Entry, caption, heading, named, segments, strong, trouble, typed_line};
use crate::ui::{Action, UiState, ViewCtx};

/// What the panel keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct GarageState {
    /// The folder typed to be opened.
    open: String,
    /// The folder typed for a new garage.
    create: String,
    /// The kinds of inspection.
    kinds: kinds::KindsState,
}

/// Draws the panel.
pub fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        ui.set_max_width(ui.available_width().min(900.0));
        let is_open = !cx.folder.as_os_str().is_empty();
        if is_open {
            heading(ui, &cx.garage.info.name);
            where_it_is(cx, actions, ui);
        } else {
            heading(ui, "No garage is open");
            ui.label("A garage is a folder with one file a machine and one file an inspection. Open one, or make one.");
        }
        ui.add_space(14.0);
        folders(state, actions, ui);
        if is_open {
            ui.add_space(14.0);
            name_and_units(cx, actions, ui);
            ui.add_space(14.0);
            kinds::ui(cx, &mut state.garage.kinds, actions, ui);
        }
    });
}

fn name_and_units(cx: &ViewCtx<'_>, actions: &mut Vec<Action>, ui: &mut Ui) {
    let mut info = cx.garage.info.clone();
    let mut is_changed = false;
    let name = Entry::new("Name of the garage", info.name.clone()).width(260.0).show(ui, |text| {
        if text.is_empty() {
            Err("expected a name for the garage, found none: type one, any words do".into())
        } else {
            Ok(text.to_owned())
        }
    });
    if let Some(name) = name {
        info.name = name;
        is_changed = true;
    }
    ui.add_space(8.0);
    strong(ui, "Units");
    caption(ui, "Figures are shown in these. You may always type another unit: 36 psi is kept as 36 psi.");
    for unit in UNITS {
        let current = (unit.get)(&mut info).clone();
        let options: Vec<(String, &str)> = unit.symbols.iter().map(|(s, w)| ((*s).to_owned(), *w)).collect();
        if let Some(symbol) = segments(ui, unit.name, &current, &options) {
            *(unit.get)(&mut info) = symbol;
            is_changed = true;
        }
    }
    let comma = segments(ui, "Decimal sign", &info.units.decimal_comma, &[(false, "2.5"), (true, "2,5")]);
    if let Some(comma) = comma {
        info.units.decimal_comma = comma;
        is_changed = true;
    }
    if is_changed {
        actions.push(Action::Edit(Command::SetGarage(info)));
    }
}

/// A choice of unit: its name, where it is kept, and the symbols with the words for them.
struct UnitRow {
    name: &'static str,
    get: fn(&mut GarageInfo) -> &mut String,
    symbols: &'static [(&'static str, &'static str)],
}

const UNITS: &[UnitRow] = &[
    UnitRow {
        name: "Tyre pressure",
        get: |i| &mut i.units.pressure,
        symbols: &[("bar", "bar"), ("kPa", "kPa"), ("psi", "psi")],
    },
    UnitRow {
        name: "Tread, pads, run-out",
        get: |i| &mut i.units.depth,
        symbols: &[("mm", "mm"), ("/32 in", "32nds of an inch"), ("in", "in")],
    },
    UnitRow { name: "Lengths", get: |i| &mut i.units.length, symbols: &[("mm", "mm"), ("in", "in")] },
    UnitRow { name: "Distance", get: |i| &mut i.units.distance, symbols: &[("km", "km"), ("mi", "miles")] },
    UnitRow { name: "Speed", get: |i| &mut i.units.speed, symbols: &[("km/h", "km/h"), ("mph", "mph")] },
    UnitRow { name: "Temperature", get: |i| &mut i.units.temperature, symbols: &[("°C", "°C"), ("°F", "°F")] },
    UnitRow { name: "Torque", get: |i| &mut i.units.torque, symbols: &[("N·m", "N·m"), ("lbf·ft", "lbf·ft")] },
    UnitRow { name: "Mass", get: |i| &mut i.units.mass, symbols: &[("kg", "kg"), ("lb", "lb")] },
];

fn where_it_is(cx: &ViewCtx<'_>, actions: &mut Vec<Action>, ui: &mut Ui) {
    strong(ui, "On disk");
    ui.horizontal_wrapped(|ui| {
        ui.label(cx.folder.display().to_string());
        let again =
            ui.small_button("Read it again").on_hover_text("After files were mended or merged outside this window.");
        if again.clicked() {
            actions.push(Action::OpenGarage(cx.folder.to_owned()));
        }
    });
    caption(ui, "Plain text files, one a machine, one an inspection. Every change is written at once.");
    if cx.unreadable.is_empty() {
        caption(ui, "Every file in it could be read.");
        return;
    }
    ui.add_space(8.0);
    strong(ui, "Files that need you");
    caption(ui, "They are left as they are. Mend them in a text editor, then read the garage again.");
    for problem in cx.unreadable {
        trouble(ui, problem);
    }
}

fn folders(state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    strong(ui, "Another garage");
    ui.horizontal_wrapped(|ui| {
        if ui.button("Open a folder…").clicked() {
            actions.push(Action::ChooseGarage);
        }
        if ui.button("Open the sample garage").clicked() {
            actions.push(Action::OpenSample);
        }
    });
    if let Some(folder) = typed(ui, "or type its path", "Open it", &mut state.garage.open) {
        actions.push(Action::OpenGarage(folder));
    }
    if let Some(folder) = typed(ui, "Make a new one in", "Make it", &mut state.garage.create) {
        actions.push(Action::CreateGarage(folder));
    }
    caption(ui, "A new garage wants an empty folder, or one that is not there yet.");
}

/// A field for a path with its button; gives the path when it was asked for.
fn typed(ui: &mut Ui, name: &str, button: &str, text: &mut String) -> Option<std::path::PathBuf> {
    let mut is_asked = false;
    named(ui, name, |ui, name_id| {
        ui.horizontal_wrapped(|ui| {
            let width = 380.0_f32.min((ui.available_width() - 90.0).max(120.0));
            let response = ui.add(typed_line(text).desired_width(width).hint_text("a folder"));
            let response = match name_id {
                Some(id) => response.labelled_by(id),
                None => response,
            };
            is_asked = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            is_asked |= ui.add_enabled(!text.trim().is_empty(), egui::Button::new(button)).clicked();
        });
    });
    (is_asked && !text.trim().is_empty()).then(|| text.trim().into())
}
