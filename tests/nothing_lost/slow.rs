//! A disk that takes its time: what a test says waits at a gate until it is opened, and a folder that a test names takes
//! no record.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex};
use std::time::Duration;

use stemclock::app::{Disk, Found, RealDisk};
use stemclock::edit::Change;
use stemclock::garage::Garage;
use stemclock::store::{Outcome, Touched, Watch};

use crate::real_disk::real_disk;

/// Open until it is shut.
#[derive(Clone, Default)]
pub struct Gate(Arc<(Mutex<bool>, Condvar)>);

impl Gate {
    pub fn shut(&self) {
        *self.0.0.lock().unwrap() = true;
    }
    pub fn open(&self) {
        *self.0.0.lock().unwrap() = false;
        self.0.1.notify_all();
    }
    fn pass(&self) {
        let shut = self.0.0.lock().unwrap();
        let (_shut, timeout) = self.0.1.wait_timeout_while(shut, Duration::from_secs(60), |shut| *shut).unwrap();
        assert!(!timeout.timed_out(), "the test opens what it has shut");
    }
}

/// The disk. Its copies share their gates.
#[derive(Clone, Default)]
pub struct Slow {
    /// Before the garage is written elsewhere.
    pub copy: Gate,
    /// Before a picture is read that is to be added.
    pub picture: Gate,
    /// Before a PDF is written.
    pub paper: Gate,
    /// Whether a fault of the program ends the thread that writes a PDF.
    pub is_breaking: Arc<AtomicBool>,
    /// Before a garage is watched.
    pub watch: Gate,
    /// What was done to open a garage, in order.
    pub order: Arc<Mutex<Vec<&'static str>>>,
    /// The folder that takes no record.
    pub refused: Arc<Mutex<Option<PathBuf>>>,
}

impl Disk for Slow {
    fn save_unless_met(&self, folder: &Path, change: &Change) -> Result<Outcome, String> {
        if self.refused.lock().unwrap().as_deref() == Some(folder) {
            return Err("expected room on the disk, found it full: free some space".into());
        }
        RealDisk.save_unless_met(folder, change)
    }
    fn save_elsewhere(&self, from: Option<&Path>, to: &Path, garage: &Garage) -> Result<Vec<String>, String> {
        self.copy.pass();
        RealDisk.save_elsewhere(from, to, garage)
    }
    fn picture(&self, path: &Path) -> Result<Vec<u8>, String> {
        self.picture.pass();
        RealDisk.picture(path)
    }
    fn write_file(&self, path: &Path, bytes: &[u8]) -> Result<(), String> {
        if path.extension().is_some_and(|ending| ending == "pdf") {
            self.paper.pass();
            assert!(!self.is_breaking.load(Ordering::SeqCst), "a fault that the test asked for");
        }
        RealDisk.write_file(path, bytes)
    }
    fn open(&self, folder: &Path) -> Result<Found, String> {
        self.order.lock().unwrap().push("read");
        RealDisk.open(folder)
    }
    fn watch(&self, folder: &Path, told: Box<dyn Fn(Touched) + Send>) -> Result<Watch, String> {
        self.watch.pass();
        let watch = RealDisk.watch(folder, told);
        self.order.lock().unwrap().push("watched");
        watch
    }
    real_disk!(create, save, copy_sample, photo, make_folder, read_text);
}
