//! Services that come round by date or distance, and the days of the machine's papers.

use chrono::NaiveDate;
use egui::Ui;

use super::{Form, source};
use crate::machine::{FluidKind, LimitSource, Machine, Service};
use crate::ui::ViewCtx;
use crate::ui::widgets::{Entry, QuantityField, caption, choice, day_field, read_day, whole_field, words_field};
use crate::units::Distance;

/// An interval that is usual.
struct Usual {
    what: &'static str,
    fluid: Option<FluidKind>,
    months: Option<u32>,
    km: Option<f64>,
}

/// Usual intervals, offered to begin with: common practice, from memory; the handbook goes before them. Oil, coolant and the rest by months and km.
const USUAL: &[Usual] = &[
    Usual { what: "Engine oil and filter", fluid: Some(FluidKind::EngineOil), months: Some(12), km: Some(10_000.0) },
    Usual { what: "Coolant", fluid: Some(FluidKind::Coolant), months: Some(36), km: None },
    Usual { what: "Fork oil", fluid: None, months: Some(24), km: Some(20_000.0) },
    Usual { what: "Brake hoses", fluid: None, months: Some(60), km: None },
    Usual { what: "Clean and oil the chain", fluid: None, months: None, km: Some(800.0) },
    Usual { what: "Air filter", fluid: None, months: None, km: Some(15_000.0) },
    Usual { what: "Spark plugs", fluid: None, months: None, km: Some(18_000.0) },
    Usual { what: "Valve clearance", fluid: None, months: None, km: Some(20_000.0) },
    Usual { what: "Grease steering head and swing arm", fluid: None, months: Some(24), km: Some(20_000.0) },
    Usual { what: "Fuel hose", fluid: None, months: Some(60), km: None },
];

/// The part in a few words.
pub fn summary(_cx: &ViewCtx<'_>, machine: &Machine) -> String {
    let mut words: Vec<String> = machine.services.iter().map(|s| s.what.clone()).collect();
    words.extend(machine.test_due.map(|d| format!("test by {d}")));
    words.extend(machine.insured_until.map(|d| format!("insured until {d}")));
    if words.is_empty() { "none yet".into() } else { words.join(" · ") }
}

/// Draws the part.
pub fn ui(form: &mut Form<'_>, ui: &mut Ui) {
    let test = coming_day(ui, "Test of the law by", form.machine.test_due, form.cx.today);
    form.put(test, |m, v| m.test_due = v);
    let insured = coming_day(ui, "Insured until", form.machine.insured_until, form.cx.today);
    form.put(insured, |m, v| m.insured_until = v);
    ui.add_space(6.0);
    caption(ui, "A service falls due by its months or its distance, whichever is first. Take both from the handbook.");
    let prefs = form.cx.units();
    let mut removed = None;
    for index in 0..form.machine.services.len() {
        let service = form.machine.services[index].clone();
        ui.push_id(("service", index), |ui| {
            let what = words_field(ui, "Service", &service.what, "for example engine oil", 230.0);
            put(form, index, what.filter(|w| !w.is_empty()), |s, v| s.what = v);
            let mut fluids = vec![(None, "changes no fluid".to_owned())];
            fluids.extend(FluidKind::ALL.iter().map(|k| (Some(*k), format!("changes the {}", k.word()))));
            let fluid = choice(ui, "Fluid", &service.fluid, &fluids);
            put(form, index, fluid, |s, v| s.fluid = v);
            let months = whole_field(ui, "Every", service.every_months, "months", 1..=600);
            put(form, index, months, |s, v| s.every_months = v);
            let every = QuantityField::new("or every", service.every, prefs)
                .between(Distance::km(1.0), Distance::km(500_000.0))
                .show(ui);
            put(form, index, every, |s, v| s.every = v);
            let on = day_field(ui, "Last done on", service.last_on, form.cx.today);
            put(form, index, on, |s, v| s.last_on = v);
            let at = QuantityField::new("Last done at", service.last_at, prefs)
                .between(Distance::km(0.0), Distance::km(2_000_000.0))
                .show(ui);
            put(form, index, at, |s, v| s.last_at = v);
            let from = source::field(ui, "The interval is from", &service.source);
            put(form, index, from, |s, v| s.source = v);
            if ui.small_button("Remove this service").clicked() {
                removed = Some(index);
            }
            ui.add_space(8.0);
        });
    }
    form.put(removed, |m, index| {
        m.services.remove(index);
    });
    add(form, ui);
}

/// A button for each usual service that is not in the list, and one for any other.
fn add(form: &mut Form<'_>, ui: &mut Ui) {
    let is_new = |what: &str| !form.machine.services.iter().any(|s| s.what.eq_ignore_ascii_case(what));
    let offered: Vec<_> = USUAL.iter().filter(|u| is_new(u.what)).collect();
    let mut added = None;
    ui.horizontal_wrapped(|ui| {
        ui.label("Add");
        for usual in offered {
            if ui.button(usual.what).clicked() {
                added = Some(Service {
                    fluid: usual.fluid,
                    every_months: usual.months,
                    every: usual.km.map(Distance::km),
                    source: LimitSource::CommonPractice,
                    ..Service::new(usual.what)
                });
            }
        }
        if ui.button("another service").clicked() {
            added = Some(Service::new(format!("Service {}", form.machine.services.len() + 1)));
        }
    });
    form.put(added, |m, service| m.services.push(service));
}

/// A field for a day that may lie ahead.
fn coming_day(ui: &mut Ui, name: &str, value: Option<NaiveDate>, today: NaiveDate) -> Option<Option<NaiveDate>> {
    let shown = value.map_or_else(String::new, |d| d.format("%Y-%m-%d").to_string());
    Entry::new(name, shown)
        .hint("year-month-day")
        .width(120.0)
        .show(ui, |text| if text.is_empty() { Ok(None) } else { read_day(text, today).map(Some) })
}

fn put<T>(form: &mut Form<'_>, index: usize, committed: Option<T>, put: impl FnOnce(&mut Service, T)) {
    form.put(committed, |m, value| {
        if let Some(service) = m.services.get_mut(index) {
            put(service, value);
        }
    });
}
