//! The tyre of the wheel in hand: what is moulded on it, and when and where it was fitted.

use egui::Ui;

use super::Form;
use crate::machine::{RollingArrow, Tyre, Wheel};
use crate::tyre::{TinDate, TyreMarking};
use crate::ui::widgets::{Entry, QuantityField, caption, day_field, segments, strong, yes_no};
use crate::units::{Distance, Length, Mass, Preferences, Pressure, Speed, print_number};

/// Draws the part.
pub fn ui(form: &mut Form<'_>, index: usize, ui: &mut Ui) {
    strong(ui, "Tyre");
    let current = form.machine.wheels[index].tyre.clone();
    let shown = current.as_ref().map_or_else(String::new, |t| t.marking.to_string());
    let marking = Entry::new("Size on the sidewall", shown).hint("120/70 ZR17 M/C 58W").width(230.0).show(ui, |text| {
        if text.is_empty() { Ok(None) } else { TyreMarking::parse(text).map(Some).map_err(|e| e.to_string()) }
    });
    put(form, index, marking, |w, marking| match (marking, &mut w.tyre) {
        (Some(marking), Some(tyre)) => tyre.marking = marking,
        (Some(marking), None) => w.tyre = Some(bare(marking)),
        (None, _) => w.tyre = None,
    });
    let Some(tyre) = current else {
        caption(
            ui,
            "Metric (120/70-17), inch (4.00-18) or alphanumeric (MT90B16); the case and the spaces do not matter.",
        );
        return;
    };
    let prefs = form.cx.units();
    caption(ui, &meaning(&tyre.marking, prefs));
    tin(form, index, &tyre, ui);
    form.offers(ui, "tyre", Some(index));
    let on = day_field(ui, "Fitted on", tyre.fitted_on, form.cx.today);
    put_tyre(form, index, on, |t, v| t.fitted_on = v);
    let at = QuantityField::new("Fitted at", tyre.fitted_at, prefs)
        .between(Distance::km(0.0), Distance::km(2_000_000.0))
        .show(ui);
    put_tyre(form, index, at, |t, v| t.fitted_at = v);
    let arrows =
        [(RollingArrow::None, "none"), (RollingArrow::One, "one"), (RollingArrow::FrontAndRear, "front and rear")];
    let arrow = segments(ui, "Rolling arrow", &tyre.arrow, &arrows);
    put_tyre(form, index, arrow, |t, v| t.arrow = v);
    let most = QuantityField::new("Sidewall maximum, cold", tyre.sidewall_maximum, prefs)
        .between(Pressure::kpa(100.0), Pressure::kpa(900.0))
        .show(ui);
    put_tyre(form, index, most, |t, v| t.sidewall_maximum = v);
    let tube = yes_no(ui, "Tube", "runs with a tube", tyre.tube);
    put_tyre(form, index, tube, |t, v| t.tube = v);
    let today = form.cx.today;
    let is_new = ui
        .button("A new tyre was fitted today")
        .on_hover_text("Keeps the size; its date code, its odometer and its marks start afresh.")
        .clicked()
        .then_some(());
    put_tyre(form, index, is_new, |t, ()| {
        t.tin = None;
        t.fitted_at = None;
        t.fitted_on = Some(today);
    });
}

fn tin(form: &mut Form<'_>, index: usize, tyre: &Tyre, ui: &mut Ui) {
    let shown = tyre.tin.map_or_else(String::new, |t| t.to_string());
    let note = tyre.tin.map_or_else(String::new, |t| age(t, form.cx.today));
    let committed = Entry::new("Date code", shown).hint("4819").width(90.0).note(note).show(ui, |text| {
        if text.is_empty() { Ok(None) } else { TinDate::parse(text).map(Some).map_err(|e| e.to_string()) }
    });
    put_tyre(form, index, committed, |t, v| t.tin = v);
}

/// The age by a date code, in words.
fn age(tin: TinDate, today: chrono::NaiveDate) -> String {
    match tin.age_months(today) {
        None => "made after today: read the moulding again".into(),
        Some(months) => format!(
            "week {} of {}, {} years and {} months old",
            tin.week(),
            tin.years().iter().map(ToString::to_string).collect::<Vec<_>>().join(" or "),
            months / 12,
            months % 12
        ),
    }
}

/// What a marking says, in the user's units.
fn meaning(marking: &TyreMarking, prefs: &Preferences) -> String {
    let mut parts = Vec::new();
    if let Some(load) = marking.load_index {
        parts.push(format!("load index {}: {}", load.get(), prefs.show(Mass::kg(load.kg()))));
    }
    if let Some(speed) = marking.speed_symbol {
        let above = if speed.is_open_ended() { "above " } else { "up to " };
        parts.push(format!("speed symbol {}: {above}{}", speed.symbol(), prefs.show(Speed::kmh(speed.kmh()))));
    }
    let round = print_number(marking.size.circumference_mm(), 0, prefs.decimal_comma);
    parts.push(format!("{round} mm round the crown"));
    parts.push(format!("{} across", prefs.show(Length::mm(marking.size.width_mm))));
    parts.join(" · ")
}

/// A tyre of which only the marking is known.
fn bare(marking: TyreMarking) -> Tyre {
    Tyre {
        marking,
        tin: None,
        fitted_on: None,
        fitted_at: None,
        arrow: RollingArrow::None,
        sidewall_maximum: None,
        tube: false,
    }
}

fn put<T>(form: &mut Form<'_>, index: usize, committed: Option<T>, put: impl FnOnce(&mut Wheel, T)) {
    form.put(committed, |m, value| {
        if let Some(wheel) = m.wheels.get_mut(index) {
            put(wheel, value);
        }
    });
}

fn put_tyre<T>(form: &mut Form<'_>, index: usize, committed: Option<T>, change: impl FnOnce(&mut Tyre, T)) {
    put(form, index, committed, |wheel, value| {
        if let Some(tyre) = &mut wheel.tyre {
            change(tyre, value);
        }
    });
}
