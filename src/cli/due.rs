//! `stemclock due FOLDER [--ics FILE]`: what falls due over all machines, overdue first, also as a calendar file.

use chrono::NaiveDate;
use serde_json::{Value, json};

use super::answer::{Answer, Failure};
use super::args::DueArgs;
use super::garage;
use crate::forecast::{self, Due, When, ics};
use crate::garage::Bay;
use crate::machine::Machine;
use crate::rules::Verdict;
use crate::store::{self, Form};
use crate::units::{Preferences, day};

/// The groups in the order they are listed, with their headings.
const GROUPS: &[(When, &str)] = &[
    (When::Overdue, "Overdue"),
    (When::WithinAYear, "In the next twelve months"),
    (When::Later, "Later"),
    (When::ByDistance, "By distance, no day can be given"),
    (When::Unknown, "Not known when: never taken down"),
];

/// Farther ahead than three years the text does not list: they bury what is near.
const LISTED_MONTHS: u32 = 36;

/// Works it out, and writes the calendar file if one was asked for.
pub fn due(args: &DueArgs, today: NaiveDate) -> Result<Answer, Failure> {
    if let Some(out) = &args.ics {
        store::may_write(out, Form::Calendar).map_err(|e| Failure(e.to_string()))?;
    }
    let opened = garage::read(&args.folder)?;
    let today = args.day.on.unwrap_or(today);
    let info = &opened.garage.info;
    let items = match &args.machine {
        Some(machine) => forecast::due_of(garage::machine(&opened.garage, machine)?, &opened.catalogue, info, today),
        None => forecast::due(&opened.garage, &opened.catalogue, today),
    };
    let asked: Vec<&Bay> = match &args.machine {
        Some(machine) => vec![garage::machine(&opened.garage, machine)?],
        None => opened.garage.bays.iter().collect(),
    };
    let planted = asked.iter().filter_map(|bay| Some((&bay.machine, Verdict::planted_today(bay, today)?)));
    let planted: Vec<(&Machine, String)> = planted.collect();
    let mut text: String = planted.iter().map(|(machine, words)| format!("{}: {words}\n", machine.name)).collect();
    text.push_str(&format!("{}: what falls due, on {}\n", info.name, day::words(today)));
    let horizon = forecast::months_on(today, LISTED_MONTHS);
    let is_near = |d: &&Due| d.when != When::Later || d.date.zip(horizon).is_none_or(|(day, end)| day <= end);
    let near: Vec<Due> = items.iter().filter(is_near).cloned().collect();
    for (when, heading) in GROUPS {
        text.push_str(&group(&near, *when, heading, &info.units));
    }
    if near.len() < items.len() {
        text.push_str(&format!("\n{} more beyond three years; --json tells them.\n", items.len() - near.len()));
    }
    if items.is_empty() {
        text.push_str(
            "\nNothing is known to fall due. Enter services, dates and fluids in the machine's data, and measure what \
             wears at two inspections or more.\n",
        );
    }
    let mut without_a_day = None;
    if let Some(out) = &args.ics {
        let (file, left_out) = ics::calendar(&items, &info.name, &info.units, today);
        store::write_file(out, file.as_bytes()).map_err(|e| Failure(e.to_string()))?;
        text.push_str(&format!("\n{}: {} entries", out.display(), items.len() - left_out));
        text.push_str(&match left_out {
            0 => ".\n".to_owned(),
            n => format!(", {n} without a day left out.\n"),
        });
        without_a_day = Some(left_out);
    }
    text.push_str(
        "\nWhat wears is an estimate, and no verdict: measure before you rely on it. The handbook and the law go before \
         what is common practice.\n",
    );
    Ok(Answer {
        text,
        json: json!({
            "garage": info.name,
            "date": today.to_string(),
            "due": items.iter().map(due_json).collect::<Vec<_>>(),
            "planted_today": planted.iter().map(|(m, words)| json!({ "machine": m.id.0, "words": words })).collect::<Vec<_>>(),
            "ics": args.ics.as_ref().map(|p| p.display().to_string()),
            "ics_left_out_without_a_day": without_a_day,
            "unreadable": opened.unreadable,
        }),
        warnings: garage::warnings(&opened),
        ..Answer::default()
    })
}

fn group(items: &[Due], when: When, heading: &str, units: &Preferences) -> String {
    let mine: Vec<&Due> = items.iter().filter(|d| d.when == when).collect();
    if mine.is_empty() {
        return String::new();
    }
    let mut text = format!("\n{heading}\n");
    for item in mine {
        text.push_str(&format!("  {}: {}, {}\n", item.name, item.what, item.by_words(units)));
        text.push_str(&format!("      {} ({})\n", item.why, item.source));
    }
    text
}

/// An item as data.
pub fn due_json(item: &Due) -> Value {
    let day = |d: Option<NaiveDate>| d.map(|d| d.to_string());
    json!({
        "id": item.id,
        "machine": item.machine.0,
        "name": item.name,
        "kind": item.kind.word(),
        "what": item.what,
        "date": day(item.date),
        "earliest": item.between.and_then(|(early, _)| day(early)),
        "latest": item.between.and_then(|(_, late)| day(late)),
        "left_km": item.km,
        "when": match item.when {
            When::Overdue => "overdue",
            When::WithinAYear => "within-a-year",
            When::Later => "later",
            When::ByDistance => "by-distance",
            When::Unknown => "unknown",
        },
        "why": item.why,
        "source": item.source,
    })
}
