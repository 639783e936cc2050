//! The scores of a class, as words and as data.

use chrono::{DateTime, FixedOffset};
use serde_json::{Value, json};

use super::args::ClassArgs;
use super::{exercise, paper, planted, table};
use crate::catalogue::Catalogue;
use crate::class::{self, Outcome, Results, Roster, Score, Share, words};
use crate::cli::answer::{Answer, Exit, Failure};
use crate::cli::garage;
use crate::cli::words::decision_id;
use crate::exercise::Key;
use crate::garage::Course;
use crate::units::print_short;

/// Scores every sheet that can be scored and names the others; writes what is asked for.
pub(super) fn score(
    args: &ClassArgs,
    key: &str,
    mut warnings: Vec<String>,
    now: DateTime<FixedOffset>,
) -> Result<Answer, Failure> {
    let opened = garage::read(&args.folder)?;
    let was_refused = !warnings.is_empty();
    warnings.extend(garage::warnings(&opened));
    let course = exercise::course(&opened.garage, Some(key))?;
    let key = key_of(course)?;
    let bay = garage::machine(&opened.garage, &course.exercise.machine.0)?;
    let results = class::results(course, key, &bay.machine, &opened.catalogue, &opened.garage.info.units)
        .map_err(|e| Failure(format!("the key cannot be used: {e}: mend exercises/{}/key.ron", course.exercise.id)))?;
    warnings.extend(results.doubts.iter().cloned());
    let roster = Roster::of(course, args.hide_names);
    warnings.extend(results.refused.iter().map(|r| {
        let (name, sheet) = (roster.name(&r.sheet), roster.sheet(&r.sheet));
        format!("{name}, {sheet}, is left out: {}", r.why)
    }));
    let mut paper = paper::write(args, &opened, course, now)?;
    if let Some(to) = &args.csv {
        table::write(to, key, &results.scores, &|score| roster.name(&score.sheet))?;
        paper.written.push(to.display().to_string());
    }
    warnings.extend(paper.notes);
    let said =
        Said { course, key, results: &results, roster: &roster, catalogue: &opened.catalogue, written: &paper.written };
    let today = now.date_naive();
    let (mut text, mut json) = (said.text(&bay.machine.name), said.json());
    let planted = planted::text(bay, today);
    if !planted.is_empty() {
        text.push_str(&format!("\n{planted}"));
    }
    json["planted"] = planted::data(bay, today).into();
    // The others are scored all the same; a script learns that there was one.
    let exit = if was_refused || !results.refused.is_empty() { Exit::Failed } else { Exit::Done };
    Ok(Answer { text, json, warnings, exit })
}

fn key_of(course: &Course) -> Result<&Key, Failure> {
    course.key.as_ref().ok_or_else(|| {
        Failure::expected(
            &format!("the key of {}", course.exercise.id),
            "none",
            "a students' garage holds no key: score in the instructor's; there, mend key.ron if it could not be read",
        )
    })
}

struct Said<'a> {
    course: &'a Course,
    key: &'a Key,
    results: &'a Results,
    roster: &'a Roster,
    catalogue: &'a Catalogue,
    written: &'a [String],
}

impl Said<'_> {
    fn finding_words(&self, id: &crate::inspection::FindingId) -> String {
        let finding = self.key.inspection.findings.iter().find(|f| &f.id == id);
        finding.map_or_else(|| id.to_string(), |f| words::finding_words(self.catalogue, f))
    }

    fn text(&self, machine: &str) -> String {
        let (scores, figures) = (&self.results.scores, &self.results.figures);
        let exercise = &self.course.exercise;
        let (findings, readings) = (self.key.inspection.findings.len(), self.key.readings.len());
        let mut text = format!(
            "{} ({}), on {machine}: {} sheets scored, {} left out; {findings} findings and {readings} readings in the key.\n",
            exercise.title,
            exercise.id,
            scores.len(),
            self.results.refused.len()
        );
        for score in scores {
            text.push_str(&format!(
                "\n{}: {} of {}{}\n",
                self.roster.name(&score.sheet),
                print_short(score.earned, 2, false),
                print_short(score.out_of, 2, false),
                score.percent().map(|p| format!(" ({p:.0} %)")).unwrap_or_default()
            ));
            for pairing in &score.pairings {
                text.push_str(&format!("  {}: {}\n", self.finding_words(&pairing.key), words::pairing_words(pairing)));
            }
            for missed in &score.missed {
                text.push_str(&format!("  {}: {}\n", self.finding_words(&missed.key), words::missed_words(missed)));
            }
            if !score.alarms.is_empty() {
                text.push_str(&format!("  False alarms: {}\n", score.alarms.len()));
            }
            for reading in &score.readings {
                let title = words::check_words(self.catalogue, &reading.check);
                text.push_str(&format!("  {title}: {}\n", words::reading_words(reading)));
            }
            let right = if score.decision == score.key_decision { "as the key" } else { "the key says otherwise" };
            text.push_str(&format!("  Verdict: {}, {right}\n", score.decision.words()));
            for (station, minutes) in &score.stations {
                text.push_str(&format!("  {minutes:>5.1} min  {}\n", station.word()));
            }
        }
        text.push_str("\nThe class\n");
        text.push_str(&share("Recall", figures.recall.as_ref()));
        text.push_str(&share("Precision", figures.precision.as_ref()));
        if let Some(minutes) = figures.minutes_off {
            let along = figures.millimetres_off.map(|mm| format!(", {mm:.0} mm")).unwrap_or_default();
            text.push_str(&format!("  Position: {minutes:.0} clock minutes off in the middle (median){along}\n"));
        }
        text.push_str(&match &figures.severity {
            Some(k) => format!("  Severity, weighted kappa: {}\n", words::kappa_words(k.value, k.interval)),
            None => "  Severity, weighted kappa: cannot be told from so few, or from one class only\n".into(),
        });
        text.push_str(&format!("  Verdict right: {} of {}\n", figures.verdicts_right, figures.sheets));
        if figures.findings.iter().any(|f| f.not_found() > 0) {
            text.push_str("  Most often missed:\n");
            for f in figures.findings.iter().filter(|f| f.not_found() > 0) {
                text.push_str(&format!(
                    "    {} missed, {} misplaced, {} named otherwise: {}\n",
                    f.missed,
                    f.misplaced,
                    f.other_name,
                    self.finding_words(&f.key)
                ));
            }
        }
        for path in self.written {
            text.push_str(&format!("\n{path}"));
        }
        if !self.written.is_empty() {
            text.push('\n');
        }
        text
    }

    fn json(&self) -> Value {
        let f = &self.results.figures;
        json!({
            "exercise": self.course.exercise.id.0,
            "title": self.course.exercise.title,
            "students": self.results.scores.iter().map(|s| score_json(s, self.roster)).collect::<Vec<_>>(),
            "left_out": self.results.refused.iter().map(|r| json!({
                "sheet": self.roster.sheet(&r.sheet), "student": self.roster.name(&r.sheet), "why": r.why,
            })).collect::<Vec<_>>(),
            "written": self.written,
            "class": {
                "recall": f.recall.as_ref().map(share_json),
                "precision": f.precision.as_ref().map(share_json),
                "minutes_off_median": f.minutes_off,
                "millimetres_off_median": f.millimetres_off,
                "severity_kappa": f.severity.map(|k| json!({
                    "value": k.value, "standard_error": k.standard_error, "count": k.count,
                    // Without an error there is no interval: the pairs are too alike to tell one.
                    "low": (k.standard_error > 0.0).then_some(k.interval.low),
                    "high": (k.standard_error > 0.0).then_some(k.interval.high),
                })),
                "verdicts_right": f.verdicts_right,
                "findings": f.findings.iter().map(|f| json!({
                    "finding": f.key.0, "found": f.found, "misplaced": f.misplaced,
                    "named_otherwise": f.other_name, "missed": f.missed, "called_sound": f.called_sound,
                })).collect::<Vec<_>>(),
            },
        })
    }
}

fn score_json(score: &Score, roster: &Roster) -> Value {
    json!({
        "student": roster.name(&score.sheet),
        "sheet": roster.sheet(&score.sheet),
        "earned": score.earned,
        "out_of": score.out_of,
        "percent": score.percent(),
        "recall": score.recall(),
        "precision": score.precision(),
        "verdict": decision_id(score.decision),
        "verdict_right": score.decision == score.key_decision,
        "minutes": score.minutes,
        "stations": score.stations.iter().map(|(s, m)| json!({ "station": s.word(), "minutes": m })).collect::<Vec<_>>(),
        "findings": score.pairings.iter().map(|p| json!({
            "key": p.key.0,
            // An id that a student's hand may have written can hold the name.
            "found": (!roster.hidden).then_some(&p.found.0),
            "outcome": match p.outcome {
                Outcome::Found => "found",
                Outcome::Misplaced => "misplaced",
                Outcome::OtherName => "named-otherwise",
            },
            "mirrored": p.nearness.slips.iter().any(|s| matches!(s, class::PositionSlip::Mirrored | class::PositionSlip::OtherSide)),
            "minutes_off": p.nearness.minutes,
            "millimetres_off": p.nearness.millimetres,
            "severity": p.severity.word(),
            "key_severity": p.key_severity.word(),
            "earned": p.earned,
        })).collect::<Vec<_>>(),
        "missed": score.missed.iter().map(|m| json!({
            "key": m.key.0, "called_sound": m.called_sound,
        })).collect::<Vec<_>>(),
        "false_alarms": score.alarms.iter().map(|a| (!roster.hidden).then_some(&a.found.0)).collect::<Vec<_>>(),
        "readings": score.readings.iter().map(|r| json!({
            "check": r.check.to_string(), "field": r.field, "says": words::reading_words(r), "earned": r.earned,
        })).collect::<Vec<_>>(),
    })
}

fn share(what: &str, share: Option<&Share>) -> String {
    format!("  {what}: {}\n", share.map_or_else(|| "nothing to count".to_owned(), words::share_words))
}

fn share_json(s: &Share) -> Value {
    json!({ "part": s.part, "whole": s.whole, "value": s.value(), "low": s.interval.low, "high": s.interval.high })
}
