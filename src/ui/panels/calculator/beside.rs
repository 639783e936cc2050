//! Which calculators belong beside which check or part of a machine, and what the record gives for their entries.
//!
//! One line in a table a place; the entries are those of the command line. Pure.

use super::Offer;
use crate::inspection::{Answer, CheckRef, Conditions, Subject, Value};
use crate::machine::{BatteryKind, Machine, Wheel};

/// What an offer may look at.
#[derive(Clone, Copy)]
pub(in crate::ui::panels) struct Beside<'a> {
    /// The machine.
    pub machine: &'a Machine,
    /// The answer to the check, where it has one.
    pub answer: Option<&'a Answer>,
    /// How it is today.
    pub conditions: Option<&'a Conditions>,
    /// The check.
    pub check: Option<&'a CheckRef>,
    /// The wheel that the check or the part of the form is about.
    pub wheel: Option<&'a Wheel>,
}

/// An entry and its text.
type Filled = (&'static str, Option<String>);

/// A calculator at a check: the check's id, the calculator, its name there, and what fills it.
struct Row {
    check: &'static str,
    id: &'static str,
    name: &'static str,
    fill: fn(&Beside<'_>) -> Vec<Filled>,
}

const fn row(check: &'static str, id: &'static str, name: &'static str, fill: fn(&Beside<'_>) -> Vec<Filled>) -> Row {
    Row { check, id, name, fill }
}

/// The calculators beside the checks.
const CHECKS: &[Row] = &[
    row("tyre-pressure", "pressure", "at another temperature", set_pressure),
    row("tyre-pressure", "pressure", "from hot to cold", hot_pressure),
    row("tyre-tread", "tread", "by another law", tread),
    row("tyre-age", "tin", "age from the code", tin),
    row("tyre-marking", "tyre", "the marking, and another tyre", tyre),
    row("tyre-mounting", "tyre", "the marking, and another tyre", tyre),
    row("drive-slack", "chain", "chain: number, turns, slack", slack),
    row("drive-slack", "belt", "belt under a force", belt),
    row("drive-wear", "chain", "wear over the pitches", wear),
    row("wheel-fixing", "torque", "torque wrench with an extension", torque),
    row("fasteners-after-work", "torque", "torque wrench with an extension", torque),
    row("fasteners-after-work", "bolt", "a bolt without a figure", nothing),
    row("battery-rest", "battery", "charge, drain, cranking", battery),
    row("battery-charging", "battery", "charging", battery),
    row("brake-fluid-condition", "brake-fluid", "boiling point", brake_fluid),
    row("brake-fluid-age", "brake-fluid", "due day", brake_fluid),
    row("brake-front-alone", "braking", "deceleration", braking_front),
    row("brake-rear-alone", "braking", "deceleration", braking_rear),
    row("braking-efficiency", "braking", "deceleration", nothing),
    row("headlamp-aim", "headlamp", "aim in per cent", headlamp),
    row("fork", "sag", "sag", nothing),
    row("shock-absorber", "sag", "sag", nothing),
    row("springs", "sag", "sag", nothing),
    row("vin-papers", "vin", "the identification number", vin),
];

/// The calculators beside the parts of the machine form.
const PARTS: &[Row] = &[
    row("tyre", "tyre", "the marking, and another tyre", tyre),
    row("tyre", "tin", "age from the code", tin),
    row("placard", "pressure", "set in a warm garage", set_pressure),
    row("battery", "battery", "charge, drain, cranking", battery),
    row("torques", "torque", "torque wrench with an extension", torque),
    row("torques", "bolt", "a bolt without a figure", nothing),
    row("papers", "vin", "the identification number", vin),
    row("chain", "chain", "chain: number, turns, limits", nothing),
];

/// Entries that are shown first although they are not needed for an answer.
const ASKED: &[(&str, &str)] = &[
    ("tyre", "compare"),
    ("tyre", "size"),
    ("chain", "number"),
    ("chain", "pitches"),
    ("chain", "length"),
    ("chain", "slack"),
    ("battery", "rest"),
    ("battery", "drain"),
    ("battery", "capacity"),
    ("brake-fluid", "boiling"),
    ("brake-fluid", "changed"),
    ("braking", "speed"),
    ("braking", "distance"),
    ("braking", "brakes"),
    ("torque", "length"),
    ("torque", "extension"),
    ("torque", "angle"),
    ("headlamp", "lamp"),
    ("headlamp", "edge"),
    ("sag", "free"),
    ("sag", "travel"),
    ("pressure", "placard"),
    ("pressure", "altitude"),
];

/// Whether an entry is shown although no answer needs it.
pub(super) fn is_asked(calculator: &str, entry: &str) -> bool {
    ASKED.contains(&(calculator, entry))
}

/// The calculators beside a check.
pub(in crate::ui::panels) fn check(check: &str, beside: &Beside<'_>) -> Vec<Offer> {
    offers(CHECKS, check, beside)
}

/// The calculators beside a part of the machine form.
pub(in crate::ui::panels) fn part(part: &str, beside: &Beside<'_>) -> Vec<Offer> {
    offers(PARTS, part, beside)
}

fn offers(rows: &[Row], place: &str, beside: &Beside<'_>) -> Vec<Offer> {
    let filled =
        |row: &Row| (row.fill)(beside).into_iter().filter_map(|(entry, text)| Some((entry, text?))).collect::<Vec<_>>();
    rows.iter()
        .filter(|row| row.check == place)
        .map(|row| Offer { id: row.id, name: row.name, filled: filled(row) })
        .collect()
}

impl Beside<'_> {
    fn reading(&self, field: &str) -> Option<&Value> {
        self.answer?.readings.get(field)
    }
    /// A reading with its unit, as it was typed.
    fn text(&self, field: &str) -> Option<String> {
        Some(match self.reading(field)? {
            Value::Pressure(q) => q.to_string(),
            Value::Length(q) => q.to_string(),
            Value::Temperature(q) => q.to_string(),
            Value::Voltage(q) => q.to_string(),
            Value::Torque(q) => q.to_string(),
            Value::Number(n) => n.to_string(),
            Value::Date(d) => d.to_string(),
            _ => return None,
        })
    }
    fn placard(&self) -> Option<String> {
        let placard = self.wheel?.placard.as_ref()?;
        let loaded = self.conditions.is_some_and(|c| c.loaded);
        Some(placard.loaded.filter(|_| loaded).unwrap_or(placard.solo).to_string())
    }
}

fn nothing(_: &Beside<'_>) -> Vec<Filled> {
    Vec::new()
}

fn set_pressure(b: &Beside<'_>) -> Vec<Filled> {
    vec![
        ("set", b.text("cold").or_else(|| b.placard())),
        ("set_at", b.conditions.and_then(|c| c.ambient).map(|t| t.to_string())),
        ("placard", b.placard()),
    ]
}

fn hot_pressure(b: &Beside<'_>) -> Vec<Filled> {
    vec![
        ("set", b.text("cold")),
        ("now", b.conditions.and_then(|c| c.ambient).map(|t| t.to_string())),
        ("placard", b.placard()),
        ("hot", Some(crate::reckon::SAID.to_owned())),
    ]
}

fn tread(b: &Beside<'_>) -> Vec<Filled> {
    let readings = match b.reading("depths") {
        Some(Value::Tread(points)) => {
            let line = |p: &crate::inspection::TreadPoint| {
                let depths: Vec<String> = p.depths.iter().map(|(_, depth)| depth.to_string()).collect();
                // One, three or five depths are read from the left shoulder to the right one.
                matches!(depths.len(), 1 | 3 | 5)
                    .then(|| format!("{} {}", p.spot.time(crate::clock::Side::Right), depths.join(" ")))
            };
            Some(points.iter().filter_map(line).collect::<Vec<_>>().join("; "))
        }
        _ => None,
    };
    vec![
        ("region", Some(b.machine.region.clone())),
        ("category", Some(b.machine.category.word().to_owned())),
        ("cc", b.machine.capacity_cc.map(|cc| cc.to_string())),
        ("readings", readings),
    ]
}

fn tin(b: &Beside<'_>) -> Vec<Filled> {
    vec![("code", b.wheel.and_then(|w| w.tyre.as_ref()?.tin.map(|t| t.to_string())))]
}

fn tyre(b: &Beside<'_>) -> Vec<Filled> {
    vec![("size", b.wheel.and_then(|w| Some(w.tyre.as_ref()?.marking.to_string())))]
}

fn slack(b: &Beside<'_>) -> Vec<Filled> {
    let round = match b.reading("round") {
        Some(Value::Round(points)) => Some(points.iter().map(|p| p.reading.to_string()).collect::<Vec<_>>().join("; ")),
        _ => b
            .text("tightest")
            .map(|tight| [Some(tight), b.text("loosest")].into_iter().flatten().collect::<Vec<_>>().join("; ")),
    };
    vec![("slack", round), ("number", Some("520".into()))]
}

fn belt(b: &Beside<'_>) -> Vec<Filled> {
    vec![("deflections", b.text("tightest"))]
}

fn wear(b: &Beside<'_>) -> Vec<Filled> {
    let pitch = match b.reading("pitch") {
        Some(Value::Choice(id)) if id == "half" => Some("12.7 mm"),
        Some(Value::Choice(id)) if id == "five-eighths" => Some("15.875 mm"),
        Some(Value::Choice(id)) if id == "three-quarters" => Some("19.05 mm"),
        _ => None,
    };
    vec![
        ("pitch", pitch.map(str::to_owned)),
        ("pitches", b.text("pitches")),
        ("length", b.text("length")),
        ("teeth", b.text("teeth")),
    ]
}

fn torque(b: &Beside<'_>) -> Vec<Filled> {
    vec![("wanted", b.text("torque").or_else(|| b.machine.torques.first().map(|t| t.torque.to_string())))]
}

fn battery(b: &Beside<'_>) -> Vec<Filled> {
    let kind = match b.machine.battery {
        BatteryKind::Flooded => Some("flooded"),
        BatteryKind::Agm => Some("agm"),
        BatteryKind::Gel => Some("gel"),
        BatteryKind::LithiumIronPhosphate => Some("lithium"),
        _ => None,
    };
    let kind = kind.map(str::to_owned);
    vec![
        ("kind", kind),
        ("nominal", b.machine.nominal_voltage.map(|v| format!("{v} V"))),
        ("rest", b.text("rest")),
        ("charging", b.text("running")),
    ]
}

fn brake_fluid(b: &Beside<'_>) -> Vec<Filled> {
    let fluid = match b.check.map(|c| c.subject) {
        Some(Subject::Fluid(kind)) => b.machine.fluid(kind),
        _ => None,
    };
    let changed = b.text("changed").or_else(|| fluid.and_then(|f| f.changed_on).map(|d| d.to_string()));
    vec![("grade", fluid.map(|f| f.grade.clone())), ("boiling", b.text("boiling")), ("changed", changed)]
}

fn braking(b: &Beside<'_>, brakes: &str) -> Vec<Filled> {
    vec![("category", Some(b.machine.category.word().to_owned())), ("brakes", Some(brakes.to_owned()))]
}

fn braking_front(b: &Beside<'_>) -> Vec<Filled> {
    braking(b, "front")
}

fn braking_rear(b: &Beside<'_>) -> Vec<Filled> {
    braking(b, "rear")
}

fn headlamp(b: &Beside<'_>) -> Vec<Filled> {
    vec![("lamp", b.text("lamp-height")), ("edge", b.text("cutoff-height")), ("distance", b.text("wall-distance"))]
}

fn vin(b: &Beside<'_>) -> Vec<Filled> {
    vec![("vin", b.machine.vin.clone())]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;
    use crate::machine::{Layout, MachineId};
    use crate::reckon::CALCULATORS;

    #[test]
    fn every_row_names_a_check_and_a_calculator_with_those_entries() {
        let machine = Machine::new(MachineId("m".into()), "Machine", Layout::Solo);
        let beside =
            Beside { machine: &machine, answer: None, conditions: None, check: None, wheel: machine.wheels.first() };
        for row in CHECKS.iter().chain(PARTS) {
            let calculator = CALCULATORS.iter().find(|c| c.id == row.id);
            let entries = calculator.unwrap_or_else(|| unreachable!("{} is no calculator", row.id)).entries();
            for (entry, _) in (row.fill)(&beside) {
                assert!(entries.iter().any(|e| e.id == entry), "{} has no entry {entry}", row.id);
            }
        }
        for row in CHECKS {
            assert!(Catalogue::builtin().check(row.check).is_some(), "{} is no check", row.check);
        }
        for (id, entry) in ASKED {
            let calculator = CALCULATORS.iter().find(|c| c.id == *id).expect("a calculator");
            assert!(calculator.entries().iter().any(|e| e.id == *entry), "{id} has no entry {entry}");
        }
    }
}
