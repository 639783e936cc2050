//! Lays reports out and writes them, on a thread of its own: no change waits for a page, and what ends this thread ends
//! no saving. The next report then gets a new one.

use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::time::{Duration, Instant};

use super::disk::Disk;
use super::wake::Waker;
use crate::report::block::DocumentSpec;
use crate::report::layout::{Layout, lay_out};
use crate::report::{pdf, raster};

/// What the thread is asked to write; each is told of by its path.
enum Job {
    Report(PathBuf, Arc<Layout>),
    /// Reports still to be laid out, each to its file.
    Documents(PathBuf, Vec<(PathBuf, DocumentSpec)>),
    /// A picture a page, in a folder, with the beginning of their names.
    Pictures(PathBuf, String, Arc<Layout>),
}

impl Job {
    fn path(&self) -> &PathBuf {
        match self {
            Self::Report(path, _) | Self::Documents(path, _) | Self::Pictures(path, ..) => path,
        }
    }
}

/// What came of one: where it was to go, and what could not be printed as it is written, or why there is none.
#[derive(Debug)]
pub struct Issued {
    /// The file or the folder.
    pub path: PathBuf,
    /// What is said of it.
    pub result: Result<Vec<String>, String>,
}

/// The thread and what is at work in it.
pub struct Printer {
    disk: Arc<dyn Disk>,
    waker: Waker,
    line: Option<Line>,
    at_work: VecDeque<PathBuf>,
}

struct Line {
    jobs: Sender<Job>,
    done: Receiver<Issued>,
}

impl Printer {
    /// Has no thread before there is something to write.
    pub fn new(disk: Arc<dyn Disk>, waker: Waker) -> Self {
        Self { disk, waker, line: None, at_work: VecDeque::new() }
    }
    /// Writes a report.
    pub fn write_report(&mut self, path: PathBuf, layout: Arc<Layout>) -> Result<(), String> {
        self.send(Job::Report(path, layout))
    }
    /// Lays reports out and writes them, each to its file; `path` is what is told of.
    pub fn write_documents(&mut self, path: PathBuf, documents: Vec<(PathBuf, DocumentSpec)>) -> Result<(), String> {
        self.send(Job::Documents(path, documents))
    }
    /// Writes a report as pictures.
    pub fn write_pictures(&mut self, folder: PathBuf, stem: String, layout: Arc<Layout>) -> Result<(), String> {
        self.send(Job::Pictures(folder, stem, layout))
    }
    /// Where the reports go that are not written yet.
    pub fn at_work(&self) -> impl Iterator<Item = &Path> {
        self.at_work.iter().map(PathBuf::as_path)
    }
    /// What has come since the last time.
    pub fn poll(&mut self) -> Vec<Issued> {
        self.settle(Duration::ZERO)
    }
    /// Waits until everything is written, at most for a while.
    pub fn settle(&mut self, most: Duration) -> Vec<Issued> {
        let until = Instant::now() + most;
        let mut all = Vec::new();
        while !self.at_work.is_empty()
            && let Some(line) = &self.line
        {
            match line.done.recv_timeout(until.saturating_duration_since(Instant::now())) {
                Ok(issued) => {
                    self.at_work.pop_front();
                    all.push(issued);
                }
                Err(RecvTimeoutError::Timeout) => break,
                Err(RecvTimeoutError::Disconnected) => {
                    self.line = None;
                    let lost = self.at_work.drain(..);
                    all.extend(lost.map(|path| Issued { path, result: Err(ENDED.to_owned()) }));
                }
            }
        }
        all
    }

    fn send(&mut self, job: Job) -> Result<(), String> {
        let path = job.path().clone();
        let line = match self.line.take() {
            Some(line) => line,
            None => start(self.disk.clone(), self.waker.clone())?,
        };
        // A thread that has ended meanwhile is told of with what it had in hand, this one too.
        if line.jobs.send(job).is_err() {
            log::error!("the thread for reports has ended");
        }
        self.line = Some(line);
        self.at_work.push_back(path);
        Ok(())
    }
}

/// What is said of a report whose making ended the thread.
const ENDED: &str = "expected its pages, found that the making of them ended before its time, which is a fault of this \
                     program: everything else goes on, and the records are safe; leave out one part of the report after \
                     the other to find the one that it cannot print";

/// Wakes the window when the thread ends, however it ends.
struct Last(Waker);

impl Drop for Last {
    fn drop(&mut self) {
        self.0.wake();
    }
}

fn start(disk: Arc<dyn Disk>, waker: Waker) -> Result<Line, String> {
    let (jobs, inbox) = channel::<Job>();
    let (outbox, done) = channel();
    let run = move || {
        // Wakes after the outbox has gone, by which the window knows that this has ended.
        let last = Last(waker);
        let outbox = outbox;
        for job in inbox {
            if outbox.send(work(disk.as_ref(), job)).is_err() {
                return;
            }
            last.0.wake();
        }
    };
    std::thread::Builder::new().name("printer".into()).spawn(run).map_err(|error| {
        format!("expected a thread to write the report, found none ({error}): close other programs, then try again")
    })?;
    Ok(Line { jobs, done })
}

fn work(disk: &dyn Disk, job: Job) -> Issued {
    match job {
        Job::Report(path, layout) => {
            let written = pdf::write(&layout).map_err(|e| e.to_string());
            let result = written.and_then(|bytes| disk.write_file(&path, &bytes));
            // The report pane names the signs that its pages lack.
            Issued { path, result: result.map(|()| Vec::new()) }
        }
        Job::Documents(path, documents) => {
            let each = documents.into_iter().map(|(to, spec)| write(disk, &to, spec));
            let result = each.collect::<Result<Vec<_>, _>>();
            Issued { path, result: result.map(|notes| notes.concat()) }
        }
        Job::Pictures(path, stem, layout) => {
            let result = pictures(disk, &path, &stem, &layout);
            Issued { path, result: result.map(|()| Vec::new()) }
        }
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
    let bytes = pdf::write(&layout).map_err(|e| e.to_string())?;
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
