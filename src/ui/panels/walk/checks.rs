//! The checks of the inspection, grouped by the place where one stands, each with its state in a mark and a word.

use std::collections::BTreeMap;

use egui::{Align2, FontId, Key, RichText, ScrollArea, Sense, Ui, WidgetInfo, pos2, vec2};

use super::round::{Carried, Round};
use super::{mark, select, words};
use crate::inspection::{CheckRef, CheckState, Station, Subject};
use crate::machine::WheelPosition;
use crate::rules::{CheckResult, Status};
use crate::ui::theme::{Tokens, strong_family};
use crate::ui::{Action, UiState};

/// A row of the list.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Row {
    /// A place with how many of its checks are open.
    Place { station: Station, open: usize, all: usize },
    /// A finding of an earlier day to be looked at again, by its index among those carried over.
    Carried(usize),
    /// A check, by its index among the results.
    Check(usize),
}

/// The rows: every place that has checks, in walking order, and what is asked at the places that are unfolded: first
/// the findings of earlier days (each with its place and whether somebody has to look yet), then the checks.
fn rows(results: &[CheckResult], carried: &[(Station, bool)], unfolded: impl Fn(Station) -> bool) -> Vec<Row> {
    let mut by_station: BTreeMap<usize, Vec<(Row, bool)>> = BTreeMap::new();
    let earlier = carried.iter().enumerate().map(|(i, (station, open))| (*station, Row::Carried(i), *open));
    let own = results.iter().enumerate().map(|(i, r)| (r.station, Row::Check(i), r.status.is_open()));
    for (station, row, is_open) in earlier.chain(own) {
        let order = Station::ALL.iter().position(|s| *s == station).unwrap_or(Station::ALL.len());
        by_station.entry(order).or_default().push((row, is_open));
    }
    let mut rows = Vec::new();
    for (order, here) in by_station {
        let Some(&station) = Station::ALL.get(order) else { continue };
        let open = here.iter().filter(|(_, is_open)| *is_open).count();
        rows.push(Row::Place { station, open, all: here.len() });
        if unfolded(station) {
            rows.extend(here.into_iter().map(|(row, _)| row));
        }
    }
    rows
}

/// Draws the list.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, ui: &mut Ui) {
    let tokens = round.cx.tokens;
    let results = round.results();
    if results.is_empty() {
        ui.label(RichText::new("No check applies to this machine. Fill in its data first (F2).").color(tokens.faint));
        return;
    }
    let all_unfolded = state.walk.unfold_all;
    let chosen = state.walk.station;
    let folded = state.walk.folded;
    let carried = round.carried();
    let places: Vec<(Station, bool)> = carried.iter().map(|c| (c.result.station, c.is_open)).collect();
    let rows = rows(results, &places, |s| all_unfolded || (chosen == Some(s) && !folded));
    let wheels: Vec<WheelPosition> = round.machine().wheels.iter().map(|w| w.position).collect();
    // One thing is in hand at a time.
    let is_again = carried.iter().any(|c| state.finding.as_ref() == Some(&c.result.finding.id));
    ui.spacing_mut().item_spacing.y = 2.0;
    let scroll_to = std::mem::take(&mut state.walk.scroll_to_check);
    // Not virtual: a title may take two lines, and even a full inspection has only some hundred rows.
    ScrollArea::vertical().id_salt("walk-checks").auto_shrink([false, false]).show(ui, |ui| {
        for row in &rows {
            let top = ui.cursor().min.y;
            let sought = match row {
                Row::Carried(i) => state.finding.as_ref() == Some(&carried[*i].result.finding.id),
                Row::Check(i) => state.finding.is_none() && state.check.as_ref() == Some(&results[*i].check),
                Row::Place { station, .. } => state.check.is_none() && chosen == Some(*station),
            };
            match *row {
                Row::Place { station, open, all } => {
                    if place_row(ui, tokens, station, open, all, chosen == Some(station)) {
                        if chosen == Some(station) {
                            state.walk.folded = !state.walk.folded;
                        } else {
                            select::station(state, station, &wheels);
                        }
                    }
                }
                Row::Carried(index) => {
                    let carried = &carried[index];
                    if carried_row(tokens, ui, carried, sought)
                        && let Some((inspection, finding)) = round.finding(&carried.result.finding.id)
                    {
                        select::finding(state, inspection, finding);
                        state.walk.scroll_to_check = false;
                    }
                }
                Row::Check(index) => {
                    let result = &results[index];
                    if check_row(round, ui, result, !is_again && state.check.as_ref() == Some(&result.check)) {
                        select::check(state, result);
                        state.walk.scroll_to_check = false;
                    }
                }
            }
            if scroll_to && sought {
                // A little of what stands before it stays in sight.
                let before = 3.0 * tokens.target;
                let rect = egui::Rect::from_min_max(pos2(0.0, top - before), pos2(0.0, ui.cursor().min.y));
                ui.scroll_to_rect(rect, None);
            }
        }
    });
}

fn place_row(ui: &mut Ui, tokens: &Tokens, station: Station, open: usize, all: usize, chosen: bool) -> bool {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), tokens.target), Sense::click());
    let tally = if open == 0 { "all looked at".to_owned() } else { format!("{open} of {all} open") };
    response.widget_info(|| {
        WidgetInfo::selected(egui::Role::Button, true, chosen, format!("{}: {tally}", words::capital(station.word())))
    });
    let painter = ui.painter();
    if chosen || response.hovered() || response.has_focus() {
        painter.rect_filled(rect, 4.0, tokens.wash);
    }
    let name = FontId::new(15.0, strong_family());
    painter.text(
        rect.left_center() + vec2(6.0, 0.0),
        Align2::LEFT_CENTER,
        words::capital(station.word()),
        name,
        tokens.strong,
    );
    let small = FontId::proportional(12.5);
    // A narrow row has room for the count alone.
    let short = if rect.width() < 230.0 && open > 0 { format!("{open} open") } else { tally };
    painter.text(rect.right_center() - vec2(8.0, 0.0), Align2::RIGHT_CENTER, short, small, tokens.faint);
    response.clicked()
}

/// A finding of an earlier day, as a check of its own.
fn carried_row(tokens: &Tokens, ui: &mut Ui, carried: &Carried<'_>, chosen: bool) -> bool {
    let word = if carried.is_open { "look again" } else { carried.result.revisit.seen.short() };
    let words = format!("Again: {}", carried.result.title);
    let height = tokens.target;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::click());
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, chosen, format!("{words}: {word}")));
    if chosen {
        ui.painter().rect_filled(rect, 4.0, ui.visuals().selection.bg_fill);
    } else if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 4.0, tokens.wash);
    }
    let word = ui.painter().layout_no_wrap(word.to_owned(), FontId::proportional(12.5), tokens.faint);
    let mut job = egui::text::LayoutJob::simple_singleline(words.clone(), FontId::proportional(15.0), tokens.line);
    let room = (rect.width() - word.size().x - 48.0).max(40.0);
    job.wrap = egui::text::TextWrapping { max_width: room, max_rows: 1, ..Default::default() };
    let title = ui.painter().layout_job(job);
    mark::of_carried(ui.painter(), pos2(rect.left() + 18.0, rect.center().y), 14.0, carried, tokens);
    let word_left = rect.right() - 8.0 - word.size().x;
    ui.painter().galley(pos2(rect.left() + 32.0, rect.center().y - title.size().y / 2.0), title, tokens.line);
    ui.painter().galley(pos2(word_left, rect.center().y - word.size().y / 2.0), word, tokens.faint);
    response.on_hover_text(words).clicked()
}

fn check_row(round: &Round<'_>, ui: &mut Ui, result: &CheckResult, chosen: bool) -> bool {
    let tokens = round.cx.tokens;
    let small = FontId::proportional(12.5);
    let width = ui.available_width();
    // In a narrow list the ring, dashed while it is open, says it by its shape; the title needs the room.
    let plain = matches!(result.status, Status::Unchecked | Status::Sound);
    let word = if width < 230.0 && plain { "" } else { short_state(result) };
    let word = ui.painter().layout_no_wrap(word.to_owned(), small, tokens.faint);
    let mut job =
        egui::text::LayoutJob::simple_singleline(short_title(round, result), FontId::proportional(15.0), tokens.line);
    job.wrap = egui::text::TextWrapping {
        max_width: (width - word.size().x - 48.0).max(40.0),
        max_rows: 2,
        ..Default::default()
    };
    let title = ui.painter().layout_job(job);
    let height = (title.size().y + 8.0).max(tokens.target);
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
    let state = state_words(result);
    response
        .widget_info(|| WidgetInfo::selected(egui::Role::Button, true, chosen, format!("{}: {state}", result.title)));
    let painter = ui.painter();
    if chosen {
        painter.rect_filled(rect, 4.0, ui.visuals().selection.bg_fill);
    } else if response.hovered() || response.has_focus() {
        painter.rect_filled(rect, 4.0, tokens.wash);
    }
    mark::of_check(painter, pos2(rect.left() + 18.0, rect.center().y), 14.0, result, tokens);
    let word_left = rect.right() - 8.0 - word.size().x;
    let cut = title.elided;
    painter.galley(pos2(rect.left() + 32.0, rect.center().y - title.size().y / 2.0), title, tokens.line);
    painter.galley(pos2(word_left, rect.center().y - word.size().y / 2.0), word, tokens.faint);
    let response = if cut { response.on_hover_text(format!("{}: {state}", result.title)) } else { response };
    response.clicked()
}

/// The title without the wheel, where only one wheel stands at the place and its name is said there.
fn short_title(round: &Round<'_>, result: &CheckResult) -> String {
    let alone = |w: WheelPosition| {
        let same = |other: &WheelPosition| Station::of_wheel(*other) == Station::of_wheel(w);
        round.machine().wheels.iter().map(|w| w.position).filter(same).count() == 1
    };
    match (result.check.subject, round.entry(&result.check)) {
        (Subject::Wheel(w), Some(entry)) if alone(w) => entry.title.clone(),
        (Subject::Disc(w, side), Some(entry)) if alone(w) => format!("{}, {}", entry.title, side.word()),
        _ => result.title.clone(),
    }
}

/// The state of a check in full: its class where it has a finding.
fn state_words(result: &CheckResult) -> String {
    match (&result.status, result.severity) {
        (Status::HasFinding, Some(severity)) => format!("has a finding, {}", severity.word()),
        (status, _) => status.words(),
    }
}

fn short_state(result: &CheckResult) -> &'static str {
    match (&result.status, result.severity) {
        (Status::HasFinding, Some(severity)) => severity.word(),
        (Status::HasFinding, None) => "finding",
        (Status::Unchecked, _) => "open",
        (Status::CouldNot(_), _) => "could not",
        (Status::NotApplicable, _) => "not there",
        (Status::Sound, _) => "sound",
    }
}

/// Keys while nothing is typed: arrows go along the walk, N to the next open check, S sound, F finding, C could not.
pub(super) fn keys(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &Ui) {
    if ui.text_edit_focused() {
        return;
    }
    let pressed = |key| ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, key));
    let results = round.results();
    let nothing_focused = ui.memory(|m| m.focused().is_none());
    let step = if nothing_focused && pressed(Key::ArrowDown) {
        Some(1)
    } else if nothing_focused && pressed(Key::ArrowUp) {
        Some(-1)
    } else {
        None
    };
    if let Some(down) = step
        && let Some(result) = select::step(results, state.check.as_ref(), down)
    {
        select::check(state, result);
    }
    if pressed(Key::N) {
        next_open(round, state);
    }
    let Some(check) = state.check.clone() else { return };
    if state.finding.is_some() || state.walk.proposal.is_some() {
        return;
    }
    if nothing_focused && pressed(Key::Enter) {
        state.walk.drafts.focus_next = true;
    }
    if pressed(Key::S) {
        sound_and_on(round, state, actions);
    }
    if pressed(Key::F) {
        state.walk.proposal = super::proposal::at_check(round, &check);
    }
    if pressed(Key::C) {
        could_not(state, &check);
    }
}

/// Takes the next open check in hand, and when all are looked at the next finding of an earlier day.
pub(super) fn next_open(round: &Round<'_>, state: &mut UiState) {
    if let Some(result) = select::next_open(round.results(), state.check.as_ref()) {
        select::check(state, result);
    } else if let Some(next) = round.carried().into_iter().find(|c| c.is_open)
        && let Some((inspection, finding)) = round.finding(&next.result.finding.id)
    {
        select::finding(state, inspection, finding);
    }
}

/// Opens the field for the reason why a check could not be done, and gives it the keyboard.
pub(super) fn could_not(state: &mut UiState, check: &CheckRef) {
    state.walk.could_not_open = true;
    state.walk.could_not_of = Some(check.clone());
    state.walk.drafts.focus_key = Some(could_not_key(check));
}

/// The key of that field among the drafts.
pub(super) fn could_not_key(check: &CheckRef) -> String {
    format!("why|{check}")
}

/// Answers the check in hand as sound and goes on to the next open one.
pub(super) fn sound_and_on(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>) {
    let Some(check) = state.check.clone() else { return };
    actions.push(round.set_state(&check, CheckState::Sound));
    if let Some(next) = select::next_open(round.results(), Some(&check)) {
        select::check(state, next);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn result(id: &str, station: Station, status: Status) -> CheckResult {
        CheckResult {
            check: CheckRef::new(id, Subject::Machine),
            title: id.to_owned(),
            station,
            required: true,
            status,
            judgements: Vec::new(),
            severity: None,
        }
    }

    #[test]
    fn checks_are_grouped_by_place_in_walking_order_with_their_open_count() {
        let results = [
            result("saddle", Station::Saddle, Status::Sound),
            result("lever", Station::Bars, Status::Unchecked),
            result("mirror", Station::Bars, Status::CouldNot("taken off".into())),
            result("grip", Station::Bars, Status::Sound),
        ];
        assert_eq!(
            rows(&results, &[(Station::Bars, true)], |s| s == Station::Bars),
            [
                Row::Place { station: Station::Bars, open: 3, all: 4 },
                Row::Carried(0),
                Row::Check(1),
                Row::Check(2),
                Row::Check(3),
                Row::Place { station: Station::Saddle, open: 0, all: 1 },
            ]
        );
    }
}
