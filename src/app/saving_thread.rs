//! The thread that writes changes, and between two of them reads again what may have changed on disk. Must not lay out or
//! paint anything: what ended this thread would end all saving.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

use super::disk::Disk;
use super::saving::Written;
use super::wake::Waker;
use crate::edit::{Change, Record, RecordKey};
use crate::garage::Garage;
use crate::store::{Look, Outcome, Touched};

/// What the thread is asked to do.
pub(super) enum Job {
    /// A change by its number in the queue, and whether it is written though something else stands there.
    One(PathBuf, u64, Box<Change>, bool),
    /// What may have changed on disk, for the garage opened under this number.
    Look(u64, PathBuf, Touched),
    /// Another garage is opened: what was saved before is of none of its records.
    Opened,
    /// The whole garage, into another folder.
    All {
        /// Where it is now.
        from: Option<PathBuf>,
        /// Where it goes.
        to: PathBuf,
        /// The garage.
        garage: Box<Garage>,
    },
    /// What the window remembers between runs and is no record.
    Aside(PathBuf, String),
}

/// What came of a job; of a change, with its number.
pub(super) type News = (Option<u64>, Written);

/// What is said when nothing can be written any more.
pub(super) const THREAD_GONE: &str = "expected the saving thread at work, found that it has ended: your changes are still in \
                                      this window; close it and open the garage again after noting them down";

/// What speaks to the thread, and to the window in its turn.
#[derive(Clone)]
pub struct Ear {
    jobs: Sender<Job>,
    outbox: Sender<News>,
    waker: Waker,
}

impl Ear {
    /// Has what may have changed read again, between two saves.
    pub fn look(&self, opened: u64, folder: &Path, touched: Touched) {
        if let Err(error) = self.send(Job::Look(opened, folder.to_owned(), touched)) {
            log::error!("{error}");
        }
    }
    /// Says why changes are not seen.
    pub fn unwatched(&self, opened: u64, why: String) {
        if self.outbox.send((None, Written::Unwatched(opened, why))).is_ok() {
            self.waker.wake();
        }
    }
    /// Puts a job behind the others.
    pub(super) fn send(&self, job: Job) -> Result<(), String> {
        self.jobs.send(job).map_err(|_| THREAD_GONE.to_owned())
    }
}

/// Starts the thread. Gives what speaks to it, and what comes back.
pub(super) fn start(disk: Arc<dyn Disk>, waker: Waker) -> (Ear, Receiver<News>) {
    let (jobs, inbox) = channel::<Job>();
    let (outbox, done) = channel();
    let ear = Ear { jobs, outbox: outbox.clone(), waker: waker.clone() };
    let mut hand = Hand { disk, saved: BTreeMap::new() };
    let run = move || {
        let mouth = Mouth { outbox, waker };
        for job in inbox {
            if hand.work(job).is_some_and(|news| !mouth.tell(news)) {
                return;
            }
        }
    };
    if let Err(error) = std::thread::Builder::new().name("saver".into()).spawn(run) {
        log::error!("the saving thread could not be started: {error}");
    }
    (ear, done)
}

/// Tells the window what was done, and at last that the thread has ended, however that comes.
struct Mouth {
    outbox: Sender<News>,
    waker: Waker,
}

impl Mouth {
    /// Gives whether somebody listens.
    fn tell(&self, news: News) -> bool {
        let is_heard = self.outbox.send(news).is_ok();
        if is_heard {
            self.waker.wake();
        }
        is_heard
    }
}

impl Drop for Mouth {
    fn drop(&mut self) {
        if !self.tell((None, Written::Ended)) {
            log::trace!("the window has gone before the saving thread");
        }
    }
}

/// What the thread works with.
struct Hand {
    disk: Arc<dyn Disk>,
    /// What was saved last of each record of the garage that is open, so that the window is not woken by its own writing.
    saved: BTreeMap<RecordKey, Option<Record>>,
}

impl Hand {
    /// Does one job; none where there is nothing to tell.
    fn work(&mut self, job: Job) -> Option<News> {
        match job {
            Job::One(folder, number, change, over) => Some((Some(number), self.one(&folder, *change, over))),
            Job::Look(opened, folder, touched) => self.look(opened, &folder, &touched).map(|written| (None, written)),
            Job::Opened => {
                self.saved.clear();
                None
            }
            Job::All { from, to, garage } => {
                let result = self.disk.save_elsewhere(from.as_deref(), &to, &garage);
                Some((None, Written::All(to, result)))
            }
            Job::Aside(path, text) => {
                let made = path.parent().map_or(Ok(()), |folder| self.disk.make_folder(folder));
                let result = made.and_then(|()| self.disk.write_file(&path, text.as_bytes()));
                Some((None, Written::Aside(result)))
            }
        }
    }

    fn one(&mut self, folder: &Path, change: Change, over: bool) -> Written {
        let result = if over {
            self.disk.save(folder, &change).map(|copy| Written::One(Ok(copy)))
        } else {
            self.disk.save_unless_met(folder, &change).map(|outcome| match outcome {
                Outcome::Saved => Written::One(Ok(None)),
                Outcome::Met(theirs) => Written::Met(change.key.clone(), theirs),
            })
        };
        if matches!(result, Ok(Written::One(_))) {
            self.saved.insert(change.key, change.after);
        }
        result.unwrap_or_else(|error| Written::One(Err(error)))
    }

    fn look(&mut self, opened: u64, folder: &Path, touched: &Touched) -> Option<Written> {
        let mut found = self.disk.look_again(folder, touched).map(Box::new);
        if let Ok(look) = &mut found {
            self.leave_out_own(look);
            if look.records.is_empty() && look.folders.is_empty() && look.catalogue.is_none() {
                return None;
            }
            for (key, _) in &look.records {
                self.saved.remove(key);
            }
        }
        Some(Written::Looked(opened, found))
    }

    /// Leaves out what stands on disk as it was saved here.
    fn leave_out_own(&self, look: &mut Look) {
        if look.folders.is_empty() {
            look.records.retain(|(key, now)| match (self.saved.get(key), now) {
                (Some(own), Ok(now)) => !Record::are_same(own.as_ref(), now.as_ref()),
                _ => true,
            });
        }
    }
}
