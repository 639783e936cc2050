//! `stemclock walk FOLDER --machine M --minutes 20`: the ordered walk round a machine, and what it leaves out and why.

use chrono::NaiveDate;
use serde_json::{Value, json};

use super::answer::{Answer, Exit, Failure};
use super::args::WalkArgs;
use super::garage;
use crate::catalogue::{Catalogue, Kind};
use crate::machine::Machine;
use crate::rules::Verdict;
use crate::walk::{EngineNow, LeftOut, Plan, Reason, Request, Step, minutes_words, plan};

/// Plans a walk round a machine as it is found today.
pub fn walk(args: &WalkArgs, today: NaiveDate) -> Result<Answer, Failure> {
    let opened = garage::read(&args.folder)?;
    let today = args.day.on.unwrap_or(today);
    let bay = garage::machine(&opened.garage, &args.machine)?;
    let kind = kind(&opened.catalogue, &args.kind)?;
    let mut request = Request::new(bay, &opened.catalogue, &opened.garage.info.units, kind, today);
    if let Some(minutes) = args.minutes {
        request = request.within_minutes(minutes);
    }
    request.part = args.part;
    request.helper = !args.alone;
    if args.has_run {
        request.now.setup.engine = EngineNow::Off;
    }
    let plan = plan(&request);
    let planted = Verdict::planted_today(bay, today);
    let first = planted.as_ref().map_or_else(String::new, |words| format!("{words}\n"));
    let mut json = data(&bay.machine, &plan);
    json["planted_today"] = planted.into();
    Ok(Answer {
        text: format!("{first}{}", text(&bay.machine, kind, &opened.catalogue, &plan)),
        json,
        warnings: garage::warnings(&opened),
        exit: Exit::Done,
    })
}

fn kind<'a>(catalogue: &'a Catalogue, wanted: &str) -> Result<&'a Kind, Failure> {
    let id = wanted.trim().to_lowercase();
    catalogue.kind(&id).ok_or_else(|| {
        let known: Vec<&str> = catalogue.kinds.iter().map(|k| k.id.as_str()).collect();
        Failure::expected(
            "a kind of inspection",
            format!("\"{}\"", wanted.trim()),
            &format!("name one of {}", known.join(", ")),
        )
    })
}

fn text(machine: &Machine, kind: &Kind, catalogue: &Catalogue, plan: &Plan) -> String {
    let given = plan.given.map(|s| format!(" in {}", minutes_words(s))).unwrap_or_default();
    let mut text = format!("{} ({}), {}{given}\n{}\n", machine.name, machine.id, kind.name, sum(plan));
    text.push_str(&format!("Begins {}, at the {}\n", plan.from.setup.words(), place(plan.from.station.word())));
    let mut setup = plan.from.setup;
    for stop in plan.stops() {
        let steps = &plan.steps[stop];
        let first = &steps[0];
        if first.setup != setup {
            let done: Vec<String> = first.changes.iter().map(|c| c.words()).collect();
            text.push_str(&format!("\n{}: {}\n", sentence(&done.join("; ")), first.setup.words()));
            setup = first.setup;
        }
        text.push_str(&format!("  {}\n", sentence(first.station.word())));
        for step in steps {
            text.push_str(&format!(
                "    {}  {:<44} {}{}\n",
                clock(step.begins),
                step.title,
                minutes_words(step.seconds),
                raised(step)
            ));
        }
    }
    let mut cautions: Vec<&String> = plan.steps.iter().flat_map(|s| &s.cautions).collect();
    cautions.sort();
    cautions.dedup();
    if !cautions.is_empty() {
        text.push_str("\nCautions\n");
        for caution in cautions.into_iter().filter_map(|id| catalogue.caution(id)) {
            text.push_str(&format!("  {}: {}\n", caution.title, caution.text));
        }
    }
    let (lacking, out): (Vec<&LeftOut>, Vec<&LeftOut>) =
        plan.left_out.iter().partition(|l| l.reason == Reason::NotApplicable);
    if !out.is_empty() {
        text.push_str("\nLeft out\n");
        out.iter().for_each(|l| text.push_str(&format!("  {}: {}\n", l.title, l.words())));
    }
    if !lacking.is_empty() {
        let titles: Vec<&str> = lacking.iter().map(|l| l.title.as_str()).collect();
        text.push_str(&format!("\nNot applicable, the machine has no such part: {}\n", titles.join(", ")));
    }
    text
}

/// How many checks in how long, what is missing, and how near to the best it is.
fn sum(plan: &Plan) -> String {
    let count = plan.steps.len();
    let checks = if count == 1 { "1 check".into() } else { format!("{count} checks") };
    let mut text = format!("{checks} in {}", minutes_words(plan.seconds));
    if let Some(missing) = plan.missing {
        let least = plan.proof.no_less_than;
        text.push_str(&format!("; the required checks alone need {} more than there are", minutes_words(missing)));
        if least < plan.seconds {
            text.push_str(&format!(" (no order takes less than {})", minutes_words(least)));
        }
        text.push_str("; --part plans what takes away the most risk");
    } else if plan.given.is_some() {
        text.push_str(&format!("; {}", plan.proof.words()));
    }
    text
}

fn place(station: &str) -> String {
    station.trim_start_matches("at the ").to_owned()
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

fn raised(step: &Step) -> String {
    if step.raised.is_empty() { String::new() } else { format!(" ({})", step.raised.join(", ")) }
}

/// Minutes and seconds from the start: `12:30`.
fn clock(seconds: u32) -> String {
    format!("{:>3}:{:02}", seconds / 60, seconds % 60)
}

fn data(machine: &Machine, plan: &Plan) -> Value {
    json!({
        "machine": machine.id.0,
        "kind": plan.kind,
        "seconds": plan.seconds,
        "given_seconds": plan.given,
        "missing_seconds": plan.missing,
        "no_less_than_seconds": plan.proof.no_less_than,
        "points": plan.proof.points,
        "points_bound": plan.proof.bound,
        "gap_percent": plan.proof.gap_percent(),
        "steps": plan.steps.iter().map(step).collect::<Vec<_>>(),
        "left_out": plan.left_out.iter().map(|l| json!({
            "check": l.check.to_string(),
            "title": l.title,
            "required": l.required,
            "seconds": l.seconds,
            "points": l.points,
            "reason": l.words(),
        })).collect::<Vec<_>>(),
    })
}

fn step(step: &Step) -> Value {
    json!({
        "check": step.check.to_string(),
        "title": step.title,
        "station": step.station.word(),
        "stance": step.setup.pose.id(),
        "engine": step.setup.engine.id(),
        "ignition": step.setup.ignition,
        "covers_off": step.setup.covers_off,
        "luggage_off": step.setup.luggage_off,
        "changes": step.changes.iter().map(|c| c.words()).collect::<Vec<_>>(),
        "change_seconds": step.change_seconds,
        "walk_seconds": step.walk_seconds,
        "begins_seconds": step.begins,
        "seconds": step.seconds,
        "required": step.required,
        "points": step.points,
        "raised_because": step.raised,
        "cautions": step.cautions,
    })
}
