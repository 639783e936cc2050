//! The machines of a large garage stay on disk: what follows from each is worked out on threads of its own while the window
//! is already in use, and all records of one are brought into memory when it is taken in hand.
//!
//! A machine that was changed in this window stays in memory, so that nothing unsaved, and nothing that undo needs, is
//! ever put back.

use std::collections::{BTreeSet, VecDeque};
use std::num::NonZero;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::time::Duration;

use super::shell::Shell;
use crate::catalogue::Catalogue;
use crate::edit::RecordKey;
use crate::forecast::due_of;
use crate::garage::GarageInfo;
use crate::machine::MachineId;
use crate::ui::{MachineRow, OnDisk};

/// How many machines are kept in memory beside those that were changed.
const AT_HAND: usize = 8;
/// One in so many machines that have been read wakes the window, so that the list fills without a frame for each.
const WAKES: usize = 20;

/// What a thread has found out of a machine: what follows from its records, and which of them could not be read.
type Found = (MachineId, Result<(MachineRow, Vec<String>), String>);

/// Which machines are in memory, and what is being found out of the others.
#[derive(Default)]
pub(super) struct Shelf {
    /// Those in memory that may go back, the one in hand last.
    at_hand: VecDeque<MachineId>,
    /// Those that were changed here.
    changed: BTreeSet<MachineId>,
    reading: Option<Reading>,
}

/// The threads at work, and what comes of them.
struct Reading {
    inbox: Receiver<Found>,
    is_over: Arc<AtomicBool>,
    problems: Vec<String>,
    is_done: bool,
}

impl Drop for Reading {
    fn drop(&mut self) {
        self.is_over.store(true, Ordering::Relaxed);
    }
}

impl Shelf {
    /// Notes that a record of a machine was changed here.
    pub(super) fn changed_by(&mut self, key: &RecordKey) {
        if let RecordKey::Machine(id) | RecordKey::Inspection(id, _) | RecordKey::Event(id, _) = key {
            self.changed.insert(id.clone());
        }
    }
}

/// What the threads work with.
struct Desk {
    ids: Vec<MachineId>,
    next: AtomicUsize,
    catalogue: Catalogue,
    info: GarageInfo,
    today: chrono::NaiveDate,
    folder: PathBuf,
    disk: Arc<dyn super::Disk>,
    is_over: Arc<AtomicBool>,
    waker: super::Waker,
}

impl Desk {
    fn work(&self, sender: &Sender<Found>) {
        loop {
            let index = self.next.fetch_add(1, Ordering::Relaxed);
            let Some(id) = self.ids.get(index).filter(|_| !self.is_over.load(Ordering::Relaxed)) else { return };
            let found = self.disk.machine(&self.folder, id).map(|(bay, problems)| {
                let mut row = MachineRow::of(&bay, &self.catalogue, &self.info, self.today);
                row.due = Some(due_of(&bay, &self.catalogue, &self.info, self.today));
                (row, problems)
            });
            if sender.send((id.clone(), found)).is_err() {
                return;
            }
            if index.is_multiple_of(WAKES) || index + WAKES > self.ids.len() {
                self.waker.wake();
            }
        }
    }
}

impl Shell {
    /// Begins with a garage that was just opened.
    pub(super) fn set_shelf(&mut self, is_light: bool, folder: PathBuf) {
        self.shelf = Shelf::default();
        self.derived.on_disk = OnDisk::default();
        if is_light {
            self.derived.on_disk.machines = self.garage.bays.iter().map(|b| b.machine.id.clone()).collect();
            let disk = self.disk.clone();
            self.derived.on_disk.fetch = Some(Arc::new(move |id| disk.machine(&folder, id).map(|(bay, _)| bay)));
        }
    }

    /// Works out what follows from each machine on disk, off the frame.
    pub(super) fn read_the_shelf(&mut self) {
        self.read_these(self.derived.on_disk.machines.iter().cloned().collect());
    }

    /// Works out again what follows from machines whose files others have changed. Where the threads are at work still, they
    /// begin anew, because they may have read the old files.
    pub(super) fn read_again(&mut self, machines: BTreeSet<MachineId>) {
        if machines.is_empty() {
            return;
        }
        if self.shelf.reading.is_some() {
            self.read_the_shelf();
        } else {
            self.read_these(machines.into_iter().collect());
        }
    }

    fn read_these(&mut self, ids: Vec<MachineId>) {
        self.shelf.reading = None;
        let Some(folder) = self.folder.clone().filter(|_| !ids.is_empty()) else { return };
        let is_over = Arc::new(AtomicBool::new(false));
        let (sender, inbox) = channel();
        let desk = Arc::new(Desk {
            ids,
            next: AtomicUsize::new(0),
            catalogue: self.catalogue.clone(),
            info: self.garage.info.clone(),
            today: self.today(),
            folder,
            disk: self.disk.clone(),
            is_over: is_over.clone(),
            waker: self.waker.clone(),
        });
        let mut problems = Vec::new();
        // One processor is left to the window.
        let threads = std::thread::available_parallelism().map_or(1, NonZero::get).saturating_sub(1).clamp(1, 8);
        for _ in 0..threads {
            let (desk, sender) = (desk.clone(), sender.clone());
            let run = move || desk.work(&sender);
            if let Err(e) = std::thread::Builder::new().name("shelf".into()).spawn(run) {
                problems.push(format!(
                    "expected a thread to read the machines with, found that none could be started ({e}): close other \
                     programs, then open the garage again"
                ));
            }
        }
        self.shelf.reading = Some(Reading { inbox, is_over, problems, is_done: false });
    }

    /// Takes in what the threads have found out.
    pub(super) fn hear_shelf(&mut self) {
        let Some(reading) = &mut self.shelf.reading else { return };
        loop {
            let (id, found) = match reading.inbox.try_recv() {
                Ok(found) => found,
                Err(TryRecvError::Empty) => break,
                Err(TryRecvError::Disconnected) => {
                    reading.is_done = true;
                    break;
                }
            };
            let is_on_disk = self.derived.on_disk.machines.contains(&id);
            match found {
                Ok((row, problems)) => {
                    if is_on_disk {
                        self.derived.take_in(row);
                    }
                    reading.problems.extend(problems);
                }
                Err(error) => reading.problems.push(error),
            }
        }
        if !reading.is_done {
            return;
        }
        let problems = std::mem::take(&mut reading.problems);
        self.shelf.reading = None;
        let new: Vec<String> = problems.into_iter().filter(|p| !self.unreadable.contains(p)).collect();
        if !new.is_empty() {
            self.unreadable.extend(new);
            self.tell_of_unreadable();
        }
    }

    /// Waits until all machines have been read, at most for a while. For the end of a test.
    pub(super) fn settle_shelf(&mut self, most: Duration) {
        let until = std::time::Instant::now() + most;
        while self.shelf.reading.is_some() && std::time::Instant::now() < until {
            self.hear_shelf();
            std::thread::sleep(Duration::from_millis(2));
        }
    }

    /// Brings all records of a machine into memory. Says what is wrong where they cannot be read; nothing can be changed
    /// then. Gives whether they are there.
    pub(super) fn bring(&mut self, id: &MachineId) -> bool {
        if !self.derived.on_disk.machines.contains(id) {
            return true;
        }
        let found = match &self.folder {
            Some(folder) => self.disk.machine(folder, id),
            None => return false,
        };
        match found {
            Ok((bay, problems)) => {
                if let Some(place) = self.garage.bay_mut(id) {
                    *place = bay;
                }
                self.derived.on_disk.machines.remove(id);
                self.stale.add(id);
                self.revision += 1;
                let new: Vec<String> = problems.into_iter().filter(|p| !self.unreadable.contains(p)).collect();
                self.unreadable.extend(new);
                self.shelf.at_hand.retain(|other| other != id);
                self.shelf.at_hand.push_back(id.clone());
                self.put_back();
                true
            }
            Err(error) => {
                self.trouble_of_garage(format!("The records of {id} could not be read"), error);
                false
            }
        }
    }

    /// Brings all machines, to write the garage elsewhere. Gives whether all are there.
    pub(super) fn bring_all(&mut self) -> bool {
        let all: Vec<MachineId> = self.derived.on_disk.machines.iter().cloned().collect();
        let is_whole = all.iter().all(|id| {
            // None goes back before all are written.
            self.shelf.changed.insert(id.clone());
            self.bring(id)
        });
        self.refresh();
        is_whole
    }

    /// Brings the machine in hand.
    pub(super) fn bring_in_hand(&mut self) {
        let on_disk = &self.derived.on_disk.machines;
        if let Some(id) = self.state.machine.clone().filter(|id| on_disk.contains(id)) {
            self.bring(&id);
        }
    }

    /// Puts those back that have not been in hand for longest.
    fn put_back(&mut self) {
        while self.shelf.at_hand.len() > AT_HAND {
            let Some(id) = self.shelf.at_hand.pop_front() else { return };
            let is_in_hand = self.state.machine.as_ref() == Some(&id);
            if is_in_hand || self.shelf.changed.contains(&id) {
                continue;
            }
            let today = self.today();
            if let Some(bay) = self.garage.bay_mut(&id) {
                let mut light = crate::garage::Bay::new(bay.machine.clone());
                light.unread.push(format!("machines/{id}/inspections"));
                let whole = std::mem::replace(bay, light);
                self.derived.keep_due(&whole, &self.catalogue, &self.garage.info, today);
                self.derived.on_disk.machines.insert(id);
            }
        }
    }
}
