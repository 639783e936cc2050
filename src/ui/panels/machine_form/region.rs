//! The rules in force: which region the machine is in, and what another one judges otherwise, told at once.

use egui::{RichText, Ui};

use super::Form;
use crate::rules::{Case, RegionChange, assess, region_changes};
use crate::ui::widgets::{caption, choice, strong};

/// What changed when the region was last switched.
#[derive(Clone, Debug)]
pub struct Switched {
    /// The machine.
    machine: crate::machine::MachineId,
    /// The region before and the one chosen, by their ids.
    from: String,
    to: String,
    /// What is judged otherwise; none where there is no inspection to judge.
    changes: Option<Vec<RegionChange>>,
}

/// Draws the choice and what it changed.
pub(super) fn ui(form: &mut Form<'_>, ui: &mut Ui) {
    let cx = form.cx;
    let mut regions: Vec<(String, String)> = cx.catalogue.regions.iter().map(|r| (r.id.clone(), r.shown())).collect();
    if cx.catalogue.region(&form.machine.region).is_none() {
        regions.push((form.machine.region.clone(), format!("{} (not in the catalogue)", form.machine.region)));
    }
    if let Some(chosen) = choice(ui, "Rules in force", &form.machine.region, &regions)
        && chosen != form.machine.region
    {
        form.keep.switched = Some(switched(form, &chosen));
        form.put(Some(chosen), |m, region| m.region = region);
    }
    if let Some(region) = cx.catalogue.region(&form.machine.region)
        && !region.remark.is_empty()
    {
        caption(ui, &region.remark);
    }
    told(form, ui);
}

/// Judges the newest inspection by both regions.
fn switched(form: &Form<'_>, to: &str) -> Switched {
    let cx = form.cx;
    let bay = cx.garage.bay(&form.machine.id);
    let changes = bay.and_then(|bay| {
        let (newest, earlier) = bay.inspections.split_last()?;
        let judged = |region: &str| {
            let mut machine = form.machine.clone();
            region.clone_into(&mut machine.region);
            assess(&Case::new(&machine, newest, earlier, cx.catalogue, cx.units(), cx.today))
        };
        Some(region_changes(&judged(&form.machine.region), &judged(to)))
    });
    Switched { machine: form.machine.id.clone(), from: form.machine.region.clone(), to: to.to_owned(), changes }
}

fn told(form: &mut Form<'_>, ui: &mut Ui) {
    let cx = form.cx;
    let Some(switched) = form.keep.switched.as_ref() else { return };
    // Undone, or another machine is in hand: what was told is no longer about what is seen.
    if switched.machine != form.machine.id || switched.to != form.machine.region {
        return;
    }
    let name = |id: &str| cx.catalogue.region(id).map_or_else(|| id.to_owned(), |r| r.shown());
    let mut is_read = false;
    egui::Frame::new().fill(cx.tokens.wash).inner_margin(8.0).corner_radius(4.0).show(ui, |ui| {
        ui.set_width(ui.available_width());
        let (from, to) = (name(&switched.from), name(&switched.to));
        strong(ui, &format!("From {from} to {to}"));
        match switched.changes.as_deref() {
            None => {
                ui.label("There is no inspection of this machine yet, so nothing is judged otherwise.");
            }
            Some([]) => {
                ui.label("Nothing in its newest inspection is judged otherwise.");
            }
            Some(changes) => {
                ui.label(if changes.len() == 1 {
                    "One check of its newest inspection is judged otherwise:".to_owned()
                } else {
                    format!("{} checks of its newest inspection are judged otherwise:", changes.len())
                });
                for change in changes {
                    ui.add_space(2.0);
                    ui.label(format!("{}: {} before, now {}.", change.title, change.before, change.after));
                    if !change.law.is_empty() {
                        ui.label(RichText::new(&change.law).small().color(cx.tokens.faint));
                    }
                }
            }
        }
        is_read = ui.small_button("I have read it").clicked();
    });
    if is_read {
        form.keep.switched = None;
    }
}
