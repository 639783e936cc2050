//! Listens for changes on disk on a thread of its own, waits until they have come to rest, and has them read again.
//! At rest it sleeps. Must not read a record for anything but whether it is whole yet.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::time::{Duration, Instant};

use super::disk::Disk;
use super::saving_thread::Ear;
use crate::store::{self, Touched};

/// How long nothing must happen before what happened is looked at.
const QUIET: Duration = Duration::from_millis(250);
/// How long is waited for quiet at most, so that a program that writes without end is seen too.
const MOST: Duration = Duration::from_secs(3);
/// How long is waited for a file to be whole that is being written bit by bit; then it is named.
const HALF: Duration = Duration::from_secs(2);

/// How long is waited for the watch to stand before the garage is read. It takes a few milliseconds, and a tenth of a
/// second for a school's garage.
const STANDING: Duration = Duration::from_millis(20);

enum Word {
    Touched(Touched),
    Stop,
}

/// Listens as long as it lives.
pub struct Watching {
    words: Sender<Word>,
}

impl Watching {
    /// Begins to listen for a garage; `opened` comes back with what is found. That it cannot be done is told in the
    /// same way. Returns when it listens, so that what is read from then on is heard of. Where that takes too long,
    /// everything that was changed meanwhile is looked at when it does.
    pub fn start(disk: Arc<dyn Disk>, folder: PathBuf, opened: u64, ear: Ear) -> Self {
        let (words, heard) = channel();
        let told = words.clone();
        let telling = ear.clone();
        let (stands, standing) = channel();
        let began = store::moment();
        let run = move || {
            let tell = move |touched| {
                // The listener has gone: the window is closed or has another garage.
                if told.send(Word::Touched(touched)).is_err() {
                    log::trace!("a change on disk came after the end");
                }
            };
            match disk.watch(&folder, Box::new(tell)) {
                Err(why) => ear.unwatched(opened, why),
                Ok(mut watch) => {
                    if stands.send(()).is_err() {
                        // Nobody has waited for it: what was changed meanwhile may have been read before.
                        match store::changed_since(&folder, began) {
                            Ok(touched) if touched.is_empty() => {}
                            Ok(touched) => ear.look(opened, &folder, touched),
                            Err(why) => ear.unwatched(opened, why.to_string()),
                        }
                    }
                    while let Some(touched) = next(&heard) {
                        let is_whole = !touched.folders.is_empty() || touched.additions;
                        if is_whole && let Err(why) = watch.extend() {
                            ear.unwatched(opened, why.to_string());
                        }
                        match whole(disk.as_ref(), &folder, touched, &heard) {
                            Some(touched) => ear.look(opened, &folder, touched),
                            None => return,
                        }
                    }
                }
            }
        };
        if let Err(error) = std::thread::Builder::new().name("watching".into()).spawn(run) {
            telling.unwatched(
                opened,
                format!("expected a thread to watch the folder, found none ({error}): read it again by hand"),
            );
        }
        match standing.recv_timeout(STANDING) {
            Ok(()) => {}
            Err(RecvTimeoutError::Timeout) => log::debug!("the folder is read before it is watched"),
            Err(RecvTimeoutError::Disconnected) => log::debug!("the folder is not watched"),
        }
        Self { words }
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        if self.words.send(Word::Stop).is_err() {
            log::trace!("nothing was watched");
        }
    }
}

/// What has changed next, once it has come to rest; none at the end.
fn next(heard: &Receiver<Word>) -> Option<Touched> {
    let mut all = match heard.recv() {
        Ok(Word::Touched(touched)) => touched,
        Ok(Word::Stop) | Err(_) => return None,
    };
    let until = Instant::now() + MOST;
    while Instant::now() < until {
        match heard.recv_timeout(QUIET) {
            Ok(Word::Touched(touched)) => all.add(touched),
            Ok(Word::Stop) | Err(RecvTimeoutError::Disconnected) => return None,
            Err(RecvTimeoutError::Timeout) => break,
        }
    }
    Some(all)
}

/// Waits until files that were written can be read, at most for a while; none at the end.
fn whole(disk: &dyn Disk, folder: &Path, mut touched: Touched, heard: &Receiver<Word>) -> Option<Touched> {
    let until = Instant::now() + HALF;
    let is_half = |touched: &Touched| {
        let files = Touched { files: touched.files.clone(), ..Touched::default() };
        // A folder that cannot be read is told by the look itself.
        disk.look_again(folder, &files).is_ok_and(|look| look.records.iter().any(|(_, found)| found.is_err()))
    };
    while !touched.files.is_empty() && Instant::now() < until && is_half(&touched) {
        match heard.recv_timeout(QUIET) {
            Ok(Word::Touched(more)) => touched.add(more),
            Ok(Word::Stop) | Err(RecvTimeoutError::Disconnected) => return None,
            Err(RecvTimeoutError::Timeout) => {}
        }
    }
    Some(touched)
}
