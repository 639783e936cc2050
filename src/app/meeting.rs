//! Records that were changed in this window and on disk: what is shown of them, and what comes of the user's choice.

use std::collections::{BTreeMap, BTreeSet};

use super::shell::Shell;
use crate::edit::{Change, Command, Record, RecordKey};
use crate::garage::Garage;
use crate::inspection::{FindingId, Inspection, InspectionId};
use crate::store::{self, OnDisk};
use crate::ui::Ids;
use crate::ui::panels::meeting::{Choice, Meeting, Theirs, differing};

/// What this window remembers of its own changes.
#[derive(Debug, Default)]
pub struct Meetings {
    /// Records that were changed in this window since the garage was opened or the two versions were last one.
    changed: BTreeSet<RecordKey>,
    /// What is shown was worked out for this.
    shown: Option<(u64, BTreeMap<RecordKey, OnDisk>)>,
}

impl Meetings {
    /// Notes that a record was changed in this window.
    pub fn changed_here(&mut self, key: &RecordKey) {
        self.changed.insert(key.clone());
    }
    /// Whether a record was changed in this window. Where it is gone from the disk, those that live in its folder count
    /// for it.
    pub fn is_changed_here(&self, key: &RecordKey, is_gone: bool) -> bool {
        self.changed.iter().any(|changed| match (key, changed) {
            (RecordKey::Machine(id), RecordKey::Inspection(of, _) | RecordKey::Event(of, _)) if is_gone => id == of,
            (RecordKey::Exercise(id), RecordKey::Key(of) | RecordKey::Sheet(of, _)) if is_gone => id == of,
            _ => key == changed,
        })
    }
}

impl Shell {
    /// Works out what is shown, where something has changed.
    pub(super) fn show_meetings(&mut self) {
        let met = self.saver.met();
        if met.is_empty() && self.state.meeting.list.is_empty() {
            return;
        }
        if self.meetings.shown.as_ref().is_some_and(|(revision, shown)| *revision == self.revision && shown == met) {
            return;
        }
        let met = met.clone();
        self.state.meeting.list = met.iter().map(|(key, theirs)| self.meeting(key, theirs)).collect();
        self.meetings.shown = Some((self.revision, met));
    }

    fn meeting(&self, key: &RecordKey, theirs: &OnDisk) -> Meeting {
        let mine = self.garage.record(key);
        let text = |record: Option<&Record>| match record.map(|record| store::text_of(key, record)) {
            None => String::new(),
            Some(Ok(text)) => text,
            Some(Err(error)) => error.to_string(),
        };
        let (shown, other) = match theirs {
            OnDisk::Gone => (Theirs::Gone, String::new()),
            OnDisk::Record(record) => (Theirs::Changed, text(Some(record))),
            OnDisk::Unreadable(why) => (Theirs::Unreadable(why.clone()), String::new()),
        };
        let is_inspection = matches!((key, &mine, theirs), (RecordKey::Inspection(..), Some(_), OnDisk::Record(_)));
        Meeting {
            key: key.clone(),
            what: self.what(key),
            rows: differing(&text(mine.as_ref()), &other),
            theirs: shown,
            can_be_both: is_inspection,
        }
    }

    /// What a record is called.
    pub(super) fn what(&self, key: &RecordKey) -> String {
        let name = |id: &crate::machine::MachineId| {
            self.garage.bay(id).map_or_else(|| id.to_string(), |bay| bay.machine.name.clone())
        };
        match key {
            RecordKey::Garage => "the record of the garage itself".into(),
            RecordKey::Machine(id) => format!("the machine {}", name(id)),
            RecordKey::Inspection(id, inspection) => {
                let inspection = self.garage.bay(id).and_then(|bay| bay.inspection(inspection));
                let day = inspection.map_or_else(String::new, |i| format!(" of {}", i.date.format("%-d %B %Y")));
                format!("the inspection{day} of {}", name(id))
            }
            RecordKey::Event(id, event) => {
                let event = self.garage.bay(id).and_then(|bay| bay.event(event));
                let day = event.map_or_else(String::new, |e| format!(" of {}", e.date.format("%-d %B %Y")));
                format!("what happened{day} to {}", name(id))
            }
            RecordKey::Own(file) => format!("the kinds of inspection in {file}"),
            RecordKey::Exercise(id) => format!("the exercise {id}"),
            RecordKey::Key(id) => format!("the key of the exercise {id}"),
            RecordKey::Sheet(_, id) => format!("the sheet {id}"),
        }
    }

    /// Does what the user has chosen.
    pub(super) fn choose(&mut self, key: RecordKey, choice: Choice) {
        let Some(theirs) = self.saver.met().get(&key).cloned() else { return };
        let folder = self.folder.clone().unwrap_or_default();
        let theirs = match (choice, theirs) {
            (Choice::Mine, _) => {
                self.saver.write_over(&key, &folder);
                return;
            }
            (_, OnDisk::Unreadable(why)) => {
                self.trouble("What is on disk cannot be read, so it cannot be taken", why);
                return;
            }
            (_, OnDisk::Gone) => None,
            (_, OnDisk::Record(record)) => Some(*record),
        };
        let mine = self.garage.record(&key);
        self.saver.give_up(&key, &folder);
        let change =
            Change { key: key.clone(), before: mine.clone(), after: theirs, label: "take what is on disk".into() };
        self.evolved(&change);
        self.shelf.changed_by(&key);
        if matches!(key, RecordKey::Own(_)) {
            self.catalogue = self.catalogue.with_own(self.garage.own.iter()).0;
        }
        self.history.push(change);
        self.meetings.changed.remove(&key);
        self.revision += 1;
        if let (Choice::Both, RecordKey::Inspection(machine, _), Some(Record::Inspection(mine))) = (choice, &key, mine)
        {
            let copy = apart(*mine, &self.garage, &self.ids);
            self.edit(Command::StartInspection(machine.clone(), copy));
        }
        self.mend_selection();
    }
}

/// An inspection under ids of its own, so that what closes a finding of the one closes none of the other.
fn apart(mut inspection: Inspection, garage: &Garage, ids: &Ids) -> Inspection {
    let is_taken = |id: &InspectionId| garage.bays.iter().any(|bay| bay.inspection(id).is_some());
    let stem = inspection.id.0.rsplit_once('-').map_or(inspection.id.0.clone(), |(stem, _)| stem.to_owned());
    loop {
        inspection.id = InspectionId(format!("{stem}-{}", ids.fresh()));
        if !is_taken(&inspection.id) {
            break;
        }
    }
    for finding in &mut inspection.findings {
        finding.id = FindingId(format!("f-{}", ids.fresh()));
    }
    inspection
}
