//! `stemclock class FOLDER …`: exercises made, packed, handed in, taken in and scored, defects
//! planted and taken out. Must not score anything itself.

mod args;
mod exercise;
mod paper;
mod planted;
mod scores;
mod table;

pub use args::ClassArgs;
pub(super) use exercise::course;

use chrono::{DateTime, FixedOffset};

use super::answer::{Answer, Failure};

/// Does what was asked.
pub fn class(args: &ClassArgs, now: DateTime<FixedOffset>) -> Result<Answer, Failure> {
    if let Some(pack) = &args.unpack {
        return exercise::unpack(pack, &args.folder);
    }
    if let Some(title) = &args.new {
        return exercise::make(args, title, now);
    }
    if let Some(to) = &args.hand_in {
        return exercise::hand_in(args, to);
    }
    let key = args.key.as_deref().unwrap_or_default();
    if let Some(what) = &args.plant {
        return planted::plant(args, key, what, now);
    }
    if let Some(which) = &args.taken_out {
        return planted::taken_out(args, key, which, now);
    }
    if let Some(to) = &args.pack {
        return exercise::pack(args, key, to);
    }
    let taken = if args.take_in.is_empty() { Vec::new() } else { exercise::take_in(args, key)? };
    scores::score(args, key, taken, now)
}
