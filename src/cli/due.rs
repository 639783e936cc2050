//! `stemclock due FOLDER [--ics FILE]`: what falls due over all machines, overdue first, also as a calendar file.

use chrono::NaiveDate;
use serde_json::{Value, json};

use super::answer::{Answer, Failure};
use super::args::DueArgs;
use super::garage;
use crate::catalogue::Catalogue;
use crate::forecast::{self, Due, When, ics};
use crate::garage::{Bay, GarageInfo};
use crate::machine::Machine;
use crate::rules::Verdict;
use crate::store::{self, Form, Opened};
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
    let today = args.day.on.unwrap_or(today);
    let (opened, each) = asked(args, today)?;
    let info = &opened.garage.info;
    let planted: Vec<(&Machine, &String)> =
        each.iter().filter_map(|asked| Some((&asked.machine, asked.planted.as_ref()?))).collect();
    let items = forecast::in_order(each.iter().flat_map(|asked| asked.due.clone()).collect());
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

/// What is found out of one machine.
struct Asked {
    machine: Machine,
    due: Vec<Due>,
    planted: Option<String>,
}

/// Works out the machine that is named, or each of those in use, a few in memory at a time. A history that was taken in to
/// be read asks for nothing.
fn asked(args: &DueArgs, today: NaiveDate) -> Result<(Opened, Vec<Asked>), Failure> {
    let ask = |bay: &Bay, catalogue: &Catalogue, info: &GarageInfo, is_due: bool| Asked {
        machine: bay.machine.clone(),
        due: if is_due { forecast::due_of(bay, catalogue, info, today) } else { Vec::new() },
        planted: Verdict::planted_today(bay, today),
    };
    let Some(named) = &args.machine else {
        return store::read_each(&args.folder, |bay, catalogue, info| {
            let is_due = !bay.machine.archived && bay.machine.read_only.is_none();
            ask(&bay, catalogue, info, is_due)
        })
        .map_err(|e| Failure(e.to_string()));
    };
    let opened = garage::read(&args.folder)?;
    let one = ask(garage::machine(&opened.garage, named)?, &opened.catalogue, &opened.garage.info, true);
    Ok((opened, vec![one]))
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
