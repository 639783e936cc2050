//! What a calculator answers: the result in lines and as data, the formula with the numbers put in, the source.

use serde_json::{Map, Value};
use thiserror::Error;

/// The answer of a calculator.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reckoning {
    /// What was worked out, in a few words.
    pub title: String,
    /// The result, the most wanted line first.
    pub lines: Vec<String>,
    /// The formulas with the numbers put in.
    pub formula: Vec<String>,
    /// The documents the figures come from, or "common practice".
    pub source: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
    /// The result as data: an object whose field names carry their units.
    pub data: Value,
}

impl Reckoning {
    /// An answer with its title and its data; the rest is added line by line.
    pub(super) fn new(title: impl Into<String>, data: Value) -> Self {
        Self { title: title.into(), data, ..Self::default() }
    }
    /// Adds a line of the result.
    pub(super) fn line(&mut self, line: impl Into<String>) {
        self.lines.push(line.into());
    }
    /// Adds a formula with the numbers put in.
    pub(super) fn formula(&mut self, formula: impl Into<String>) {
        self.formula.push(formula.into());
    }
    /// Adds a source.
    pub(super) fn source(&mut self, source: impl Into<String>) {
        self.source.push(source.into());
    }
    /// Adds a caution.
    pub(super) fn caution(&mut self, caution: impl Into<String>) {
        self.cautions.push(caution.into());
    }
    /// The whole answer as one flat object: the data, with title, lines, formula, source and cautions beside them.
    pub fn to_json(&self, id: &str) -> Value {
        let mut object = Map::new();
        object.insert("reckon".into(), id.into());
        object.insert("title".into(), self.title.clone().into());
        if let Value::Object(data) = &self.data {
            object.extend(data.clone());
        }
        for (name, texts) in
            [("lines", &self.lines), ("formula", &self.formula), ("source", &self.source), ("cautions", &self.cautions)]
        {
            object.insert(name.into(), texts.clone().into());
        }
        Value::Object(object)
    }
}

/// Why a calculator cannot answer: expected, found and the way out in one sentence.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{0}")]
pub struct ReckonError(String);

impl ReckonError {
    /// From a whole sentence.
    pub fn new(sentence: impl Into<String>) -> Self {
        Self(sentence.into())
    }
    /// From its three parts.
    pub(super) fn expected(expected: &str, found: impl std::fmt::Display, way_out: &str) -> Self {
        Self(format!("expected {expected}, found {found}: {way_out}"))
    }
}
