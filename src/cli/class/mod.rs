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
use crate::store::{self, Form};

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
    // A place that is refused is said before a sheet is taken in or a file is written.
    may_be_written(args)?;
    let refused = if args.take_in.is_empty() { Vec::new() } else { exercise::take_in(args, key)? };
    let scored = asks_for_scores(args).then(|| scores::score(args, key, refused, now)).transpose()?;
    let packed = args.pack.as_ref().map(|to| exercise::pack(args, key, to)).transpose()?;
    Ok(match (scored, packed) {
        (Some(mut scored), Some(packed)) => {
            scored.text.push_str(&format!("\n{}", packed.text));
            scored.json["pack"] = packed.json["written"].clone();
            scored
        }
        (one, other) => one.or(other).unwrap_or_default(),
    })
}

/// Whether the sheets are to be scored: that is asked for, or nothing else is.
fn asks_for_scores(args: &ClassArgs) -> bool {
    let is_asked = args.csv.is_some() || args.out.is_some() || args.each.is_some() || args.hide_names;
    is_asked || !args.take_in.is_empty() || args.pack.is_none()
}

/// Whether each file that is asked for may go where it is to go.
fn may_be_written(args: &ClassArgs) -> Result<(), Failure> {
    let pack = args.pack.as_deref().map_or(Ok(()), |to| match exercise::is_zip(to) {
        true => store::may_write(to, Form::Pack),
        false => store::may_fill(to, Form::Pack, []).map(drop),
    });
    let csv = || args.csv.as_deref().map_or(Ok(()), |to| store::may_write(to, table::FORM));
    let out = || args.out.as_deref().map_or(Ok(()), |to| store::may_write(to, Form::Pdf));
    let each = || args.each.as_deref().map_or(Ok(()), |to| store::may_fill(to, Form::Pdf, []).map(drop));
    pack.and_then(|()| csv()).and_then(|()| out()).and_then(|()| each()).map_err(|e| Failure(e.to_string()))
}
