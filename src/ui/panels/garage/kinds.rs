//! Kinds of inspection: those that are built in, and the garage's own, made from the catalogue, put in order, with
//! checks of its own.
//!
//! A kind is written on a draft and becomes one command when it is kept: one file in the garage's folder `kinds`.

use std::collections::BTreeSet;

use egui::{ComboBox, RichText, Ui};

use crate::catalogue::{Check, Kind, OwnKinds, Selection};
use crate::edit::Command;
use crate::inspection::Station;
use crate::ui::widgets::{caption, named, strong, typed_line};
use crate::ui::{Action, ViewCtx};

/// What the part keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct KindsState {
    /// The kind being written.
    draft: Option<Draft>,
}

/// A kind being written.
#[derive(Clone, Debug, Default, PartialEq)]
struct Draft {
    /// The name of its file, which is also its id; none before it is first kept.
    id: Option<String>,
    name: String,
    called: String,
    days: u32,
    km: u32,
    /// The checks it asks, in order.
    checks: Vec<String>,
    /// Those without which there is no verdict.
    required: BTreeSet<String>,
    /// Checks of its own.
    own: Vec<Check>,
    /// Words by which the catalogue's checks are narrowed.
    filter: String,
    /// A check of its own being written.
    new: NewCheck,
}

/// A check being written.
#[derive(Clone, Debug, Default, PartialEq)]
struct NewCheck {
    title: String,
    how: String,
    why: String,
    station: Option<Station>,
}

/// Minutes that a check of one's own is taken to need, until its file says otherwise (house figure).
const MINUTES: f32 = 1.0;
/// So many checks of the catalogue are offered at once.
const OFFERED: usize = 8;

impl Draft {
    /// A new kind with the checks of another.
    fn like(kind: &Kind, cx: &ViewCtx<'_>) -> Self {
        let checks: Vec<String> = chosen(kind, cx);
        let required = checks.iter().filter(|id| kind.required.holds(id)).cloned().collect();
        Self {
            called: String::new(),
            days: kind.lapses_after_days,
            km: kind.lapses_after_km,
            checks,
            required,
            ..Self::default()
        }
    }
    /// A kind of the garage's own, to be changed.
    fn of(id: &str, own: &OwnKinds, cx: &ViewCtx<'_>) -> Option<Self> {
        let kind = own.kind().ok().flatten()?;
        let mut draft = Self::like(&kind, cx);
        draft.id = Some(id.to_owned());
        draft.name.clone_from(&kind.name);
        draft.called.clone_from(&kind.called);
        draft.own.clone_from(&own.own_checks);
        Some(draft)
    }
    /// As it is kept.
    fn own(&self, id: &str) -> OwnKinds {
        let required: Vec<String> = self.checks.iter().filter(|c| self.required.contains(*c)).cloned().collect();
        OwnKinds {
            id: Some(id.to_owned()),
            name: Some(self.name.trim().to_owned()),
            called: Some(self.called.trim().to_owned()),
            in_order: true,
            checks: Some(Selection::These(self.checks.clone())),
            required: Some(Selection::These(required)),
            lapses_after_days: Some(self.days),
            lapses_after_km: Some(self.km),
            own_checks: self.own.clone(),
            ..OwnKinds::default()
        }
    }
    fn title<'a>(&'a self, id: &'a str, cx: &'a ViewCtx<'_>) -> &'a str {
        let own = self.own.iter().find(|c| c.id == id);
        own.or_else(|| cx.catalogue.check(id)).map_or(id, |c| c.title.as_str())
    }
    fn shift(&mut self, index: usize, up: bool) {
        let other = if up { index.checked_sub(1) } else { Some(index + 1).filter(|i| *i < self.checks.len()) };
        if let Some(other) = other {
            self.checks.swap(index, other);
        }
    }
    /// What is still missing, with the way out.
    fn missing(&self) -> Option<&'static str> {
        if self.name.trim().is_empty() {
            Some("expected a name, found none: type one, as in \"before a track day\"")
        } else if self.called.trim().is_empty() {
            Some("expected how the verdict calls it, found nothing: type it, as in \"a track-day look\"")
        } else if self.checks.is_empty() {
            Some("expected at least one check, found none: add one below")
        } else {
            None
        }
    }
}

/// The checks of a kind by id, in its order.
fn chosen(kind: &Kind, cx: &ViewCtx<'_>) -> Vec<String> {
    match &kind.checks {
        Selection::These(ids) => ids.clone(),
        all => cx.catalogue.checks.iter().filter(|c| all.holds(&c.id)).map(|c| c.id.clone()).collect(),
    }
}

/// A text as the name of a file: lower-case letters and figures with dashes between.
fn slug(text: &str) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    let text: String = text.chars().map(plain).collect();
    let parts: Vec<&str> = text.split('-').filter(|p| !p.is_empty()).collect();
    if parts.is_empty() { "kind".into() } else { parts.join("-") }
}

/// Draws the part.
pub(super) fn ui(cx: &ViewCtx<'_>, state: &mut KindsState, actions: &mut Vec<Action>, ui: &mut Ui) {
    strong(ui, "Kinds of inspection");
    caption(ui, "A kind says which checks are asked, in which order, and without which there is no verdict.");
    if let Some(draft) = &mut state.draft {
        if written(cx, draft, actions, ui) {
            state.draft = None;
        }
        return;
    }
    for kind in &cx.catalogue.kinds {
        let own = cx.garage.own.iter().find(|(_, own)| own.id.as_ref() == Some(&kind.id));
        ui.push_id(("kind", &kind.id), |ui| {
            ui.horizontal_wrapped(|ui| {
                ui.label(&kind.name);
                let count = chosen(kind, cx).len();
                let whose = if own.is_some() { ", the garage's own" } else { "" };
                ui.label(RichText::new(format!("{count} checks{whose}")).small().color(cx.tokens.faint));
                let like = format!("Make one like \"{}\"", kind.name);
                if small(ui, "Make one like it", &like) {
                    state.draft = Some(Draft::like(kind, cx));
                }
                if let Some((file, own)) = own {
                    if small(ui, "Change", &format!("Change \"{}\"", kind.name)) {
                        state.draft = Draft::of(file, own, cx);
                    }
                    if small(ui, "Remove", &format!("Remove \"{}\"", kind.name)) {
                        actions.push(Action::Edit(Command::RemoveOwn(file.clone())));
                    }
                }
            });
        });
    }
}

/// A small button whose name says more than its words.
fn small(ui: &mut Ui, words: &str, name: &str) -> bool {
    let response = ui.small_button(words);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, name));
    response.clicked()
}

/// The kind on its draft; true when it was kept or left.
fn written(cx: &ViewCtx<'_>, draft: &mut Draft, actions: &mut Vec<Action>, ui: &mut Ui) -> bool {
    line(ui, "Name", &mut draft.name, "before a track day");
    line(ui, "The verdict calls it", &mut draft.called, "a track-day look");
    ui.horizontal_wrapped(|ui| {
        let label = ui.label("Its verdict lapses after");
        let days = if draft.days == 1 { " day" } else { " days" };
        ui.add(egui::DragValue::new(&mut draft.days).range(1..=3650).suffix(days)).labelled_by(label.id);
        ui.add(egui::DragValue::new(&mut draft.km).range(1..=100_000).suffix(" km")).labelled_by(label.id);
    });
    ui.add_space(4.0);
    caption(ui, "The checks in the order in which they are asked. A ticked one is needed for a verdict.");
    let mut wish = None;
    for (index, id) in draft.checks.iter().enumerate() {
        let title = draft.title(id, cx).to_owned();
        ui.push_id(("asked", id), |ui| {
            ui.horizontal(|ui| {
                let mut needed = draft.required.contains(id);
                if ui.checkbox(&mut needed, format!("{}. {title}", index + 1)).changed() {
                    wish = Some(Wish::Need(id.clone(), needed));
                }
                if small(ui, "Up", &format!("{title}: up")) {
                    wish = Some(Wish::Shift(index, true));
                }
                if small(ui, "Down", &format!("{title}: down")) {
                    wish = Some(Wish::Shift(index, false));
                }
                if small(ui, "Leave out", &format!("{title}: leave out")) {
                    wish = Some(Wish::Drop(index));
                }
            });
        });
    }
    match wish {
        Some(Wish::Need(id, true)) => {
            draft.required.insert(id);
        }
        Some(Wish::Need(id, false)) => {
            draft.required.remove(&id);
        }
        Some(Wish::Shift(index, up)) => draft.shift(index, up),
        Some(Wish::Drop(index)) => {
            let id = draft.checks.remove(index);
            draft.required.remove(&id);
            draft.own.retain(|c| c.id != id);
        }
        None => {}
    }
    ui.add_space(6.0);
    add(cx, draft, ui);
    own_check(cx, draft, ui);
    ui.add_space(8.0);
    finish(cx, draft, actions, ui)
}

/// What was asked of the list of checks in this frame.
enum Wish {
    Need(String, bool),
    Shift(usize, bool),
    Drop(usize),
}

/// The catalogue's checks that are not asked yet, narrowed by words.
fn add(cx: &ViewCtx<'_>, draft: &mut Draft, ui: &mut Ui) {
    line(ui, "Add a check", &mut draft.filter, "words of its title");
    let words = draft.filter.trim().to_lowercase();
    let fits = |c: &&Check| !draft.checks.contains(&c.id) && c.title.to_lowercase().contains(&words);
    let offered: Vec<(String, String)> =
        cx.catalogue.checks.iter().filter(fits).take(OFFERED).map(|c| (c.id.clone(), c.title.clone())).collect();
    if words.is_empty() {
        return;
    }
    if offered.is_empty() {
        caption(ui, "No other check has these words: type fewer, or write a check of your own below.");
    }
    ui.horizontal_wrapped(|ui| {
        for (id, title) in offered {
            if ui.small_button(&title).clicked() {
                draft.checks.push(id);
            }
        }
    });
}

/// A check of the garage's own.
fn own_check(cx: &ViewCtx<'_>, draft: &mut Draft, ui: &mut Ui) {
    egui::CollapsingHeader::new("A check of your own").id_salt("own-check").show(ui, |ui| {
        line(ui, "What it is called", &mut draft.new.title, "Crash bungs");
        line(ui, "How it is done", &mut draft.new.how, "Look at each and rock it.");
        line(ui, "Why it matters", &mut draft.new.why, "A loose one turns into the frame.");
        ui.horizontal(|ui| {
            let label = ui.label("Where one stands");
            let current = draft.new.station.map_or("choose a place", |s| s.word());
            let combo = ComboBox::from_id_salt("own-station").selected_text(current).show_ui(ui, |ui| {
                for station in Station::ALL {
                    ui.selectable_value(&mut draft.new.station, Some(station), station.word());
                }
            });
            combo.response.labelled_by(label.id);
        });
        let new = &draft.new;
        let is_whole = [&new.title, &new.how, &new.why].iter().all(|t| !t.trim().is_empty());
        let add = ui.add_enabled(is_whole && new.station.is_some(), egui::Button::new("Add this check"));
        if !is_whole || new.station.is_none() {
            caption(ui, "It needs all four before it can be asked.");
        }
        if add.clicked()
            && let Some(station) = draft.new.station
        {
            let id = format!("{}-{}", slug(&draft.new.title), cx.ids.fresh());
            let new = std::mem::take(&mut draft.new);
            draft.own.push(Check::of_ones_own(&id, new.title.trim(), station, new.why.trim(), new.how.trim(), MINUTES));
            draft.checks.push(id);
        }
    });
}

/// Keeps the kind, or leaves it; true when either was pressed.
fn finish(cx: &ViewCtx<'_>, draft: &Draft, actions: &mut Vec<Action>, ui: &mut Ui) -> bool {
    let missing = draft.missing();
    let mut is_done = false;
    ui.horizontal(|ui| {
        if ui.add_enabled(missing.is_none(), egui::Button::new("Keep this kind")).clicked() {
            let id = draft.id.clone().unwrap_or_else(|| format!("{}-{}", slug(&draft.name), cx.ids.fresh()));
            actions.push(Action::Edit(Command::PutOwn(id.clone(), draft.own(&id))));
            is_done = true;
        }
        is_done |= ui.button("Leave it").clicked();
    });
    if let Some(missing) = missing {
        caption(ui, missing);
    }
    is_done
}

/// A named line of text.
fn line(ui: &mut Ui, name: &str, text: &mut String, hint: &str) {
    named(ui, name, |ui, name_id| {
        let width = (ui.available_width() - 8.0).clamp(120.0, 380.0);
        let response = ui.add(typed_line(text).desired_width(width).hint_text(hint));
        if let Some(id) = name_id {
            response.labelled_by(id);
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;

    #[test]
    fn a_draft_becomes_a_kind_that_the_catalogue_takes_and_asks_in_its_order() {
        let own = Check::of_ones_own("bungs-a1", "Crash bungs", Station::LeftFlank, "why", "how", MINUTES);
        let draft = Draft {
            name: "before a track day".into(),
            called: "a track-day look".into(),
            days: 1,
            km: 300,
            checks: vec!["tyre-tread".into(), "bungs-a1".into(), "horn".into()],
            required: ["tyre-tread".into()].into(),
            own: vec![own],
            ..Draft::default()
        };
        assert_eq!(draft.missing(), None);
        let kept = draft.own("track-day");
        let name = "track-day".to_owned();
        let (catalogue, errors) = Catalogue::builtin().with_own([(&name, &kept)].into_iter());
        assert!(errors.is_empty(), "{errors:?}");
        let machine = crate::machine::Machine::new(
            crate::machine::MachineId("m".into()),
            "Machine",
            crate::machine::Layout::Solo,
        );
        let kind = catalogue.kind("track-day").expect("added");
        let asked: Vec<String> = catalogue.checks_for(&machine, kind).iter().map(|(c, _)| c.check.clone()).collect();
        assert_eq!(asked, ["tyre-tread", "tyre-tread", "bungs-a1", "horn"], "in its own order, each wheel once");
        let mut moved = draft;
        moved.shift(2, true);
        moved.shift(0, true);
        assert_eq!(moved.checks, ["tyre-tread", "horn", "bungs-a1"]);
    }

    #[test]
    fn names_of_files_are_plain() {
        assert_eq!(slug("Before a Track-Day!"), "before-a-track-day");
        assert_eq!(slug("??"), "kind");
    }
}
