//! The making of a report on a thread of its own, so that the window never waits for it: a snapshot goes in, pages come
//! out; it tells how far it is and can be stopped.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, TryRecvError, channel};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use super::spec::{Order, Snapshot};
use crate::report::layout::{Layout, lay_out_watched};
use crate::report::text;

/// How often the window is woken while pages are made: often enough to see that it goes on.
const WAKES: usize = 4;

/// What comes of a job.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// The pages, and the words as plain text.
    Made(Arc<Layout>, String),
    /// What the report lacks, in words.
    Lacking(String),
    /// It was stopped.
    Stopped,
}

/// A report in the making.
pub struct Job {
    /// What is made.
    pub order: Order,
    answer: Mutex<Receiver<Outcome>>,
    stop: Arc<AtomicBool>,
    far: Arc<(AtomicUsize, AtomicUsize)>,
}

impl Job {
    /// Begins to make what was ordered.
    pub fn start(order: Order, snapshot: Snapshot, ctx: egui::Context) -> Self {
        let (sender, answer) = channel();
        let (stop, far) = (Arc::new(AtomicBool::new(false)), Arc::new((AtomicUsize::new(0), AtomicUsize::new(0))));
        let job = Self { order, answer: Mutex::new(answer), stop: stop.clone(), far: far.clone() };
        let mut snapshot = snapshot;
        let run = move || {
            let outcome = make(&mut snapshot, &stop, &far, &ctx);
            // Nobody waits for a job that was given up.
            if sender.send(outcome).is_ok() {
                ctx.request_repaint();
            }
        };
        if let Err(error) = std::thread::Builder::new().name("report".into()).spawn(run) {
            log::error!("the thread for the report could not be started: {error}");
        }
        job
    }
    /// What has come of it; none while it goes on.
    pub fn poll(&self) -> Option<Outcome> {
        let answer = self.answer.lock().ok()?;
        match answer.try_recv() {
            Ok(outcome) => Some(outcome),
            Err(TryRecvError::Empty) => None,
            Err(TryRecvError::Disconnected) => Some(gone()),
        }
    }
    /// Waits for it, at most for a while.
    pub fn wait(&self, most: Duration) -> Option<Outcome> {
        let answer = self.answer.lock().ok()?;
        match answer.recv_timeout(most) {
            Ok(outcome) => Some(outcome),
            Err(RecvTimeoutError::Timeout) => None,
            Err(RecvTimeoutError::Disconnected) => Some(gone()),
        }
    }
    /// How many blocks are laid out, and of how many.
    pub fn far(&self) -> (usize, usize) {
        (self.far.0.load(Ordering::Relaxed), self.far.1.load(Ordering::Relaxed))
    }
    /// Asks it to stop.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

impl Drop for Job {
    fn drop(&mut self) {
        self.stop();
    }
}

fn gone() -> Outcome {
    Outcome::Lacking("expected the report's pages, found that making them ended early: please report this".into())
}

fn make(snapshot: &mut Snapshot, stop: &AtomicBool, far: &(AtomicUsize, AtomicUsize), ctx: &egui::Context) -> Outcome {
    if let Err(error) = snapshot.complete() {
        return Outcome::Lacking(error);
    }
    let spec = match snapshot.document() {
        Ok(spec) => spec,
        Err(lacking) => return Outcome::Lacking(lacking.to_string()),
    };
    let mut woken = 0;
    let layout = lay_out_watched(&spec, &mut |done, of| {
        far.0.store(done, Ordering::Relaxed);
        far.1.store(of, Ordering::Relaxed);
        if done * WAKES / of.max(1) > woken {
            woken = done * WAKES / of.max(1);
            ctx.request_repaint();
        }
        !stop.load(Ordering::Relaxed)
    });
    match layout {
        Some(layout) => match layout.whole() {
            Ok(()) => Outcome::Made(Arc::new(layout), text::plain(&spec)),
            Err(too_long) => Outcome::Lacking(too_long.to_string()),
        },
        None => Outcome::Stopped,
    }
}
