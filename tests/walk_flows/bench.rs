//! A small window round the walk-around: it draws the panel and the verdict bar and carries the actions out by the one
//! write path, as the app does, without files and without a GPU.

use std::path::Path;

use chrono::{NaiveDate, NaiveDateTime};
use egui::{Key, Theme, accesskit::Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use stemclock::catalogue::Catalogue;
use stemclock::clock::{ClockTime, Side, Spot};
use stemclock::edit::{History, decide};
use stemclock::garage::{Bay, Garage};
use stemclock::inspection::{
    Answer, CheckRef, Finding, FindingId, Inspection, InspectionId, Place, Subject, Value, Zone,
};
use stemclock::machine::{
    BrakeActuation, Layout, LimitSource, Machine, MachineId, Placard, Rim, RimKind, RimMaterial, RollingArrow, Tyre,
    WheelPosition,
};
use stemclock::tyre::TyreMarking;
use stemclock::ui::panels::{verdict_bar, walk};
use stemclock::ui::theme::{self, Tokens};
use stemclock::ui::{Action, Derived, Ids, UiState, ViewCtx};
use stemclock::units::{Length, Preferences, Pressure};

/// What the window holds.
pub struct Bench {
    pub garage: Garage,
    pub state: UiState,
    pub derived: Derived,
    pub history: History,
    pub told: Vec<String>,
    ids: Ids,
}

pub fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 8, 21).expect("a day")
}

fn now() -> NaiveDateTime {
    today().and_hms_opt(10, 30, 0).expect("a time")
}

/// A standard with a 120/70-17 in front on wire spokes and placard pressures in psi.
pub fn machine() -> Machine {
    let mut machine = Machine::new(MachineId("ferry-a1b2".into()), "Ferry", Layout::Solo);
    machine.wheelbase = Some(Length::mm(1440.0));
    machine.front_brake = BrakeActuation::Hydraulic;
    for (position, size, psi) in
        [(WheelPosition::Front, "120/70-17", 36.0), (WheelPosition::Rear, "180/55 ZR17 M/C 73W", 42.0)]
    {
        let Some(wheel) = machine.wheels.iter_mut().find(|w| w.position == position) else { continue };
        if position == WheelPosition::Front {
            let kind = RimKind::WireSpoked { spokes: 36, first_flange: Some(Side::Right) };
            wheel.rim = Rim { kind, material: RimMaterial::Steel };
        }
        wheel.brakes = vec![stemclock::machine::Brake::Disc(Side::Left)];
        wheel.disc_diameter = Some(Length::mm(298.0));
        wheel.tyre = Some(Tyre {
            marking: TyreMarking::try_from(size.to_owned()).expect("a size"),
            tin: None,
            fitted_on: None,
            fitted_at: None,
            arrow: RollingArrow::One,
            sidewall_maximum: None,
            tube: false,
        });
        wheel.placard = Some(Placard { solo: Pressure::psi(psi), loaded: None, source: LimitSource::Placard });
    }
    machine
}

impl Bench {
    pub fn new() -> Self {
        let mut garage = Garage { bays: vec![Bay::new(machine())], ..Garage::default() };
        garage.info.units = Preferences { pressure: "psi".into(), ..Preferences::default() };
        let state = UiState { machine: Some(machine().id), ..UiState::default() };
        let mut bench = Self {
            garage,
            state,
            derived: Derived::default(),
            history: History::default(),
            told: Vec::new(),
            ids: Ids::seeded(7),
        };
        bench.derive();
        bench
    }
    fn derive(&mut self) {
        self.derived = Derived::of(&self.garage, Catalogue::builtin(), &self.state, today());
    }
    /// Draws and carries out what was asked.
    pub fn ui(&mut self, ui: &mut egui::Ui) {
        let tokens = Tokens::of(ui.ctx().theme());
        let saved = Ok(());
        let mut actions = Vec::new();
        let cx = ViewCtx {
            garage: &self.garage,
            folder: Path::new("garage"),
            catalogue: Catalogue::builtin(),
            derived: &self.derived,
            today: today(),
            now: now(),
            tokens: &tokens,
            ids: &self.ids,
            unreadable: &[],
            undo: self.history.undo_label(),
            redo: self.history.redo_label(),
            saved: &saved,
            inspector: "Ada",
        };
        let before = (self.state.machine.clone(), self.state.inspection.clone());
        // One check at a time has the window to itself, as in the app.
        if !self.state.walk.is_guided() {
            egui::Panel::bottom("verdict").resizable(false).show(ui, |ui| {
                verdict_bar::ui(&cx, &mut self.state, &mut actions, ui);
            });
        }
        egui::CentralPanel::no_frame().show(ui, |ui| walk::ui(&cx, &mut self.state, &mut actions, ui));
        let changed = !actions.is_empty() || before != (self.state.machine.clone(), self.state.inspection.clone());
        for action in actions {
            match action {
                Action::Edit(command) => match decide(&self.garage, Catalogue::builtin(), command) {
                    Ok(change) => {
                        self.garage.evolve(&change);
                        self.history.push(change);
                    }
                    Err(rejected) => self.told.push(rejected.to_string()),
                },
                other => self.told.push(format!("{other:?}")),
            }
        }
        if changed {
            self.derive();
            ui.ctx().request_repaint();
        }
    }
    /// A window whose machine was inspected once before, in spring, with one finding left open.
    pub fn with_spring() -> Self {
        let mut bench = Self::new();
        let date = NaiveDate::from_ymd_opt(2026, 4, 2).expect("a day");
        let check = CheckRef::new("tyre-pressure", Subject::Wheel(WheelPosition::Front));
        let cold = Value::Pressure(Pressure::psi(35.0));
        let answer = Answer { readings: [("cold".to_owned(), cold)].into(), ..Answer::default() };
        let finding = Finding {
            id: FindingId("f-spring".into()),
            check: CheckRef::new("tyre-look", Subject::Wheel(WheelPosition::Front)),
            fault: "cut".into(),
            place: Place::Wheel {
                position: WheelPosition::Front,
                zone: Zone::Sidewall(Side::Left),
                spot: Some(Spot::at(ClockTime::parse("2:00").expect("a time"), Side::Left)),
            },
            size: None,
            note: String::new(),
            overrule: None,
            photos: Vec::new(),
        };
        bench.garage.bays[0].inspections.push(Inspection {
            schema: stemclock::machine::SCHEMA,
            id: InspectionId("2026-04-02-season-aaaaaaaa".into()),
            kind: "season".into(),
            date,
            started: None,
            inspector: "Grace".into(),
            odometer: None,
            conditions: Default::default(),
            asks: Vec::new(),
            carried: Default::default(),
            answers: [(check, answer)].into(),
            findings: vec![finding],
            overrules: Default::default(),
            note: String::new(),
        });
        bench.derive();
        bench
    }
    /// Takes the last change back, as the app's undo does.
    pub fn undo(&mut self) {
        if let Some(change) = self.history.undo() {
            self.garage.evolve(&change);
        }
        self.derive();
    }
    /// The inspection in hand.
    pub fn inspection(&self) -> &Inspection {
        let bay = &self.garage.bays[0];
        bay.inspection(self.state.inspection.as_ref().expect("an inspection in hand")).expect("it is in the garage")
    }
    /// The last finding of the inspection in hand.
    pub fn last_finding(&self) -> &Finding {
        self.inspection().findings.last().expect("a finding")
    }
}

/// A window of a size in a theme, without a GPU.
pub fn window(size: [f32; 2], theme: egui::Theme, bench: Bench) -> Harness<'static, Bench> {
    builder(size, theme).build_ui_state(|ui, bench| bench.ui(ui), bench)
}

/// The settings that every window of these tests shares.
pub fn builder(size: [f32; 2], theme: egui::Theme) -> egui_kittest::HarnessBuilder<Bench> {
    Harness::builder()
        .with_size(egui::Vec2::from(size))
        .with_theme(theme)
        .with_max_steps(16)
        .with_context_setup(theme::install)
}

pub type Window = Harness<'static, Bench>;

/// A fault of the tyre's body, as it is offered.
pub const CUT: &str = "Serious cut";

/// How many nodes say some words.
pub fn told(window: &Window, words: &str) -> usize {
    window.query_all_by_label_contains(words).count()
}

pub fn open() -> Window {
    let mut window = window([1600.0, 1000.0], Theme::Light, Bench::new());
    window.run();
    window
}

pub fn begun() -> Window {
    let mut window = open();
    press(&mut window, "Begin the inspection");
    window
}

pub fn press(window: &mut Window, label: &str) {
    window.get_by_role_and_label(Role::Button, label).click();
    window.run();
}

/// Types into the field with a label and leaves it by Enter.
pub fn enter(window: &mut Window, label: &str, text: &str) {
    window.get_by_role_and_label(Role::TextInput, label).focus();
    window.run();
    window.get_by_role_and_label(Role::TextInput, label).type_text(text);
    window.run();
    window.key_press(Key::Enter);
    window.run();
}

pub fn enter_focused(window: &mut Window, text: &str) {
    let field = window.get_all_by_role(Role::TextInput).find(|n| n.is_focused()).expect("a field has the keyboard");
    field.type_text(text);
    window.run();
    window.key_press(Key::Enter);
    window.run();
}

/// Takes the pressure of the front tyre in hand.
pub fn front_pressure(window: &mut Window) {
    let row =
        |n: &egui_kittest::Node<'_>| n.accesskit_node().label().is_some_and(|l| l.starts_with("Cold pressure, front:"));
    window.get_all_by_role(Role::Button).find(row).expect("the row of the check").click();
    window.run();
}

pub fn in_hand(window: &Window) -> Option<String> {
    window.state().state.check.as_ref().map(ToString::to_string)
}
