//! Entries for quantities, days, words and numbers. Each gives the new value when it was committed and could be read.

use chrono::NaiveDate;
use egui::Ui;

use super::entry::Entry;
use crate::units::{Dimension, Preferences, Quantity, Shows, Unit, day};

/// A field for an optional quantity; an empty field means that it is not known.
pub struct QuantityField<'a, D: Dimension> {
    entry_name: &'a str,
    value: Option<Quantity<D>>,
    unit: &'static Unit,
    prefs: &'a Preferences,
    least: Option<Quantity<D>>,
    most: Option<Quantity<D>>,
    spoken: Option<String>,
    /// What to do instead of leaving it empty, where it must not be.
    instead: Option<&'static str>,
}

impl<'a, D: Dimension> QuantityField<'a, D> {
    /// A field with a name. The unit that the user likes counts when none is typed.
    pub fn new(name: &'a str, value: Option<Quantity<D>>, prefs: &'a Preferences) -> Self
    where
        D: Shows,
    {
        let unit = D::preferred(prefs);
        Self { entry_name: name, value, unit, prefs, least: None, most: None, spoken: None, instead: None }
    }
    /// Another unit than the liked one for what is typed without.
    pub fn unit(mut self, unit: &'static Unit) -> Self {
        self.unit = unit;
        self
    }
    /// The bounds beyond which a value is a slip of the hand.
    pub fn between(mut self, least: Quantity<D>, most: Quantity<D>) -> Self {
        self.least = Some(least);
        self.most = Some(most);
        self
    }
    /// A fuller name for those who cannot see where the field stands.
    pub fn spoken(mut self, spoken: impl Into<String>) -> Self {
        self.spoken = Some(spoken.into());
        self
    }
    /// It must not be left empty; the words say what to do instead.
    pub fn needed(mut self, instead: &'static str) -> Self {
        self.instead = Some(instead);
        self
    }
    /// Draws it.
    pub fn show(self, ui: &mut Ui) -> Option<Option<Quantity<D>>> {
        let comma = self.prefs.decimal_comma;
        let shown = self.value.map_or_else(String::new, |v| as_typed(v, comma));
        let note = match self.value {
            Some(value) if value.unit() != self.unit => value.show_in(self.unit, comma),
            _ => String::new(),
        };
        let mut entry = Entry::new(self.entry_name, shown).hint(self.unit.symbol).width(120.0).note(note);
        if let Some(spoken) = self.spoken {
            entry = entry.spoken(spoken);
        }
        let (unit, least, most, instead) = (self.unit, self.least, self.most, self.instead);
        entry.show(ui, |text| match (read_quantity(text, unit, least, most)?, instead) {
            (None, Some(instead)) => Err(format!("expected a {}, found none: {instead}", D::NAME)),
            (read, _) => Ok(read),
        })
    }
}

/// As it was typed, with the user's decimal sign.
fn as_typed<D: Dimension>(value: Quantity<D>, comma: bool) -> String {
    let text = value.to_string();
    if comma { text.replace('.', ",") } else { text }
}

/// Reads a quantity within bounds; an empty text is none.
pub fn read_quantity<D: Dimension>(
    text: &str,
    unit: &'static Unit,
    least: Option<Quantity<D>>,
    most: Option<Quantity<D>>,
) -> Result<Option<Quantity<D>>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let value = Quantity::<D>::parse(text, Some(unit)).map_err(|e| e.to_string())?;
    if let (Some(least), Some(most)) = (least, most)
        && (value < least || value > most)
    {
        return Err(format!(
            "expected a {} from {least} to {most}, found {value}: look at the figure and its unit again",
            D::NAME
        ));
    }
    Ok(Some(value))
}

/// Reads a quantity within bounds, taking the unit that the user likes where none is typed.
pub fn read_liked<D: Shows>(
    text: &str,
    prefs: &Preferences,
    (least, most): (Quantity<D>, Quantity<D>),
) -> Result<Option<Quantity<D>>, String> {
    read_quantity(text, D::preferred(prefs), Some(least), Some(most))
}

/// A field for an optional day.
pub fn day_field(ui: &mut Ui, name: &str, value: Option<NaiveDate>, today: NaiveDate) -> Option<Option<NaiveDate>> {
    let shown = value.map_or_else(String::new, |d| d.format("%Y-%m-%d").to_string());
    Entry::new(name, shown).hint("year-month-day").width(120.0).show(ui, |text| {
        if text.is_empty() {
            return Ok(None);
        }
        let day = read_day(text, today)?;
        if day > today {
            return Err(format!("expected a day up to today, {today}, found {day}: look at the year again"));
        }
        Ok(Some(day))
    })
}

/// Reads `today`, or a day as [`day::parse`] does.
pub fn read_day(text: &str, today: NaiveDate) -> Result<NaiveDate, String> {
    let text = text.trim();
    if text.eq_ignore_ascii_case("today") {
        return Ok(today);
    }
    day::parse(text)
}

/// A field for words on one line.
pub fn words_field(ui: &mut Ui, name: &str, value: &str, hint: &str, width: f32) -> Option<String> {
    Entry::new(name, value).hint(hint).width(width).show(ui, |text| Ok(text.to_owned()))
}

/// A field for an optional whole number within bounds, with the unit in words.
pub fn whole_field(
    ui: &mut Ui,
    name: &str,
    value: Option<u32>,
    unit: &str,
    bounds: std::ops::RangeInclusive<u32>,
) -> Option<Option<u32>> {
    let shown = value.map_or_else(String::new, |v| format!("{v} {unit}"));
    Entry::new(name, shown).hint(unit).width(120.0).show(ui, |text| {
        let figure = text.strip_suffix(unit).unwrap_or(text).trim().replace([' ', '\u{a0}'], "");
        if figure.is_empty() {
            return Ok(None);
        }
        match figure.parse::<u32>() {
            Ok(n) if bounds.contains(&n) => Ok(Some(n)),
            _ => Err(format!(
                "expected a whole number of {unit} from {} to {}, found \"{text}\": type the figure alone",
                bounds.start(),
                bounds.end()
            )),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Length, Pressure};

    fn today() -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 8, 21).expect("a day")
    }

    #[test]
    fn quantities_take_the_liked_unit_and_keep_the_typed_one() {
        let psi = Pressure::psi(1.0).unit();
        let read = |text: &str| -> Result<Option<Pressure>, String> { read_quantity(text, psi, None, None) };
        let typed = |text| read(text).expect("readable").map(|p| p.to_string());
        assert_eq!(typed("36").as_deref(), Some("36 psi"));
        assert_eq!(typed("2,5 bar").as_deref(), Some("2.5 bar"));
        assert_eq!(typed(" "), None);
    }

    #[test]
    fn a_slip_of_the_hand_is_refused_with_the_way_out() {
        let mm = Length::mm(1.0).unit();
        let error = read_quantity("25000", mm, Some(Length::mm(300.0)), Some(Length::mm(5000.0)))
            .expect_err("25 m is no wheelbase");
        assert!(error.contains("expected") && error.contains("25000 mm") && error.contains("again"), "{error}");
    }

    #[test]
    fn days_are_read_in_forms_that_have_one_meaning() {
        for text in ["2024-05-17", "17 May 2024", "17.5.2024"] {
            assert_eq!(read_day(text, today()), Ok(NaiveDate::from_ymd_opt(2024, 5, 17).expect("a day")), "{text}");
        }
        assert_eq!(read_day("today", today()), Ok(today()));
        for text in ["5/6/2024", "2024-02-30", "soon", "", "24-05-17", "17.5.24"] {
            assert!(read_day(text, today()).is_err(), "{text}");
        }
    }
}
