//! One step of the walk, large: where to stand, what to do, why, the limit for this machine, what it was last time, and
//! the result. What was judged is seen before it goes on: Enter reads, Enter again goes on.

use egui::{Key, RichText, ScrollArea, Ui};

use super::super::field::{FieldLook, Typed, field, trouble};
use super::super::round::Round;
use super::super::{check_form, checks, mark, proof, proposal, words};
use super::kept::KeptWalk;
use super::parts::{self, act, letter};
use super::{again, course, fields, leave};
use crate::catalogue::Check;
use crate::edit::PhotoHome;
use crate::guide::Leg;
use crate::inspection::{CheckRef, CheckState};
use crate::photo::Keep;
use crate::rules::{CheckResult, Outcome, Status, expected};
use crate::ui::theme::{LargeType, strong_family};
use crate::ui::{Action, UiState};

/// Draws the step in hand.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, large: &LargeType) {
    let walk = state.walk.guided.walk_mut(round).clone();
    let Some(leg) = walk.leg().cloned() else {
        course::go_to(round, state, walk.legs.len());
        return;
    };
    course::take_in_hand(round, state);
    arrive(state, ui, &leg);
    let figure = if leg.again.is_some() { None } else { fields::figure(ui) };
    parts::time_line(round, &walk, ui);
    egui::Panel::bottom("guided-keys").show(ui, |ui| {
        ui.add_space(4.0);
        match &leg.again {
            Some(id) => again::keys(round, state, actions, ui, id),
            None if leg.is_change() => change_keys(round, state, ui),
            None => keys(round, state, actions, ui, &leg),
        }
    });
    egui::CentralPanel::no_frame().show(ui, |ui| {
        let is_wide = ui.available_width() >= 860.0;
        ScrollArea::vertical().id_salt(("guided-step", leg.key())).auto_shrink([false, false]).show(ui, |ui| {
            news(round, &walk, ui);
            if let Some(id) = &leg.again {
                again::ui(round, state, actions, ui, large, (&leg, id));
            } else if leg.is_change() {
                let next = walk.legs.get(walk.at + 1).map_or(leg.title.as_str(), |l| l.title.as_str());
                change(round, ui, large, (&leg, next));
            } else if is_wide {
                ui.columns(2, |columns| {
                    // Columns set their words to both edges; words that are read from afar are not stretched.
                    let ragged = egui::Layout::top_down(egui::Align::Min);
                    columns[0].with_layout(ragged, |ui| {
                        head(round, ui, large, &leg);
                        parts::cautions_of_step(round, state, ui, &leg);
                        method(round, ui, &leg);
                    });
                    columns[1].with_layout(ragged, |ui| {
                        result(round, state, actions, ui, large, (&leg, figure));
                    });
                });
            } else {
                head(round, ui, large, &leg);
                parts::cautions_of_step(round, state, ui, &leg);
                result(round, state, actions, ui, large, (&leg, figure));
                method(round, ui, &leg);
            }
        });
    });
}

/// Another step begins with no field in hand, so that keys mean what stands below.
fn arrive(state: &mut UiState, ui: &Ui, leg: &Leg) {
    let key = leg.key();
    if state.walk.guided.shown.as_ref() != Some(&key) {
        state.walk.guided.shown = Some(key);
        state.walk.could_not_open = false;
        ui.memory_mut(|m| {
            if let Some(id) = m.focused() {
                m.surrender_focus(id);
            }
        });
    }
}

/// What changed when the plan was made anew.
fn news(round: &Round<'_>, walk: &KeptWalk, ui: &mut Ui) {
    if !walk.news.is_empty() {
        trouble(ui, round.cx.tokens, &walk.news);
        ui.add_space(4.0);
    }
}

/// The machine is set up otherwise.
fn change(round: &Round<'_>, ui: &mut Ui, large: &LargeType, (leg, next): (&Leg, &str)) {
    let tokens = round.cx.tokens;
    parts::over(ui, tokens, "Set the machine up");
    parts::title(ui, tokens, large, leg.change.as_deref().unwrap_or_default());
    ui.label(format!("Then it stands {}. Next: {next}.", leg.setup.words()));
    ui.add_space(6.0);
    parts::cautions(round, ui, &leg.cautions);
}

fn change_keys(round: &Round<'_>, state: &mut UiState, ui: &mut Ui) {
    let tokens = round.cx.tokens;
    ui.horizontal_wrapped(|ui| {
        if parts::forth(ui, tokens, "It stands so") {
            course::on(round, state);
        } else if act(ui, tokens, "Back", Key::B, false) {
            course::back(round, state);
        } else if act(ui, tokens, "Skip", Key::K, false) {
            course::skip(round, state);
        }
        if parts::away(ui, tokens) {
            leave(state);
        }
    });
}

/// Where to stand, how the machine stands, and what the step is called.
pub(super) fn head(round: &Round<'_>, ui: &mut Ui, large: &LargeType, leg: &Leg) {
    let tokens = round.cx.tokens;
    let place = format!("{} · {}", words::capital(leg.station.word()), leg.setup.words());
    ui.label(RichText::new(place).family(strong_family()).color(tokens.accent));
    parts::title(ui, tokens, large, &leg.title);
}

/// What to do and why.
fn method(round: &Round<'_>, ui: &mut Ui, leg: &Leg) {
    let tokens = round.cx.tokens;
    let Some(entry) = round.entry(&leg.check) else { return };
    ui.label(&entry.how);
    if !entry.tool.is_empty() {
        ui.label(RichText::new(format!("With: {}.", entry.tool)).small().color(tokens.line));
    }
    ui.label(RichText::new(&entry.why).small().color(tokens.faint));
    if !entry.signs.is_empty() {
        ui.label(RichText::new(format!("Signs of a fault: {}", entry.signs)).small().color(tokens.faint));
    }
}

/// The limit, last time's value, the fields, and what was judged.
fn result(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    large: &LargeType,
    (leg, figure): (&Leg, Option<String>),
) {
    let check = &leg.check;
    let Some(entry) = round.entry(check) else {
        ui.label("This check is not in the catalogue any more. Skip it; its answer is kept.");
        return;
    };
    limits(round, ui, large, check);
    check_form::last_time(round, state, ui, check, entry);
    ui.add_space(4.0);
    fields::ui(round, state, actions, ui, (check, entry), figure);
    // Enter in the last field ends there; what was judged is read first.
    state.walk.drafts.focus_next = false;
    note(round, state, actions, ui, check);
    let Some(found) = round.result(check) else { return };
    if state.walk.could_not_open || matches!(found.status, Status::CouldNot(_)) {
        check_form::could_not_field(round, state, actions, ui, check);
        state.walk.drafts.focus_next = false;
    }
    judged(round, state, ui, found);
}

/// What the readings of this check will be held against, on this machine.
fn limits(round: &Round<'_>, ui: &mut Ui, large: &LargeType, check: &CheckRef) {
    let tokens = round.cx.tokens;
    let limits = expected(&round.case(), check);
    let binding = limits.iter().filter(|l| l.binds).count();
    for (index, limit) in limits.iter().enumerate() {
        let is_figure = limit.binds && index < 2;
        if is_figure {
            let size = if binding > 1 { large.figure * 0.7 } else { large.figure };
            let value = RichText::new(words::capital(&limit.value)).family(strong_family()).size(size);
            ui.add(egui::Label::new(value.color(tokens.strong)).wrap());
            ui.label(RichText::new(format!("By {}.", limit.source.words())).small().color(tokens.faint));
        } else {
            let words = format!("For comparison: {}, by {}.", limit.value, limit.source.words());
            ui.label(RichText::new(words).small().color(tokens.faint));
        }
    }
}

/// What was said and judged of the check, large enough to be seen from the machine.
fn judged(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, found: &CheckResult) {
    let tokens = round.cx.tokens;
    ui.add_space(6.0);
    if found.status != Status::Unchecked {
        ui.horizontal_wrapped(|ui| {
            match (&found.status, found.severity) {
                (Status::HasFinding, severity) => mark::severity(ui, tokens, severity, 28.0),
                (Status::Sound, _) => mark::severity(ui, tokens, None, 28.0),
                _ => mark::in_flow(ui, tokens, crate::drawing::notch::Mark::Unchecked, 28.0),
            }
            let words = match (&found.status, found.severity) {
                (Status::HasFinding, Some(severity)) => {
                    format!("{}: {}", words::capital(severity.word()), words::severity_meaning(severity))
                }
                (status, _) => words::capital(&status.words()),
            };
            ui.label(RichText::new(words).family(strong_family()).color(tokens.strong));
        });
    }
    for (salt, judgement) in found.judgements.iter().enumerate() {
        proof::judgement(ui, tokens, judgement, salt);
    }
    if let CheckState::CouldNot(why) = round.answer(&found.check).state
        && !matches!(found.status, Status::CouldNot(_))
    {
        let why = if why.is_empty() { String::new() } else { format!(": {why}") };
        ui.label(format!("Said beside it: it could not be checked{why}."));
    }
    for finding in round.inspection.findings_of(&found.check) {
        let place = super::super::place_form::marker_words(round, state, &finding.place);
        ui.label(RichText::new(place).small().color(tokens.line));
    }
    let told = state.walk.guided.told.clone();
    if !told.is_empty() {
        trouble(ui, tokens, &told);
    }
}

/// The key of the note of a check among the drafts.
pub(super) fn note_key(round: &Round<'_>, check: &CheckRef) -> String {
    format!("note|{}|{check}", round.inspection.id)
}

/// The note, once it is asked for or written.
fn note(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, check: &CheckRef) {
    let key = note_key(round, check);
    let answer = round.answer(check);
    let is_asked = state.walk.drafts.focus_key.as_deref() == Some(key.as_str());
    if answer.note.is_empty() && !is_asked && state.walk.drafts.get(&key).is_none() && !has_focus(ui, &key) {
        return;
    }
    let width = (ui.available_width() - 20.0).clamp(160.0, 520.0);
    let look = FieldLook {
        key: &key,
        label: "Note",
        hint: "what else was seen",
        shown: &answer.note.clone(),
        width,
        label_above: true,
    };
    match field(ui, round.cx.tokens, &mut state.walk.drafts, &look, |text| Ok(text.trim().to_owned())) {
        Typed::Nothing => {}
        Typed::Cleared => {
            actions.push(round.set_answer(check, crate::inspection::Answer { note: String::new(), ..answer }));
        }
        Typed::Read(note) => actions.push(round.set_answer(check, crate::inspection::Answer { note, ..answer })),
    }
    state.walk.drafts.focus_next = false;
    let has_it = ui.text_edit_focused();
    ui.data_mut(|d| d.insert_temp(egui::Id::unique(("note asked", &key)), has_it));
}

/// Whether the note had the keyboard when it was last drawn: an empty one stays while it is being thought about.
fn has_focus(ui: &Ui, key: &str) -> bool {
    ui.text_edit_focused() && ui.data(|d| d.get_temp(egui::Id::unique(("note asked", key)))).unwrap_or(false)
}

/// The keys of a check.
fn keys(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, leg: &Leg) {
    let tokens = round.cx.tokens;
    let check = &leg.check;
    let entry = round.entry(check);
    ui.horizontal_wrapped(|ui| {
        if parts::forth(ui, tokens, "Go on") {
            enter(round, state, check);
        }
        let is_sound = round.answer(check).state == CheckState::Sound && refused(round, check).is_none();
        if act(ui, tokens, "Sound", Key::S, is_sound) {
            sound(round, state, actions, check);
        }
        if entry.is_some_and(|e| !e.faults.is_empty()) && act(ui, tokens, "Finding", Key::F, false) {
            state.walk.proposal = proposal::at_check(round, check);
            state.walk.guided.is_placed = false;
            state.walk.guided.marked = 0;
            state.walk.guided.number.clear();
        }
        if act(ui, tokens, "Could not", Key::C, false) {
            could_not(round, state, check);
        }
        let lacks = entry.is_some_and(|e| !applies(round, check, e));
        if lacks && act(ui, tokens, "The machine lacks it", Key::X, false) {
            actions.push(round.set_state(check, CheckState::NotApplicable));
        }
        if act(ui, tokens, "Back", Key::B, false) {
            course::back(round, state);
        } else if act(ui, tokens, "Skip", Key::K, false) {
            course::skip(round, state);
        }
        if act(ui, tokens, "Note", Key::N, false) {
            state.walk.drafts.focus_key = Some(note_key(round, check));
        }
        if act(ui, tokens, "Photo", Key::P, false) {
            photo(round, state, actions, check);
        }
        if parts::away(ui, tokens) {
            leave(state);
        }
    });
    went_on(round, state, ui, check);
}

/// What is told where a reading that is refused is to be called sound.
const REFUSED: &str = "What was read is refused, so it is no answer: K to skip, C if it cannot be read today, or read it \
                       again.";
/// The same of a tyre that was read hot (house rule 1).
const HOT: &str = "A hot reading is no answer: K to skip, C if it cannot be read cold today.";

/// Why a check cannot be called sound: a reading stands there that the rules refuse.
pub(super) fn refused(round: &Round<'_>, check: &CheckRef) -> Option<&'static str> {
    let found = round.result(check)?;
    let judgement = found.judgements.iter().find(|j| j.outcome == Outcome::Refused)?;
    Some(if judgement.rule == "cold-pressure" { HOT } else { REFUSED })
}

/// Answers sound and goes on once it is judged; where a reading is refused nothing is answered and the way out is told.
fn sound(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, check: &CheckRef) {
    if let Some(why) = refused(round, check) {
        state.walk.guided.told = why.into();
        return;
    }
    actions.push(round.set_state(check, CheckState::Sound));
    state.walk.guided.go_on = Some(check.clone());
}

/// What is told where "could not" is asked for beside what is written already.
const BESIDE: &str = "Something is written of this check already, and it stays. Press N and note what could not be \
                      seen, or C once more to say beside it that the check could not be done.";

/// Asks why the check could not be done; where something was read, only on a second wish.
pub(super) fn could_not(round: &Round<'_>, state: &mut UiState, check: &CheckRef) {
    let answer = round.answer(check);
    // A refused reading is no answer that the reason could stand beside.
    let is_written = !answer.readings.is_empty() || answer.state == CheckState::Sound;
    let is_written = is_written && refused(round, check).is_none();
    if is_written && state.walk.guided.told != BESIDE {
        state.walk.guided.told = BESIDE.into();
        return;
    }
    state.walk.guided.told.clear();
    checks::could_not(state, check);
}

/// Asks for a photo of what was found last at this check, else of the machine.
fn photo(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, check: &CheckRef) {
    match round.inspection.findings_of(check).last() {
        Some(finding) => {
            let home = PhotoHome::Finding(round.inspection.id.clone(), finding.id.clone());
            actions.push(Action::ChoosePhotos(round.machine().id.clone(), home, Keep::PictureOnly));
        }
        None => {
            // Nothing is wrong here: it is a picture of the machine.
            state.walk.guided.told = "Without a finding here the photo goes to those of the machine.".into();
            actions.push(Action::ChoosePhotos(round.machine().id.clone(), PhotoHome::Machine, Keep::PictureOnly));
        }
    }
}

/// Whether the machine's data have the part; only where they lack it is it offered as not applicable (house rule 5).
fn applies(round: &Round<'_>, check: &CheckRef, entry: &Check) -> bool {
    entry.when.iter().all(|w| w.holds(round.machine())) && entry.on.subjects(round.machine()).contains(&check.subject)
}

/// Goes on after "sound" once it is judged, and not past a judgement that is to be read.
fn went_on(round: &Round<'_>, state: &mut UiState, ui: &Ui, check: &CheckRef) {
    if state.walk.guided.go_on.as_ref() != Some(check) {
        return;
    }
    let Some(found) = round.result(check) else { return };
    if found.status == Status::Sound && found.judgements.iter().all(|j| j.outcome == Outcome::Sound) {
        course::on(round, state);
    } else if found.status.is_open() {
        // The answer is on its way to be assessed.
        ui.ctx().request_repaint();
        if found.judgements.iter().any(|j| j.outcome == Outcome::Refused) {
            state.walk.guided.go_on = None;
        }
    } else {
        state.walk.guided.go_on = None;
    }
}

/// Enter with no field in hand: on, where something is said of the check.
pub(super) fn enter(round: &Round<'_>, state: &mut UiState, check: &CheckRef) {
    let is_said = round.result(check).is_some_and(|r| r.status != Status::Unchecked);
    if is_said {
        course::on(round, state);
    } else if let Some(why) = refused(round, check) {
        state.walk.guided.told = why.into();
    } else {
        state.walk.guided.told =
            "Nothing is said of this check yet: S where it is sound, F for a finding, C where it could \
                                  not be checked, K to skip it."
                .into();
    }
}

/// Whether a letter was pressed for what a row of a sheet knows by two letters.
pub(super) fn either(ui: &Ui, keys: [Key; 2]) -> bool {
    keys.into_iter().any(|key| letter(ui, key))
}
