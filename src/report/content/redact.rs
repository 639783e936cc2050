//! Records with what the privacy switches leave out: the pages and the record inside the file are both made from these,
//! so neither can say more than the other.
//!
//! It walks every record as plain data, so that a field that is added later is looked through too.

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::options::Privacy;
use crate::garage::{Bay, Garage, GarageInfo};

/// What stands where something was left out. A blank would say that nothing was recorded.
pub const LEFT_OUT: &str = "left out";

/// The shortest number or name that is looked for in notes; shorter ones would tear words apart.
const SHORTEST: usize = 4;

/// The garage with the owner's choices applied.
///
/// # Errors
/// When a record does not survive the way there and back, so that it is never printed half-cleaned.
pub fn redact(garage: &Garage, privacy: Privacy) -> Result<Garage, String> {
    let names = Names::of(garage, privacy);
    let bay = |bay: &Bay| -> Result<Bay, String> {
        Ok(Bay {
            machine: names.clean(&bay.machine, privacy)?,
            inspections: bay.inspections.iter().map(|i| names.clean(i, privacy)).collect::<Result<_, _>>()?,
            events: bay.events.iter().map(|e| names.clean(e, privacy)).collect::<Result<_, _>>()?,
            unread: bay.unread.clone(),
        })
    };
    let mut info: GarageInfo = names.clean(&garage.info, privacy)?;
    if privacy.people {
        // A garage is often called after its owner.
        info.name = GarageInfo::default().name;
    }
    // The exercises stay at home: a report is of machines, and a key must reach nobody.
    let bays = garage.bays.iter().map(bay).collect::<Result<_, _>>()?;
    Ok(Garage { info, bays, ..Garage::default() })
}

/// What is looked for in every text.
struct Names(Vec<Vec<char>>);

impl Names {
    fn of(garage: &Garage, privacy: Privacy) -> Self {
        let mut names = Vec::new();
        for bay in &garage.bays {
            let machine = &bay.machine;
            names.extend(machine.vin.clone().filter(|_| privacy.vin));
            names.extend(machine.registration.clone().filter(|_| privacy.registration));
            if privacy.people {
                names.extend(bay.inspections.iter().map(|i| i.inspector.clone()));
                names.extend(bay.events.iter().map(|e| e.by.clone()));
            }
            if privacy.place {
                names.extend(bay.inspections.iter().map(|i| i.conditions.place.clone()));
            }
        }
        let mut names: Vec<Vec<char>> = names.iter().filter(|n| *n != LEFT_OUT).map(|n| letters(n)).collect();
        names.retain(|n| n.len() >= SHORTEST);
        // The longest first, so that no part of a name is left behind.
        names.sort_by_key(|n| std::cmp::Reverse(n.len()));
        names.dedup();
        Self(names)
    }

    fn clean<T: Serialize + DeserializeOwned>(&self, record: &T, privacy: Privacy) -> Result<T, String> {
        let mut value = serde_json::to_value(record).map_err(|e| e.to_string())?;
        self.walk("", &mut value, privacy);
        serde_json::from_value(value).map_err(|e| e.to_string())
    }

    fn walk(&self, key: &str, value: &mut Value, privacy: Privacy) {
        match value {
            Value::String(text) => {
                let is_left_out = match key {
                    "vin" => privacy.vin,
                    "registration" => privacy.registration,
                    "by" | "inspector" => privacy.people,
                    "place" => privacy.place,
                    _ => false,
                };
                if is_left_out && !text.trim().is_empty() {
                    *text = LEFT_OUT.to_owned();
                } else if !is_left_out {
                    *text = self.scrubbed(text);
                }
            }
            Value::Array(items) => items.iter_mut().for_each(|item| self.walk(key, item, privacy)),
            Value::Object(entries) => {
                for (key, value) in entries.iter_mut() {
                    self.walk(key, value, privacy);
                }
            }
            Value::Null | Value::Bool(_) | Value::Number(_) => {}
        }
    }

    /// The text with every name in it left out, however it is spaced or written: `AB12 CDE` is `ab-12cde`.
    fn scrubbed(&self, text: &str) -> String {
        let mut clean = text.to_owned();
        for name in &self.0 {
            let mut from = 0;
            while let Some((start, end)) = find(&clean[from..], name) {
                clean.replace_range(from + start..from + end, LEFT_OUT);
                from += start + LEFT_OUT.len();
            }
        }
        clean
    }
}

/// Letters and figures in lower case.
fn letters(text: &str) -> Vec<char> {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// Where a name stands in a text as whole words, in bytes; blanks and joiners inside it do not matter.
fn find(text: &str, name: &[char]) -> Option<(usize, usize)> {
    let marks: Vec<(usize, char)> = text
        .char_indices()
        .filter(|(_, c)| c.is_alphanumeric())
        .flat_map(|(at, c)| c.to_lowercase().map(move |lower| (at, lower)))
        .collect();
    let is_joined = |a: usize, b: usize| {
        // Two letters belong to one word when nothing stands between them.
        marks
            .get(a)
            .zip(marks.get(b))
            .is_some_and(|((at, _), (next, _))| text[*at..*next].chars().all(char::is_alphanumeric))
    };
    for start in 0..=marks.len().checked_sub(name.len())? {
        let end = start + name.len();
        let is_same = marks[start..end].iter().zip(name).all(|((_, c), n)| c == n);
        // A name that is a word of the language too: "Will" is left out, "will" is not.
        let is_word = name.iter().all(|c| c.is_alphabetic());
        let is_small = text[marks[start].0..].starts_with(char::is_lowercase);
        let is_whole = (start == 0 || !is_joined(start - 1, start)) && !is_joined(end - 1, end);
        if is_same && is_whole && !(is_word && is_small) {
            let last = marks[end - 1].0;
            let width = text[last..].chars().next().map_or(0, char::len_utf8);
            return Some((marks[start].0, last + width));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(all: &[&str]) -> Names {
        Names(all.iter().map(|n| letters(n)).collect())
    }

    #[test]
    fn a_number_is_found_however_it_is_spaced() {
        let names = names(&["AB12 CDE"]);
        for text in ["AB12 CDE", "ab12cde", "AB-12-CDE", "AB 12 CDE"] {
            assert_eq!(names.scrubbed(&format!("plate {text}, seen")), "plate left out, seen");
        }
        assert_eq!(names.scrubbed("AB12CDE and ab12 cde"), "left out and left out");
        assert_eq!(names.scrubbed("XAB12CDE is another"), "XAB12CDE is another");
        assert_eq!(names.scrubbed("AB12CDE7 too"), "AB12CDE7 too");
        assert_eq!(names.scrubbed(""), "");
    }

    #[test]
    fn a_name_that_is_a_word_too_is_left_out_where_it_is_a_name() {
        let names = names(&["Will"]);
        assert_eq!(
            names.scrubbed("Will says that the plates will want oil"),
            "left out says that the plates will want oil"
        );
        assert_eq!(names.scrubbed("seen by WILL"), "seen by left out");
    }

    #[test]
    fn names_of_other_scripts_are_found_too() {
        let names = names(&["Ευγενία Żółć"]);
        assert_eq!(names.scrubbed("seen by ΕΥΓΕΝΊΑ ŻÓŁĆ."), "seen by left out.");
    }
}
