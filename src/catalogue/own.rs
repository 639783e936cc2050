//! What a garage adds of its own from its folders `kinds` and `regions`, and what is wrong with an entry. Takes text,
//! never files.

use std::collections::BTreeSet;

use super::kind::OwnKinds;
use super::load::read_own;
use super::region::is_id;
use super::{Catalogue, CatalogueError, Check, FieldKind, Kind, Origin, Region};

/// The most minutes that a check may take (house figure: half a working day; more is a slip of the unit).
const MOST_MINUTES: f32 = 240.0;

/// What is wrong, with the words of the file to point at.
type Wrong = (String, String);

/// A problem where some words of a file stand; at its beginning where they do not.
fn at(file: &str, text: &str, (needle, message): Wrong) -> CatalogueError {
    let (line, column) = text
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
        .find_map(|(index, line)| Some((index + 1, line[..line.find(&needle)?].chars().count() + 1)))
        .unwrap_or((1, 1));
    CatalogueError::Read { file: file.to_owned(), line, column, message }
}

/// An entry whose id is taken, unless it says that it stands in the other's place; one that says so needs another.
fn clash(what: &str, id: &str, taken: bool, replaces: bool) -> Option<Wrong> {
    let words = match (taken, replaces) {
        (true, false) => format!(
            "expected an id that no {what} has yet, found \"{id}\", which is taken: choose another id, or write \
             replaces: true where it is meant to stand in the other's place"
        ),
        (false, true) => format!(
            "expected the id of a {what} that is to be replaced, found \"{id}\", which no {what} has: correct the id, \
             or leave replaces out"
        ),
        _ => return None,
    };
    Some((format!("\"{id}\""), words))
}

/// Puts an entry in the place of the one with its id, else at the end.
fn put<T>(list: &mut Vec<T>, new: T, same: impl Fn(&T) -> bool) {
    match list.iter().position(same) {
        Some(index) => list[index] = new,
        None => list.push(new),
    }
}

impl Catalogue {
    /// Adds a region from the text of a file. Errors, each with line and column: the text is no region, its id is taken
    /// and it does not say `replaces: true`, or a figure makes no sense. Then nothing is changed.
    pub fn add_region(&mut self, file: &str, text: &str) -> Result<(), CatalogueError> {
        let mut region: Region = read_own(file, text)?;
        let taken = self.regions.iter().any(|r| r.id == region.id);
        let wrong = clash("region", &region.id, taken, region.replaces).or_else(|| region.wrong());
        if let Some(wrong) = wrong {
            return Err(at(file, text, wrong));
        }
        region.origin = Some(Origin::new(file, Self::builtin().region(&region.id).map(|r| &r.name)));
        let id = region.id.clone();
        put(&mut self.regions, region, |r| r.id == id);
        Ok(())
    }

    /// Adds the kinds and own checks of several files, each a path and its text. All checks come before all kinds, so
    /// that a kind may name a check of another file. A file with an error adds nothing; the others are added.
    pub fn add_kinds(&mut self, files: &[(String, String)]) -> Vec<CatalogueError> {
        let mut errors = Vec::new();
        let mut kinds: Vec<(&str, &str, Kind)> = Vec::new();
        for (file, text) in files {
            match self.own_checks_of(file, text) {
                Ok(kind) => kinds.extend(kind.map(|k| (file.as_str(), text.as_str(), k))),
                Err(error) => errors.push(error),
            }
        }
        for (file, text, mut kind) in kinds {
            let taken = self.kinds.iter().any(|k| k.id == kind.id);
            let wrong = clash("kind", &kind.id, taken, kind.replaces).or_else(|| self.wrong_kind(&kind));
            match wrong {
                Some(wrong) => errors.push(at(file, text, wrong)),
                None => {
                    kind.origin = Some(Origin::new(file, Self::builtin().kind(&kind.id).map(|k| &k.name)));
                    let id = kind.id.clone();
                    put(&mut self.kinds, kind, |k| k.id == id);
                }
            }
        }
        errors
    }

    /// The catalogue with other kinds and checks of the garage's own, each with its file's name; regions stay as they are.
    /// The second part is what is wrong with a file, which then adds nothing.
    pub fn with_own<'a>(&self, own: impl Iterator<Item = (&'a String, &'a OwnKinds)>) -> (Self, Vec<CatalogueError>) {
        let mut anew = Self { regions: self.regions.clone(), ..Self::builtin().clone() };
        let mut errors = Vec::new();
        let mut files = Vec::new();
        for (name, own) in own {
            match ron::Options::default()
                .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
                .to_string(own)
            {
                Ok(text) => files.push((format!("kinds/{name}.ron"), text)),
                Err(error) => errors.push(CatalogueError::Invariant(format!("kinds/{name}.ron: {error}"))),
            }
        }
        errors.extend(anew.add_kinds(&files));
        (anew, errors)
    }

    /// Adds the own checks of a file, all or none, and gives back its kind.
    fn own_checks_of(&mut self, file: &str, text: &str) -> Result<Option<Kind>, CatalogueError> {
        let own: OwnKinds = read_own(file, text)?;
        let kind = own.kind().map_err(|field| {
            let words = format!(
                "expected a kind with id, name, called, checks, required, lapses_after_days and lapses_after_km, or a \
                 list own_checks; found no {field}"
            );
            at(file, text, (String::new(), words))
        })?;
        let mut with = self.checks.clone();
        for mut check in own.own_checks {
            let taken = with.iter().any(|c| c.id == check.id);
            let wrong = clash("check", &check.id, taken, check.replaces).or_else(|| self.wrong_check(&check));
            if let Some(wrong) = wrong {
                return Err(at(file, text, wrong));
            }
            check.origin = Some(Origin::new(file, Self::builtin().check(&check.id).map(|c| &c.title)));
            let id = check.id.clone();
            put(&mut with, check, |c| c.id == id);
        }
        self.checks = with;
        Ok(kind)
    }

    /// Whether a check is among the checks that come before it.
    fn comes_before_itself(&self, check: &Check) -> bool {
        let mut seen = BTreeSet::new();
        let mut open: Vec<&String> = check.after.iter().chain(&check.needs).collect();
        while let Some(other) = open.pop() {
            if *other == check.id {
                return true;
            }
            if seen.insert(other) {
                open.extend(self.check(other).into_iter().flat_map(|c| c.after.iter().chain(&c.needs)));
            }
        }
        false
    }

    /// What is wrong with a check by itself.
    pub(super) fn wrong_check(&self, check: &Check) -> Option<Wrong> {
        let id = &check.id;
        let point = |needle: &str, words: String| Some((format!("\"{needle}\""), words));
        if !is_id(id) {
            return point(id, format!("expected an id of lower-case letters, figures and dashes, found \"{id}\""));
        }
        for (what, words) in [("title", &check.title), ("why", &check.why), ("how", &check.how)] {
            if words.trim().is_empty() {
                return point(id, format!("expected the {what} of the check {id}, found none"));
            }
        }
        if !(check.minutes > 0.0 && check.minutes <= MOST_MINUTES) {
            let words =
                format!("expected the minutes of {id} above 0 and up to {MOST_MINUTES}, found {}", check.minutes);
            return point(id, words);
        }
        let mut faults = BTreeSet::new();
        if let Some(fault) = check.faults.iter().find(|f| !faults.insert(&f.id)) {
            return point(&fault.id, format!("expected each fault of {id} once, found twice: {}", fault.id));
        }
        let lowered =
            check.faults.iter().find(|f| f.practice.as_ref().is_some_and(|(raised, _)| *raised <= f.severity));
        if let Some(fault) = lowered {
            let words = format!("expected practice to raise the class of {id}/{}, found that it does not", fault.id);
            return point(&fault.id, words);
        }
        let mut fields = BTreeSet::new();
        if let Some(field) = check.fields.iter().find(|f| !fields.insert(&f.id)) {
            return point(&field.id, format!("expected each field of {id} once, found twice: {}", field.id));
        }
        if let Some(caution) = check.cautions.iter().find(|c| self.caution(c).is_none()) {
            return point(caution, format!("expected a caution that is there, found {caution} in {id}"));
        }
        if let Some(other) = check.after.iter().chain(&check.needs).find(|o| *o != id && self.check(o).is_none()) {
            return point(other, format!("{id} comes after the check {other}, which is not there"));
        }
        if self.comes_before_itself(check) {
            return point(id, format!("{id} comes before itself, by what it and others say of after and needs"));
        }
        if let Some(field) = check.decided_by.iter().find(|f| check.field(f).is_none()) {
            return point(field, format!("expected {id} to be decided by a field of its own, found {field}"));
        }
        let choices = check.fields.iter().filter_map(|f| match &f.kind {
            FieldKind::Choice(choices) => Some(choices),
            _ => None,
        });
        let unknown = choices.flatten().filter_map(|c| c.fault.as_ref()).find(|f| !faults.contains(f))?;
        point(unknown, format!("expected a fault of {id} itself, found {unknown} at one of its choices"))
    }

    /// What is wrong with a kind: a check that is not there would silently be asked no more.
    pub(super) fn wrong_kind(&self, kind: &Kind) -> Option<Wrong> {
        let id = &kind.id;
        let point = |needle: &str, words: String| Some((format!("\"{needle}\""), words));
        if !is_id(id) {
            return point(id, format!("expected an id of lower-case letters, figures and dashes, found \"{id}\""));
        }
        let named = kind.checks.names().iter().chain(kind.required.names());
        if let Some(check) = named.into_iter().find(|c| self.check(c).is_none()) {
            let words = format!(
                "expected checks that are there in the kind {id}, found \"{check}\": correct the id or leave it out"
            );
            return point(check, words);
        }
        if !self.checks.iter().any(|c| kind.checks.holds(&c.id)) {
            return point(id, format!("expected at least one check in the kind {id}, found none"));
        }
        None
    }
}
