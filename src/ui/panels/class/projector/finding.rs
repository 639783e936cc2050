//! One finding of the key on the projector: where the students put it, and once it is revealed what it is.

use egui::{Panel, Sense, Ui, vec2};

use super::Show;
use super::slide::{body, strong, title_words};
use crate::class::{Outcome, Pairing, PositionSlip, Score, words};
use crate::clock::Side;
use crate::drawing::clock_face::FaceMark;
use crate::drawing::notch::Mark;
use crate::drawing::shape::Drawing;
use crate::exercise::Sheet;
use crate::inspection::{Finding, Place};
use crate::ui::panels::class::drawings::{self, Dot};
use crate::ui::widgets::{notch, sentence};

/// So many students' marks are numbered; more would cover each other.
const NUMBERED: usize = 10;
/// The least width of a clock face in points of its own that has all its numerals.
const FACE: f32 = 142.0;

/// Draws the step.
pub(super) fn ui(show: &Show<'_>, at: usize, finding: &Finding, ui: &mut Ui) {
    let all = show.key.inspection.findings.len();
    let state = if show.revealed { "" } else { ", the key is hidden" };
    title_words(show, ui, &format!("Finding {at} of {all}{state}"));
    let room = ui.available_size();
    // As wide as leaves room for the words, and no higher than the step.
    let scale = show.large.drawing;
    let size = (room.x * 0.41).min(room.y - 24.0 * scale) / scale;
    let face = face(show, finding, size.max(FACE));
    let face_width = face.as_ref().map_or(0.0, |f| f.width * scale);
    let plan_width = if face.is_some() { room.x * 0.21 } else { room.x * 0.5 };
    Panel::left("projector-plan").resizable(false).exact_size(plan_width).show_separator_line(false).show(ui, |ui| {
        let shown = show.revealed.then(|| show.marked.results.severity(&finding.id));
        let scale = show.large.drawing * 0.55;
        let size = vec2(plan_width * 0.96, room.y * 0.94) / scale;
        let plan = drawings::ringed_plan(show.machine, &finding.place, shown, size.x, size.y);
        drawings::show(ui, &plan, scale, show.cx.tokens);
    });
    if let Some(face) = &face {
        Panel::left("projector-face").resizable(false).exact_size(face_width).show_separator_line(false).show(
            ui,
            |ui| {
                drawings::show(ui, face, show.large.drawing, show.cx.tokens);
            },
        );
    }
    egui::CentralPanel::no_frame().show(ui, |ui| {
        ui.add_space(4.0);
        if show.revealed { revealed(show, finding, ui) } else { hidden(show, finding, ui) }
    });
}

/// The sheets that are marked, with their scores.
fn sheets<'a>(show: &Show<'a>) -> impl Iterator<Item = (&'a Score, &'a Sheet)> {
    let sheets = &show.course.sheets;
    let scores = show.marked.results.scores.iter();
    scores.filter_map(|score| Some((score, sheets.iter().find(|s| s.id == score.sheet)?)))
}

/// The wheel's face with the students' marks, and the key's once it is revealed; `size` points of its own wide.
fn face(show: &Show<'_>, finding: &Finding, size: f32) -> Option<Drawing> {
    let Place::Wheel { position, zone, spot } = &finding.place else { return None };
    let answers: Vec<(&Score, &Finding)> = sheets(show)
        .filter_map(|(score, sheet)| Some((score, drawings::answer_to(score, sheet, &finding.id)?)))
        .collect();
    let is_few = answers.len() <= NUMBERED;
    let dots: Vec<Dot> = answers
        .iter()
        .filter_map(|(score, found)| {
            let mark = drawings::face_mark(*position, found, None, String::new())?;
            Some(Dot { mark, number: is_few.then(|| show.names.number(&score.sheet)) })
        })
        .collect();
    let severity = show.marked.results.severity(&finding.id);
    let key = drawings::face_mark(*position, finding, Some(severity), String::new());
    let key = key.filter(|_| show.revealed).map(|mark| FaceMark { selected: true, ..mark });
    if dots.is_empty() && spot.is_none() {
        return None;
    }
    drawings::dotted_face(show.machine, *position, zone.side().unwrap_or(Side::Right), key, &dots, size)
}

/// Before the key is shown: where to look, and how many marked something there.
fn hidden(show: &Show<'_>, finding: &Finding, ui: &mut Ui) {
    let place = match &finding.place {
        Place::Wheel { position, .. } => format!("{} wheel", position.word()),
        Place::Part { station, .. } => station.word().to_owned(),
    };
    strong(show, ui, &sentence(&place));
    ui.add_space(show.large.body * 0.5);
    body(show, ui, "What is wrong here, and how bad is it?");
    let answers = show.marked.results.scores.iter();
    let n = answers.filter(|s| s.pairings.iter().any(|p| p.key == finding.id)).count();
    let all = show.marked.results.scores.len();
    if all > 0 {
        ui.add_space(show.large.body * 0.5);
        body(show, ui, &format!("{n} of {all} wrote something down."));
    }
}

/// The key, and what became of it.
fn revealed(show: &Show<'_>, finding: &Finding, ui: &mut Ui) {
    let severity = show.marked.results.severity(&finding.id);
    strong(show, ui, &sentence(&words::finding_words(show.cx.catalogue, finding)));
    ui.horizontal(|ui| {
        let size = show.large.body * 1.2;
        let (rect, _) = ui.allocate_exact_size(vec2(size, size), Sense::hover());
        notch(ui.painter(), rect.min, size, Mark::Found(severity), show.cx.tokens);
        strong(show, ui, severity.word());
    });
    ui.add_space(show.large.body * 0.4);
    for (what, who) in outcomes(show, finding) {
        if who.is_empty() {
            continue;
        }
        let names = if show.names.hidden { String::new() } else { format!(": {}", who.join(", ")) };
        body(show, ui, &format!("{what} by {}{names}", who.len()));
    }
}

/// Who found it, misplaced it, named it otherwise and missed it. A number before a name is the one on the face.
fn outcomes(show: &Show<'_>, finding: &Finding) -> [(&'static str, Vec<String>); 5] {
    let called = |score: &Score| {
        // The number and the name stay together at the end of a line.
        format!("{}\u{a0}{}", show.names.number(&score.sheet), show.names.name(&score.sheet))
    };
    let with = |wanted: Outcome| {
        let scores = show.marked.results.scores.iter();
        let is_it = |s: &&Score| s.pairings.iter().any(|p| p.key == finding.id && p.outcome == wanted);
        scores.filter(is_it).map(called).collect::<Vec<_>>()
    };
    let is_mirrored = |p: &Pairing| p.key == finding.id && p.nearness.slips.contains(&PositionSlip::Mirrored);
    let mirrored = show.marked.results.scores.iter().filter(|s| s.pairings.iter().any(is_mirrored));
    let missed = show.marked.results.scores.iter().filter(|s| s.missed.iter().any(|m| m.key == finding.id));
    [
        ("Found", with(Outcome::Found)),
        ("Misplaced", with(Outcome::Misplaced)),
        ("The clock was read from the other side", mirrored.map(called).collect()),
        ("Named otherwise", with(Outcome::OtherName)),
        ("Missed", missed.map(called).collect()),
    ]
}
