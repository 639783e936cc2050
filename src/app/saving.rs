//! The queue of changes: each is written at once, one at a time and in order, on a thread of its own.
//!
//! A change that could not be written stays at the head of the queue with every later one behind it: nothing is lost,
//! and nothing is written out of order. Where somebody else has written the same record, only the changes of that record
//! wait, for the user to choose. Records that may have changed on disk are read again on the same thread, between two
//! saves, so that what is found belongs to one known state of the queue.

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::Receiver;
use std::time::{Duration, Instant};

use super::disk::Disk;
use super::saving_thread::{self, Ear, Job, News, THREAD_GONE};
use super::wake::Waker;
use crate::edit::{Change, RecordKey};
use crate::garage::Garage;
use crate::store::{Look, OnDisk};

/// What came of it.
#[derive(Debug)]
pub enum Written {
    /// A change, with the copy that was kept of a file that was not as it was left; or why not.
    One(Result<Option<PathBuf>, String>),
    /// Somebody else has written the record of a change.
    Met(RecordKey, OnDisk),
    /// What was found of what may have changed on disk, for the garage opened under this number.
    Looked(u64, Result<Box<Look>, String>),
    /// Why changes on disk are not seen by themselves.
    Unwatched(u64, String),
    /// The whole garage in another folder, or why not.
    All(PathBuf, Result<Vec<String>, String>),
    /// What the window remembers between runs, or why it could not be written.
    Aside(Result<(), String>),
    /// The thread has ended, which only a fault of the program makes it do.
    Ended,
}

/// The queue and its thread.
pub struct Saver {
    /// Each change with a number, so that a late answer never strikes another one off.
    queue: VecDeque<(u64, Change)>,
    count: u64,
    /// Whether a change is at the thread.
    busy: bool,
    /// How many jobs of any kind are at the thread, so that closing the window waits for a copy too.
    at_work: usize,
    /// How many changes from the head of the queue are in the copy of the garage that is being written elsewhere; while
    /// that is being written, no change is sent.
    in_copy: Option<usize>,
    /// Why the change at the head of the queue could not be written; kept until one is written, so that the message
    /// does not flicker while it is tried again.
    trouble: Option<String>,
    /// Whether nothing is sent before the user asks or changes something.
    is_resting: bool,
    /// What stands on disk of a record that was changed here too, until the user has chosen.
    met: BTreeMap<RecordKey, OnDisk>,
    /// Changes that are written though something unreadable stands there; it is kept beside the record.
    over: BTreeSet<u64>,
    ear: Ear,
    done: Receiver<News>,
}

impl Saver {
    /// Starts the thread.
    pub fn start(disk: Arc<dyn Disk>, waker: Waker) -> Self {
        let (ear, done) = saving_thread::start(disk, waker);
        Self {
            queue: VecDeque::new(),
            count: 0,
            busy: false,
            at_work: 0,
            in_copy: None,
            trouble: None,
            is_resting: false,
            met: BTreeMap::new(),
            over: BTreeSet::new(),
            ear,
            done,
        }
    }

    /// Puts a change behind those that wait, and tries again if the head was stuck.
    pub fn push(&mut self, change: Change, folder: &Path) {
        self.put(change);
        self.is_resting = false;
        self.send_next(folder);
    }
    /// Keeps a change that may not be written here, so that it is counted and not lost.
    pub fn hold(&mut self, change: Change) {
        self.put(change);
        // What ends meanwhile, such as a report, must not send it.
        self.is_resting = true;
    }
    fn put(&mut self, change: Change) {
        self.count += 1;
        self.queue.push_back((self.count, change));
    }
    /// Tries again what could not be written. Where somebody else has written the record, the user's choice is awaited.
    pub fn retry(&mut self, folder: &Path) {
        self.is_resting = false;
        self.send_next(folder);
    }
    /// Writes the whole garage into another folder, with the photos of the old one.
    pub fn write_all(&mut self, from: Option<PathBuf>, to: PathBuf, garage: &Garage) -> Result<(), String> {
        self.send(Job::All { from, to, garage: Box::new(garage.clone()) })?;
        self.in_copy = Some(self.queue.len());
        Ok(())
    }
    /// Writes what the window remembers between runs.
    pub fn write_aside(&mut self, path: PathBuf, text: String) -> Result<(), String> {
        self.send(Job::Aside(path, text))
    }
    /// Forgets the changes that are in the copy of the garage, because it has been written elsewhere. What was changed
    /// while it was being written still waits, for the new folder. Gives all that waited for the old one.
    pub fn forget_copied(&mut self) -> Vec<Change> {
        let waited = self.queue.iter().map(|(_, change)| change.clone()).collect();
        let copied = self.in_copy.take().unwrap_or(0);
        self.queue.drain(..copied.min(self.queue.len()));
        self.trouble = None;
        self.is_resting = false;
        // They are in the copy as they are here; the other version stays in the old folder.
        self.met.clear();
        self.over.clear();
        waited
    }
    /// Lets what waited for the old folder wait for it again, because the copy is not used.
    pub fn wait_again(&mut self, waited: Vec<Change>) {
        self.queue.clear();
        self.busy = false;
        waited.into_iter().for_each(|change| self.hold(change));
    }
    /// Whether the copy of the garage is being written elsewhere; until then the changes are those of this garage.
    pub fn is_copying(&self) -> bool {
        self.in_copy.is_some()
    }
    /// Another garage is about to be read: what was saved before is no news of its own.
    pub fn begin_afresh(&self) {
        if let Err(error) = self.ear.send(Job::Opened) {
            log::error!("{error}");
        }
    }
    /// Whether the thread has something in hand: a change, a copy, or what the window remembers.
    pub fn is_at_work(&self) -> bool {
        self.at_work > 0
    }
    /// How many changes are not on disk yet.
    pub fn waiting(&self) -> usize {
        self.queue.len()
    }
    /// Why saving is stuck, if it is.
    pub fn trouble(&self) -> Option<&str> {
        self.trouble.as_deref().or((!self.met.is_empty()).then_some(TWO_VERSIONS))
    }
    /// What a watcher speaks through.
    pub fn ear(&self) -> Ear {
        self.ear.clone()
    }
    /// What stands on disk of each record that was changed here too.
    pub fn met(&self) -> &BTreeMap<RecordKey, OnDisk> {
        &self.met
    }
    /// The changes of a record that are not on disk yet.
    pub fn pending<'a>(&'a self, key: &'a RecordKey) -> impl Iterator<Item = &'a Change> {
        self.queue.iter().map(|(_, change)| change).filter(move |change| &change.key == key)
    }
    /// Lets the changes of a record wait, because somebody else has written it.
    pub fn meet(&mut self, key: RecordKey, theirs: OnDisk) {
        self.met.insert(key, theirs);
    }
    /// Lets a change wait that would bring back what this window had, over what somebody else has written.
    pub fn meet_with(&mut self, change: Change, theirs: OnDisk) {
        self.met.insert(change.key.clone(), theirs);
        self.put(change);
    }
    /// The changes of a record wait no more: nothing stands in their way.
    pub fn part(&mut self, key: &RecordKey, folder: &Path) {
        self.met.remove(key);
        self.send_next(folder);
    }
    /// Writes what this window has over what stands on disk. What cannot be read is kept beside it.
    pub fn write_over(&mut self, key: &RecordKey, folder: &Path) {
        let Some(theirs) = self.met.remove(key) else { return };
        if let Some((number, first)) = self.queue.iter_mut().find(|(_, change)| &change.key == key) {
            match theirs {
                OnDisk::Gone => first.before = None,
                OnDisk::Record(record) => first.before = Some(*record),
                OnDisk::Unreadable(_) => {
                    self.over.insert(*number);
                }
            }
        }
        self.send_next(folder);
    }
    /// Gives up the changes of a record that are not on disk.
    pub fn give_up(&mut self, key: &RecordKey, folder: &Path) {
        self.met.remove(key);
        let copied = self.in_copy.unwrap_or(0);
        let lost = self.queue.iter().take(copied).filter(|(_, change)| &change.key == key).count();
        self.in_copy = self.in_copy.map(|copied| copied - lost);
        self.queue.retain(|(_, change)| &change.key != key);
        self.send_next(folder);
    }

    /// Takes what the thread has finished. Gives the results that the caller must tell of.
    pub fn poll(&mut self, folder: &Path) -> Vec<Written> {
        let mut news = Vec::new();
        while let Ok((number, written)) = self.done.try_recv() {
            news.extend(self.take(number, written, folder));
        }
        news
    }

    /// Waits until everything is written or stuck, at most for a while. For closing the window, and for tests.
    pub fn settle(&mut self, folder: &Path, most: Duration) -> Vec<Written> {
        let mut news = Vec::new();
        let until = Instant::now() + most;
        while self.at_work > 0
            && let Some(left) = until.checked_duration_since(Instant::now())
        {
            match self.done.recv_timeout(left) {
                Ok((number, written)) => news.extend(self.take(number, written, folder)),
                Err(error) => {
                    if self.busy {
                        self.stuck(format!("the writing did not end in time ({error})"));
                    }
                    return news;
                }
            }
        }
        news
    }

    fn take(&mut self, number: Option<u64>, written: Written, folder: &Path) -> Option<Written> {
        // A look was asked for by the watcher and is waited for by nobody.
        if !matches!(written, Written::Looked(..) | Written::Unwatched(..)) {
            self.at_work = self.at_work.saturating_sub(1);
        }
        if matches!(written, Written::One(_) | Written::Met(..)) {
            self.busy = false;
        }
        match written {
            Written::One(Ok(kept)) => {
                if let Some(index) = self.queue.iter().position(|(own, _)| Some(*own) == number) {
                    self.queue.remove(index);
                    self.in_copy = self.in_copy.map(|copied| copied.saturating_sub(1));
                }
                self.trouble = None;
                self.send_next(folder);
                kept.map(|copy| Written::One(Ok(Some(copy))))
            }
            Written::Met(key, theirs) => {
                self.met.insert(key.clone(), theirs.clone());
                self.send_next(folder);
                Some(Written::Met(key, theirs))
            }
            Written::One(Err(error)) => {
                self.stuck(error.clone());
                Some(Written::One(Err(error)))
            }
            // What waits is not for this folder any more.
            Written::All(to, Ok(left)) => Some(Written::All(to, Ok(left))),
            Written::All(to, Err(error)) => {
                self.in_copy = None;
                self.send_next(folder);
                Some(Written::All(to, Err(error)))
            }
            Written::Aside(Err(_)) | Written::Looked(..) | Written::Unwatched(..) => Some(written),
            Written::Aside(Ok(())) => None,
            Written::Ended => {
                self.at_work = 0;
                self.in_copy = None;
                self.stuck(THREAD_GONE.to_owned());
                None
            }
        }
    }

    fn send_next(&mut self, folder: &Path) {
        if self.busy || self.is_resting || self.in_copy.is_some() {
            return;
        }
        let next = self.queue.iter().find(|(_, change)| !self.met.contains_key(&change.key)).cloned();
        if let Some((number, change)) = next {
            let over = self.over.contains(&number);
            match self.send(Job::One(folder.to_owned(), number, Box::new(change), over)) {
                Ok(()) => self.busy = true,
                Err(error) => self.stuck(error),
            }
        }
    }

    fn send(&mut self, job: Job) -> Result<(), String> {
        self.ear.send(job)?;
        self.at_work += 1;
        Ok(())
    }

    fn stuck(&mut self, why: String) {
        self.busy = false;
        self.is_resting = true;
        self.trouble = Some(why);
    }
}

/// What is said while a choice is wanted.
const TWO_VERSIONS: &str = "expected a record as it was left, found that it was changed on disk too: look at both versions \
                            and choose; nothing is written over before that";
