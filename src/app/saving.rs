//! Writes each change at once, one at a time and in order, on a thread of its own.
//!
//! A change that could not be written stays at the head of the queue with every later one behind it: nothing is lost,
//! and nothing is written out of order. Where somebody else has written the same record, only the changes of that record
//! wait, for the user to choose. Records that may have changed on disk are read again on the same thread, between two
//! saves, so that what is found belongs to one known state of the queue.

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::time::{Duration, Instant};

use super::disk::Disk;
use super::wake::Waker;
use crate::edit::{Change, Record, RecordKey};
use crate::garage::Garage;
use crate::report::block::DocumentSpec;
use crate::report::layout::{Layout, lay_out};
use crate::report::raster;
use crate::store::{Look, OnDisk, Outcome, Touched};

/// What the thread is asked to write.
enum Job {
    /// A change by its number in the queue, and whether it is written though something else stands there.
    One(PathBuf, u64, Box<Change>, bool),
    /// What may have changed on disk, for the garage opened under this number.
    Look(u64, PathBuf, Touched),
    /// Another garage is opened: what was saved before is of none of its records.
    Opened,
    All {
        from: Option<PathBuf>,
        to: PathBuf,
        garage: Box<Garage>,
    },
    Report(PathBuf, Arc<Layout>),
    /// Reports still to be laid out, each to its file; told under the path.
    Documents(PathBuf, Vec<(PathBuf, DocumentSpec)>),
    /// What the window remembers between runs and is no record.
    Aside(PathBuf, String),
    /// A picture a page, in a folder, with the beginning of their names.
    Pictures(PathBuf, String, Arc<Layout>),
}

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
    All(PathBuf, Result<(), String>),
    /// A report in a file, with what could not be printed as it is written; or why not.
    Report(PathBuf, Result<Vec<String>, String>),
    /// What the window remembers between runs, or why it could not be written.
    Aside(Result<(), String>),
}

/// The queue and its thread.
pub struct Saver {
    /// Each change with a number, so that a late answer never strikes another one off.
    queue: VecDeque<(u64, Change)>,
    count: u64,
    /// Whether a change is at the thread.
    busy: bool,
    /// How many jobs of any kind are at the thread, so that closing the window waits for a report too.
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
    jobs: Sender<Job>,
    outbox: Sender<(Option<u64>, Written)>,
    waker: Waker,
    done: Receiver<(Option<u64>, Written)>,
}

/// What the watcher of a garage speaks through.
#[derive(Clone)]
pub struct Ear {
    jobs: Sender<Job>,
    outbox: Sender<(Option<u64>, Written)>,
    waker: Waker,
}

impl Ear {
    /// Has what may have changed read again, between two saves.
    pub fn look(&self, opened: u64, folder: &Path, touched: Touched) {
        if self.jobs.send(Job::Look(opened, folder.to_owned(), touched)).is_err() {
            log::error!("{THREAD_GONE}");
        }
    }
    /// Says why changes are not seen.
    pub fn unwatched(&self, opened: u64, why: String) {
        if self.outbox.send((None, Written::Unwatched(opened, why))).is_ok() {
            self.waker.wake();
        }
    }
}

impl Saver {
    /// Starts the thread.
    pub fn start(disk: Arc<dyn Disk>, waker: Waker) -> Self {
        let (jobs, inbox) = channel::<Job>();
        let (outbox, done) = channel();
        let (outbox_of_thread, waker_of_thread) = (outbox.clone(), waker.clone());
        let run = move || {
            // What was saved last of each record, so that the window is not woken by its own writing.
            let mut saved: BTreeMap<RecordKey, Option<Record>> = BTreeMap::new();
            for job in inbox {
                let number = match &job {
                    Job::One(_, number, ..) => Some(*number),
                    Job::Look(..)
                    | Job::All { .. }
                    | Job::Opened
                    | Job::Report(..)
                    | Job::Documents(..)
                    | Job::Aside(..)
                    | Job::Pictures(..) => None,
                };
                let written = match job {
                    Job::One(folder, _, change, over) => {
                        let result = if over {
                            disk.save(&folder, &change).map(|copy| Written::One(Ok(copy)))
                        } else {
                            disk.save_unless_met(&folder, &change).map(|outcome| match outcome {
                                Outcome::Saved => Written::One(Ok(None)),
                                Outcome::Met(theirs) => Written::Met(change.key.clone(), theirs),
                            })
                        };
                        if matches!(result, Ok(Written::One(_))) {
                            saved.insert(change.key, change.after);
                        }
                        result.unwrap_or_else(|error| Written::One(Err(error)))
                    }
                    Job::Look(opened, folder, touched) => {
                        let mut found = disk.look_again(&folder, &touched).map(Box::new);
                        if let Ok(look) = &mut found {
                            if look.folders.is_empty() {
                                look.records.retain(|(key, now)| match (saved.get(key), now) {
                                    (Some(own), Ok(now)) => !Record::are_same(own.as_ref(), now.as_ref()),
                                    _ => true,
                                });
                            }
                            if look.records.is_empty() && look.folders.is_empty() && look.catalogue.is_none() {
                                continue;
                            }
                            for (key, _) in &look.records {
                                saved.remove(key);
                            }
                        }
                        Written::Looked(opened, found)
                    }
                    Job::Opened => {
                        saved.clear();
                        continue;
                    }
                    Job::All { from, to, garage } => {
                        let result = disk.save_elsewhere(from.as_deref(), &to, &garage);
                        Written::All(to, result)
                    }
                    Job::Aside(path, text) => Written::Aside(
                        path.parent()
                            .map_or(Ok(()), |folder| disk.make_folder(folder))
                            .and_then(|()| disk.write_file(&path, text.as_bytes())),
                    ),
                    Job::Report(path, layout) => {
                        let result = crate::report::pdf::write(&layout)
                            .map_err(|e| e.to_string())
                            .and_then(|bytes| disk.write_file(&path, &bytes));
                        // The report pane names the signs that its pages lack.
                        Written::Report(path, result.map(|()| Vec::new()))
                    }
                    Job::Documents(path, documents) => {
                        let each = documents.into_iter().map(|(to, spec)| write(disk.as_ref(), &to, spec));
                        let result = each.collect::<Result<Vec<_>, _>>();
                        Written::Report(path, result.map(|notes| notes.concat()))
                    }
                    Job::Pictures(folder, stem, layout) => {
                        let result = pictures(disk.as_ref(), &folder, &stem, &layout);
                        Written::Report(folder, result.map(|()| Vec::new()))
                    }
                };
                if outbox_of_thread.send((number, written)).is_err() {
                    return;
                }
                waker_of_thread.wake();
            }
        };
        if let Err(error) = std::thread::Builder::new().name("saver".into()).spawn(run) {
            log::error!("the saving thread could not be started: {error}");
        }
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
            jobs,
            outbox,
            waker,
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
    /// Writes a report.
    pub fn write_report(&mut self, path: PathBuf, layout: Arc<Layout>) -> Result<(), String> {
        self.send(Job::Report(path, layout))
    }
    /// Lays reports out and writes them, each to its file; `path` is what is told of.
    pub fn write_documents(&mut self, path: PathBuf, documents: Vec<(PathBuf, DocumentSpec)>) -> Result<(), String> {
        self.send(Job::Documents(path, documents))
    }
    /// Writes what the window remembers between runs.
    pub fn write_aside(&mut self, path: PathBuf, text: String) -> Result<(), String> {
        self.send(Job::Aside(path, text))
    }
    /// Writes a report as pictures.
    pub fn write_pictures(&mut self, folder: PathBuf, stem: String, layout: Arc<Layout>) -> Result<(), String> {
        self.send(Job::Pictures(folder, stem, layout))
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
        if self.jobs.send(Job::Opened).is_err() {
            log::error!("{THREAD_GONE}");
        }
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
        Ear { jobs: self.jobs.clone(), outbox: self.outbox.clone(), waker: self.waker.clone() }
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
        loop {
            match self.done.try_recv() {
                Ok((number, written)) => news.extend(self.take(number, written, folder)),
                Err(TryRecvError::Empty) => return news,
                Err(TryRecvError::Disconnected) => {
                    if self.at_work > 0 || !self.queue.is_empty() {
                        self.stuck(THREAD_GONE.to_owned());
                    }
                    return news;
                }
            }
        }
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
            Written::All(to, Ok(())) => Some(Written::All(to, Ok(()))),
            Written::All(to, Err(error)) => {
                self.in_copy = None;
                self.send_next(folder);
                Some(Written::All(to, Err(error)))
            }
            Written::Report(..) | Written::Aside(Err(_)) | Written::Looked(..) | Written::Unwatched(..) => {
                Some(written)
            }
            Written::Aside(Ok(())) => None,
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
        self.jobs.send(job).map_err(|_| THREAD_GONE.to_owned())?;
        self.at_work += 1;
        Ok(())
    }

    fn stuck(&mut self, why: String) {
        self.busy = false;
        self.is_resting = true;
        self.trouble = Some(why);
    }
}

/// Pixels a point of pictures for a listing: 150 pixels an inch.
const PICTURE_SCALE: f32 = 150.0 / 72.0;

/// Lays a report out and writes it, into a folder that is made where it is not there. Gives what could not be printed as
/// it is written.
fn write(disk: &dyn Disk, to: &Path, mut spec: DocumentSpec) -> Result<Vec<String>, String> {
    spec.language = "en-GB".to_owned();
    if let Some(folder) = to.parent() {
        disk.make_folder(folder)?;
    }
    let layout = lay_out(&spec);
    let bytes = crate::report::pdf::write(&layout).map_err(|e| e.to_string())?;
    disk.write_file(to, &bytes)?;
    Ok(layout.missing.iter().map(|glyph| glyph.message()).collect())
}

fn pictures(disk: &dyn Disk, folder: &Path, stem: &str, layout: &Layout) -> Result<(), String> {
    disk.make_folder(folder)?;
    for index in 0..layout.pages.len() {
        let picture = raster::page(layout, index, PICTURE_SCALE).and_then(|bitmap| bitmap.png());
        let path = folder.join(format!("{stem}-{:02}.png", index + 1));
        disk.write_file(&path, &picture.map_err(|e| e.to_string())?)?;
    }
    Ok(())
}

/// What is said while a choice is wanted.
const TWO_VERSIONS: &str = "expected a record as it was left, found that it was changed on disk too: look at both versions \
                            and choose; nothing is written over before that";

const THREAD_GONE: &str = "expected the saving thread at work, found that it has ended: your changes are still in this \
                           window; close it and open the garage again after noting them down";
