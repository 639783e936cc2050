//! One wheel at a time: rim, tyre, placard pressures, brakes.

use egui::Ui;

use super::{Form, source, tyre};
use crate::clock::Side;
use crate::machine::{Brake, LimitSource, Machine, Placard, RimKind, RimMaterial, Wheel, WheelPosition};
use crate::ui::ViewCtx;
use crate::ui::widgets::{Entry, QuantityField, caption, choice, segments, strong};
use crate::units::{Length, Mass, Pressure};

/// The part in a few words.
pub fn summary(cx: &ViewCtx<'_>, machine: &Machine) -> String {
    let wheels: Vec<String> = machine
        .wheels
        .iter()
        .map(|w| {
            let tyre = w.tyre.as_ref().map_or_else(|| "no tyre yet".into(), |t| t.marking.to_string());
            let placard = w.placard.as_ref().map_or_else(String::new, |p| format!(" at {}", cx.units().show(p.solo)));
            format!("{} {tyre}{placard}", w.position.word())
        })
        .collect();
    wheels.join(" · ")
}

/// Draws the part.
pub fn ui(form: &mut Form<'_>, ui: &mut Ui) {
    let positions: Vec<(WheelPosition, &str)> =
        form.machine.wheels.iter().map(|w| (w.position, w.position.word())).collect();
    let Some(index) = form
        .wheel
        .and_then(|p| form.machine.wheels.iter().position(|w| w.position == p))
        .or_else(|| (!positions.is_empty()).then_some(0))
    else {
        return;
    };
    if let Some(position) = segments(ui, "Wheel", &positions[index].0, &positions) {
        *form.wheel = Some(position);
        return;
    }
    let position = positions[index].0;
    ui.push_id(position.id(), |ui| {
        rim(form, index, ui);
        brakes(form, index, ui);
        ui.add_space(6.0);
        tyre::ui(form, index, ui);
        ui.add_space(6.0);
        placard(form, index, ui);
    });
}

/// Puts a committed value into the wheel in hand.
fn put<T>(form: &mut Form<'_>, index: usize, committed: Option<T>, put: impl FnOnce(&mut Wheel, T)) {
    form.put(committed, |m, value| {
        if let Some(wheel) = m.wheels.get_mut(index) {
            put(wheel, value);
        }
    });
}

/// A rim kind without its number of spokes.
#[derive(Clone, Copy, PartialEq)]
enum Make {
    Cast,
    Wire,
    Pressed,
}

fn rim(form: &mut Form<'_>, index: usize, ui: &mut Ui) {
    let rim = form.machine.wheels[index].rim.clone();
    let make = match rim.kind {
        RimKind::Cast => Make::Cast,
        RimKind::WireSpoked { .. } => Make::Wire,
        RimKind::Pressed => Make::Pressed,
    };
    let options = [(Make::Cast, "cast"), (Make::Wire, "wire spokes"), (Make::Pressed, "pressed steel")];
    let chosen = segments(ui, "Rim", &make, &options);
    put(form, index, chosen, |w, make| {
        w.rim.kind = match make {
            Make::Cast => RimKind::Cast,
            Make::Wire => RimKind::WireSpoked { spokes: 36, first_flange: None },
            Make::Pressed => RimKind::Pressed,
        };
    });
    if let RimKind::WireSpoked { spokes, first_flange } = rim.kind {
        let count = Entry::new("Spokes", spokes.to_string()).width(70.0).show(ui, |text| {
            let n: u32 = text
                .parse()
                .map_err(|_| format!("expected a whole number of spokes, found \"{text}\": count them, as in 36"))?;
            crate::clock::SpokeCount::new(n).map(|c| c.get()).map_err(|e| e.to_string())
        });
        put(form, index, count, |w, spokes| w.rim.kind = RimKind::WireSpoked { spokes, first_flange });
        let flanges =
            [(None, "not known"), (Some(Side::Left), "to the left flange"), (Some(Side::Right), "to the right flange")];
        let flange = segments(ui, "Spoke 1 leads", &first_flange, &flanges);
        put(form, index, flange, |w, first_flange| w.rim.kind = RimKind::WireSpoked { spokes, first_flange });
        caption(ui, "Spoke 1 is the first one clockwise of the valve, seen from the machine's right.");
    }
    let materials: Vec<(RimMaterial, String)> = RimMaterial::ALL.iter().map(|m| (*m, m.word().to_owned())).collect();
    let material = choice(ui, "Rim material", &rim.material, &materials);
    put(form, index, material, |w, m| w.rim.material = m);
}

fn brakes(form: &mut Form<'_>, index: usize, ui: &mut Ui) {
    let prefs = form.cx.units();
    let both = vec![Brake::Disc(Side::Left), Brake::Disc(Side::Right)];
    let mut options: Vec<(Vec<Brake>, String)> = vec![
        (vec![], "none".into()),
        (vec![Brake::Disc(Side::Left)], "one disc, left".into()),
        (vec![Brake::Disc(Side::Right)], "one disc, right".into()),
        (both, "two discs".into()),
        (vec![Brake::Drum], "drum".into()),
    ];
    let current = form.machine.wheels[index].brakes.clone();
    if !options.iter().any(|(b, _)| *b == current) {
        options.push((current.clone(), "as written in the file".into()));
    }
    let chosen = choice(ui, "Brake", &current, &options);
    put(form, index, chosen, |w, b| w.brakes = b);
    if !form.machine.wheels[index].disc_sides().is_empty() {
        let diameter = form.machine.wheels[index].disc_diameter;
        let committed =
            QuantityField::new("Disc diameter", diameter, prefs).between(Length::mm(80.0), Length::mm(500.0)).show(ui);
        put(form, index, committed, |w, d| w.disc_diameter = d);
    }
    let mass = form.machine.wheels[index].axle_mass;
    let committed =
        QuantityField::new("Greatest axle mass", mass, prefs).between(Mass::kg(20.0), Mass::kg(2000.0)).show(ui);
    put(form, index, committed, |w, m| w.axle_mass = m);
}

fn placard(form: &mut Form<'_>, index: usize, ui: &mut Ui) {
    strong(ui, "Placard pressure, cold");
    caption(ui, "Cold means at whatever the air is today: a cold tyre reads the placard, in winter too.");
    let prefs = form.cx.units();
    let bounds = (Pressure::kpa(50.0), Pressure::kpa(700.0));
    let current = form.machine.wheels[index].placard.clone();
    let solo =
        QuantityField::new("Rider alone", current.as_ref().map(|p| p.solo), prefs).between(bounds.0, bounds.1).show(ui);
    put(form, index, solo, |w, solo| match (solo, &mut w.placard) {
        (Some(solo), Some(placard)) => placard.solo = solo,
        (Some(solo), None) => w.placard = Some(Placard { solo, loaded: None, source: LimitSource::Placard }),
        (None, _) => w.placard = None,
    });
    if let Some(placard) = current {
        let loaded =
            QuantityField::new("Passenger or luggage", placard.loaded, prefs).between(bounds.0, bounds.1).show(ui);
        put(form, index, loaded, |w, loaded| {
            if let Some(p) = &mut w.placard {
                p.loaded = loaded;
            }
        });
        let from = source::field(ui, "The figures are from", &placard.source);
        put(form, index, from, |w, from| {
            if let Some(p) = &mut w.placard {
                p.source = from;
            }
        });
        form.offers(ui, "placard", Some(index));
    }
}
