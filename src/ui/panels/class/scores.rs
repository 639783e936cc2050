//! The class: what it comes to, its students in a table, what was missed most, and what could not be marked.

use egui::{Grid, RichText, ScrollArea, Ui};

use super::drawings::{self, Numbered};
use super::entries::{self, PathField};
use super::kept::Marked;
use super::{ClassState, roster};
use crate::class::{ClassFigures, OfFinding, Outcome, Results, Roster, Score, Share, words};
use crate::edit::Command;
use crate::exercise::{Key, SheetId};
use crate::garage::Course;
use crate::inspection::FindingId;
use crate::machine::Machine;
use crate::ui::theme::strong_family;
use crate::ui::widgets::{caption, strong, trouble};
use crate::ui::{Action, ClassItem, ViewCtx, Where};

/// Draws it.
pub(super) fn ui(cx: &ViewCtx<'_>, course: &Course, class: &mut ClassState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let marked = match class.kept.marked() {
        Some(Ok(marked)) => marked,
        Some(Err(why)) => return trouble(ui, &crate::ui::widgets::sentence(&why)),
        None => return,
    };
    let (Some(key), Some(bay)) = (&course.key, cx.garage.bay(&course.exercise.machine)) else { return };
    let results = &marked.results;
    ui.checkbox(&mut class.hide_names, "Hide the students' names, here, in files and on the projector");
    let names = roster(course, class);
    if results.scores.is_empty() {
        strong(ui, "No sheet is marked yet");
        ui.label("Take the students' sheets in under \"Hand out, take in\", or drop them on this window.");
    } else {
        strong(ui, "The class");
        for line in figure_lines(&results.figures) {
            ui.label(line);
        }
        ui.add_space(10.0);
        strong(ui, "Students");
        if let Some(student) = table(&marked, &names, ui) {
            class.student = Some(student);
        }
        ui.add_space(10.0);
        missed_most(cx, course, key, &bay.machine, &marked, class, ui);
        ui.add_space(10.0);
        export(course, class, actions, ui);
    }
    refused(course, &marked, &names, actions, ui);
}

/// What a class or a student comes to, a line each.
pub(super) fn figure_lines(figures: &ClassFigures) -> Vec<String> {
    let share = |what: &str, share: Option<&Share>| {
        format!("{what}: {}", share.map_or_else(|| "nothing to count".to_owned(), words::share_words))
    };
    let mut lines = vec![
        share("Recall, found of all there were", figures.recall.as_ref()),
        share("Precision, found of all that was written down", figures.precision.as_ref()),
    ];
    lines.push(match figures.minutes_off {
        Some(minutes) => {
            let along = figures.millimetres_off.map(|mm| format!(", {mm:.0} mm")).unwrap_or_default();
            format!("Position: {minutes:.0} clock minutes off in the middle (median){along}")
        }
        None => "Position: nothing to measure".into(),
    });
    lines.push(match &figures.severity {
        Some(k) => format!("Severity, weighted kappa: {}", words::kappa_words(k.value, k.interval)),
        None => "Severity, weighted kappa: cannot be told from so few, or from one class only".into(),
    });
    lines.push(format!("Verdict as the key: {} of {}", figures.verdicts_right, figures.sheets));
    lines
}

const HEADS: [&str; 10] = [
    "Student",
    "Score",
    "Found",
    "Misplaced",
    "Other name",
    "Missed",
    "False alarms",
    "Readings",
    "Verdict",
    "Minutes",
];

/// The students in a table; gives the one whose row was pressed.
fn table(marked: &Marked, names: &Roster, ui: &mut Ui) -> Option<SheetId> {
    let mut chosen = None;
    ScrollArea::horizontal().id_salt("students").show(ui, |ui| {
        Grid::new("students").striped(true).spacing([14.0, 4.0]).show(ui, |ui| {
            for head in HEADS {
                ui.label(RichText::new(head).small().family(strong_family()));
            }
            ui.end_row();
            for score in &marked.results.scores {
                if ui.link(names.name(&score.sheet)).on_hover_text("the sheet, finding by finding").clicked() {
                    chosen = Some(score.sheet.clone());
                }
                for cell in cells(score) {
                    ui.label(cell);
                }
                ui.end_row();
            }
        });
    });
    chosen
}

/// A student's row, after the name.
fn cells(score: &Score) -> [String; 9] {
    let count = |outcome| score.pairings.iter().filter(|p| p.outcome == outcome).count().to_string();
    let (right, marked) = score.readings_right();
    let points = format!("{} of {}", entries::plain(score.earned), entries::plain(score.out_of));
    [
        score.percent().map_or_else(|| points.clone(), |p| format!("{p:.0} %  ({points})")),
        count(Outcome::Found),
        count(Outcome::Misplaced),
        count(Outcome::OtherName),
        score.missed.len().to_string(),
        score.alarms.len().to_string(),
        if marked == 0 { "none".into() } else { format!("{right} of {marked}") },
        if score.decision == score.key_decision { "right" } else { "wrong" }.into(),
        score.minutes.map_or_else(|| "not kept".into(), |m| format!("{m:.0}")),
    ]
}

/// Files of the scores.
fn export(course: &Course, class: &mut ClassState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let id = &course.exercise.id;
    let table = ClassItem::Table { hide_names: class.hide_names };
    let hide_names = class.hide_names;
    strong(ui, "As PDF");
    ui.horizontal_wrapped(|ui| {
        for (words, what) in [
            ("Save the class report…", ClassItem::Report { hide_names }),
            ("Save the students' sheets…", ClassItem::Reports { hide_names }),
        ] {
            if ui.button(words).clicked() {
                actions.push(Action::ClassFile(id.clone(), what, Where::Ask));
            }
        }
    });
    for (name, of, button, what) in [
        ("or type a path for the report", "report", "Save the report there", ClassItem::Report { hide_names }),
        ("or a folder for the sheets", "reports", "Save the sheets there", ClassItem::Reports { hide_names }),
    ] {
        let hint = what.name(id);
        let field = PathField { name, hint: &hint, button };
        if let Some(path) = entries::path(ui, &mut class.paths, of, &field) {
            actions.push(Action::ClassFile(id.clone(), what, Where::Typed(path)));
        }
    }
    ui.add_space(6.0);
    strong(ui, "For a spreadsheet");
    if ui.button("Save the table…").on_hover_text("comma-separated, one row a student").clicked() {
        actions.push(Action::ClassFile(id.clone(), table.clone(), Where::Ask));
    }
    let hint = table.name(id);
    let field = PathField { name: "or type a path for it", hint: &hint, button: "Save the table there" };
    if let Some(path) = entries::path(ui, &mut class.paths, "table", &field) {
        actions.push(Action::ClassFile(id.clone(), table, Where::Typed(path)));
    }
}

/// What was missed most: a list, the plan and the clock faces with the same numbers.
fn missed_most(
    cx: &ViewCtx<'_>,
    course: &Course,
    key: &Key,
    machine: &Machine,
    marked: &Marked,
    class: &mut ClassState,
    ui: &mut Ui,
) {
    let results = &marked.results;
    if results.figures.findings.is_empty() {
        return;
    }
    strong(ui, "What was missed most");
    caption(
        ui,
        "The numbers are the same in every drawing and on paper. On the plan the larger disc was found by fewer.",
    );
    let finding = |id: &FindingId| key.inspection.findings.iter().find(|f| &f.id == id);
    let all = results.scores.len();
    let numbered = numbered(key, results);
    let plan = |width: f32| drawings::numbered_plan(machine, &numbered, width, 420.0);
    drawings::beside(ui, plan, cx.tokens, |ui| {
        for (index, of) in results.figures.findings.iter().enumerate() {
            if let Some(finding) = finding(&of.key) {
                let words = words::finding_words(cx.catalogue, finding);
                ui.label(format!("{}. {words}: {}", index + 1, outcome_words(of, all)));
            }
        }
    });
    ui.add_space(6.0);
    let faces = class.kept.faces(cx, course, None);
    drawings::faces(ui, &faces, cx.tokens);
}

/// The findings of the key on the plan, the most missed first.
pub(super) fn numbered<'a>(key: &'a Key, results: &Results) -> Vec<Numbered<'a>> {
    let all = results.scores.len().max(1) as f32;
    let of = |(index, of): (usize, &OfFinding)| {
        let finding = key.inspection.findings.iter().find(|f| f.id == of.key)?;
        let (missed, severity) = (of.not_found() as f32 / all, results.severity(&of.key));
        Some(Numbered { finding, number: index + 1, missed, severity })
    };
    results.figures.findings.iter().enumerate().filter_map(of).collect()
}

/// What became of a finding over the class: `found by 2 of 6, missed by 4 (2 looked and called it sound)`.
pub(super) fn outcome_words(of: &OfFinding, all: usize) -> String {
    let mut parts = vec![format!("found by {} of {all}", of.found)];
    for (n, what) in [(of.misplaced, "misplaced"), (of.other_name, "named otherwise"), (of.missed, "missed")] {
        if n > 0 {
            parts.push(format!("{what} by {n}"));
        }
    }
    // Of those who missed it.
    if of.called_sound > 0
        && let Some(missed) = parts.last_mut()
    {
        missed.push_str(&format!(" ({} looked and called it sound)", of.called_sound));
    }
    parts.join(", ")
}

/// Sheets that are not marked, each with why.
fn refused(course: &Course, marked: &Marked, names: &Roster, actions: &mut Vec<Action>, ui: &mut Ui) {
    if marked.results.refused.is_empty() {
        return;
    }
    ui.add_space(10.0);
    strong(ui, "Not marked");
    for refused in &marked.results.refused {
        ui.push_id(&refused.sheet.0, |ui| {
            trouble(ui, &format!("{}: {}", names.name(&refused.sheet), refused.why));
            if ui.small_button("Take this sheet out").clicked() {
                actions.push(Action::Edit(Command::RemoveSheet(course.exercise.id.clone(), refused.sheet.clone())));
            }
        });
    }
}
