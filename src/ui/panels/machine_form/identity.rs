//! What the machine is: name, layout, category, the law of its place; and what its papers say.

use egui::Ui;

use super::Form;
use crate::machine::{Category, Layout, Machine, Power};
use crate::reckon::vin_remark;
use crate::ui::ViewCtx;
use crate::ui::widgets::{Entry, QuantityField, caption, choice, day_field, segments, whole_field, words_field};
use crate::units::{Distance, Length, Mass, Speed};

/// The part in a few words.
pub fn summary(cx: &ViewCtx<'_>, machine: &Machine) -> String {
    let region = cx.catalogue.region(&machine.region).map_or_else(|| machine.region.clone(), |r| r.shown());
    format!("{}, {}, {region}", machine.layout.word(), machine.category.word())
}

/// Draws the part.
pub fn ui(form: &mut Form<'_>, ui: &mut Ui) {
    let prefs = form.cx.units();
    let name = Entry::new("Name", form.machine.name.clone()).width(260.0).show(ui, |text| {
        if text.is_empty() {
            Err("expected a name, found none: type one, any words do".into())
        } else {
            Ok(text.to_owned())
        }
    });
    form.put(name, |m, name| m.name = name);
    let layouts: Vec<(Layout, String)> = Layout::ALL.iter().map(|l| (*l, l.word().to_owned())).collect();
    let layout = choice(ui, "Layout", &form.machine.layout, &layouts);
    form.put(layout, Machine::set_layout);
    let categories: Vec<(Category, String)> =
        Category::ALL.iter().map(|c| (*c, format!("{}: {}", c.word(), c.meaning()))).collect();
    let category = choice(ui, "Category", &form.machine.category, &categories);
    form.put(category, |m, c| m.category = c);

    super::region::ui(form, ui);
    let power =
        segments(ui, "Power", &form.machine.power, &[(Power::Combustion, "combustion"), (Power::Electric, "electric")]);
    form.put(power, |m, p| m.power = p);
    if form.machine.power == Power::Combustion {
        let cc = whole_field(ui, "Capacity", form.machine.capacity_cc, "cm³", 20..=9000);
        form.put(cc, |m, v| m.capacity_cc = v);
    }
    let odometer = QuantityField::new("Odometer when added", form.machine.odometer, prefs)
        .between(Distance::km(0.0), Distance::km(2_000_000.0))
        .show(ui);
    form.put(odometer, |m, v| m.odometer = v);
    let far = (Length::mm(300.0), Length::mm(4000.0));
    let wheelbase = QuantityField::new("Wheelbase", form.machine.wheelbase, prefs).between(far.0, far.1).show(ui);
    form.put(wheelbase, |m, v| m.wheelbase = v);
    if form.machine.layout != Layout::Solo {
        let track = QuantityField::new("Track", form.machine.track, prefs).between(far.0, far.1).show(ui);
        form.put(track, |m, v| m.track = v);
    }
}

/// The papers in a few words.
pub fn papers_summary(_cx: &ViewCtx<'_>, machine: &Machine) -> String {
    let parts: Vec<String> = [
        machine.registration.clone(),
        machine.vin.clone(),
        machine.first_use.map(|d| format!("first used {}", d.format("%B %Y"))),
    ]
    .into_iter()
    .flatten()
    .collect();
    if parts.is_empty() { "registration, frame number, masses".into() } else { parts.join(", ") }
}

/// Draws the papers.
pub fn papers_ui(form: &mut Form<'_>, ui: &mut Ui) {
    let prefs = form.cx.units();
    let some = |text: String| (!text.is_empty()).then_some(text);
    let registration =
        words_field(ui, "Registration", form.machine.registration.as_deref().unwrap_or(""), "as on the plate", 170.0);
    form.put(registration, |m, v| m.registration = some(v));
    let vin = words_field(ui, "Frame number (VIN)", form.machine.vin.as_deref().unwrap_or(""), "17 characters", 230.0);
    form.put(vin, |m, v| m.vin = some(v.to_uppercase()));
    // Kept as it was typed: an old frame has a number of its own form, and only a person can look again.
    if let Some(remark) = form.machine.vin.as_deref().and_then(vin_remark) {
        caption(ui, &remark);
    }
    form.offers(ui, "papers", None);
    let first_use = day_field(ui, "First used on", form.machine.first_use, form.cx.today);
    form.put(first_use, |m, v| m.first_use = v);
    let mass = QuantityField::new("Greatest authorised mass", form.machine.maximum_mass, prefs)
        .between(Mass::kg(30.0), Mass::kg(3000.0))
        .show(ui);
    form.put(mass, |m, v| m.maximum_mass = v);
    let speed = QuantityField::new("Top speed", form.machine.top_speed, prefs)
        .between(Speed::kmh(5.0), Speed::kmh(500.0))
        .show(ui);
    form.put(speed, |m, v| m.top_speed = v);
}
