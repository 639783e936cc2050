//! `stemclock judge FOLDER --machine M`: every judgement of one inspection with its proof, and the verdict.

use chrono::NaiveDate;
use serde_json::{Value, json};

use super::answer::{Answer, Exit, Failure};
use super::args::JudgeArgs;
use super::garage;
use super::readings::readings;
use super::repairs;
use super::words::{because_json, decision_id};
use crate::catalogue::Catalogue;
use crate::garage::Bay;
use crate::inspection::Inspection;
use crate::rules::{
    Assessment, Because, Case, CheckResult, Judgement, LimitUsed, Source, Status, Verdict, assess, standing,
};
use crate::units::day;

/// Judges an inspection. For the newest one, what is still open from earlier days is told too, and counts for
/// `--fail-on`: a dangerous finding does not go away because a later look did not record it again.
pub fn judge(args: &JudgeArgs, today: NaiveDate) -> Result<Answer, Failure> {
    let opened = garage::read(&args.folder)?;
    let today = args.day.on.unwrap_or(today);
    let bay = garage::machine(&opened.garage, &args.which.machine)?;
    let (inspection, earlier) = garage::inspection(bay, args.which.inspection.as_deref())?;
    let units = &opened.garage.info.units;
    let own = assess(&Case::new(&bay.machine, inspection, earlier, &opened.catalogue, units, today));
    let elsewhere = args.region.as_deref().map(|region| moved(bay, region, &opened.catalogue)).transpose()?;
    let bay = elsewhere.as_ref().unwrap_or(bay);
    let case = Case::new(&bay.machine, inspection, earlier, &opened.catalogue, units, today);
    let assessment = assess(&case);
    let is_newest = bay.latest().is_some_and(|latest| latest.id == inspection.id);
    let stands = is_newest.then(|| standing(bay, &opened.catalogue, units, today).verdict).flatten();
    let decisions = [Some(&assessment.verdict), stands.as_ref()].into_iter().flatten().map(|v| v.decision);
    let asked = args.fail.fail_on.is_some_and(|on| decisions.into_iter().any(|d| on.holds(Some(d))));
    let today_words = Verdict::planted_today(bay, today);
    let mut text = text(bay, inspection, &case.region.shown(), &assessment);
    if let Some(words) = &today_words {
        text.insert_str(0, &format!("{words}\n"));
    }
    let mut json = data(bay, inspection, &case.region.id, &assessment);
    json["planted_today"] = today_words.into();
    json["rules"] = case.region.shown().into();
    json["own_rules"] = opened.catalogue.own_words().into();
    if elsewhere.is_some() {
        let changes = changes(&own, &assessment);
        text.push_str(&changes_text(&changes));
        json["changed_by_region"] = changes.iter().map(change_json).collect();
    }
    if let Some(stands) = &stands {
        text.push_str(&stands_text(stands, inspection, today));
        let whole = standing(bay, &opened.catalogue, &opened.garage.info.units, today);
        let list = repairs::list(bay, &whole, &opened.catalogue);
        if !list.groups.is_empty() {
            text.push_str("\nWhat to put right\n");
            text.push_str(&repairs::text(&list, &opened.garage.info.units));
        }
        json["repairs"] = repairs::data(&list);
        json["stands"] = stands_json(stands, inspection);
    }
    Ok(Answer {
        text,
        json,
        warnings: garage::warnings(&opened),
        exit: if asked { Exit::AskedAbout } else { Exit::Done },
    })
}

/// The machine as if it were under the rules of another region.
fn moved(bay: &Bay, region: &str, catalogue: &Catalogue) -> Result<Bay, Failure> {
    let Some(found) = catalogue.region_or_wider(region) else {
        let known: Vec<&str> = catalogue.regions.iter().map(|r| r.id.as_str()).collect();
        return Err(Failure::expected(
            &format!("a region, one of {}", known.join(", ")),
            format!("\"{}\"", region.trim()),
            "generic applies no law, and a region of your own is a file in the garage's folder regions",
        ));
    };
    let mut moved = bay.clone();
    moved.machine.region.clone_from(&found.id);
    Ok(moved)
}

/// A check that is judged otherwise under the other region's rules: as it was, and as it is.
type Changed<'a> = (&'a CheckResult, &'a CheckResult);

fn changes<'a>(own: &'a Assessment, other: &'a Assessment) -> Vec<Changed<'a>> {
    let pairs = other.results.iter().filter_map(|new| Some((own.result(&new.check)?, new)));
    pairs.filter(|(old, new)| (old.severity, &old.status) != (new.severity, &new.status)).collect()
}

fn changes_text(changes: &[Changed<'_>]) -> String {
    let line = |(old, new): &Changed<'_>| {
        format!("{}: {} before, {} here", new.title, standing_words(old), standing_words(new))
    };
    let lines: Vec<String> = changes.iter().map(line).collect();
    match lines.as_slice() {
        [] => "\nNothing is judged otherwise than in the machine's own region\n".into(),
        lines => list(
            "Judged otherwise than in the machine's own region",
            &lines.iter().map(String::as_str).collect::<Vec<_>>(),
        ),
    }
}

fn change_json((old, new): &Changed<'_>) -> Value {
    json!({ "check": new.check.to_string(), "title": new.title, "before": standing_words(old), "here": standing_words(new) })
}

/// What is open from earlier inspections.
fn from_earlier<'a>(stands: &'a Verdict, inspection: &'a Inspection) -> impl Iterator<Item = &'a Because> {
    stands.because.iter().filter(|b| b.inspection != inspection.id)
}

fn stands_text(stands: &Verdict, inspection: &Inspection, today: NaiveDate) -> String {
    let mut text = format!("\nWhere the machine stands on {}\n  {}\n", day::words(today), stands.sentence());
    for because in from_earlier(stands, inspection) {
        text.push_str(&format!("  {:<9}  {}\n", because.severity.word(), because.words));
    }
    text
}

fn stands_json(stands: &Verdict, inspection: &Inspection) -> Value {
    json!({
        "decision": decision_id(stands.decision),
        "verdict": stands.sentence(),
        "lapsed": stands.lapsed,
        "open_from_earlier": from_earlier(stands, inspection).map(because_json).collect::<Vec<_>>(),
    })
}

fn text(bay: &Bay, inspection: &Inspection, region: &str, assessment: &Assessment) -> String {
    let verdict = &assessment.verdict;
    let mut text = format!(
        "{} ({}), inspection {}\n{}\nRules: {region}\n",
        bay.machine.name,
        bay.machine.id,
        inspection.id,
        verdict.sentence()
    );
    for because in &verdict.because {
        text.push_str(&format!("  {:<9}  {}\n", because.severity.word(), because.words));
    }
    for together in &assessment.together {
        text.push_str(&format!("  together   {}\n", together.sentence()));
    }
    let (told, silent): (Vec<&CheckResult>, Vec<&CheckResult>) =
        assessment.results.iter().partition(|r| !r.judgements.is_empty());
    for result in told {
        text.push_str(&format!("\n{}: {}\n", result.title, standing_words(result)));
        for judgement in &result.judgements {
            text.push_str(&judgement_text(judgement));
        }
    }
    for (heading, wanted) in
        [("Sound by looking, with nothing measured", Status::Sound), ("Not applicable", Status::NotApplicable)]
    {
        let titles: Vec<&str> = silent.iter().filter(|r| r.status == wanted).map(|r| r.title.as_str()).collect();
        text.push_str(&list(heading, &titles));
    }
    if !bay.machine.built_without.is_empty() {
        let parts: Vec<&str> = bay.machine.built_without.iter().map(|e| e.word()).collect();
        text.push_str(&list("Not asked: by its record the machine was built without", &parts));
    }
    let open: Vec<String> = assessment.results.iter().filter(|r| r.status.is_open()).map(open_words).collect();
    let open: Vec<&str> = open.iter().map(String::as_str).collect();
    text.push_str(&list("Not checked", &open));
    text
}

/// A check's status, with the class of its worst fault.
fn standing_words(result: &CheckResult) -> String {
    match result.severity {
        Some(severity) => severity.word().into(),
        None => result.status.words(),
    }
}

fn open_words(result: &CheckResult) -> String {
    let required = if result.required { " (required)" } else { "" };
    match &result.status {
        Status::CouldNot(why) => format!("{}{required}: could not be checked, {why}", result.title),
        _ => format!("{}{required}", result.title),
    }
}

fn list(heading: &str, lines: &[&str]) -> String {
    if lines.is_empty() {
        return String::new();
    }
    let lines: String = lines.iter().map(|l| format!("  {l}\n")).collect();
    format!("\n{heading}\n{lines}")
}

fn judgement_text(judgement: &Judgement) -> String {
    let mut text = format!("  {}\n", judgement.sentence);
    let mut part = |name: &str, words: String| {
        if !words.is_empty() {
            text.push_str(&format!("    {name:<9} {words}\n"));
        }
    };
    let with_source = |l: &LimitUsed| format!("{} ({})", l.value, l.source.words());
    part("reading", judgement.reading.clone());
    part("limit", judgement.limit.as_ref().map(with_source).unwrap_or_default());
    part("margin", judgement.margin.clone());
    for other in &judgement.others {
        part("also", with_source(other));
    }
    part("class", judgement.graded_by.iter().map(Source::words).collect::<Vec<_>>().join("; "));
    part("rule", judgement.rule.into());
    text
}

fn data(bay: &Bay, inspection: &Inspection, region: &str, assessment: &Assessment) -> Value {
    let verdict = &assessment.verdict;
    json!({
        "machine": { "id": bay.machine.id.0, "name": bay.machine.name },
        "inspection": { "id": inspection.id.0, "date": inspection.date.to_string(), "kind": inspection.kind },
        "region": region,
        "decision": decision_id(verdict.decision),
        "verdict": verdict.sentence(),
        "because": verdict.because.iter().map(because_json).collect::<Vec<_>>(),
        "may_be_raised_together": assessment.together.iter().map(|t| json!({
            "area": t.area,
            "severity": t.class.word(),
            "to": t.to.word(),
            "sentence": t.sentence(),
            "checks": t.because.iter().map(|b| b.check.to_string()).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "built_without": bay.machine.built_without.iter().map(|e| e.word()).collect::<Vec<_>>(),
        "looked_at": verdict.looked_at,
        "asked": verdict.asked,
        "required_open": verdict.required_open.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "checks": assessment.results.iter().map(|r| check_json(r, inspection)).collect::<Vec<_>>(),
    })
}

fn check_json(result: &CheckResult, inspection: &Inspection) -> Value {
    let status = match result.status {
        Status::Unchecked => "unchecked",
        Status::CouldNot(_) => "could-not-be-checked",
        Status::NotApplicable => "not-applicable",
        Status::Sound => "sound",
        Status::HasFinding => "has-a-finding",
    };
    json!({
        "check": result.check.to_string(),
        "title": result.title,
        "station": result.station.word(),
        "required": result.required,
        "status": status,
        "why_not": match &result.status { Status::CouldNot(why) => Some(why), _ => None },
        "severity": result.severity.map(|s| s.word()),
        "readings": readings(inspection.answer(&result.check)),
        "judgements": result.judgements.iter().map(judgement_json).collect::<Vec<_>>(),
    })
}

fn judgement_json(judgement: &Judgement) -> Value {
    let limit = |l: &LimitUsed| json!({ "value": l.value, "source": l.source.words() });
    json!({
        "rule": judgement.rule,
        "field": judgement.field,
        "finding": judgement.finding.as_ref().map(|id| id.0.clone()),
        "outcome": judgement.outcome.word(),
        "sentence": judgement.sentence,
        "reading": judgement.reading,
        "limit": judgement.limit.as_ref().map(limit),
        "margin": judgement.margin,
        "others": judgement.others.iter().map(limit).collect::<Vec<_>>(),
        "graded_by": judgement.graded_by.iter().map(Source::words).collect::<Vec<_>>(),
    })
}
