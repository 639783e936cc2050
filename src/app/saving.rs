//! Writes each change at once, one at a time and in order, on a thread of its own.
//!
//! A change that could not be written stays at the head of the queue with every later one behind it: nothing is lost,
//! and nothing is written out of order.

use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::time::{Duration, Instant};

use super::disk::Disk;
use super::wake::Waker;
use crate::edit::Change;
use crate::garage::Garage;
use crate::report::layout::Layout;

/// What the thread is asked to write.
enum Job {
    One(PathBuf, Box<Change>),
    All { from: Option<PathBuf>, to: PathBuf, garage: Box<Garage> },
    Report(PathBuf, Arc<Layout>),
}

/// What came of it.
#[derive(Debug)]
pub enum Written {
    /// A change, with the copy that was kept of a file that was not as it was left; or why not.
    One(Result<Option<PathBuf>, String>),
    /// The whole garage in another folder, or why not.
    All(PathBuf, Result<(), String>),
    /// A report in a file, or why not.
    Report(PathBuf, Result<(), String>),
}

/// The queue and its thread.
pub struct Saver {
    queue: VecDeque<Change>,
    busy: bool,
    /// Why the change at the head of the queue could not be written; kept until one is written, so that the message
    /// does not flicker while it is tried again.
    trouble: Option<String>,
    /// Whether nothing is sent before the user asks or changes something.
    is_resting: bool,
    jobs: Sender<Job>,
    done: Receiver<Written>,
}

impl Saver {
    /// Starts the thread.
    pub fn start(disk: Arc<dyn Disk>, waker: Waker) -> Self {
        let (jobs, inbox) = channel::<Job>();
        let (outbox, done) = channel();
        let run = move || {
            for job in inbox {
                let written = match job {
                    Job::One(folder, change) => Written::One(disk.save(&folder, &change)),
                    Job::All { from, to, garage } => {
                        let result = disk.save_all(&to, &garage).and_then(|()| match &from {
                            Some(from) => disk.copy_attachments(from, &to),
                            None => Ok(()),
                        });
                        Written::All(to, result)
                    }
                    Job::Report(path, layout) => {
                        let result = crate::report::pdf::write(&layout)
                            .map_err(|e| e.to_string())
                            .and_then(|bytes| disk.write_file(&path, &bytes));
                        Written::Report(path, result)
                    }
                };
                if outbox.send(written).is_err() {
                    return;
                }
                waker.wake();
            }
        };
        if let Err(error) = std::thread::Builder::new().name("saver".into()).spawn(run) {
            log::error!("the saving thread could not be started: {error}");
        }
        Self { queue: VecDeque::new(), busy: false, trouble: None, is_resting: false, jobs, done }
    }

    /// Puts a change behind those that wait, and tries again if the head was stuck.
    pub fn push(&mut self, change: Change, folder: &Path) {
        self.queue.push_back(change);
        self.is_resting = false;
        self.send_next(folder);
    }
    /// Keeps a change that may not be written here, so that it is counted and not lost.
    pub fn hold(&mut self, change: Change) {
        self.queue.push_back(change);
    }
    /// Tries the head of the queue again.
    pub fn retry(&mut self, folder: &Path) {
        self.is_resting = false;
        self.send_next(folder);
    }
    /// Writes the whole garage into another folder, with the photos of the old one.
    pub fn write_all(&mut self, from: Option<PathBuf>, to: PathBuf, garage: &Garage) -> Result<(), String> {
        self.send(Job::All { from, to, garage: Box::new(garage.clone()) })
    }
    /// Writes a report.
    pub fn write_report(&mut self, path: PathBuf, layout: Arc<Layout>) -> Result<(), String> {
        self.send(Job::Report(path, layout))
    }
    /// Forgets what waits, because the whole garage has been written elsewhere.
    pub fn clear(&mut self) {
        self.queue.clear();
        self.trouble = None;
        self.is_resting = false;
    }
    /// How many changes are not on disk yet.
    pub fn waiting(&self) -> usize {
        self.queue.len()
    }
    /// Why saving is stuck, if it is.
    pub fn trouble(&self) -> Option<&str> {
        self.trouble.as_deref()
    }

    /// Takes what the thread has finished. Gives the results that the caller must tell of.
    pub fn poll(&mut self, folder: &Path) -> Vec<Written> {
        let mut news = Vec::new();
        loop {
            match self.done.try_recv() {
                Ok(written) => news.extend(self.take(written, folder)),
                Err(TryRecvError::Empty) => return news,
                Err(TryRecvError::Disconnected) => {
                    if self.busy || !self.queue.is_empty() {
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
        while self.busy
            && let Some(left) = until.checked_duration_since(Instant::now())
        {
            match self.done.recv_timeout(left) {
                Ok(written) => news.extend(self.take(written, folder)),
                Err(error) => {
                    self.stuck(format!("the writing did not end in time ({error})"));
                    return news;
                }
            }
        }
        news
    }

    fn take(&mut self, written: Written, folder: &Path) -> Option<Written> {
        self.busy = false;
        match written {
            Written::One(Ok(kept)) => {
                self.queue.pop_front();
                self.trouble = None;
                self.send_next(folder);
                kept.map(|copy| Written::One(Ok(Some(copy))))
            }
            Written::One(Err(error)) => {
                self.stuck(error.clone());
                Some(Written::One(Err(error)))
            }
            other => {
                self.send_next(folder);
                Some(other)
            }
        }
    }

    fn send_next(&mut self, folder: &Path) {
        if self.busy || self.is_resting {
            return;
        }
        if let Some(change) = self.queue.front().cloned()
            && let Err(error) = self.send(Job::One(folder.to_owned(), Box::new(change)))
        {
            self.stuck(error);
        }
    }

    fn send(&mut self, job: Job) -> Result<(), String> {
        self.jobs.send(job).map_err(|_| THREAD_GONE.to_owned())?;
        self.busy = true;
        Ok(())
    }

    fn stuck(&mut self, why: String) {
        self.busy = false;
        self.is_resting = true;
        self.trouble = Some(why);
    }
}

const THREAD_GONE: &str = "expected the saving thread at work, found that it has ended: your changes are still in this \
                           window; close it and open the garage again after noting them down";
