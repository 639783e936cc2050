//! Defects planted on the real machine for a class: put on the removal list, and ticked out one by one. Must not score.

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde_json::{Value, json};

use super::args::ClassArgs;
use super::exercise::{course, open_to_write, write};
use crate::class::not_in_key;
use crate::cli::answer::{Answer, Failure};
use crate::edit::Command;
use crate::garage::{Bay, Garage};
use crate::history::{Planted, planted};
use crate::inspection::{Event, EventId, EventKind};
use crate::machine::SCHEMA;
use crate::rules::standing;
use crate::store::Opened;

/// Notes a planted defect with how it is taken out again.
pub(super) fn plant(args: &ClassArgs, key: &str, what: &str, now: DateTime<FixedOffset>) -> Result<Answer, Failure> {
    let mut opened = open_to_write(&args.folder)?;
    let exercise = course(&opened.garage, Some(key))?.exercise.clone();
    let kind = EventKind::Planted {
        exercise: exercise.id.0.clone(),
        what: what.trim().to_owned(),
        remove: args.remove.clone().unwrap_or_default().trim().to_owned(),
    };
    let event = event(args, "planted", kind, now.date_naive());
    write(&args.folder, &mut opened, Command::Record(exercise.machine.clone(), event))?;
    let held = course(&opened.garage, Some(key))?.key.as_ref();
    let unheld = not_in_key(&opened.catalogue, held, what);
    Ok(Answer { warnings: unheld.into_iter().collect(), ..answer(&opened, key, now.date_naive())? })
}

/// Ticks a planted defect out: one event for each.
pub(super) fn taken_out(
    args: &ClassArgs,
    key: &str,
    which: &str,
    now: DateTime<FixedOffset>,
) -> Result<Answer, Failure> {
    let mut opened = open_to_write(&args.folder)?;
    let today = now.date_naive();
    let machine = course(&opened.garage, Some(key))?.exercise.machine.clone();
    let planted = {
        let bay = bay(&opened.garage, key)?;
        named(&list(bay, today), which)?
    };
    let kind = EventKind::Unplanted { planted, look: args.look.clone().unwrap_or_default().trim().to_owned() };
    let event = event(args, "unplanted", kind, today);
    write(&args.folder, &mut opened, Command::Record(machine, event))?;
    answer(&opened, key, today)
}

fn event(args: &ClassArgs, what: &str, kind: EventKind, date: NaiveDate) -> Event {
    let random = fastrand::Rng::new().u16(..);
    let by = args.by.clone().unwrap_or_default().trim().to_owned();
    Event { schema: SCHEMA, id: EventId(format!("{date}-{what}-{random:04x}")), date, by, kind }
}

fn bay<'a>(garage: &'a Garage, key: &str) -> Result<&'a Bay, Failure> {
    let exercise = &course(garage, Some(key))?.exercise;
    crate::cli::garage::machine(garage, &exercise.machine.0)
}

/// What is still in.
fn list(bay: &Bay, today: NaiveDate) -> Vec<Planted<'_>> {
    planted(bay, today)
}

/// The planted defect that is meant: by the id of its event, or words of what it is.
fn named(list: &[Planted<'_>], which: &str) -> Result<EventId, Failure> {
    let wanted = which.trim().to_lowercase();
    let hit = |p: &&Planted<'_>| p.event.id.0.starts_with(&wanted) || p.what.to_lowercase().contains(&wanted);
    let exact = list.iter().find(|p| p.event.id.0 == wanted);
    let found: Vec<&Planted<'_>> = exact.map_or_else(|| list.iter().filter(hit).collect(), |one| vec![one]);
    let said = || list.iter().map(|p| format!("{} ({})", p.event.id, p.what)).collect::<Vec<_>>().join("; ");
    match found[..] {
        [one] => Ok(one.event.id.clone()),
        _ if list.is_empty() => {
            Err(Failure::expected("a planted defect that is still in", "none", "there is nothing to take out"))
        }
        [] => {
            Err(Failure::expected("a planted defect", format!("no \"{which}\""), &format!("name one of: {}", said())))
        }
        _ => Err(Failure::expected(
            "one planted defect",
            format!("{} that it may be", found.len()),
            &format!("name it by its id, one at a time: {}", said()),
        )),
    }
}

/// The removal list and what the machine reads now.
fn answer(opened: &Opened, key: &str, today: NaiveDate) -> Result<Answer, Failure> {
    let bay = bay(&opened.garage, key)?;
    let verdict = standing(bay, &opened.catalogue, &opened.garage.info.units, today).verdict;
    let reads = verdict.map_or_else(|| "Not yet decided: nobody has gone over it yet.".to_owned(), |v| v.sentence());
    Ok(Answer {
        text: format!("{}{} reads: {reads}\n", text(bay, today), bay.machine.name),
        json: json!({ "machine": bay.machine.id.0, "planted": data(bay, today), "verdict": reads }),
        ..Answer::default()
    })
}

/// The removal list in words, one line each; empty where nothing is in.
pub(super) fn text(bay: &Bay, today: NaiveDate) -> String {
    let lines: Vec<String> = list(bay, today)
        .iter()
        .map(|p| format!("  {}: {}. Out: {}\n", p.event.id, p.what.trim(), p.remove.trim()))
        .collect();
    match lines.len() {
        0 => String::new(),
        n => format!("Planted on {} and still in ({n}), do not ride:\n{}", bay.machine.name, lines.concat()),
    }
}

/// The removal list as data.
pub(super) fn data(bay: &Bay, today: NaiveDate) -> Vec<Value> {
    list(bay, today)
        .iter()
        .map(|p| json!({ "event": p.event.id.0, "exercise": p.exercise, "what": p.what, "remove": p.remove }))
        .collect()
}
