//! Inputs made from others: bits turned, parts cut, doubled and exchanged, words of the format put in, numbers replaced.

use fastrand::Rng;

/// Numbers at the bounds of what programs keep them in, as text.
const NUMBERS: &[&str] = &[
    "0",
    "-0",
    "-1",
    "1",
    "255",
    "256",
    "65535",
    "65536",
    "2147483648",
    "-2147483649",
    "4294967296",
    "9007199254740993",
    "18446744073709551615",
    "18446744073709551616",
    "1e308",
    "1e309",
    "-1e309",
    "1e-324",
    "NaN",
    "inf",
    "-inf",
    "0.1",
    ".5",
    "5.",
    "1_000",
    "0x10",
    "1e",
    "00012",
    "999999999999999999999999999999999999999999",
];

/// The same as four bytes, the highest first; the other order is made by the sign.
const WORDS: &[u32] = &[0, 1, 2, 0x7f, 0x80, 0xff, 0x100, 0x7fff, 0xffff, 0x1_0000, 0x7fff_ffff, 0x8000_0000, u32::MAX];

/// Signs that text readers trip over: turned, hidden, of two bytes and more, none at all.
const SIGNS: &[&str] = &[
    "\u{202e}",
    "\u{200b}",
    "\u{feff}",
    "\0",
    "\u{1b}[2J",
    "\r\n",
    "\t",
    "\u{2028}",
    "½",
    "″",
    "−",
    "，",
    "１",
    "é",
    "👩\u{200d}🔧",
    "ß",
    "İ",
    "\u{301}",
    "\\",
    "\"",
    "'",
    "\u{85}",
    "\u{a0}",
    "=cmd",
    "<<<<<<< ours\n",
];

/// Makes a new input from one of the pool, no longer than `most` bytes.
pub fn mutate(rng: &mut Rng, pool: &[Vec<u8>], words: &[&str], most: usize) -> Vec<u8> {
    let mut bytes = pool[rng.usize(..pool.len())].clone();
    for _ in 0..=rng.usize(..4).min(rng.usize(..6)) {
        step(rng, &mut bytes, pool, words);
        bytes.truncate(most);
    }
    bytes
}

fn step(rng: &mut Rng, bytes: &mut Vec<u8>, pool: &[Vec<u8>], words: &[&str]) {
    let (from, to) = part(rng, bytes.len());
    match rng.u8(..14) {
        0 => {
            if let Some(byte) = bytes.get_mut(from) {
                *byte ^= 1 << rng.u8(..8);
            }
        }
        1 => {
            if let Some(byte) = bytes.get_mut(from) {
                *byte = rng.u8(..);
            }
        }
        2 => bytes.truncate(from),
        3 => drop(bytes.drain(from..to)),
        // A block again and again, now and then so often that it nests deeply or grows large.
        4 => {
            let block = bytes[from..to].to_vec();
            let times = if rng.u8(..8) == 0 { rng.usize(1..2000) } else { rng.usize(1..4) };
            let times = times.min(1 + (1 << 18) / block.len().max(1));
            drop(bytes.splice(to..to, block.repeat(times)));
        }
        // A part of another input, at a place of its own.
        5 | 6 => {
            let other = &pool[rng.usize(..pool.len())];
            let (a, b) = part(rng, other.len());
            drop(bytes.splice(from..to, other[a..b].iter().copied()));
        }
        7 => {
            let other = &pool[rng.usize(..pool.len())];
            bytes.truncate(from);
            bytes.extend_from_slice(&other[rng.usize(..=other.len())..]);
        }
        8 | 9 if !words.is_empty() => {
            let word = words[rng.usize(..words.len())];
            put(rng, bytes, from, to, word);
        }
        10 => {
            let sign = SIGNS[rng.usize(..SIGNS.len())];
            drop(bytes.splice(from..from, sign.bytes()));
        }
        11 => number(rng, bytes, from),
        12 => {
            let word = WORDS[rng.usize(..WORDS.len())];
            let word = if rng.bool() { word.to_be_bytes() } else { word.to_le_bytes() };
            let wide = rng.usize(1..=4);
            if let Some(place) = bytes.get_mut(from..from + wide) {
                place.copy_from_slice(&word[4 - wide..]);
            }
        }
        _ => lines(rng, bytes),
    }
}

/// A part of so many bytes: short most of the time.
fn part(rng: &mut Rng, len: usize) -> (usize, usize) {
    let from = rng.usize(..=len);
    let longest = (len - from).min(1 << rng.u32(..14));
    (from, from + rng.usize(..=longest))
}

fn put(rng: &mut Rng, bytes: &mut Vec<u8>, from: usize, to: usize, word: &str) {
    let to = if rng.bool() { from } else { to.min(from + word.len()) };
    drop(bytes.splice(from..to, word.bytes()));
}

/// Another number in the place of the next one.
fn number(rng: &mut Rng, bytes: &mut Vec<u8>, from: usize) {
    let Some(start) = bytes[from..].iter().position(u8::is_ascii_digit).map(|at| from + at) else { return };
    let end =
        bytes[start..].iter().position(|b| !b.is_ascii_digit() && *b != b'.').map_or(bytes.len(), |at| start + at);
    drop(bytes.splice(start..end, NUMBERS[rng.usize(..NUMBERS.len())].bytes()));
}

/// A line twice, or out of its place.
fn lines(rng: &mut Rng, bytes: &mut Vec<u8>) {
    let all: Vec<&[u8]> = bytes.split_inclusive(|b| *b == b'\n').collect();
    if all.len() < 2 {
        return;
    }
    let (taken, at) = (rng.usize(..all.len()), rng.usize(..=all.len()));
    let is_moved = rng.bool();
    let mut made = Vec::with_capacity(bytes.len());
    for (index, line) in all.iter().enumerate() {
        if index == at {
            made.extend_from_slice(all[taken]);
        }
        if !(is_moved && index == taken) {
            made.extend_from_slice(line);
        }
    }
    *bytes = made;
}
