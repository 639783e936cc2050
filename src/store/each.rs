//! The same work on many things, spread over the processors; the answers come in the order of the things. Must not know
//! what the work is.

use std::num::NonZero;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::channel;

/// Greatest number of threads: beyond it the disk, not the processors, is what one waits for.
const MOST: usize = 8;

/// Does `work` on each of some things, on as many threads as there are processors, this one among them.
pub(super) fn each<T: Sync, R: Send>(things: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let processors = std::thread::available_parallelism().map_or(1, NonZero::get).min(MOST);
    let next = AtomicUsize::new(0);
    let (sender, answers) = channel();
    let (next, work) = (&next, &work);
    let run = move |sender: std::sync::mpsc::Sender<(usize, R)>| {
        while let Some((index, thing)) = {
            let index = next.fetch_add(1, Ordering::Relaxed);
            things.get(index).map(|thing| (index, thing))
        } {
            if sender.send((index, work(thing))).is_err() {
                return;
            }
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..processors.min(things.len()) {
            let sender = sender.clone();
            // Where no thread can be had, this one does all the work.
            if let Err(e) = std::thread::Builder::new().spawn_scoped(scope, move || run(sender)) {
                log::debug!("no further thread: {e}");
            }
        }
        run(sender);
    });
    let mut all: Vec<(usize, R)> = answers.into_iter().collect();
    all.sort_by_key(|(index, _)| *index);
    all.into_iter().map(|(_, answer)| answer).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_come_in_the_order_of_the_things() {
        let things: Vec<u64> = (0..300).collect();
        assert_eq!(each(&things, |n| n * n), things.iter().map(|n| n * n).collect::<Vec<_>>());
        assert!(each(&[] as &[u64], |n| *n).is_empty());
    }
}
