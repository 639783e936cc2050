//! Service limits of this machine, each with its source.

use egui::Ui;

use super::{Form, source};
use crate::machine::{FinalDrive, Layout, Limit, LimitKind, LimitSource, Machine, Quota};
use crate::ui::ViewCtx;
use crate::ui::widgets::{QuantityField, caption, choice, named, read_quantity, strong, trouble, typed_line};
use crate::units::{Length, Preferences, Voltage};

/// The part in a few words.
pub fn summary(_cx: &ViewCtx<'_>, machine: &Machine) -> String {
    counted(&machine.limits)
}

/// How many figures there are, and how many of them lack their source.
fn counted(limits: &[Limit]) -> String {
    // "The service manual" alone is no source: nobody can look it up without its page.
    let is_bare = |l: &&Limit| matches!(&l.source, LimitSource::Manual(page) if page.trim().is_empty());
    match (limits.len(), limits.iter().filter(is_bare).count()) {
        (0, _) => "none yet: the law and common practice are used alone".into(),
        (1, 0) => "one figure with its source".into(),
        (1, _) => "one figure, the page of the manual still to be written".into(),
        (n, 0) => format!("{n} figures with their sources"),
        (n, bare) => format!("{n} figures, {bare} of them without the page of the manual"),
    }
}

/// What to do instead of leaving a figure empty.
const REMOVE: &str = "type one, or press Remove to take the whole limit away";

/// Draws the part.
pub fn ui(form: &mut Form<'_>, ui: &mut Ui) {
    caption(ui, "Where the machine's own figure and the law differ, the stricter one binds and both are shown.");
    let prefs = form.cx.units();
    let mut removed = None;
    for index in 0..form.machine.limits.len() {
        let limit = form.machine.limits[index].clone();
        ui.push_id(("limit", index), |ui| {
            ui.horizontal(|ui| {
                strong(ui, &capital(&limit.kind.words()));
                if ui.small_button("Remove").clicked() {
                    removed = Some(index);
                }
            });
            match limit.value {
                Quota::Length(value) => {
                    let committed = QuantityField::new("Figure", Some(value), prefs)
                        .unit(prefs.depth_unit())
                        .between(Length::mm(0.0), Length::mm(3000.0))
                        .needed(REMOVE)
                        .show(ui)
                        .flatten();
                    put(form, index, committed, |l, v| l.value = Quota::Length(v));
                }
                Quota::Voltage(value) => {
                    let committed = QuantityField::new("Figure", Some(value), prefs)
                        .between(Voltage::volts(0.0), Voltage::volts(1000.0))
                        .needed(REMOVE)
                        .show(ui)
                        .flatten();
                    put(form, index, committed, |l, v| l.value = Quota::Voltage(v));
                }
            }
            let from = source::field(ui, "The figure is from", &limit.source);
            put(form, index, from, |l, v| l.source = v);
            ui.add_space(6.0);
        });
    }
    form.put(removed, |m, index| {
        m.limits.remove(index);
    });
    add(form, prefs, ui);
}

/// A new limit: what it is about, then the figure.
fn add(form: &mut Form<'_>, prefs: &Preferences, ui: &mut Ui) {
    let mut kinds: Vec<(Option<LimitKind>, String)> = vec![(None, "choose what it is about".into())];
    kinds.extend(
        possible(form.machine)
            .into_iter()
            .filter(|k| form.machine.limit(*k).is_none())
            .map(|k| (Some(k), capital(&k.words()))),
    );
    if let Some(kind) = choice(ui, "Add a limit", &form.keep.new_limit, &kinds) {
        form.keep.new_limit = kind;
        form.keep.limit_complaint = None;
    }
    let Some(kind) = form.keep.new_limit else { return };
    let mut is_asked = false;
    named(ui, "Figure of the new limit", |ui, name_id| {
        ui.horizontal_wrapped(|ui| {
            let edit = typed_line(&mut form.keep.new_figure).desired_width(120.0);
            let response = ui.add(edit.hint_text(prefs.depth_unit().symbol));
            let response = match name_id {
                Some(id) => response.labelled_by(id),
                None => response,
            };
            is_asked = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            is_asked |= ui.button("Add this limit").clicked();
        });
        if let Some(complaint) = &form.keep.limit_complaint {
            trouble(ui, complaint);
        }
    });
    if !is_asked {
        return;
    }
    let bounds = (Length::mm(0.0), Length::mm(3000.0));
    match read_quantity(&form.keep.new_figure, prefs.depth_unit(), Some(bounds.0), Some(bounds.1)) {
        Ok(Some(value)) => {
            let limit = Limit { kind, value: Quota::Length(value), source: LimitSource::Manual(String::new()) };
            form.put(Some(limit), |m, limit| m.limits.push(limit));
            form.keep.new_limit = None;
            form.keep.new_figure.clear();
            form.keep.limit_complaint = None;
        }
        Ok(None) => form.keep.limit_complaint = Some("expected a length, found nothing: type one, as in 2.5 mm".into()),
        Err(error) => form.keep.limit_complaint = Some(error),
    }
}

/// The limits that a machine can have, by its parts.
fn possible(machine: &Machine) -> Vec<LimitKind> {
    let mut kinds = Vec::new();
    for wheel in &machine.wheels {
        let p = wheel.position;
        kinds.push(LimitKind::TreadMinimum(p));
        if !wheel.brakes.is_empty() {
            kinds.push(LimitKind::LiningMinimum(p));
        }
        let discs = wheel.disc_sides();
        kinds.extend(discs.iter().map(|side| LimitKind::DiscMinimum(p, *side)));
        if !discs.is_empty() {
            kinds.push(LimitKind::DiscRunoutMaximum(p));
        }
        if wheel.has_drum() {
            kinds.push(LimitKind::DrumMaximum(p));
        }
        kinds.extend([LimitKind::RimLateralMaximum(p), LimitKind::RimRadialMaximum(p)]);
    }
    if matches!(machine.final_drive, FinalDrive::Chain | FinalDrive::Belt) {
        kinds.extend([LimitKind::DriveSlackMinimum, LimitKind::DriveSlackMaximum]);
    }
    if machine.final_drive == FinalDrive::Chain {
        kinds.push(LimitKind::ChainLengthMaximum);
    }
    kinds.extend([LimitKind::ThrottlePlayMinimum, LimitKind::ThrottlePlayMaximum]);
    if machine.clutch_lever {
        kinds.push(LimitKind::ClutchPlayMaximum);
    }
    if matches!(machine.layout, Layout::Sidecar(_)) {
        kinds.extend([
            LimitKind::SidecarToeMinimum,
            LimitKind::SidecarToeMaximum,
            LimitKind::SidecarLeanMinimum,
            LimitKind::SidecarLeanMaximum,
        ]);
    }
    kinds
}

fn put<T>(form: &mut Form<'_>, index: usize, committed: Option<T>, put: impl FnOnce(&mut Limit, T)) {
    form.put(committed, |m, value| {
        if let Some(limit) = m.limits.get_mut(index) {
            put(limit, value);
        }
    });
}

fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_manual_without_its_page_is_not_counted_as_a_source() {
        let limit = |page: &str| Limit {
            kind: LimitKind::ThrottlePlayMaximum,
            value: Quota::Length(Length::mm(5.0)),
            source: LimitSource::Manual(page.into()),
        };
        assert_eq!(counted(&[limit("page 5-12")]), "one figure with its source");
        assert_eq!(counted(&[limit(" ")]), "one figure, the page of the manual still to be written");
        assert_eq!(counted(&[limit("3"), limit("")]), "2 figures, 1 of them without the page of the manual");
    }
}
