//! The health of the battery over seasons: its voltage at rest, year by year.
//!
//! A voltage at rest is a state of charge and no wear: no line is drawn to a limit. What is shown is whether the same
//! reading has been lower season after season.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use crate::garage::Bay;
use crate::history::OdometerLog;
use crate::inspection::{PartRef, Value};
use crate::stats::median;

/// The readings of one year.
#[derive(Clone, Debug, PartialEq)]
pub struct Season {
    /// The year.
    pub year: i32,
    /// How many readings after a rest.
    pub readings: usize,
    /// Their middle in volts.
    pub middle: f64,
    /// Their least in volts.
    pub least: f64,
}

/// The seasons of the battery that is in now, oldest first. Readings that were not taken after a rest are left out.
pub fn battery_seasons(bay: &Bay, log: &OdometerLog, today: NaiveDate) -> Vec<Season> {
    let since = super::fitted::fitted(bay, log, &PartRef::Battery, today).map(|f| f.on);
    let mut years: BTreeMap<i32, Vec<f64>> = BTreeMap::new();
    for inspection in bay.inspections.iter().filter(|i| i.date <= today && since.is_none_or(|s| i.date >= s)) {
        for answer in inspection.answers.iter().filter(|(c, _)| c.check == "battery-rest").map(|(_, a)| a) {
            let rested = matches!(answer.readings.get("rested"), Some(Value::Choice(id)) if id == "yes");
            if let (true, Some(Value::Voltage(v))) = (rested, answer.readings.get("rest")) {
                years.entry(inspection.date.year()).or_default().push(v.as_volts());
            }
        }
    }
    years
        .into_iter()
        .filter_map(|(year, volts)| {
            let least = volts.iter().copied().min_by(f64::total_cmp)?;
            Some(Season { year, readings: volts.len(), middle: median(&volts)?, least })
        })
        .collect()
}
