//! Opening a garage for a command, and finding the machine and the inspection that were meant.

use std::path::Path;

use super::answer::Failure;
use crate::catalogue::Catalogue;
use crate::garage::{Bay, Garage};
use crate::inspection::Inspection;
use crate::store::{self, Opened};

/// Reads a garage without holding it, so that a window may be open on it.
pub fn read(folder: &Path) -> Result<Opened, Failure> {
    store::read(folder).map_err(|e| Failure(e.to_string()))
}

/// What could not be read, as warnings: the answer is right only for the rest.
pub fn warnings(opened: &Opened) -> Vec<String> {
    opened.unreadable.iter().map(|p| format!("not read, and left as it is: {p}")).collect()
}

/// What the garage brings of its own in the place of what is built in, or beside it; empty where it brings nothing.
pub fn own_rules(catalogue: &Catalogue) -> String {
    let lines: String = catalogue.own_words().iter().map(|words| format!("  {words}\n")).collect();
    match lines.as_str() {
        "" => String::new(),
        lines if catalogue.is_changed() => format!("It brings rules that its garage changed:\n{lines}"),
        lines => format!("It brings rules of its garage's own:\n{lines}"),
    }
}

/// Finds a machine by its id, its name, or the beginning of either, case forgiven.
pub fn machine<'a>(garage: &'a Garage, wanted: &str) -> Result<&'a Bay, Failure> {
    let at = find(
        &format!("a machine of \"{}\"", garage.info.name),
        wanted,
        garage.bays.iter().map(|b| Candidate {
            keys: vec![&b.machine.id.0, &b.machine.name],
            shown: format!("{} ({})", b.machine.id, b.machine.name),
        }),
        "name one by its id, its name, or the beginning of either",
    )?;
    Ok(&garage.bays[at])
}

/// Finds an inspection of a machine by its id or the beginning of it; the newest if none is named. Returns it with
/// the earlier ones.
pub fn inspection<'a>(bay: &'a Bay, wanted: Option<&str>) -> Result<(&'a Inspection, &'a [Inspection]), Failure> {
    let what = format!("an inspection of {}", bay.machine.name);
    let at = match (wanted, bay.inspections.len()) {
        (_, 0) => {
            return Err(Failure::expected(&what, "none", "go over the machine in the window first (stemclock FOLDER)"));
        }
        (None, count) => count - 1,
        (Some(wanted), _) => find(
            &what,
            wanted,
            bay.inspections.iter().map(|i| Candidate { keys: vec![&i.id.0], shown: i.id.to_string() }),
            "name one by its id or the beginning of it, as in 2026-03-14",
        )?,
    };
    Ok((&bay.inspections[at], &bay.inspections[..at]))
}

/// Something that can be named by any of its keys.
struct Candidate<'a> {
    keys: Vec<&'a String>,
    shown: String,
}

/// The place of the one candidate that a text names: a whole key before a beginning, and never a guess between two.
fn find<'a>(
    what: &str,
    wanted: &str,
    candidates: impl Iterator<Item = Candidate<'a>>,
    way_out: &str,
) -> Result<usize, Failure> {
    let candidates: Vec<Candidate<'_>> = candidates.collect();
    let text = wanted.trim().to_lowercase();
    let matching = |holds: &dyn Fn(&str) -> bool| -> Vec<usize> {
        let named = |c: &Candidate<'_>| c.keys.iter().any(|k| holds(&k.trim().to_lowercase()));
        candidates.iter().enumerate().filter(|(_, c)| named(c)).map(|(at, _)| at).collect()
    };
    let list = |places: &[usize]| -> String {
        places.iter().map(|&at| candidates[at].shown.as_str()).collect::<Vec<_>>().join(", ")
    };
    let whole = matching(&|key| key == text);
    let found = if whole.is_empty() && !text.is_empty() { matching(&|key| key.starts_with(&text)) } else { whole };
    match found[..] {
        [one] => Ok(one),
        [] => {
            let every: Vec<usize> = (0..candidates.len()).collect();
            let known = if every.is_empty() { "there is none".into() } else { list(&every) };
            Err(Failure::expected(what, format!("no \"{}\"", wanted.trim()), &format!("{way_out}: {known}")))
        }
        _ => Err(Failure::expected(
            &format!("{what}, only one"),
            format!("\"{}\", which may be {}", wanted.trim(), list(&found)),
            way_out,
        )),
    }
}
