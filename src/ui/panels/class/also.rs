//! Which names count for a finding of the key besides its own.

use egui::Ui;

use crate::exercise::Mark;
use crate::inspection::Finding;
use crate::ui::ViewCtx;
use crate::ui::widgets::{caption, named, typed_line};

/// So many names are offered at once.
const OFFERED: usize = 8;

/// A name that can count: `check:fault`, and in words.
struct Name {
    id: String,
    words: String,
    is_of_same_check: bool,
}

/// Draws the names that count, and those that may be added.
pub(super) fn ui(cx: &ViewCtx<'_>, finding: &Finding, mark: &mut Mark, filter: &mut String, ui: &mut Ui) {
    let names = names(cx, finding);
    named(ui, "Names that count too", |ui, _| {
        if mark.also.is_empty() {
            caption(ui, "only its own");
        }
        let mut gone = None;
        for (index, id) in mark.also.iter().enumerate() {
            let words = names.iter().find(|n| n.id == id.trim()).map_or(id.as_str(), |n| n.words.as_str());
            ui.horizontal_wrapped(|ui| {
                ui.label(words);
                if ui.small_button("Take out").on_hover_text(words).clicked() {
                    gone = Some(index);
                }
            });
        }
        if let Some(index) = gone {
            mark.also.remove(index);
        }
    });
    named(ui, "Add a name", |ui, name_id| {
        let edit = typed_line(filter).desired_width(220.0_f32.min(ui.available_width()));
        let response = ui.add(edit.hint_text("a word of it, such as cut"));
        if let Some(id) = name_id {
            response.labelled_by(id);
        }
        let word = filter.trim().to_lowercase();
        let fits = |n: &&Name| {
            let is_known = mark.also.iter().any(|also| also.trim() == n.id);
            !is_known && if word.is_empty() { n.is_of_same_check } else { n.words.to_lowercase().contains(&word) }
        };
        let offered: Vec<&Name> = names.iter().filter(fits).collect();
        let mut added = None;
        ui.horizontal_wrapped(|ui| {
            for name in offered.iter().take(OFFERED) {
                if ui.small_button(&name.words).clicked() {
                    added = Some(name.id.clone());
                }
            }
        });
        match offered.len() {
            0 => caption(ui, "No name has that word."),
            n if n > OFFERED => caption(ui, &format!("and {} more: type a word to narrow them", n - OFFERED)),
            _ => {}
        }
        if let Some(id) = added {
            mark.also.push(id);
            filter.clear();
        }
    });
}

/// Every name of the catalogue but the finding's own.
fn names(cx: &ViewCtx<'_>, finding: &Finding) -> Vec<Name> {
    let checks = cx.catalogue.checks.iter();
    checks
        .flat_map(|check| {
            check.faults.iter().map(|fault| Name {
                id: format!("{}:{}", check.id, fault.id),
                words: format!("{}: {}", check.title, fault.words),
                is_of_same_check: check.id == finding.check.check,
            })
        })
        .filter(|name| name.id != format!("{}:{}", finding.check.check, finding.fault))
        .collect()
}
