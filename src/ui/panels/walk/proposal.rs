//! A place where something was seen and is not yet named: the faults that the checks of that place can find.

use egui::{RichText, Ui, vec2};
use serde::{Deserialize, Serialize};

use super::round::Round;
use super::{mark, place_form, select, words};
use crate::catalogue::{Check, Fault};
use crate::clock::Spot;
use crate::inspection::{CheckRef, Finding, FindingId, Place, Station, Subject, Zone};
use crate::machine::{Machine, RimKind, WheelPosition};
use crate::ui::theme::strong_family;
use crate::ui::widgets::typed_line;
use crate::ui::{Action, UiState};

/// A place that waits for its fault.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Proposal {
    /// Where it is.
    pub place: Place,
    /// The one check whose faults are offered; all that cover the place when none.
    pub check: Option<CheckRef>,
}

/// A place on a wheel.
pub(super) fn on_wheel(position: WheelPosition, zone: Zone, spot: Option<Spot>) -> Proposal {
    Proposal { place: Place::Wheel { position, zone, spot }, check: None }
}

/// A place at a station, the part not yet said.
pub(super) fn at_station(station: Station) -> Proposal {
    Proposal { place: Place::Part { station, part: String::new() }, check: None }
}

/// The place that a check looks at.
pub(super) fn at_check(round: &Round<'_>, check: &CheckRef) -> Option<Proposal> {
    let entry = round.entry(check)?;
    let zones = |w| round.zones(w).into_iter().find(|z| entry.covers(*z) && on_side(check.subject, *z));
    let place = match check.subject.wheel().and_then(|w| Some((w, zones(w)?))) {
        Some((position, zone)) => Place::Wheel { position, zone, spot: None },
        None => {
            let station = crate::catalogue::Catalogue::station(entry, check);
            Place::Part { station, part: part_words(entry, check) }
        }
    };
    Some(Proposal { place, check: Some(check.clone()) })
}

/// What the part is called before anyone says it more exactly.
fn part_words(entry: &Check, check: &CheckRef) -> String {
    match check.subject {
        Subject::Machine => entry.title.to_lowercase(),
        subject => subject.words(),
    }
}

/// Whether a zone is on the side that a subject names; a disc check covers only its own disc.
pub(super) fn on_side(subject: Subject, zone: Zone) -> bool {
    match (subject, zone) {
        (Subject::Disc(_, side), Zone::Disc(of)) => side == of,
        _ => true,
    }
}

/// Whether a check looks at a zone; the spokes of a cast wheel are part of its rim.
fn covers(check: &Check, machine: &Machine, position: WheelPosition, zone: Zone) -> bool {
    let cast = machine.wheel(position).is_some_and(|w| w.rim.kind == RimKind::Cast);
    check.covers(zone) || (zone == Zone::Spoke && cast && check.covers(Zone::RimWell))
}

/// The checks that can find something at a place of a machine, in the order of the catalogue.
fn covering<'a>(checks: &'a [Check], machine: &Machine, proposal: &Proposal) -> Vec<(CheckRef, &'a Check)> {
    let mut found = Vec::new();
    for check in checks.iter().filter(|c| !c.faults.is_empty() && c.when.iter().all(|w| w.holds(machine))) {
        for subject in check.on.subjects(machine) {
            let reference = CheckRef::new(check.id.clone(), subject);
            let here = match (&proposal.check, &proposal.place) {
                (Some(only), _) => *only == reference,
                (None, Place::Wheel { position, zone, .. }) => {
                    subject.wheel() == Some(*position)
                        && covers(check, machine, *position, *zone)
                        && on_side(subject, *zone)
                }
                (None, Place::Part { station, .. }) => {
                    crate::catalogue::Catalogue::station(check, &reference) == *station
                }
            };
            if here {
                found.push((reference, check));
            }
        }
    }
    found
}

/// Draws the place and its faults; the one that is pressed becomes a finding.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let Some(mut proposal) = state.walk.proposal.clone() else { return };
    let tokens = round.cx.tokens;
    ui.label(RichText::new("What is seen here?").heading().color(tokens.strong));
    super::of_another_day(round, state, ui);
    place_form::ui(round, state, ui, "proposal", &mut proposal.place);
    if state.walk.proposal.is_some() {
        state.walk.proposal = Some(proposal.clone());
    }
    let checks = covering(&round.catalogue().checks, round.machine(), &proposal);
    if checks.is_empty() {
        let words = "No check of the catalogue looks at this zone. Choose the zone beside it.";
        ui.label(RichText::new(words).color(tokens.faint));
    }
    let count: usize = checks.iter().map(|(_, c)| c.faults.len()).sum();
    if count > 8 {
        let label = ui.label(RichText::new("Narrow by a word").small().color(tokens.faint));
        let width = (ui.available_width() - 20.0).clamp(120.0, 280.0);
        let edit = typed_line(&mut state.walk.fault_filter).hint_text("mirror, crack, leak");
        ui.add(edit.desired_width(width).min_size(vec2(0.0, tokens.target))).labelled_by(label.id);
    }
    let filter = if count > 8 { state.walk.fault_filter.clone() } else { String::new() };
    let mut chosen: Option<(CheckRef, String)> = None;
    let mut offer = |ui: &mut Ui, reference: &CheckRef, check: &Check| {
        let faults: Vec<&Fault> = check.faults.iter().filter(|f| fits(&filter, &check.title, &f.words)).collect();
        if faults.is_empty() {
            return;
        }
        ui.add_space(4.0);
        let part = reference.subject.words();
        let title = if part.is_empty() { check.title.clone() } else { format!("{}, {part}", check.title) };
        ui.label(RichText::new(title).family(strong_family()).color(tokens.line));
        for fault in faults {
            if fault_button(round, ui, fault) {
                chosen = Some((reference.clone(), fault.id.clone()));
            }
        }
    };
    for (reference, check) in &checks {
        offer(ui, reference, check);
    }
    ui.add_space(6.0);
    if ui.button("Leave it, nothing is wrong here").clicked() {
        state.walk.proposal = None;
    }
    if let Some((check, fault)) = chosen {
        take(round, state, actions, proposal.place, check, fault);
    }
}

/// Makes a finding of a place and a fault, and takes it in hand.
pub(super) fn take(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    place: Place,
    check: CheckRef,
    fault: String,
) {
    let finding = Finding {
        id: FindingId(format!("f-{}", round.cx.ids.fresh())),
        check,
        fault,
        place,
        size: None,
        note: String::new(),
        overrule: None,
        photos: Vec::new(),
    };
    state.walk.drafts.clear_under("proposal");
    state.walk.fault_filter.clear();
    select::finding(state, round.inspection, &finding);
    actions.push(round.put(finding));
}

/// Whether a fault holds every word typed, in its own words or its check's title.
fn fits(filter: &str, title: &str, words: &str) -> bool {
    let text = format!("{title} {words}").to_lowercase();
    filter.to_lowercase().split_whitespace().all(|word| text.contains(word))
}

/// A fault to press, with the class that the catalogue proposes for it.
fn fault_button(round: &Round<'_>, ui: &mut Ui, fault: &Fault) -> bool {
    let (severity, _) = crate::rules::proposed(&round.case(), fault);
    ui.horizontal(|ui| {
        mark::severity(ui, round.cx.tokens, Some(severity), 14.0);
        let words = words::capital(&fault.words);
        let button = egui::Button::new(words).wrap().min_size(vec2(0.0, round.cx.tokens.target));
        let response = ui.add(button);
        response.on_hover_text(format!("{}: {}", severity.word(), words::severity_meaning(severity))).clicked()
    })
    .inner
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faults_are_narrowed_by_every_word_typed() {
        assert!(fits("", "Mirrors", "loose") && fits("mirr LOOSE", "Mirrors", "slightly damaged or loose"));
        assert!(!fits("mirror crack", "Mirrors", "loose"));
    }
}
