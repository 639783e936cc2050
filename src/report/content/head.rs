//! The beginning of a record: which machine, on which day and how, the verdict, and the machine in plan.

use super::case::RecordCase;
use super::words::{capital, count, day, or_not_recorded};
use crate::drawing::notch::{self, Mark};
use crate::drawing::plan::{self, PlaceState, PlanView};
use crate::drawing::shape::Ink;
use crate::inspection::Severity;
use crate::machine::{Equipment, Power, WheelPosition};
use crate::report::block::{Block, BlockKind, Callout, Paper, Span};
use crate::rules::{CheckResult, Decision, Verdict};

pub(super) fn blocks(case: &RecordCase<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::heading(1, case.machine().name.clone())];
    blocks.push(Block::spans(vec![
        Span::text(format!("Inspection record · {} · {}", case.kind_name(), day(case.input.inspection.date)))
            .ink(Ink::Faint),
    ]));
    blocks.push(verdict(case, reasons(case.input.paper)));
    blocks.push(Block::key_values(about(case), true));
    if !case.input.inspection.note.trim().is_empty() {
        blocks.push(Block::key_values([("Note", case.input.inspection.note.trim())], false));
    }
    blocks.push(the_plan(case));
    blocks
}

/// The verdict without its reasons, where these follow at once.
pub(super) fn banner(case: &RecordCase<'_>) -> Block {
    verdict(case, 0)
}

/// When, where and how, and which machine.
pub(super) fn about(case: &RecordCase<'_>) -> Vec<(String, String)> {
    let mut about = conditions(case);
    about.extend(machine(case));
    about
}

/// How many reasons stand in the verdict's box before it points to the findings below. The lower page has less room, and
/// the plan belongs on the first page.
fn reasons(paper: Paper) -> usize {
    match paper {
        Paper::A4 => 5,
        Paper::Letter => 3,
    }
}

/// The mark that stands beside a decision, on paper and in the window.
pub fn decision_mark(decision: Decision) -> Mark {
    match decision {
        Decision::DoNotRide => Mark::Found(Severity::Dangerous),
        Decision::NotFitUntilRepaired => Mark::Found(Severity::Major),
        Decision::FitWithMinorDefects => Mark::Found(Severity::Minor),
        Decision::NotYetDecided => Mark::Unchecked,
        Decision::FitToRide => Mark::Sound,
    }
}

fn verdict(case: &RecordCase<'_>, most: usize) -> Block {
    let verdict = &case.verdict;
    let mark = decision_mark(verdict.decision);
    let ink = match mark {
        Mark::Found(severity) => notch::ink(severity),
        Mark::Sound => Ink::Sound,
        Mark::Unchecked => Ink::Unchecked,
    };
    // The title stands above the sentence, which begins with the same words.
    let title = capital(&verdict.words());
    let sentence = verdict.sentence();
    let rest =
        sentence.strip_prefix(title.as_str()).map_or(sentence.as_str(), |s| s.trim_start_matches([':', ',', ' ']));
    let mut text = vec![vec![Span::text(capital(rest))]];
    // What the machine reads today goes before what it read on the day of the inspection.
    let today = Verdict::planted_today(case.input.bay, case.input.today).filter(|_| verdict.planted.is_empty());
    if let Some(today) = today {
        text.insert(0, vec![Span::text(today).strong()]);
    }
    text.extend(verdict.planted.iter().map(|what| {
        vec![Span::text("Planted for a class").strong(), Span::text(format!(" and still on the machine: {what}"))]
    }));
    // One reason more takes no more room than the line that points to it.
    let reasons = if most > 0 && verdict.because.len() == most + 1 { most + 1 } else { most };
    for because in verdict.because.iter().take(reasons) {
        let mut words = Span::text(format!(": {}", because.words));
        let number = case.numbered().into_iter().find(|(_, f)| because.finding.as_ref() == Some(&f.id));
        if let Some((number, finding)) = number {
            words = words.to_heading(super::findings::title(case, number, finding));
        }
        text.push(vec![Span::text(capital(because.severity.word())).strong(), words]);
    }
    if let Some(more) = verdict.because.len().checked_sub(reasons).filter(|more| *more > 0 && most > 0) {
        text.push(vec![Span::text(format!("And {more} more below."))]);
    }
    let open = verdict.required_open.len();
    if open > 0 && verdict.decision != Decision::NotYetDecided {
        text.push(vec![Span::text(format!(
            "Beside this, {} not done; see what was not checked.",
            if open == 1 { "1 required check was".into() } else { format!("{open} required checks were") }
        ))]);
    }
    Block::from(BlockKind::Callout(Callout { mark: Some(notch::drawing(mark, 38.0)), title, text, ink, banner: true }))
}

fn machine(case: &RecordCase<'_>) -> Vec<(String, String)> {
    let (m, units) = (case.machine(), case.input.units);
    let mut pairs = vec![
        ("Layout".to_owned(), m.layout.word().to_owned()),
        ("Category".into(), format!("{}, {}", m.category.word(), m.category.meaning())),
    ];
    let mut known = |label: &str, value: Option<String>| pairs.extend(value.map(|v| (label.to_owned(), v)));
    known("Registration", m.registration.clone().filter(|r| !r.trim().is_empty()));
    known("Identification number", m.vin.clone().filter(|v| !v.trim().is_empty()));
    known("First use", m.first_use.map(day));
    known(
        "Drive",
        Some(match (m.power, m.capacity_cc) {
            (Power::Combustion, Some(cc)) => format!("{cc} cm³, {}", m.final_drive.word()),
            (Power::Combustion, None) => format!("combustion, {}", m.final_drive.word()),
            (Power::Electric, _) => format!("electric, {}", m.final_drive.word()),
        }),
    );
    known("Greatest mass", m.maximum_mass.map(|mass| units.show(mass)));
    let named = |all: &std::collections::BTreeSet<Equipment>| {
        let words: Vec<&str> = all.iter().map(|e| e.word()).collect();
        (!words.is_empty()).then(|| words.join(", "))
    };
    known("Built without", named(&m.built_without));
    known("Has besides", named(&m.fitted_with));
    for wheel in &m.wheels {
        let label = format!("Tyre, {}", wheel.position.word());
        let words = wheel.tyre.as_ref().map_or_else(|| "not recorded".into(), |t| t.marking.to_string());
        pairs.push((label, words));
    }
    pairs
}

fn conditions(case: &RecordCase<'_>) -> Vec<(String, String)> {
    let (i, units) = (case.input.inspection, case.input.units);
    let when = match i.started {
        Some(time) => format!("{}, {}", day(i.date), time.format("%H:%M")),
        None => day(i.date),
    };
    let mut pairs = vec![
        ("Inspected".to_owned(), when),
        ("By".into(), or_not_recorded(&i.inspector)),
        ("Odometer".into(), i.odometer.map_or_else(|| "not recorded".into(), |o| units.show(o))),
        ("Place".into(), or_not_recorded(&i.conditions.place)),
        ("Air".into(), i.conditions.ambient.map_or_else(|| "not recorded".into(), |t| units.show(t))),
        ("Load".into(), if i.conditions.loaded { "with passenger or luggage".into() } else { "rider alone".into() }),
    ];
    if let Some(hours) = i.conditions.standing_hours {
        pairs.push(("Stood for".into(), format!("{hours} hours")));
    }
    pairs.push(("Rules applied".into(), case.region.0.clone()));
    pairs
}

/// The machine in plan with the worst of each place.
fn the_plan(case: &RecordCase<'_>) -> Block {
    let state = |results: &mut dyn Iterator<Item = &CheckResult>| {
        let mut state = PlaceState::default();
        for result in results {
            state.worst = state.worst.max(result.severity);
            state.unchecked += usize::from(result.status.is_open());
            state.findings += faults(case, result);
        }
        state
    };
    let machine = case.machine();
    let wheels =
        machine.wheels.iter().map(|wheel| (wheel.position, state(&mut on_wheel(case, wheel.position)))).collect();
    let stations =
        plan::stations_of(machine).into_iter().map(|station| (station, state(&mut case.at(station)))).collect();
    // Drawn wider than the lower page's body, it is scaled down with its words and stays on the first page.
    let width = match case.input.paper {
        Paper::A4 => 465.0,
        Paper::Letter => 560.0,
    };
    let view = PlanView { width, height: 245.0, wheels, stations, ..PlanView::default() };
    Block::figure(
        plan::draw(machine, &view).drawing,
        format!("Each place with its worst class; dashed: not fully looked at. {}.", marks_words(case)),
    )
}

fn on_wheel<'c>(case: &'c RecordCase<'_>, wheel: WheelPosition) -> impl Iterator<Item = &'c CheckResult> {
    case.assessment.results.iter().filter(move |r| r.check.subject.wheel() == Some(wheel))
}

/// How many faults a check has: recorded findings, and one for readings outside their limits.
fn faults(case: &RecordCase<'_>, result: &CheckResult) -> usize {
    case.assessment.verdict.because.iter().filter(|b| b.check == result.check).count()
}

fn marks_words(case: &RecordCase<'_>) -> String {
    let because = &case.assessment.verdict.because;
    let of = |severity: Severity| because.iter().filter(|b| b.severity == severity).count();
    if because.is_empty() {
        return format!("{} looked at of {}", case.verdict.looked_at, count(case.verdict.asked, "check"));
    }
    let counted = Severity::ALL.iter().rev().filter(|s| of(**s) > 0);
    let mut words = counted.map(|s| format!("{} {}", of(*s), s.word())).collect::<Vec<_>>().join(", ");
    if !case.earlier.is_empty() {
        words.push_str(&format!(" on this day, {} open from before", case.earlier.len()));
    }
    words
}
