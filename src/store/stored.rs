//! What the records have in common on disk: a head, an id that names the file, and what must not be stored.
//! Must not know paths.

use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::catalogue::OwnKinds;
use crate::edit::Record;
use crate::exercise::{Exercise, Key, Sheet};
use crate::garage::GarageInfo;
use crate::inspection::{Answer, Event, EventKind, Inspection, Value};
use crate::machine::Machine;

/// A value that must not be in a record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Flaw {
    /// A piece of text that stands at the place in the file.
    pub(super) needle: String,
    /// What was expected, what was found, and the way out.
    pub(super) message: String,
}

/// A record that is one file.
pub(super) trait Stored: Serialize + DeserializeOwned {
    /// What it is, for the first line of the file and for messages.
    const WHAT: &'static str;
    /// The id that must match the file's name; none for the garage itself.
    fn id(&self) -> Option<&str>;
    /// What must not be stored.
    fn flaw(&self) -> Option<Flaw> {
        None
    }
    /// The record by its kind.
    fn record(self) -> Record;
}

impl Stored for GarageInfo {
    const WHAT: &'static str = "garage";
    fn id(&self) -> Option<&str> {
        None
    }
    fn record(self) -> Record {
        Record::Garage(Box::new(self))
    }
}

impl Stored for OwnKinds {
    const WHAT: &'static str = "kind";
    fn id(&self) -> Option<&str> {
        None
    }
    fn record(self) -> Record {
        Record::Own(Box::new(self))
    }
}

impl Stored for Machine {
    const WHAT: &'static str = "machine";
    fn id(&self) -> Option<&str> {
        Some(&self.id.0)
    }
    fn flaw(&self) -> Option<Flaw> {
        let found: Vec<_> = self.wheels.iter().map(|w| w.position).collect();
        (found != self.layout.positions()).then(|| Flaw {
            needle: "wheels:".into(),
            message: format!(
                "expected the wheels of the layout {} in this order: {}, found {}: add or remove wheels, or change the layout",
                self.layout.word(),
                words(self.layout.positions()),
                if found.is_empty() { "none".into() } else { words(&found) }
            ),
        })
    }
    fn record(self) -> Record {
        Record::Machine(Box::new(self))
    }
}

fn words(positions: &[crate::machine::WheelPosition]) -> String {
    positions.iter().map(|p| p.word()).collect::<Vec<_>>().join(", ")
}

impl Stored for Inspection {
    const WHAT: &'static str = "inspection";
    fn id(&self) -> Option<&str> {
        Some(&self.id.0)
    }
    fn flaw(&self) -> Option<Flaw> {
        if let Some(hours) = self.conditions.standing_hours
            && (!hours.is_finite() || hours < 0.0)
        {
            return Some(Flaw {
                needle: "standing_hours".into(),
                message: format!("expected hours at rest of zero or more, found {hours}: write it as in 3.5"),
            });
        }
        self.answers.iter().find_map(|(check, answer)| number_flaw(check.to_string(), answer))
    }
    fn record(self) -> Record {
        Record::Inspection(Box::new(self))
    }
}

fn number_flaw(check: String, answer: &Answer) -> Option<Flaw> {
    answer.readings.iter().find_map(|(field, value)| match value {
        Value::Number(n) if !n.is_finite() => Some(Flaw {
            needle: if n.is_nan() { "NaN".into() } else { "inf".into() },
            message: format!(
                "expected a finite number for \"{field}\" of {check}, found {n}: read the gauge again and write what it shows, as in 2.5"
            ),
        }),
        _ => None,
    })
}

impl Stored for Event {
    const WHAT: &'static str = "event";
    fn id(&self) -> Option<&str> {
        Some(&self.id.0)
    }
    fn flaw(&self) -> Option<Flaw> {
        match &self.kind {
            EventKind::FindingClosed { finding, .. } if finding.0.trim().is_empty() => Some(Flaw {
                needle: "finding:".into(),
                message: "expected the id of the finding that was closed, found none: copy it from the inspection"
                    .into(),
            }),
            _ => None,
        }
    }
    fn record(self) -> Record {
        Record::Event(Box::new(self))
    }
}

impl Stored for Exercise {
    const WHAT: &'static str = "exercise";
    fn id(&self) -> Option<&str> {
        Some(&self.id.0)
    }
    fn record(self) -> Record {
        Record::Exercise(Box::new(self))
    }
}

impl Stored for Key {
    const WHAT: &'static str = "key";
    fn id(&self) -> Option<&str> {
        Some(&self.exercise.0)
    }
    fn flaw(&self) -> Option<Flaw> {
        let m = &self.marking;
        let marked = self.marks.values().flat_map(|m| [("near_minutes", m.near_minutes), ("weight", m.weight)]);
        let readings = self.readings.iter().map(|r| ("weight", r.weight));
        let whole = [
            ("false_alarm", m.false_alarm),
            ("misplaced", m.misplaced),
            ("other_name", m.other_name),
            ("other_severity", m.other_severity),
            ("verdict", m.verdict),
        ];
        let bad = marked.chain(readings).chain(whole).find(|(_, n)| !n.is_finite() || *n < 0.0);
        if let Some((name, number)) = bad {
            return Some(Flaw {
                needle: format!("{name}:"),
                message: format!("expected {name} of zero or more, found {number}: write a plain number, as in 0.5"),
            });
        }
        self.inspection.flaw()
    }
    fn record(self) -> Record {
        Record::Key(Box::new(self))
    }
}

impl Stored for Sheet {
    const WHAT: &'static str = "sheet";
    fn id(&self) -> Option<&str> {
        Some(&self.id.0)
    }
    fn flaw(&self) -> Option<Flaw> {
        self.machine.flaw().or_else(|| self.inspection.flaw())
    }
    fn record(self) -> Record {
        Record::Sheet(Box::new(self))
    }
}
