//! One frame of the window: take in what threads have done, draw, apply what was asked.

use std::path::Path;

use super::settings::Look;
use super::shell::Shell;
use crate::ui::theme::Tokens;
use crate::ui::{Action, Place, ViewCtx, chrome};

impl Shell {
    /// Gives a window its fonts and colours. The first frame is then laid out with them.
    pub fn dress(&mut self, ctx: &egui::Context) {
        if !self.is_dressed {
            self.waker.attach(ctx);
            crate::ui::theme::install(ctx);
            self.put_look_on(ctx);
            self.is_dressed = true;
        }
    }

    /// Before drawing: takes in what threads have done, and sees to the closing of the window.
    pub fn logic(&mut self, ctx: &egui::Context) {
        self.dress(ctx);
        let news = self.saver.poll(&self.folder_or_none());
        self.hear(news);
        let issued = self.printer.poll();
        self.hear_printer(issued);
        self.mend_warning();
        let answers: Vec<Action> = self.inbox.try_iter().collect();
        self.apply_all(answers);
        self.hear_pictures(Some(ctx));
        self.hear_shelf();
        self.refresh();
        self.bring_photos();
        if ctx.input(|i| i.viewport().close_requested()) {
            self.see_to_closing(ctx);
        }
    }

    /// Draws one frame and applies what was asked in it.
    pub fn ui(&mut self, ui: &mut egui::Ui) {
        let going = self.going.take();
        let mut actions = Vec::new();
        let tokens = Tokens::of(ui.ctx().theme());
        let now = self.clock.now().naive_local();
        let folder = self.folder_or_none();
        let is_open = self.folder.is_some();
        self.state.report.tell_now(self.clock.now());
        self.write_report_if_made();
        // The state is taken out while panels draw, so that they may change it while they look at the rest.
        let mut state = std::mem::take(&mut self.state);
        {
            let cx = view(self, &folder, &tokens, now);
            let bar = chrome::Bar { waiting: self.saver.waiting(), is_open, reading: self.derived.far() };
            chrome::top(&cx, &bar, &mut state, &mut actions, ui);
            chrome::notices(&cx, &self.notes, &mut state, &mut actions, ui);
            if is_open {
                chrome::class(&cx, &mut state, &mut actions, ui);
                chrome::verdict(&cx, &mut state, &mut actions, ui);
                chrome::machines(&cx, &mut state, &mut actions, ui);
            }
        }
        self.state = state;
        let drawn_for = self.derived_for.clone();
        // A machine chosen at the left is brought and assessed before the middle is drawn.
        self.mend_selection();
        self.refresh();
        let mut state = std::mem::take(&mut self.state);
        {
            let cx = view(self, &folder, &tokens, now);
            if !is_open {
                state.place = Place::Garage;
            }
            chrome::middle(&cx, &mut state, &mut actions, ui);
            if is_open {
                chrome::arrivals(&cx, &state, &mut actions, ui);
            }
        }
        self.state = state;
        chrome::shortcuts(ui, &mut actions);
        let is_eventful = !actions.is_empty();
        for action in actions {
            match action {
                Action::Go(place) => self.go(place, ui.ctx()),
                Action::Close => ui.ctx().send_viewport_cmd(egui::ViewportCommand::Close),
                Action::UseTheme(theme) => {
                    self.settings.look = if theme == egui::Theme::Dark { Look::Dark } else { Look::Light };
                    self.put_look_on(ui.ctx());
                    self.remember();
                }
                other => self.apply(other),
            }
        }
        // The field that was left in the last frame has been read in this one.
        if let Some(place) = going {
            self.state.place = place;
        }
        self.mend_selection();
        self.refresh();
        self.bring_photos();
        self.keep_walks();
        if is_eventful || going.is_some() || drawn_for != self.derived_for {
            ui.ctx().request_repaint();
        }
    }

    /// Opens a place; while a field is being typed in, the field is left and read first.
    fn go(&mut self, place: Place, ctx: &egui::Context) {
        self.state.is_listing = false;
        self.state.is_arriving = true;
        match ctx.memory(|m| m.focused()) {
            Some(id) if ctx.text_edit_focused() => {
                ctx.memory_mut(|m| m.surrender_focus(id));
                self.going = Some(place);
            }
            _ => self.state.place = place,
        }
    }

    fn put_look_on(&self, ctx: &egui::Context) {
        ctx.set_theme(match self.settings.look {
            Look::System => egui::ThemePreference::System,
            Look::Light => egui::ThemePreference::Light,
            Look::Dark => egui::ThemePreference::Dark,
        });
    }
}

fn view<'a>(shell: &'a Shell, folder: &'a Path, tokens: &'a Tokens, now: chrono::NaiveDateTime) -> ViewCtx<'a> {
    ViewCtx {
        garage: &shell.garage,
        folder,
        catalogue: &shell.catalogue,
        derived: &shell.derived,
        today: now.date(),
        now,
        tokens,
        ids: &shell.ids,
        unreadable: &shell.unreadable,
        undo: shell.history.undo_label(),
        redo: shell.history.redo_label(),
        saved: &shell.saved,
        inspector: &shell.settings.inspector,
    }
}
