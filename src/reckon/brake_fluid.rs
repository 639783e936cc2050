//! `reckon brake-fluid`: a measured boiling point or an age against the grade's dry and wet minima.

use chrono::{Datelike, NaiveDate};
use clap::Args;
use serde_json::json;

use super::entry::{both, figure};
use super::{Reckon, ReckonError, Reckoning};
use crate::rules::boiling::{GRADES, Grade, grade};
use crate::rules::fluid_age::CHANGE_AFTER_MONTHS;
use crate::units::Temperature;

/// Water in per cent of the weight at the wet boiling point (49 CFR 571.116 S6.2).
const WET_PERCENT: f64 = 3.7;

/// The entries of the brake-fluid calculator.
#[derive(Clone, Debug, Args)]
#[command(group = clap::ArgGroup::new("known").required(true).multiple(true).args(["boiling", "changed"]))]
pub struct BrakeFluid {
    /// The grade on the reservoir cap, as in "DOT 4"
    #[arg(long, value_name = "GRADE", value_parser = read_grade)]
    pub grade: Grade,
    /// The boiling point that a tester showed, as in "150 C"
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    pub boiling: Option<Temperature>,
    /// The day it was last changed, as in 2024-03-01
    #[arg(long, value_name = "DATE", value_parser = crate::units::day::parse)]
    pub changed: Option<NaiveDate>,
}

fn read_grade(text: &str) -> Result<Grade, String> {
    grade(text).ok_or_else(|| {
        let known: Vec<&str> = GRADES.iter().map(|g| g.name).collect();
        format!(
            "expected a grade, one of {}, found \"{}\": read it on the reservoir cap",
            known.join(", "),
            text.trim()
        )
    })
}

/// Whole months from a day to another.
fn months_between(from: NaiveDate, to: NaiveDate) -> i32 {
    (to.year() - from.year()) * 12 + to.month() as i32 - from.month() as i32 - i32::from(to.day() < from.day())
}

impl Reckon for BrakeFluid {
    const ID: &'static str = "brake-fluid";
    const ABOUT: &'static str = "Brake fluid: boiling point or age against its grade";
    const EXAMPLE: &'static str = "brake-fluid --grade \"DOT 4\" --boiling \"150 C\"";

    fn reckon(&self, today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let Grade { name, dry_c, wet_c } = self.grade;
        let mut answer = Reckoning::new(
            format!("Brake fluid {name}"),
            json!({ "grade": name, "dry_minimum_c": dry_c, "wet_minimum_c": wet_c }),
        );
        let mut replace = false;
        if let Some(boiling) = self.boiling {
            let c = boiling.as_celsius();
            if !(80.0..=350.0).contains(&c) {
                return Err(ReckonError::expected(
                    "a boiling point from 80 to 350 °C",
                    boiling,
                    "no brake fluid boils outside that; check the unit",
                ));
            }
            let spent = c < wet_c;
            replace |= spent;
            let water = WET_PERCENT * (dry_c - c) / (dry_c - wet_c);
            answer.data["boiling_c"] = c.into();
            answer.data["below_wet_minimum"] = spent.into();
            answer.data["water_percent_guess"] = water.max(0.0).into();
            answer.line(match c {
                _ if spent => format!("{} is below the wet minimum of {} °C: replace it.", both(boiling), figure(wet_c, 0)),
                c if c < dry_c => format!(
                    "{} is at or above the wet minimum of {} °C and below the dry one of {} °C: it has taken up water, about {} % by a straight-line guess.",
                    both(boiling),
                    figure(wet_c, 0),
                    figure(dry_c, 0),
                    figure(water, 1)
                ),
                _ => format!("{} is at or above the dry minimum of {} °C, as new.", both(boiling), figure(dry_c, 0)),
            });
            answer.formula(format!(
                "water ≈ 3.7 % × ({} − {}) / ({} − {}) = {} % (a straight line between dry and wet; the real curve falls faster at first)",
                figure(dry_c, 0),
                figure(c, 1),
                figure(dry_c, 0),
                figure(wet_c, 0),
                figure(water, 2)
            ));
            answer.source("49 CFR 571.116 (FMVSS 116) S5.1.1, S5.1.2 and S6.2");
        }
        if let Some(changed) = self.changed {
            if changed > today {
                return Err(ReckonError::expected(
                    &format!("a day of change on or before {today}"),
                    changed,
                    "correct the day, or give the day of asking with --on",
                ));
            }
            let months = months_between(changed, today);
            let due = changed.checked_add_months(chrono::Months::new(CHANGE_AFTER_MONTHS));
            let overdue = due.is_some_and(|due| today >= due);
            replace |= overdue;
            answer.data["age_months"] = months.into();
            answer.data["due_on"] = due.map(|d| d.to_string()).into();
            answer.data["overdue"] = overdue.into();
            let due_words = due.map(|d| d.to_string()).unwrap_or_default();
            answer.line(if overdue {
                format!("Changed on {changed}, {months} months ago: due since {due_words}.")
            } else {
                format!("Changed on {changed}, {months} months ago: due on {due_words}.")
            });
            answer.formula(format!("{changed} + {CHANGE_AFTER_MONTHS} months = {due_words}"));
            answer.source("two years: common practice; the handbook goes first");
        }
        answer.data["replace"] = replace.into();
        if name == "DOT 5" {
            answer.caution("DOT 5 is silicone: never mix it with the others.");
        }
        answer.caution("Use the grade on the cap. Brake fluid attacks paint and eyes; pump lever and pedal firm before the machine moves.");
        Ok(answer)
    }
}
