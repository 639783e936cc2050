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
use crate::report::block::DocumentSpec;
use crate::report::layout::{Layout, lay_out};
use crate::report::raster;

/// What the thread is asked to write.
enum Job {
    /// A change by its number in the queue.
    One(PathBuf, u64, Box<Change>),
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
    /// The whole garage in another folder, or why not.
    All(PathBuf, Result<(), String>),
    /// A report in a file, or why not.
    Report(PathBuf, Result<(), String>),
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
    jobs: Sender<Job>,
    done: Receiver<(Option<u64>, Written)>,
}

impl Saver {
    /// Starts the thread.
    pub fn start(disk: Arc<dyn Disk>, waker: Waker) -> Self {
        let (jobs, inbox) = channel::<Job>();
        let (outbox, done) = channel();
        let run = move || {
            for job in inbox {
                let number = match &job {
                    Job::One(_, number, _) => Some(*number),
                    Job::All { .. } | Job::Report(..) | Job::Documents(..) | Job::Aside(..) | Job::Pictures(..) => None,
                };
                let written = match job {
                    Job::One(folder, _, change) => Written::One(disk.save(&folder, &change)),
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
                        Written::Report(path, result)
                    }
                    Job::Documents(path, documents) => {
                        let result = documents.into_iter().try_for_each(|(to, spec)| write(disk.as_ref(), &to, spec));
                        Written::Report(path, result)
                    }
                    Job::Pictures(folder, stem, layout) => {
                        let result = pictures(disk.as_ref(), &folder, &stem, &layout);
                        Written::Report(folder, result)
                    }
                };
                if outbox.send((number, written)).is_err() {
                    return;
                }
                waker.wake();
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
            jobs,
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
    /// Tries the head of the queue again.
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
    /// while it was being written still waits, for the new folder.
    pub fn forget_copied(&mut self) {
        let copied = self.in_copy.take().unwrap_or(0);
        self.queue.drain(..copied.min(self.queue.len()));
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
                    self.stuck(format!("the writing did not end in time ({error})"));
                    return news;
                }
            }
        }
        news
    }

    fn take(&mut self, number: Option<u64>, written: Written, folder: &Path) -> Option<Written> {
        self.at_work = self.at_work.saturating_sub(1);
        if matches!(written, Written::One(_)) {
            self.busy = false;
        }
        match written {
            Written::One(Ok(kept)) => {
                if self.queue.front().map(|(head, _)| *head) == number {
                    self.queue.pop_front();
                    self.in_copy = self.in_copy.map(|copied| copied.saturating_sub(1));
                }
                self.trouble = None;
                self.send_next(folder);
                kept.map(|copy| Written::One(Ok(Some(copy))))
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
            Written::Report(..) | Written::Aside(Err(_)) => Some(written),
            Written::Aside(Ok(())) => None,
        }
    }

    fn send_next(&mut self, folder: &Path) {
        if self.busy || self.is_resting || self.in_copy.is_some() {
            return;
        }
        if let Some((number, change)) = self.queue.front().cloned() {
            match self.send(Job::One(folder.to_owned(), number, Box::new(change))) {
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

/// Lays a report out and writes it, into a folder that is made where it is not there.
fn write(disk: &dyn Disk, to: &Path, mut spec: DocumentSpec) -> Result<(), String> {
    spec.language = "en-GB".to_owned();
    if let Some(folder) = to.parent() {
        disk.make_folder(folder)?;
    }
    let layout = lay_out(&spec);
    let bytes = crate::report::pdf::write(&layout).map_err(|e| e.to_string())?;
    disk.write_file(to, &bytes)
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

const THREAD_GONE: &str = "expected the saving thread at work, found that it has ended: your changes are still in this \
                           window; close it and open the garage again after noting them down";
