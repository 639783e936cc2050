//! A stranger's PDF parsed with a watch on what it costs: how much its objects weigh in memory, how its packed objects
//! are laid out, and how long it takes.
//!
//! It must not know what the objects say.

use std::cell::Cell;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

use lopdf::{Document, LoadOptions, Object, ObjectId, Stream};

use super::read::ReadError;
use crate::guard::limits::{PDF_OBJECTS, PDF_PACKED, PDF_PART};

thread_local! {
    /// What the objects of the file that this thread parses may still weigh, in bytes.
    static LEFT: Cell<u64> = const { Cell::new(0) };
}

/// Parses a PDF on a thread of its own, so that a file which makes the parser give up does not end the program, and one
/// that keeps it busy for longer than `most` is refused; its thread is then left to itself.
pub(super) fn parse(bytes: &[u8], most: Duration) -> Result<Document, ReadError> {
    let bytes = bytes.to_vec();
    let (done, result) = channel();
    let run = move || {
        LEFT.set(PDF_OBJECTS.most);
        let options = LoadOptions { filter: Some(weigh), ..LoadOptions::with_max_decompressed_size(PDF_PART.size()) };
        let document = Document::load_mem_with_options(&bytes, options).map_err(ReadError::from);
        let document = if LEFT.get() == 0 { Err(ReadError::Bomb) } else { document };
        // Nobody listens any more where it took too long.
        if done.send(document).is_err() {
            log::debug!("a PDF was parsed after it had been refused");
        }
    };
    let spawned = std::thread::Builder::new().name("pdf".into()).spawn(run);
    spawned.map_err(|e| ReadError::Damaged(format!("there is no room for its reader: {e}")))?;
    match result.recv_timeout(most) {
        Ok(document) => document,
        Err(RecvTimeoutError::Timeout) => Err(ReadError::TooSlow(most)),
        Err(RecvTimeoutError::Disconnected) => Err(ReadError::Damaged("the parser gave up".into())),
    }
}

/// Called with each object as it is read. One that no longer fits is left out, and the file is refused afterwards.
fn weigh(id: ObjectId, object: &mut Object) -> Option<(ObjectId, Object)> {
    let weight = weight(object);
    let left = LEFT.get().saturating_sub(weight);
    LEFT.set(left);
    if left == 0 {
        return None;
    }
    match object {
        Object::Stream(stream) => {
            if stream.dict.has_type(b"ObjStm") && !is_orderly(stream) {
                LEFT.set(0);
                return None;
            }
            // The reader keeps the stream itself; what is given back for it is not looked at.
            Some((id, Object::Null))
        }
        // Objects from a packed stream are taken from what is given back.
        other => Some((id, other.clone())),
    }
}

/// Whether objects packed in a stream stand one behind the other, and could be read to the end of the stream each
/// without filling the memory (ISO 32000-1, 7.5.7).
fn is_orderly(stream: &mut Stream) -> bool {
    if stream.is_compressed() && stream.decompress_with_limit(PDF_PACKED.size()).is_err() {
        return false;
    }
    let first = stream.dict.get(b"First").and_then(Object::as_i64).ok().and_then(|first| usize::try_from(first).ok());
    let Some(index) = first.and_then(|first| stream.content.get(..first)) else { return false };
    let numbers: Option<Vec<u32>> =
        index.split(u8::is_ascii_whitespace).filter(|word| !word.is_empty()).map(number).collect();
    let Some(numbers) = numbers else { return false };
    let places: Vec<u32> = numbers.chunks_exact(2).map(|pair| pair[1]).collect();
    let cost = places.len() as u64 * stream.content.len() as u64;
    cost <= PDF_PACKED.most && places.windows(2).all(|pair| pair[0] < pair[1])
}

fn number(word: &[u8]) -> Option<u32> {
    std::str::from_utf8(word).ok()?.parse().ok()
}

/// About what an object takes in memory, in bytes.
fn weight(object: &Object) -> u64 {
    let own = size_of::<Object>() as u64;
    own + match object {
        Object::Name(bytes) | Object::String(bytes, _) => bytes.len() as u64,
        Object::Array(items) => items.iter().map(weight).sum(),
        Object::Dictionary(entries) => entries.iter().map(|(key, value)| key.len() as u64 + 64 + weight(value)).sum(),
        Object::Stream(stream) => {
            stream.content.len() as u64
                + stream.dict.iter().map(|(key, value)| key.len() as u64 + 64 + weight(value)).sum::<u64>()
        }
        _ => 0,
    }
}
