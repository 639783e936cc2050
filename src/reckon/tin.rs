//! `reckon tin`: the date code at the end of a tyre's identification number, and the tyre's age on a day.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::{Reckon, ReckonError, Reckoning};
use crate::rules::tyre_age::{INSPECT_FROM_MONTHS, REPLACE_AT_MONTHS};
use crate::tyre::TinDate;
use crate::units::day;

/// The entries of the date-code calculator.
#[derive(Clone, Debug, Args)]
pub struct TinAge {
    /// The last four figures (three before 2000) of the identification number, or the whole of it, as in 4819
    #[arg(value_name = "CODE", value_parser = TinDate::parse)]
    pub code: TinDate,
}

/// `6 years 11 months`.
fn age_words(months: i32) -> String {
    let part = |count: i32, what: &str| format!("{count} {what}{}", if count == 1 { "" } else { "s" });
    match (months / 12, months % 12) {
        (0, months) => part(months, "month"),
        (years, 0) => part(years, "year"),
        (years, months) => format!("{} {}", part(years, "year"), part(months, "month")),
    }
}

impl Reckon for TinAge {
    const ID: &'static str = "tin";
    const ABOUT: &'static str = "A tyre's date code: week and year of manufacture, and its age";
    const EXAMPLE: &'static str = "tin 4819 --on 2026-11-25";

    fn reckon(&self, today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let code = self.code;
        let later = || {
            ReckonError::expected(
                &format!("a date code of {today} or before"),
                format!("{code}, which is later"),
                "read the moulding again (week, then year), or give the day with --on",
            )
        };
        let months = code.age_months(today).ok_or_else(later)?;
        let made = code.made().ok_or_else(later)?;
        let years = code.years();
        let (advice, words) = match months {
            m if m >= REPLACE_AT_MONTHS => ("replace", "ten years or more: replaced, whatever it looks like"),
            m if m >= INSPECT_FROM_MONTHS => {
                ("inspect-yearly", "five years or more: inspected every year, inside and out")
            }
            _ => ("none", "below five years, which proves nothing of its state"),
        };
        let mut answer = Reckoning::new(
            format!("Date code {code}"),
            json!({
                "code": code.to_string(),
                "week": code.week(),
                "years": years,
                "made_in_week_of": made.to_string(),
                "on": today.to_string(),
                "age_months": months,
                "advice": advice,
            }),
        );
        let year_words: Vec<String> = years.iter().map(ToString::to_string).collect();
        answer.line(format!("Week {} of {}.", code.week(), year_words.join(" or ")));
        let at_least = if years.len() > 1 { "at least " } else { "" };
        answer.line(format!("On {}: {at_least}{} old; {words}.", day::words(today), age_words(months)));
        answer.formula(format!(
            "week {} begins on {made}, week 01 being the first full week, Sunday to Saturday",
            code.week()
        ));
        answer.source("49 CFR 574.5 (week and year); the first full week from memory, medium-high");
        answer.source(
            "common practice: trade advice of 5 and 10 years, seen in secondary sources; no law for motorcycles",
        );
        if years.len() > 1 {
            answer.caution("A code of three figures was moulded before 2000 and does not say in which decade.");
        }
        answer.caution("A young tyre may fail too: age lowers no finding.");
        Ok(answer)
    }
}
