//! `stemclock status FOLDER`: each machine with its verdict, its open findings, the age of its last inspection and what
//! falls due next.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::answer::{Answer, Exit, Failure};
use super::args::StatusArgs;
use super::garage;
use super::repairs;
use super::words::{age, because_json, decision_id, severities};
use crate::app::Homes;
use crate::catalogue::Catalogue;
use crate::forecast::{Due, When, due_of};
use crate::garage::{Bay, GarageInfo};
use crate::inspection::Severity;
use crate::repair::RepairList;
use crate::rules::{Decision, Standing, standing};
use crate::store::{self, Question};
use crate::units::day;

/// What the answer says of one machine, worked out as soon as its records are read.
#[derive(Deserialize, Serialize)]
struct Told {
    decision: Option<Decision>,
    text: String,
    data: Value,
}

/// Works it out.
pub fn status(args: &StatusArgs, today: NaiveDate) -> Result<Answer, Failure> {
    let today = args.day.on.unwrap_or(today);
    let each = |bay: Bay, catalogue: &Catalogue, info: &GarageInfo| {
        let is_asked = args.all || !bay.machine.archived;
        is_asked.then(|| told(&bay, catalogue, info, today))
    };
    let (opened, all) = match Homes::of_user().filter(|_| !args.anew) {
        Some(homes) => {
            let words = format!("status on {today}, put away {}", args.all);
            store::read_each_kept(&args.folder, &Question { words, kept_in: homes.cache }, each)
        }
        None => store::read_each(&args.folder, each),
    }
    .map_err(|e| Failure(e.to_string()))?;
    let hidden = all.iter().filter(|told| told.is_none()).count();
    let listed: Vec<Told> = all.into_iter().flatten().collect();
    let name = &opened.garage.info.name;
    let mut text = format!(
        "{name}: {} machine{} on {}\n",
        listed.len(),
        if listed.len() == 1 { "" } else { "s" },
        day::words(today)
    );
    for told in &listed {
        text.push('\n');
        text.push_str(&told.text);
    }
    if hidden > 0 {
        text.push_str(&format!("\n{hidden} more put away; --all lists them too.\n"));
    }
    if listed.is_empty() && hidden == 0 {
        text.push_str("\nThere is no machine yet. Add one in the window: stemclock FOLDER\n");
    }
    let asked = args.fail.fail_on.is_some_and(|on| listed.iter().any(|told| on.holds(told.decision)));
    Ok(Answer {
        text,
        json: json!({
            "garage": name,
            "date": today.to_string(),
            "machines": listed.into_iter().map(|told| told.data).collect::<Vec<_>>(),
            "put_away_not_listed": hidden,
            "unreadable": opened.unreadable,
        }),
        warnings: garage::warnings(&opened),
        exit: if asked { Exit::AskedAbout } else { Exit::Done },
    })
}

fn told(bay: &Bay, catalogue: &Catalogue, info: &GarageInfo, today: NaiveDate) -> Told {
    let standing = standing(bay, catalogue, &info.units, today);
    let list = repairs::list(bay, &standing, catalogue);
    let due = due_of(bay, catalogue, info, today);
    let next = due.iter().find(|d| matches!(d.when, When::Overdue | When::WithinAYear));
    let mut text = machine_text(bay, &standing, &list, today);
    if let Some(due) = next {
        text.push_str(&format!("  Next due: {}, {}\n", due.what, due.by_words(&info.units)));
    }
    Told {
        decision: standing.verdict.as_ref().map(|v| v.decision),
        data: machine_json(bay, &standing, &list, next, (catalogue.region_applied(&bay.machine).shown(), today)),
        text,
    }
}

fn machine_text(bay: &Bay, standing: &Standing<'_>, list: &RepairList, today: NaiveDate) -> String {
    let machine = &bay.machine;
    let away = if machine.archived { ", put away" } else { "" };
    let theirs = if machine.read_only.is_some() { ", read-only history" } else { "" };
    let mut text = format!("{} ({}), {}{theirs}{away}\n", machine.name, machine.id, machine.layout.word());
    let Some(verdict) = &standing.verdict else {
        text.push_str("  Not yet decided: nobody has gone over it yet.\n");
        return text;
    };
    text.push_str(&format!("  {}\n", verdict.sentence()));
    for what in &verdict.planted {
        text.push_str(&format!("    planted for a class: {what}\n"));
    }
    if verdict.because.is_empty() {
        text.push_str("  Nothing found is open.\n");
    } else {
        text.push_str(&format!("  Open: {}.\n", severities(|s| verdict.count(s))));
    }
    for because in &verdict.because {
        text.push_str(&format!("    {:<9}  {}\n", because.severity.word(), because.words));
    }
    let asked_again = verdict.asked_again.len();
    if asked_again > 0 {
        text.push_str(&format!("  Asked again after work: {asked_again} checks.\n"));
    }
    let to_do = repairs::summary(list);
    if !to_do.is_empty() {
        text.push_str(&format!("  To do: {to_do}.\n"));
    }
    if let Some(last) = standing.inspection {
        let days = (today - last.date).num_days();
        text.push_str(&format!("  Last inspection: {} ({}, {})\n", age(days), last.date, last.kind));
    }
    text
}

fn machine_json(
    bay: &Bay,
    standing: &Standing<'_>,
    list: &RepairList,
    next: Option<&Due>,
    (rules, today): (String, NaiveDate),
) -> Value {
    let verdict = standing.verdict.as_ref();
    let count = |s: Severity| verdict.map_or(0, |v| v.count(s));
    json!({
        "id": bay.machine.id.0,
        "name": bay.machine.name,
        "layout": bay.machine.layout.word(),
        "region": bay.machine.region,
        "rules": rules,
        "put_away": bay.machine.archived,
        "read_only_history": bay.machine.read_only.is_some(),
        "decision": verdict.map_or("not-yet-decided", |v| decision_id(v.decision)),
        "verdict": verdict.map_or_else(|| "Not yet decided: nobody has gone over it yet.".into(), |v| v.sentence()),
        "lapsed": verdict.and_then(|v| v.lapsed.clone()),
        "planted": verdict.map(|v| v.planted.clone()).unwrap_or_default(),
        "open": {
            "dangerous": count(Severity::Dangerous),
            "major": count(Severity::Major),
            "minor": count(Severity::Minor),
        },
        "findings": verdict.map_or_else(Vec::new, |v| v.because.iter().map(because_json).collect()),
        "required_open": verdict.map_or_else(Vec::new, |v| v.required_open.iter().map(ToString::to_string).collect()),
        "asked_again": standing.asked_again.iter().map(|a| a.check.to_string()).collect::<Vec<_>>(),
        "watched": standing.open.iter().filter(|o| o.watch.is_some()).map(|o| o.finding.id.0.clone()).collect::<Vec<_>>(),
        "repairs": repairs::data(list),
        "next_due": next.map(super::due::due_json),
        "last_inspection": standing.inspection.map(|i| json!({
            "id": i.id.0,
            "date": i.date.to_string(),
            "kind": i.kind,
            "age_days": (today - i.date).num_days(),
        })),
    })
}
