//! The key: how near a finding must be, which names count, what weighs how much, which readings are marked.

use egui::Ui;

use super::{ClassState, also, entries, told, tolerance};
use crate::class::words;
use crate::edit::Command;
use crate::exercise::{Key, Mark, ZoneRule};
use crate::garage::Course;
use crate::inspection::{Finding, Place};
use crate::ui::widgets::{caption, section, segments, strong, trouble};
use crate::ui::{Action, ViewCtx};

/// Which zones count, in words.
const ZONES: &[(ZoneRule, &str)] = &[
    (ZoneRule::Same, "the same only"),
    (ZoneRule::Neighbouring, "the same or beside it"),
    (ZoneRule::Any, "any of the wheel"),
];

/// Draws the key, to be changed.
pub(super) fn ui(cx: &ViewCtx<'_>, course: &Course, class: &mut ClassState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let Some(key) = &course.key else { return };
    told::ui(cx, &course.exercise, actions, ui);
    let mut changed = key.clone();
    ui.add_space(12.0);
    strong(ui, "Findings");
    caption(
        ui,
        "What there is to find. Press one to say how near is near enough, which names count and what it weighs.",
    );
    anew(cx, course, key, &mut changed, ui);
    if key.inspection.findings.is_empty() {
        ui.label("None: then every finding of a student is a false alarm.");
    }
    for (index, finding) in key.inspection.findings.iter().enumerate() {
        let mark = key.mark(&finding.id);
        let title = format!("{}. {}", index + 1, cx.catalogue.fault_words(finding));
        let is_open = class.open.as_ref() == Some(&finding.id);
        let mut now = mark.clone();
        let pressed = ui
            .push_id(&finding.id.0, |ui| {
                section(
                    ui,
                    &title,
                    &format!("{} · {}", words::place_words(finding), mark_words(finding, &mark)),
                    is_open,
                    |ui| {
                        one(cx, finding, &mut now, &mut class.also_filter, ui);
                    },
                )
            })
            .inner;
        if pressed {
            class.open = (!is_open).then(|| finding.id.clone());
            class.also_filter.clear();
        }
        if now != mark {
            changed.marks.insert(finding.id.clone(), now);
        }
    }
    ui.add_space(12.0);
    tolerance::ui(cx, key, &mut changed, ui);
    ui.add_space(12.0);
    marking(&mut changed, ui);
    if changed != *key {
        actions.push(Action::Edit(Command::PutKey(changed)));
    }
}

/// How a finding is marked, in a few words.
fn mark_words(finding: &Finding, mark: &Mark) -> String {
    let mut parts = Vec::new();
    if let Place::Wheel { spot, .. } = &finding.place {
        if spot.is_some() {
            parts.push(format!("{} min", entries::plain(mark.near_minutes)));
        }
        parts.extend(ZONES.iter().find(|(rule, _)| *rule == mark.zone).map(|(_, words)| format!("zone: {words}")));
    }
    match mark.also.len() {
        0 => {}
        1 => parts.push("1 further name".into()),
        n => parts.push(format!("{n} further names")),
    }
    parts.push(format!("weight {}", entries::plain(mark.weight)));
    parts.join(" · ")
}

fn one(cx: &ViewCtx<'_>, finding: &Finding, mark: &mut Mark, filter: &mut String, ui: &mut Ui) {
    let what = words::finding_words(cx.catalogue, finding);
    if let Place::Wheel { spot, .. } = &finding.place {
        if spot.is_some()
            && let Some(minutes) = entries::clock_minutes(ui, &format!("Near enough: {what}"), mark.near_minutes)
        {
            mark.near_minutes = minutes;
        }
        if let Some(rule) = segments(ui, "Zone", &mark.zone, ZONES) {
            mark.zone = rule;
        }
    }
    if let Some(weight) = entries::weight(ui, "Weight", &format!("Weight: {what}"), mark.weight) {
        mark.weight = weight;
    }
    also::ui(cx, finding, mark, filter, ui);
}

/// The key is a copy of the inspection; where that was changed since, it can be brought in again.
fn anew(cx: &ViewCtx<'_>, course: &Course, key: &Key, changed: &mut Key, ui: &mut Ui) {
    let bay = cx.garage.bay(&course.exercise.machine);
    let Some(now) = bay.and_then(|b| b.inspection(&key.inspection.id)).filter(|i| **i != key.inspection) else {
        return;
    };
    trouble(ui, "The inspection was changed after the key was made from it. The key is as it was then.");
    if ui.button("Bring the inspection in again").clicked() {
        changed.inspection = now.clone();
    }
}

/// What counts how much.
fn marking(key: &mut Key, ui: &mut Ui) {
    strong(ui, "What counts how much");
    caption(ui, "A finding earns its weight. Shares of it are left for what is not quite right; a false alarm costs.");
    let marking = &mut key.marking;
    if let Some(weight) = entries::weight(ui, "A false alarm costs", "A false alarm costs", marking.false_alarm) {
        marking.false_alarm = weight;
    }
    if let Some(weight) = entries::weight(ui, "The right verdict", "The right verdict", marking.verdict) {
        marking.verdict = weight;
    }
    for (name, share) in [
        ("In the wrong place", &mut marking.misplaced),
        ("Under another name", &mut marking.other_name),
        ("With another severity", &mut marking.other_severity),
    ] {
        if let Some(typed) = entries::share(ui, name, *share) {
            *share = typed;
        }
    }
}
