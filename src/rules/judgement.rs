//! A judgement and its proof.

use serde::Serialize;

use crate::inspection::{CheckRef, FindingId, Severity};

/// Where a limit comes from, in falling order of trust: the machine, the law, the directive's classes, practice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub enum Source {
    /// The machine's own figure: placard, service manual page, stamped on the part.
    Machine(String),
    /// A law or regulation in force, by its citation.
    Law(String),
    /// An item of Directive 2014/45/EU annex I, by its number; the second part says whether it is law in the region.
    Directive {
        /// The item, for example `5.2.3`.
        item: String,
        /// Whether the directive's classes are law in the machine's region.
        in_force: bool,
    },
    /// Common practice, with what it rests on.
    Practice(String),
    /// A check as the garage's own file has it, in words that name the file.
    Own(String),
}

impl Source {
    /// The source as a phrase that ends a sentence.
    pub fn words(&self) -> String {
        match self {
            Self::Machine(what) => format!("the machine's own figure ({what})"),
            Self::Law(citation) => citation.clone(),
            Self::Directive { item, in_force: true } => format!("Directive 2014/45/EU annex I, item {item}"),
            Self::Directive { item, in_force: false } => {
                format!("graded after Directive 2014/45/EU annex I, item {item}; not law here")
            }
            Self::Own(words) => words.clone(),
            Self::Practice(what) if what.is_empty() => "common practice".into(),
            Self::Practice(what) => format!("common practice: {what}"),
        }
    }
}

/// A limit with its source, as shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LimitUsed {
    /// The figure in words and in the user's units: `at least 1.6 mm`.
    pub value: String,
    /// Where it comes from.
    pub source: Source,
}

/// What a judgement comes to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub enum Outcome {
    /// Within its limit.
    Sound,
    /// Outside it, of this class.
    Fault(Severity),
    /// Said for comparison or explanation; decides nothing.
    Noted,
    /// Not a reading (wrong stance, hot tyre, no unit of that kind): the check stays unchecked.
    Refused,
}

impl Outcome {
    /// In a word: `sound`, the class of a fault, `noted`, `refused`.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Sound => "sound",
            Self::Fault(severity) => severity.word(),
            Self::Noted => "noted",
            Self::Refused => "refused",
        }
    }
}

/// A judgement with its proof.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Judgement {
    /// The rule.
    pub rule: &'static str,
    /// The check it is about.
    #[serde(serialize_with = "as_text")]
    pub check: CheckRef,
    /// The finding it is about, if it grades one.
    pub finding: Option<FindingId>,
    /// The field whose reading it is about, by its id, if it judges one.
    pub field: Option<String>,
    /// What it comes to.
    pub outcome: Outcome,
    /// What was read, in the user's units; empty where nothing was.
    pub reading: String,
    /// The limit that binds.
    pub limit: Option<LimitUsed>,
    /// The limits that were also looked at, so that both are shown.
    pub others: Vec<LimitUsed>,
    /// How far from the limit, in words: `0.4 mm above`.
    pub margin: String,
    /// The item of the directive that gives the class, and practice that raised it.
    pub graded_by: Vec<Source>,
    /// The judgement as a plain sentence.
    pub sentence: String,
}

fn as_text<S: serde::Serializer>(check: &CheckRef, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(check)
}

impl Judgement {
    /// A judgement with nothing but an outcome and a sentence.
    pub fn new(rule: &'static str, check: &CheckRef, outcome: Outcome, sentence: impl Into<String>) -> Self {
        Self {
            rule,
            check: check.clone(),
            finding: None,
            field: None,
            outcome,
            reading: String::new(),
            limit: None,
            others: Vec::new(),
            margin: String::new(),
            graded_by: Vec::new(),
            sentence: sentence.into(),
        }
    }
    /// Names the field whose reading is judged.
    #[must_use]
    pub fn of(mut self, field: impl Into<String>) -> Self {
        self.field = Some(field.into());
        self
    }
    /// Adds what was read.
    #[must_use]
    pub fn read(mut self, reading: impl Into<String>) -> Self {
        self.reading = reading.into();
        self
    }
    /// Adds the limit that binds.
    #[must_use]
    pub fn against(mut self, value: impl Into<String>, source: Source) -> Self {
        self.limit = Some(LimitUsed { value: value.into(), source });
        self
    }
    /// Adds a limit that was also looked at.
    #[must_use]
    pub fn also(mut self, value: impl Into<String>, source: Source) -> Self {
        self.others.push(LimitUsed { value: value.into(), source });
        self
    }
    /// Adds the margin.
    #[must_use]
    pub fn with_margin(mut self, margin: impl Into<String>) -> Self {
        self.margin = margin.into();
        self
    }
    /// Adds what gives the class.
    #[must_use]
    pub fn graded(mut self, source: Source) -> Self {
        self.graded_by.push(source);
        self
    }
    /// The class, if it is a fault.
    pub fn severity(&self) -> Option<Severity> {
        match self.outcome {
            Outcome::Fault(severity) => Some(severity),
            _ => None,
        }
    }
}
