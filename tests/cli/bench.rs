//! Runs the built program without a display, and writes small garages to run it on.

use std::path::{Path, PathBuf};
use std::process::Command;

use chrono::NaiveDate;
use stemclock::clock::Spot;
use stemclock::garage::{Bay, Garage, GarageInfo};
use stemclock::inspection::{CheckRef, Conditions, Finding, FindingId, Inspection, InspectionId, Place, Subject, Zone};
use stemclock::machine::{Layout, Machine, MachineId, SCHEMA, WheelPosition};
use stemclock::store;

/// What a run came to.
pub struct Done {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Done {
    /// The answer as data.
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| unreadable(&e, self))
    }
}

#[allow(clippy::panic, reason = "shows what the program said")]
fn unreadable(error: &serde_json::Error, done: &Done) -> serde_json::Value {
    panic!("{error}: stdout {:?}, stderr {:?}", done.out, done.err)
}

/// The built program, with no display to open a window on.
pub fn program() -> Command {
    let mut program = Command::new(env!("CARGO_BIN_EXE_stemclock"));
    program.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").env_remove("RUST_LOG");
    program
}

pub fn run(arguments: &[&str]) -> Done {
    let done = program().args(arguments).output().unwrap();
    Done {
        code: done.status.code().unwrap_or(-1),
        out: String::from_utf8(done.stdout).unwrap(),
        err: String::from_utf8(done.stderr).unwrap(),
    }
}

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

pub fn inspection(id: &str, on: &str) -> Inspection {
    Inspection {
        schema: SCHEMA,
        id: InspectionId(id.into()),
        kind: "ride".into(),
        date: day(on),
        started: None,
        inspector: "M. Fenwick".into(),
        odometer: None,
        conditions: Conditions::default(),
        asks: Vec::new(),
        carried: Default::default(),
        answers: Default::default(),
        findings: Vec::new(),
        overrules: Default::default(),
        note: String::new(),
    }
}

/// Cord showing on the front tyre at 4:30 from the right: dangerous, Directive 2014/45/EU item 5.2.3 d.
pub fn cord(id: &str) -> Finding {
    Finding {
        id: FindingId(id.into()),
        check: CheckRef::new("tyre-look", Subject::Wheel(WheelPosition::Front)),
        fault: "cord".into(),
        place: Place::Wheel { position: WheelPosition::Front, zone: Zone::Centre, spot: Spot::from_degrees(135.0) },
        size: None,
        note: String::new(),
        overrule: None,
        photos: Vec::new(),
    }
}

/// Three machines: one with a dangerous finding, one that nobody has gone over, and one that is put away.
pub fn garage() -> Garage {
    let machine = |id: &str, name: &str| Machine::new(MachineId(id.into()), name, Layout::Solo);
    let mut heron = Bay::new(machine("heron-7c1e", "Heron"));
    heron.inspections =
        vec![inspection("2026-03-01-ride-aa", "2026-03-01"), inspection("2026-11-20-ride-bb", "2026-11-20")];
    heron.inspections[1].findings.push(cord("f-1"));
    let moped = Bay::new(machine("moped-11aa", "Little one"));
    let mut old = Bay::new(machine("heron-old-99zz", "Heron, the old one"));
    old.machine.archived = true;
    let info = GarageInfo { schema: SCHEMA, name: "Test bench".into(), ..GarageInfo::default() };
    Garage { info, bays: vec![heron, old, moped], ..Garage::default() }
}

/// The garage in a fresh folder.
pub fn on_disk() -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("garage");
    store::save_all(&folder, &garage()).unwrap();
    (dir, folder)
}

/// A path as an argument.
pub fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}
