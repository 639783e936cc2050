//! What falls due by its age alone: hydraulic fluids, tyres, the battery.

use super::desk::Desk;
use super::{DueKind, months_on};
use crate::forecast::fitted::fitted;
use crate::inspection::{PartRef, Subject, Value};
use crate::machine::{BatteryKind, FluidKind};
use crate::rules::fluid_age::CHANGE_AFTER_MONTHS;
use crate::rules::tyre_age::{INSPECT_FROM_MONTHS, REPLACE_AT_MONTHS};
use crate::units::day;

/// A starter battery lasts four to six years (common practice, from memory); the middle of it is when to look.
const BATTERY_MONTHS: u32 = 5 * 12;

impl Desk<'_> {
    pub(super) fn fluids(&mut self) {
        let hydraulic = [FluidKind::FrontBrakeFluid, FluidKind::RearBrakeFluid, FluidKind::ClutchFluid];
        for kind in hydraulic {
            let in_list = self.bay.machine.services.iter().any(|s| s.fluid == Some(kind));
            if in_list || self.bay.machine.fluid(kind).is_none() {
                continue;
            }
            let fitted = fitted(self.bay, &self.log, &PartRef::Fluid(kind), self.today).map(|f| f.on);
            let read = self.bay.inspections.iter().filter(|i| i.date <= self.today).flat_map(|i| &i.answers);
            let read = read
                .filter(|(c, _)| c.check == "brake-fluid-age" && c.subject == Subject::Fluid(kind))
                .filter_map(|(_, a)| match a.readings.get("changed") {
                    Some(Value::Date(day)) => Some(*day),
                    _ => None,
                })
                .filter(|day| *day <= self.today)
                .max();
            let changed = fitted.max(read);
            let date = changed.and_then(|d| months_on(d, CHANGE_AFTER_MONTHS));
            let since =
                changed.map_or("it was never taken down when".into(), |d| format!("changed on {}", day::words(d)));
            let why = format!("Changed every {CHANGE_AFTER_MONTHS} months; {since}.");
            let word = kind.word();
            let what = format!("Change the {word}");
            self.add(
                DueKind::Fluid,
                format!("fluid-{}", kind.id()),
                what,
                (date, None),
                why,
                "common practice; the handbook may ask for less".into(),
            );
            self.about(PartRef::Fluid(kind));
        }
    }

    pub(super) fn ages(&mut self) {
        let months = |m: i32| u32::try_from(m).unwrap_or(0);
        let tyres: Vec<_> =
            self.bay.machine.wheels.iter().filter_map(|w| Some((w.position, w.tyre.as_ref()?.tin?.made()?))).collect();
        for (wheel, made) in tyres {
            let source = || "trade advice, no law for motorcycles".to_owned();
            let by = |m: i32| months_on(made, months(m));
            let ten = by(REPLACE_AT_MONTHS);
            let of = format!("made in the week of {}", day::words(made));
            // From five years on the next yearly look, as long as it comes before the tenth year.
            let look = (0..)
                .map(|year| by(INSPECT_FROM_MONTHS + 12 * year))
                .find(|d| d.is_none_or(|d| d >= self.today))
                .flatten();
            if let Some(look) = look.filter(|l| ten.is_none_or(|t| *l < t)) {
                let why = format!("From five years on a tyre is looked over every year, inside and out; {of}.");
                self.add(
                    DueKind::Age,
                    format!("age-look-{}", wheel.id()),
                    format!("Look over the {} tyre for age", wheel.word()),
                    (Some(look), None),
                    why,
                    source(),
                );
                self.about(PartRef::Tyre(wheel));
            }
            if ten.is_some() {
                let why = format!("At ten years a tyre is replaced, whatever it looks like; {of}.");
                self.add(
                    DueKind::Age,
                    format!("age-tyre-{}", wheel.id()),
                    format!("Replace the {} tyre for age", wheel.word()),
                    (ten, None),
                    why,
                    source(),
                );
                self.about(PartRef::Tyre(wheel));
            }
        }
        if self.bay.machine.battery != BatteryKind::None
            && let Some(since) = fitted(self.bay, &self.log, &PartRef::Battery, self.today)
        {
            let why = format!("A battery lasts four to six years; fitted on {}.", day::words(since.on));
            let date = months_on(since.on, BATTERY_MONTHS);
            self.add(
                DueKind::Age,
                "age-battery".into(),
                "Have the battery tested for age".into(),
                (date, None),
                why,
                "common practice, from memory".into(),
            );
            self.about(PartRef::Battery);
        }
    }
}
