//! What is asked before the walk: the minutes at hand; the plan, to be looked over; the number of a sheet.

use egui::{Key, RichText, Ui};

use super::super::field::{FieldLook, Typed, field, trouble};
use super::super::round::Round;
use super::super::{start, words};
use super::kept::Phase;
use super::parts::{self, act, letter, minutes as shown_minutes};
use super::{course, leave};
use crate::guide::{SheetNumber, Wanted, beside, find, legs, sheet};
use crate::ui::theme::LargeType;
use crate::ui::{Action, UiState};
use crate::units::day;

/// The key of the minutes among the drafts.
const MINUTES: &str = "guided|minutes";
/// The key of the sheet's number among the drafts.
const NUMBER: &str = "guided|sheet";

/// A day has no more minutes than these.
const MOST_MINUTES: u32 = 24 * 60;

/// What came out of a line that is asked for.
enum Asked<T> {
    Nothing,
    Empty,
    Read(T),
}

/// What may be typed where the minutes are asked.
enum Given {
    Minutes(u32),
    Sheet(SheetNumber),
}

/// A field that has the keyboard as soon as it is there, and takes Enter on its own when it is empty.
fn line<T>(
    round: &Round<'_>,
    state: &mut UiState,
    ui: &mut Ui,
    (key, label, hint): (&str, &str, &str),
    read: impl Fn(&str) -> Result<T, String>,
) -> Asked<T> {
    if state.walk.guided.shown.as_deref() != Some(key) {
        state.walk.guided.shown = Some(key.to_owned());
        state.walk.drafts.focus_key = Some(key.to_owned());
    }
    let look = FieldLook { key, label, hint, shown: "", width: 260.0, label_above: true };
    let typed = field(ui, round.cx.tokens, &mut state.walk.drafts, &look, read);
    let is_entered = std::mem::take(&mut state.walk.drafts.focus_next);
    match typed {
        Typed::Read(value) => Asked::Read(value),
        Typed::Cleared => Asked::Empty,
        Typed::Nothing if is_entered => Asked::Empty,
        Typed::Nothing => Asked::Nothing,
    }
}

/// Whether the inspection in hand is of another day or complete, and nobody has yet said to go on with it.
pub(super) fn is_past(round: &Round<'_>, state: &UiState) -> bool {
    let is_answered = !round.results().is_empty() && round.results().iter().all(|r| !r.status.is_open());
    let is_complete = is_answered && course::again(round).is_empty();
    let is_chosen = state.walk.guided.goes_on_with.as_ref() == Some(&round.inspection.id);
    !is_chosen && (is_complete || round.inspection.date != round.cx.today)
}

/// Asks whether one of today is begun: what is found today does not go silently into the record of another day.
pub(super) fn whether_today(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    large: &LargeType,
) {
    let tokens = round.cx.tokens;
    let day = day::words(round.inspection.date);
    parts::title(ui, tokens, large, "Begin an inspection of today?");
    let left = round.results().iter().filter(|r| r.status.is_open()).count();
    ui.label(match left {
        0 => format!("The one in hand, of {day}, is complete."),
        _ => format!("The one in hand is of {day}; {} still open in it.", words::count(left, "check is", "checks are")),
    });
    let mut begins = false;
    ui.horizontal_wrapped(|ui| {
        begins = parts::forth(ui, tokens, "Begin one of today") || letter(ui, Key::T);
        if act(ui, tokens, "Go on with the one in hand", Key::O, false) {
            state.walk.guided.goes_on_with = Some(round.inspection.id.clone());
        }
        away(round, state, ui);
    });
    ui.label(RichText::new("The key T begins one of today as well.").small().color(tokens.faint));
    if begins {
        start::begin_today(round, state, actions);
    }
}

/// Asks for the minutes at hand.
pub(super) fn minutes(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, large: &LargeType) {
    let tokens = round.cx.tokens;
    parts::title(ui, tokens, large, "How many minutes have you?");
    ui.label(
        "Every required check comes, and of the rest what takes away the most risk in that time, in the order that wastes \
         no lift, no warm-up and no way. Where the required checks alone take longer, you choose: all of them, or only \
         what fits.",
    );
    let read = |text: &str| {
        // Who comes back from the machine with a sheet types its number here as well.
        if let Ok(number) = text.parse::<SheetNumber>() {
            return Ok(Given::Sheet(number));
        }
        let figure = text.trim().trim_end_matches("minutes").trim_end_matches("min").trim();
        match figure.parse::<u32>() {
            Ok(minutes @ 1..=MOST_MINUTES) => Ok(Given::Minutes(minutes)),
            _ => Err(format!(
                "expected whole minutes from 1 to {MOST_MINUTES}, found \"{}\": type 20, or nothing for as long as it \
                 takes, or the number of a sheet",
                text.trim()
            )),
        }
    };
    let asked =
        line(round, state, ui, (MINUTES, "Minutes at hand, or the number of a sheet", "as long as it takes"), read);
    let mut begun = match asked {
        Asked::Nothing => None,
        Asked::Empty => Some(None),
        Asked::Read(Given::Minutes(minutes)) => Some(Some(minutes)),
        Asked::Read(Given::Sheet(number)) => {
            rows_of(round, state, &number, MINUTES);
            None
        }
    };
    if !state.walk.guided.told.is_empty() {
        trouble(ui, tokens, &state.walk.guided.told.clone());
    }
    ui.horizontal_wrapped(|ui| {
        for some in [10, 20, 40, 60] {
            let button = egui::Button::new(format!("{some} minutes")).min_size(egui::vec2(0.0, tokens.target + 4.0));
            if ui.add(button).clicked() {
                begun = Some(Some(some));
            }
        }
        let button = egui::Button::new("As long as it takes").min_size(egui::vec2(0.0, tokens.target + 4.0));
        if ui.add(button).clicked() {
            begun = Some(None);
        }
    });
    if let Some(minutes) = begun {
        course::begin(round, state, minutes, false);
        return;
    }
    ui.add_space(8.0);
    ui.horizontal_wrapped(|ui| {
        let button = egui::Button::new("Type in a paper sheet").min_size(egui::vec2(0.0, tokens.target + 4.0));
        if ui.add(button).clicked() {
            state.walk.guided.walk_mut(round).phase = Phase::Number;
        }
        away(round, state, ui);
    });
}

fn away(round: &Round<'_>, state: &mut UiState, ui: &mut Ui) {
    if parts::away(ui, round.cx.tokens) {
        leave(state);
    }
}

/// Shows the plan before it begins.
pub(super) fn ready(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, large: &LargeType) {
    let tokens = round.cx.tokens;
    let walk = state.walk.guided.walk_mut(round).clone();
    let changes = walk.legs.iter().filter(|l| l.is_change()).count();
    let title = format!("{} in {}", parts::counted(&walk), shown_minutes(walk.still()));
    parts::title(ui, tokens, large, &title);
    let mut begin = false;
    ui.horizontal_wrapped(|ui| {
        begin = parts::forth(ui, tokens, if walk.missing.is_some() { "All required checks" } else { "Begin" });
        if walk.missing.is_some() && act(ui, tokens, "Only what fits, most risk first", Key::F, false) {
            course::begin(round, state, walk.minutes, true);
        }
        if walk.part && act(ui, tokens, "All required checks", Key::A, false) {
            course::begin(round, state, walk.minutes, false);
        }
        if act(ui, tokens, "Other minutes", Key::M, false) {
            state.walk.guided.walk_mut(round).phase = Phase::Minutes;
        }
        if act(ui, tokens, "Type in a paper sheet", Key::T, false) {
            state.walk.guided.walk_mut(round).phase = Phase::Number;
        }
        away(round, state, ui);
    });
    egui::ScrollArea::vertical().id_salt("guided-ready").auto_shrink([false, false]).show(ui, |ui| {
        ui.label(format!(
            "The machine is set up otherwise {}. Go as far as you like: you come back exactly where you were.",
            words::count(changes, "time", "times")
        ));
        if let Some(missing) = walk.missing {
            let more = shown_minutes(missing);
            let words = format!(
                "Every required check is in it, and they take {more} more than you have. Go on with all of them, or take \
                 only what fits: then the rest stays unchecked, and the verdict will be \"not yet decided\"."
            );
            trouble(ui, tokens, &words);
        }
        if let Some(words) = parts::unchecked(&walk) {
            trouble(ui, tokens, &words);
        }
        for why in [&walk.stop.0, &walk.stop.1].into_iter().flatten() {
            trouble(ui, tokens, &format!("{}: what that forbids is left out.", words::capital(why)));
        }
        if !walk.left_out.is_empty() {
            parts::over(ui, tokens, "Left out, and why");
            parts::some(ui, tokens, &walk.left_out, 40);
        }
        if let Some(general) = round.catalogue().caution("general") {
            parts::cautions(round, ui, std::slice::from_ref(&general.id));
        }
    });
    if begin {
        let walk = state.walk.guided.walk_mut(round);
        walk.phase = Phase::Walk;
        course::go_to(round, state, 0);
    }
}

/// Asks for the number of a sheet, and finds its plan again.
pub(super) fn number(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, large: &LargeType) {
    let tokens = round.cx.tokens;
    parts::title(ui, tokens, large, "Which sheet?");
    ui.label("Its number stands at the head of every page. The rows come in the sheet's own order.");
    let asked = line(round, state, ui, (NUMBER, "Sheet number", "ride-20-261125-k7q2"), str::parse::<SheetNumber>);
    match asked {
        Asked::Nothing => {}
        Asked::Read(number) => rows_of(round, state, &number, NUMBER),
        Asked::Empty => {
            state.walk.guided.told = "Type the number of the sheet, or go back.".into();
        }
    }
    if !state.walk.guided.told.is_empty() {
        trouble(ui, tokens, &state.walk.guided.told.clone());
    }
    ui.horizontal_wrapped(|ui| {
        let button = egui::Button::new("Without a number").min_size(egui::vec2(0.0, tokens.target + 4.0));
        if ui.add(button).on_hover_text("Every check of this inspection, in the order of today's plan").clicked() {
            let number = wanted(round, None).map(|w| sheet(round.bay, round.catalogue(), round.units(), &w).number);
            if let Some(number) = number {
                rows_of(round, state, &number, NUMBER);
            }
        }
        away(round, state, ui);
    });
}

fn wanted<'a>(round: &Round<'a>, minutes: Option<u32>) -> Option<Wanted<'a>> {
    let kind = round.catalogue().kind(&round.inspection.kind)?;
    Some(Wanted { kind, asks: &round.inspection.asks, minutes, part: false, day: round.cx.today })
}

/// Takes up the rows of a sheet; where there is none of that number, it stays in its field to be mended.
fn rows_of(round: &Round<'_>, state: &mut UiState, number: &SheetNumber, field: &str) {
    let filled = Some(&round.inspection.id);
    let found = find(round.bay, round.catalogue(), round.units(), number, filled)
        .or_else(|| find(round.bay, round.catalogue(), round.units(), number, None));
    let Some(found) = found else {
        state.walk.drafts.set(field, number.to_string());
        state.walk.drafts.focus_key = Some(field.to_owned());
        let elsewhere = round.cx.garage.bays.iter().find(|bay| {
            bay.machine.id != round.machine().id && find(bay, round.catalogue(), round.units(), number, None).is_some()
        });
        state.walk.guided.told = match elsewhere {
            Some(bay) => format!(
                "Expected a sheet of {}, found one of {}: choose that machine and its inspection first.",
                round.machine().name,
                bay.machine.name
            ),
            None => format!(
                "Expected a sheet of {} as its data stand, found none with the number {number}: read it again; where the \
                 machine's data were changed since it was printed, go on without a number and mind the order of the rows.",
                round.machine().name
            ),
        };
        return;
    };
    let again = beside(Vec::new(), &course::again(round), round.machine(), found.plan.from);
    let walk = state.walk.guided.walk_mut(round);
    walk.legs = legs(&found.plan, round.machine()).into_iter().filter(|l| !l.is_change()).collect();
    // What is looked at again comes behind the rows of the sheet, whose numbers stay as they are printed.
    walk.legs.extend(again);
    walk.sheet = found.number.to_string();
    walk.minutes = number.minutes;
    walk.at = 0;
    walk.phase = Phase::Entry;
    state.walk.guided.told.clear();
    state.walk.guided.shown = None;
    course::take_in_hand(round, state);
}
