//! Drive, brakes' working, battery and stands.

use egui::Ui;

use super::Form;
use crate::machine::{BatteryKind, BrakeActuation, FinalDrive, Machine, Stance};
use crate::ui::ViewCtx;
use crate::ui::widgets::{choice, segments, whole_field, yes_no};

/// The part in a few words.
pub fn summary(_cx: &ViewCtx<'_>, machine: &Machine) -> String {
    let volts = machine.nominal_voltage.map_or_else(String::new, |v| format!(", {v} V"));
    let abs = if machine.abs { ", ABS" } else { "" };
    format!(
        "{}, {} front and {} rear brake{abs}, {}{volts}",
        machine.final_drive.word(),
        machine.front_brake.word(),
        machine.rear_brake.word(),
        machine.battery.word()
    )
}

/// Draws the part.
pub fn ui(form: &mut Form<'_>, ui: &mut Ui) {
    let drives: Vec<(FinalDrive, &str)> = FinalDrive::ALL.iter().map(|d| (*d, d.word())).collect();
    let drive = segments(ui, "Final drive", &form.machine.final_drive, &drives);
    form.put(drive, |m, v| m.final_drive = v);
    if matches!(form.machine.final_drive, FinalDrive::Chain | FinalDrive::Belt) {
        let mut stances: Vec<(Option<Stance>, String)> = vec![(None, "not known yet".into())];
        stances.extend(Stance::ALL.iter().map(|s| (Some(*s), s.word().to_owned())));
        let stance = choice(ui, "Slack is read", &form.machine.slack_stance, &stances);
        form.put(stance, |m, v| m.slack_stance = v);
    }
    if form.machine.final_drive == FinalDrive::Chain {
        form.offers(ui, "chain", None);
    }
    let actuations: Vec<(BrakeActuation, &str)> = BrakeActuation::ALL.iter().map(|a| (*a, a.word())).collect();
    let front = segments(ui, "Front brake works", &form.machine.front_brake, &actuations);
    form.put(front, |m, v| m.front_brake = v);
    let rear = segments(ui, "Rear brake works", &form.machine.rear_brake, &actuations);
    form.put(rear, |m, v| m.rear_brake = v);
    let abs = yes_no(ui, "Anti-lock", "has an anti-lock system", form.machine.abs);
    form.put(abs, |m, v| m.abs = v);
    let linked = yes_no(ui, "Linked brakes", "one control works both", form.machine.linked_brakes);
    form.put(linked, |m, v| m.linked_brakes = v);
    let clutch = yes_no(ui, "Clutch", "has a clutch lever", form.machine.clutch_lever);
    form.put(clutch, |m, v| m.clutch_lever = v);

    let batteries: Vec<(BatteryKind, String)> = BatteryKind::ALL.iter().map(|b| (*b, b.word().to_owned())).collect();
    let battery = choice(ui, "Battery", &form.machine.battery, &batteries);
    form.put(battery, |m, v| m.battery = v);
    let volts = whole_field(ui, "Nominal voltage", form.machine.nominal_voltage.map(u32::from), "V", 6..=800);
    form.put(volts, |m, v| m.nominal_voltage = v.and_then(|v| u16::try_from(v).ok()));
    form.offers(ui, "battery", None);
    let side = yes_no(ui, "Stands", "side stand", form.machine.stands.side);
    form.put(side, |m, v| m.stands.side = v);
    let centre = yes_no(ui, "", "centre stand", form.machine.stands.centre);
    form.put(centre, |m, v| m.stands.centre = v);
}
