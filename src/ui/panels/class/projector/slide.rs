//! The first and the last step, the legend of keys, and how words stand on a step.

use egui::{Label, Panel, RichText, Ui, vec2};

use super::Show;
use crate::class::words;
use crate::ui::panels::class::{drawings, scores};
use crate::ui::theme::strong_family;

/// Large words in the heavier face.
pub(super) fn title_words(show: &Show<'_>, ui: &mut Ui, words: &str) {
    let text = RichText::new(words).family(strong_family()).size(show.large.title).color(show.cx.tokens.strong);
    ui.add(Label::new(text).wrap());
}

/// Words of the usual size.
pub(super) fn body(show: &Show<'_>, ui: &mut Ui, words: &str) {
    ui.add(Label::new(RichText::new(words).size(show.large.body).color(show.cx.tokens.line)).wrap());
}

/// Words of the usual size that matter more.
pub(super) fn strong(show: &Show<'_>, ui: &mut Ui, words: &str) {
    let text = RichText::new(words).family(strong_family()).size(show.large.body).color(show.cx.tokens.strong);
    ui.add(Label::new(text).wrap());
}

/// The keys along the bottom.
pub(super) fn legend(show: &Show<'_>, ui: &mut Ui) {
    let key = if show.revealed { "hides the key" } else { "shows the key" };
    let names = if show.names.hidden { "shows names" } else { "hides names" };
    let words = format!("← → step · Space {key} · N {names} · F9 dark or bright · Esc leaves");
    Panel::bottom("projector-keys").show_separator_line(false).show(ui, |ui| {
        ui.add(Label::new(RichText::new(words).size(show.large.body).color(show.cx.tokens.faint)).wrap());
    });
}

/// The title: the exercise, the machine, how many sheets.
pub(super) fn title(show: &Show<'_>, ui: &mut Ui) {
    let room = ui.available_size();
    Panel::left("projector-plan").resizable(false).exact_size(room.x * 0.42).show_separator_line(false).show(
        ui,
        |ui| {
            let plan = drawings::numbered_plan(show.machine, &[], room.x * 0.4, room.y * 0.95);
            drawings::show(ui, &plan, 1.0, show.cx.tokens);
        },
    );
    egui::CentralPanel::no_frame().show(ui, |ui| {
        title_words(show, ui, &show.course.exercise.title);
        ui.add_space(show.large.body);
        body(show, ui, &show.machine.name);
        // How many there are to find is the key's to say.
        if show.revealed {
            body(show, ui, &count(show.key.inspection.findings.len(), "thing to find", "things to find"));
        }
        let n = show.marked.results.scores.len();
        body(show, ui, &count(n, "sheet is marked", "sheets are marked"));
    });
}

/// The class: figures, and with the key what was missed most.
pub(super) fn class(show: &Show<'_>, ui: &mut Ui) {
    let results = &show.marked.results;
    let room = ui.available_size();
    let left = room.x * 0.36;
    Panel::left("projector-plan").resizable(false).exact_size(left).show_separator_line(false).show(ui, |ui| {
        let numbered: Vec<_> = if show.revealed { scores::numbered(show.key, results) } else { Vec::new() };
        let scale = show.large.drawing * 0.78;
        let size = vec2(left * 0.95, room.y * 0.95) / scale;
        let plan = drawings::numbered_plan(show.machine, &numbered, size.x, size.y);
        drawings::show(ui, &plan, scale, show.cx.tokens);
    });
    egui::CentralPanel::no_frame().show(ui, |ui| {
        title_words(show, ui, "The class");
        let figures = &results.figures;
        let percent =
            |share: &crate::class::Share| format!("{:.0} % ({} of {})", 100.0 * share.value(), share.part, share.whole);
        if let Some(recall) = &figures.recall {
            body(show, ui, &format!("Found of all there were: {}", percent(recall)));
        }
        if let Some(precision) = &figures.precision {
            body(show, ui, &format!("Found of all written down: {}", percent(precision)));
        }
        if let Some(minutes) = figures.minutes_off {
            body(show, ui, &format!("Position: {minutes:.0} clock minutes off (median)"));
        }
        if let Some(kappa) = &figures.severity {
            body(show, ui, &format!("Severity: kappa {:.2}", kappa.value));
        }
        body(show, ui, &format!("Verdict as the key: {} of {}", figures.verdicts_right, figures.sheets));
        if !show.revealed {
            return;
        }
        ui.add_space(show.large.body * 0.5);
        strong(show, ui, "Missed most");
        let all = results.scores.len();
        for (index, of) in figures.findings.iter().enumerate().filter(|(_, of)| of.not_found() > 0).take(3) {
            if let Some(finding) = show.key.inspection.findings.iter().find(|f| f.id == of.key) {
                let name = words::finding_words(show.cx.catalogue, finding);
                body(show, ui, &format!("{}. {name}: {}", index + 1, scores::outcome_words(of, all)));
            }
        }
    });
}

fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}
