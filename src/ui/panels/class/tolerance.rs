//! The readings of the key that are marked, and how far a student's may be off.

use egui::Ui;

use super::super::walk::words as walk_words;
use super::entries;
use crate::class::words;
use crate::clock::Side;
use crate::exercise::{Key, ReadingMark};
use crate::inspection::{CheckRef, Value};
use crate::ui::ViewCtx;
use crate::ui::widgets::{Entry, caption, strong};
use crate::units::{Dimension, Preferences, Quantity, Shows, Temperature, parse_number};

/// Draws the readings of the key with what is marked.
pub(super) fn ui(cx: &ViewCtx<'_>, key: &Key, changed: &mut Key, ui: &mut Ui) {
    strong(ui, "Readings");
    let answers = key.inspection.answers.iter();
    let all: Vec<(&CheckRef, &String, &Value)> =
        answers.flat_map(|(check, answer)| answer.readings.iter().map(move |(field, v)| (check, field, v))).collect();
    if all.is_empty() {
        ui.label("The key's inspection holds no reading: measure something in it, and it can be marked here.");
        return;
    }
    caption(
        ui,
        "Tick those that are marked, and say how far off still counts. Of a survey the figure that decides counts: the least depth, the whole swing of the dial.",
    );
    for (check, field, value) in all {
        ui.push_id((check.to_string(), field), |ui| one(cx, (check, field, value), changed, ui));
    }
}

fn one(cx: &ViewCtx<'_>, (check, field, value): (&CheckRef, &str, &Value), changed: &mut Key, ui: &mut Ui) {
    let at = changed.readings.iter().position(|m| &m.check == check && m.field == field);
    let entry = cx.catalogue.check(&check.check).and_then(|c| c.field(field));
    let label = entry.map_or(field, |f| f.label.as_str());
    let check_words = words::check_words(cx.catalogue, check);
    // A check of one field is often called like it.
    let is_same = check_words.to_lowercase().starts_with(&label.to_lowercase());
    let what = if is_same { check_words } else { format!("{check_words}, {label}") };
    let mut is_marked = at.is_some();
    let shown = format!("{what}: {}", walk_words::value(value, entry, Side::Right, cx.units()));
    if ui.checkbox(&mut is_marked, &shown).changed() {
        match at {
            Some(index) => {
                changed.readings.remove(index);
            }
            None => changed.readings.push(ReadingMark {
                check: check.clone(),
                field: field.to_owned(),
                within: None,
                weight: 1.0,
            }),
        }
        return;
    }
    let Some(mark) = at.and_then(|index| changed.readings.get_mut(index)) else { return };
    ui.indent("marked", |ui| {
        if has_tolerance(value) {
            let unit = hint(value, cx.units());
            let text = mark.within.as_ref().map_or_else(String::new, within_text);
            let typed = Entry::new("May be off by", text)
                .spoken(format!("May be off by: {what}"))
                .hint(unit)
                .width(120.0)
                .show(ui, |text| read(text, value, cx.units()));
            if let Some(within) = typed {
                mark.within = within;
            }
        } else {
            caption(ui, "It must be the same.");
        }
        if let Some(weight) = entries::weight(ui, "Weight", &format!("Weight: {what}"), mark.weight) {
            mark.weight = weight;
        }
    });
}

/// Whether two of its kind can be subtracted.
fn has_tolerance(value: &Value) -> bool {
    !matches!(
        value,
        Value::Date(_) | Value::Choice(_) | Value::Level(_) | Value::Torques(_) | Value::Round(_) | Value::Numbers(_)
    )
}

fn hint(value: &Value, units: &Preferences) -> &'static str {
    fn liked<D: Shows>(_: &Quantity<D>, units: &Preferences) -> &'static str {
        units.unit::<D>().symbol
    }
    match value {
        Value::Pressure(q) => liked(q, units),
        Value::Temperature(q) => liked(q, units),
        Value::Voltage(q) => liked(q, units),
        Value::Torque(q) => liked(q, units),
        Value::Distance(q) => liked(q, units),
        Value::Speed(q) => liked(q, units),
        Value::Mass(q) => liked(q, units),
        Value::Force(q) => liked(q, units),
        Value::Length(_) | Value::Tread(_) | Value::Dial(..) => units.depth_unit().symbol,
        _ => "",
    }
}

fn within_text(value: &Value) -> String {
    match value {
        Value::Pressure(q) => q.to_string(),
        Value::Length(q) => q.to_string(),
        Value::Temperature(q) => q.to_string(),
        Value::Voltage(q) => q.to_string(),
        Value::Torque(q) => q.to_string(),
        Value::Distance(q) => q.to_string(),
        Value::Speed(q) => q.to_string(),
        Value::Mass(q) => q.to_string(),
        Value::Force(q) => q.to_string(),
        Value::Number(n) => n.to_string(),
        _ => String::new(),
    }
}

/// Reads a tolerance as a quantity of the reading's kind; empty for none.
fn read(text: &str, value: &Value, units: &Preferences) -> Result<Option<Value>, String> {
    fn quantity<D: Dimension>(text: &str, unit: &'static crate::units::Unit) -> Result<Quantity<D>, String> {
        let read = Quantity::<D>::parse(text, Some(unit)).map_err(|e| e.to_string())?;
        if read.base() < 0.0 {
            return Err(format!("expected a {} of zero or more, found {read}: type how far off still counts", D::NAME));
        }
        Ok(read)
    }
    fn like<D: Shows>(text: &str, _: &Quantity<D>, units: &Preferences) -> Result<Quantity<D>, String> {
        quantity(text, units.unit::<D>())
    }
    if text.trim().is_empty() {
        return Ok(None);
    }
    Ok(Some(match value {
        Value::Pressure(q) => Value::Pressure(like(text, q, units)?),
        Value::Voltage(q) => Value::Voltage(like(text, q, units)?),
        Value::Torque(q) => Value::Torque(like(text, q, units)?),
        Value::Distance(q) => Value::Distance(like(text, q, units)?),
        Value::Speed(q) => Value::Speed(like(text, q, units)?),
        Value::Mass(q) => Value::Mass(like(text, q, units)?),
        Value::Force(q) => Value::Force(like(text, q, units)?),
        Value::Length(_) | Value::Tread(_) | Value::Dial(..) => Value::Length(quantity(text, units.depth_unit())?),
        Value::Temperature(_) => Value::Temperature(degrees(text, units)?),
        _ => {
            let number = parse_number(text).map_err(|e| e.to_string())?;
            if number < 0.0 {
                return Err(format!(
                    "expected a number of zero or more, found {number}: type how far off still counts"
                ));
            }
            Value::Number(number)
        }
    }))
}

/// A difference of temperatures, kept in degrees Celsius: 9 °F of it are 5 °C, and no 32 is taken away.
fn degrees(text: &str, units: &Preferences) -> Result<Temperature, String> {
    let letter = text.trim().chars().last().filter(char::is_ascii_alphabetic).map(|c| c.to_ascii_uppercase());
    let is_fahrenheit = letter.map_or(units.temperature == "°F", |c| c == 'F');
    let figure = text.trim().trim_end_matches(['C', 'F', 'c', 'f', '°', ' ']);
    let number = parse_number(figure).map_err(|e| e.to_string())?;
    if number < 0.0 {
        return Err(format!("expected degrees of zero or more, found {number}: type how far off still counts"));
    }
    Ok(Temperature::celsius(if is_fahrenheit { number * 5.0 / 9.0 } else { number }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Pressure;

    #[test]
    fn a_tolerance_is_of_the_readings_kind_and_a_difference_of_degrees_has_no_zero() {
        let units = Preferences::default();
        let pressure = Value::Pressure(Pressure::kpa(250.0));
        assert_eq!(read("0.1 bar", &pressure, &units), Ok(Some(Value::Pressure(Pressure::bar(0.1)))));
        assert_eq!(read(" ", &pressure, &units), Ok(None));
        for slip in ["3 mm", "-0.1 bar", "a little"] {
            assert!(read(slip, &pressure, &units).expect_err(slip).contains("expected"), "{slip}");
        }
        // Differences: 9 °F are 5 °C (NIST SP 811, B.1.1, 1 °F interval = 1/1.8 °C).
        let warm = Value::Temperature(Temperature::celsius(80.0));
        assert_eq!(read("9 °F", &warm, &units), Ok(Some(Value::Temperature(Temperature::celsius(5.0)))));
        assert_eq!(read("5", &warm, &units), Ok(Some(Value::Temperature(Temperature::celsius(5.0)))));
    }
}
