//! The list of machines at the left: name, mark and verdict, what is open, how old the last look is.

use egui::{Label, RichText, Role, Sense, Ui, WidgetInfo, vec2};

use crate::drawing::notch::Mark;
use crate::inspection::Severity;
use crate::machine::{Layout, Machine, MachineId};
use crate::report::content::decision_mark;
use crate::rules::Decision;
use crate::ui::theme::strong_family;
use crate::ui::widgets::{Icon, Press, caption, heading, notch, press, seen_only, strong, trouble, typed_line};
use crate::ui::{Action, MachineRow, UiState, ViewCtx};

/// What the panel keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct MachinesState {
    /// The machine being added, while its name is being typed.
    adding: Option<Adding>,
    /// What is typed to find a machine in a long list.
    wanted: String,
}

/// A machine that is about to be added.
#[derive(Clone, Debug)]
struct Adding {
    name: String,
    layout: Layout,
    is_new: bool,
    complaint: Option<&'static str>,
}

/// Draws the panel.
pub fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    ui.add(Label::new(RichText::new(&cx.garage.info.name).heading().color(cx.tokens.strong)).truncate());
    ui.add_space(2.0);
    egui::Panel::bottom("machine-tools").frame(egui::Frame::new()).show_separator_line(false).show(ui, |ui| {
        ui.add_space(4.0);
        tools(cx, state, actions, ui);
    });
    let is_long = cx.derived.rows.len() > LONG;
    if is_long {
        let name = ui.label("Find a machine");
        ui.add(typed_line(&mut state.machines.wanted).desired_width(f32::INFINITY)).labelled_by(name.id);
        ui.add_space(4.0);
    }
    let wanted = state.machines.wanted.trim().to_lowercase();
    let wanted = if is_long { wanted.as_str() } else { "" };
    egui::CentralPanel::no_frame().show(ui, |ui| {
        egui::ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            if cx.derived.rows.is_empty() {
                strong(ui, "No machine yet");
                ui.label("Add the first one below: its name and how its wheels are laid out are enough to begin.");
            }
            let found = |row: &&MachineRow| is_wanted(row, wanted);
            let mut is_any = false;
            for row in cx.derived.rows.iter().filter(|r| !r.archived).filter(found) {
                is_any = true;
                listed(cx, state, row, is_long, ui);
            }
            if state.show_archived && cx.derived.rows.iter().any(|r| r.archived) {
                ui.add_space(8.0);
                caption(ui, "Put away");
                for row in cx.derived.rows.iter().filter(|r| r.archived).filter(found) {
                    is_any = true;
                    listed(cx, state, row, is_long, ui);
                }
            }
            if !is_any && !wanted.is_empty() {
                caption(ui, "No machine has this in its name; take a letter away, or look among those put away.");
            }
        });
    });
}

/// From this length on a list has a field to find a machine by, and draws only the rows that are seen.
const LONG: usize = 24;
/// How high a row is thought to be before it is drawn, in points.
const ROW: f32 = 76.0;

/// Whether each word that was typed stands in the name or the id of a machine.
fn is_wanted(row: &MachineRow, wanted: &str) -> bool {
    let holds = |text: &str, word: &str| text.to_lowercase().contains(word);
    wanted.split_whitespace().all(|word| holds(&row.name, word) || holds(&row.id.0, word))
}

fn listed(cx: &ViewCtx<'_>, state: &mut UiState, row: &MachineRow, is_long: bool, ui: &mut Ui) {
    if is_long {
        seen_only(ui, &row.id, ROW, |ui| machine_row(cx, state, row, ui));
    } else {
        machine_row(cx, state, row, ui);
    }
}

/// Chooses a machine and its latest inspection.
fn choose(cx: &ViewCtx<'_>, state: &mut UiState, id: &MachineId) {
    state.is_listing = false;
    if state.machine.as_ref() == Some(id) {
        return;
    }
    state.machine = Some(id.clone());
    state.inspection = cx.garage.bay(id).and_then(|b| b.latest()).map(|i| i.id.clone());
    state.check = None;
    state.finding = None;
    state.wheel = None;
}

/// What a row says of its verdict; the mark beside it says the worst open class.
fn verdict_words(row: &MachineRow) -> String {
    match &row.verdict {
        Some(verdict) => verdict.words(),
        None if row.is_read => "not yet looked at".into(),
        None => "not yet read".into(),
    }
}

/// The open findings, worst first, each class with its word.
fn open_words(row: &MachineRow) -> String {
    let parts: Vec<String> = Severity::ALL
        .iter()
        .rev()
        .zip(row.open.iter().rev())
        .filter(|(_, n)| **n > 0)
        .map(|(s, n)| format!("{n} {}", s.word()))
        .collect();
    if parts.is_empty() { "nothing open".into() } else { parts.join(", ") }
}

/// How long ago, in words.
pub fn age_words(days: i64) -> String {
    match days {
        i64::MIN..=-1 => "dated in the future".into(),
        0 => "today".into(),
        1 => "yesterday".into(),
        2..=59 => format!("{days} days ago"),
        60..=729 => format!("{} months ago", days / 30),
        _ => format!("{} years ago", days / 365),
    }
}

fn machine_row(cx: &ViewCtx<'_>, state: &mut UiState, row: &MachineRow, ui: &mut Ui) {
    let t = cx.tokens;
    let is_chosen = state.machine.as_ref() == Some(&row.id);
    let width = ui.available_width();
    let inner = width - 46.0;
    let galley = |ui: &Ui, text: String, size: f32, is_strong: bool, color| {
        let family = if is_strong { strong_family() } else { egui::FontFamily::Proportional };
        ui.painter().layout(text, egui::FontId::new(size, family), color, inner)
    };
    let last = match (row.verdict.is_some(), row.age_days) {
        (true, Some(days)) => format!("{} · {}", open_words(row), age_words(days)),
        _ if row.is_read => "no inspection yet".into(),
        _ => "being read".into(),
    };
    let last = if row.is_history { format!("read-only history · {last}") } else { last };
    let is_grave =
        row.verdict.as_ref().is_some_and(|v| matches!(v.decision, Decision::DoNotRide | Decision::NotFitUntilRepaired));
    let lines = [
        galley(ui, row.name.clone(), 16.5, true, t.strong),
        galley(ui, verdict_words(row), 14.5, is_grave, t.line),
        galley(ui, format!("{} · {last}", row.layout), 12.5, false, t.faint),
    ];
    let height = lines.iter().map(|g| g.size().y).sum::<f32>() + 14.0;
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
    response.widget_info(|| {
        let spoken = format!("{}: {}; {last}", row.name, verdict_words(row));
        WidgetInfo::selected(Role::Button, true, is_chosen, spoken)
    });
    let painter = ui.painter_at(rect);
    if is_chosen || response.hovered() {
        painter.rect_filled(rect, 6.0, if is_chosen { t.wash } else { t.wash.gamma_multiply(0.6) });
    }
    if is_chosen {
        let bar = egui::Rect::from_min_size(rect.left_top() + vec2(0.0, 6.0), vec2(3.0, rect.height() - 12.0));
        painter.rect_filled(bar, 1.5, t.accent);
    }
    if response.has_focus() {
        painter.rect_stroke(rect, 6.0, egui::Stroke::new(2.0, t.accent), egui::StrokeKind::Inside);
    }
    standing_mark(cx, row, &painter, rect.left_top() + vec2(10.0, 10.0));
    let mut at = rect.left_top() + vec2(40.0, 6.0);
    for line in lines {
        let step = line.size().y;
        painter.galley(at, line, t.line);
        at.y += step + 1.0;
    }
    if response.clicked() {
        choose(cx, state, &row.id);
    }
    ui.add_space(2.0);
}

/// The notch mark of where the machine stands: what is not yet decided is never marked as if it were.
fn standing_mark(cx: &ViewCtx<'_>, row: &MachineRow, painter: &egui::Painter, at: egui::Pos2) {
    let mark = row.verdict.as_ref().map_or(Mark::Unchecked, |v| decision_mark(v.decision));
    notch(painter, at, 22.0, mark, cx.tokens);
}

fn tools(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    if state.machines.adding.is_some() {
        adding(cx, state, actions, ui);
        return;
    }
    let add = Press {
        mark: Some(Icon::Add),
        words: "Add a machine",
        name: "Add a machine",
        tip: "",
        enabled: true,
        selected: false,
    };
    if press(ui, &add).clicked() {
        state.machines.adding =
            Some(Adding { name: String::new(), layout: Layout::Solo, is_new: true, complaint: None });
    }
    let chosen = state.machine.as_ref().and_then(|id| cx.derived.rows.iter().find(|r| &r.id == id));
    let put_away = cx.derived.rows.iter().filter(|r| r.archived).count();
    ui.horizontal_wrapped(|ui| {
        if let Some(row) = chosen {
            let words = if row.archived { "Take out again" } else { "Put away" };
            let tip = "A machine that is put away is kept whole, and listed apart.";
            if ui.small_button(words).on_hover_text(tip).clicked() {
                actions.push(Action::Edit(crate::edit::Command::Archive(row.id.clone(), !row.archived)));
                if !row.archived {
                    state.show_archived = true;
                }
            }
        }
        if put_away > 0 {
            ui.checkbox(&mut state.show_archived, format!("show {put_away} put away"));
        }
    });
}

fn adding(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let Some(adding) = &mut state.machines.adding else { return };
    heading(ui, "A new machine");
    let name = ui.label("What do you call it?");
    let field = ui
        .add(typed_line(&mut adding.name).desired_width(f32::INFINITY).hint_text("for example Tourer"))
        .labelled_by(name.id);
    if adding.is_new {
        field.request_focus();
        adding.is_new = false;
    }
    ui.label("Its wheels");
    for layout in Layout::ALL {
        ui.radio_value(&mut adding.layout, layout, layout.word());
    }
    if let Some(complaint) = adding.complaint {
        trouble(ui, complaint);
    }
    let entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
    let mut is_done = false;
    ui.horizontal(|ui| {
        if ui.button("Add it").clicked() || entered {
            if adding.name.trim().is_empty() {
                adding.complaint = Some("Expected a name, found none: type one, any words do.");
            } else {
                let id = new_id(&adding.name, cx);
                let mut machine = Machine::new(id, adding.name.trim(), adding.layout);
                machine.region = usual_region(cx);
                actions.push(Action::Edit(crate::edit::Command::AddMachine(machine)));
                is_done = true;
                state.is_listing = false;
            }
        }
        is_done |= ui.button("Leave it").clicked();
    });
    if is_done {
        state.machines.adding = None;
    }
}

/// A short slug of the name with a random part, so that two people's machines never share a folder.
fn new_id(name: &str, cx: &ViewCtx<'_>) -> MachineId {
    let mut slug = String::new();
    for c in name.to_lowercase().chars() {
        if c.is_ascii_alphanumeric() {
            slug.push(c);
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    slug.truncate(24);
    let slug = slug.trim_matches('-');
    let slug = if slug.is_empty() { "machine" } else { slug };
    MachineId(format!("{slug}-{}", cx.ids.fresh()))
}

/// The region that the other machines of the garage have.
fn usual_region(cx: &ViewCtx<'_>) -> String {
    cx.garage.bays.last().map_or_else(|| "generic".into(), |b| b.machine.region.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ages_are_said_in_words() {
        for (days, words) in [
            (0, "today"),
            (1, "yesterday"),
            (59, "59 days ago"),
            (90, "3 months ago"),
            (800, "2 years ago"),
            (-3, "dated in the future"),
        ] {
            assert_eq!(age_words(days), words);
        }
    }
}
