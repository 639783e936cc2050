//! Pictures on threads of their own: files taken into the garage, photos made ready for the window and for pages.
//!
//! One thread serves what the window shows now, the other what takes long; each has one picture open at a time. Answers
//! wait until the window takes them.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::{Duration, Instant};

use super::disk::Disk;
use super::wake::Waker;
use crate::edit::PhotoHome;
use crate::machine::MachineId;
use crate::photo::{self, Keep, PhotoMark, PhotoRef, Printed, Screen, Taken};
use crate::report::content::{PHOTO_PIXELS, UNREAD};
use crate::ui::PhotoSource;
use crate::ui::panels::photos::PictureKey;

/// Why a photo is not on its page when the user stopped.
pub(super) const STOPPED: &str = "it was left out, because the making of photos was stopped";

/// What a thread is asked to do.
enum Job {
    Take { machine: MachineId, home: PhotoHome, from: Vec<PhotoSource>, keep: Keep },
    Show(PictureKey),
    Ready { machine: MachineId, file: String, marks: Vec<PhotoMark> },
    Copy { machine: MachineId, photo: PhotoRef, to: PathBuf },
}

/// What came of it.
#[derive(Debug)]
pub enum Came {
    /// A picture is in the machine's folder, or was refused.
    Taken {
        /// Whose it is.
        machine: MachineId,
        /// What it is of.
        home: PhotoHome,
        /// What it was called outside.
        name: String,
        /// Its name in the folder and what was left out, or why not.
        result: Result<(String, String), String>,
    },
    /// A batch has ended; so many pictures were not looked at because the user stopped.
    TakenAll {
        /// How many.
        left: usize,
    },
    /// A photo as pixels, or why not.
    Shown(PictureKey, Result<egui::ColorImage, String>),
    /// A photo ready for a page, or why not.
    Ready {
        /// Whose it is.
        machine: MachineId,
        /// Its file.
        file: String,
        /// The marks that were burnt in.
        marks: Vec<PhotoMark>,
        /// The photo.
        result: Result<Printed, String>,
    },
    /// A copy with its marks burnt in, or why not.
    Copied(PathBuf, Result<(), String>),
}

/// The two threads and what is at work in them.
pub struct Pictures {
    quick: Sender<(PathBuf, u64, Job)>,
    slow: Sender<(PathBuf, u64, Job)>,
    done: Receiver<(PathBuf, Came)>,
    /// Goes up when the user stops: what was asked before it is left.
    stopped: Arc<AtomicU64>,
    at_work: usize,
    /// How many of them write a file that somebody waits for.
    keeping: usize,
}

impl Pictures {
    /// Starts the threads.
    pub fn start(disk: Arc<dyn Disk>, waker: Waker) -> Self {
        let (outbox, done) = channel();
        let stopped = Arc::new(AtomicU64::new(0));
        let thread = |name: &str| {
            let (jobs, inbox) = channel::<(PathBuf, u64, Job)>();
            let hand =
                Hand { disk: disk.clone(), outbox: outbox.clone(), waker: waker.clone(), stopped: stopped.clone() };
            let run = move || {
                for (folder, asked, job) in inbox {
                    if hand.work(&folder, asked, job).is_none() {
                        return;
                    }
                }
            };
            if let Err(error) = std::thread::Builder::new().name(name.into()).spawn(run) {
                log::error!("the thread for pictures could not be started: {error}");
            }
            jobs
        };
        let (quick, slow) = (thread("pictures"), thread("photos"));
        Self { quick, slow, done, stopped, at_work: 0, keeping: 0 }
    }
    /// Takes files into a machine's folder.
    pub fn take(&mut self, folder: &Path, machine: MachineId, home: PhotoHome, from: Vec<PhotoSource>, keep: Keep) {
        self.send(folder, Job::Take { machine, home, from, keep });
    }
    /// Brings a photo for the window.
    pub fn show(&mut self, folder: &Path, key: PictureKey) {
        self.send(folder, Job::Show(key));
    }
    /// Makes a photo ready for a page.
    pub fn ready(&mut self, folder: &Path, machine: MachineId, file: String, marks: Vec<PhotoMark>) {
        self.send(folder, Job::Ready { machine, file, marks });
    }
    /// Writes a copy with its marks burnt in.
    pub fn copy(&mut self, folder: &Path, machine: MachineId, photo: PhotoRef, to: PathBuf) {
        self.send(folder, Job::Copy { machine, photo, to });
    }
    /// Leaves what takes long and was asked before now.
    pub fn stop(&self) {
        self.stopped.fetch_add(1, Ordering::SeqCst);
    }
    /// Whether a picture is being added to the garage or written as a copy: what would be lost by giving it up.
    pub fn is_keeping(&self) -> bool {
        self.keeping > 0
    }
    /// What has come since the last time.
    pub fn poll(&mut self) -> Vec<(PathBuf, Came)> {
        let came: Vec<(PathBuf, Came)> = self.done.try_iter().collect();
        self.count(&came);
        came
    }
    /// Waits until nothing is at work, at most for a while.
    pub fn settle(&mut self, most: Duration) -> Vec<(PathBuf, Came)> {
        let until = Instant::now() + most;
        let mut all = self.poll();
        while self.at_work > 0
            && let Some(left) = until.checked_duration_since(Instant::now())
            && let Ok(came) = self.done.recv_timeout(left)
        {
            self.count(std::slice::from_ref(&came));
            all.push(came);
        }
        all
    }
    fn count(&mut self, came: &[(PathBuf, Came)]) {
        let ended = came.iter().filter(|(_, c)| !matches!(c, Came::Taken { .. })).count();
        self.at_work = self.at_work.saturating_sub(ended);
        let kept = came.iter().filter(|(_, c)| matches!(c, Came::TakenAll { .. } | Came::Copied(..))).count();
        self.keeping = self.keeping.saturating_sub(kept);
    }
    fn send(&mut self, folder: &Path, job: Job) {
        let is_kept = matches!(job, Job::Take { .. } | Job::Copy { .. });
        let to = if matches!(job, Job::Show(_)) { &self.quick } else { &self.slow };
        if to.send((folder.to_owned(), self.stopped.load(Ordering::SeqCst), job)).is_ok() {
            self.at_work += 1;
            self.keeping += usize::from(is_kept);
        } else {
            log::error!("the thread for pictures has ended");
        }
    }
}

/// What a thread works with.
struct Hand {
    disk: Arc<dyn Disk>,
    outbox: Sender<(PathBuf, Came)>,
    waker: Waker,
    stopped: Arc<AtomicU64>,
}

impl Hand {
    /// Carries out one job; none when nobody listens any more.
    fn work(&self, folder: &Path, asked: u64, job: Job) -> Option<()> {
        let is_stopped = || self.stopped.load(Ordering::SeqCst) > asked;
        match job {
            Job::Take { machine, home, from, keep } => {
                let count = from.len();
                let mut left = 0;
                for (index, source) in from.into_iter().enumerate() {
                    if is_stopped() {
                        left = count - index;
                        break;
                    }
                    let name = source.name();
                    let result = self.taken(folder, &machine, source, keep);
                    self.tell(folder, Came::Taken { machine: machine.clone(), home: home.clone(), name, result })?;
                }
                self.tell(folder, Came::TakenAll { left })
            }
            Job::Show(key) => {
                let bytes = self.disk.photo(folder, &key.machine, &key.file);
                let screen = bytes.and_then(|b| photo::for_screen(&b, key.longest).map_err(|e| e.to_string()));
                let result = screen.map(pixels);
                self.tell(folder, Came::Shown(key, result))
            }
            Job::Ready { machine, file, marks } => {
                let result = if is_stopped() {
                    Err(STOPPED.to_owned())
                } else {
                    let bytes = self.disk.photo(folder, &machine, &file).map_err(|error| {
                        log::warn!("the photo {file} is left out of the report: {error}");
                        UNREAD.to_owned()
                    });
                    bytes.and_then(|b| photo::for_print(&b, &marks, PHOTO_PIXELS).map_err(|e| e.to_string()))
                };
                self.tell(folder, Came::Ready { machine, file, marks, result })
            }
            Job::Copy { machine, photo, to } => {
                let bytes = self.disk.photo(folder, &machine, &photo.file);
                let copy = bytes.and_then(|b| photo::marked_copy(&b, &photo.marks).map_err(|e| e.to_string()));
                let result = copy.and_then(|jpeg| self.disk.write_file(&to, &jpeg));
                self.tell(folder, Came::Copied(to, result))
            }
        }
    }

    fn taken(
        &self,
        folder: &Path,
        machine: &MachineId,
        source: PhotoSource,
        keep: Keep,
    ) -> Result<(String, String), String> {
        let (name, bytes) = match source {
            PhotoSource::File(path) => (file_name(&path), self.disk.picture(&path)?),
            PhotoSource::Pixels(image) => {
                let rgba: Vec<u8> = image.pixels.iter().flat_map(|p| p.to_srgba_unmultiplied()).collect();
                let [width, height] = image.size.map(|side| u32::try_from(side).unwrap_or(u32::MAX));
                (String::new(), photo::as_png(width, height, &rgba).map_err(|e| e.to_string())?)
            }
        };
        let taken: Taken = photo::take_in(&name, &bytes, keep).map_err(|e| e.to_string())?;
        let kept = self.disk.keep_photo(folder, machine, &taken.bytes, taken.kind)?;
        Ok((kept, taken.words()))
    }

    fn tell(&self, folder: &Path, came: Came) -> Option<()> {
        self.outbox.send((folder.to_owned(), came)).ok()?;
        self.waker.wake();
        Some(())
    }
}

/// Put together here, so that the window only hands it to its graphics. It is opaque, so either kind of alpha serves.
fn pixels(screen: Screen) -> egui::ColorImage {
    egui::ColorImage::from_rgba_premultiplied([screen.width, screen.height], &screen.rgba)
}

fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(String::new, |name| crate::guard::line(&name.to_string_lossy()).into_owned())
}
