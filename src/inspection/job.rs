//! Work on a machine: which jobs of the catalogue on which part, for which findings, with parts and torque figures.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::{FindingId, InspectionId, Subject};
use crate::units::{Distance, Torque};

/// A finding by the inspection that holds it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FindingRef {
    /// The inspection.
    pub inspection: InspectionId,
    /// The finding.
    pub finding: FindingId,
}

/// A job of the catalogue on a part: `wheel-out@front`, `fluid-change@engine-oil`. Stored as text.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct JobRef {
    /// The id of the job in the catalogue.
    pub job: String,
    /// The part it was done on.
    pub at: Subject,
}

impl JobRef {
    /// Makes a reference.
    pub fn new(job: impl Into<String>, at: Subject) -> Self {
        Self { job: job.into(), at }
    }
}

impl fmt::Display for JobRef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}@{}", self.job, self.at)
    }
}
impl From<JobRef> for String {
    fn from(job: JobRef) -> Self {
        job.to_string()
    }
}
impl TryFrom<String> for JobRef {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        let error = || format!("expected a job and its part, as in wheel-out@front or chain@machine, found \"{text}\"");
        let (job, at) = text.split_once('@').ok_or_else(error)?;
        if job.is_empty() {
            return Err(error());
        }
        Ok(Self { job: job.to_owned(), at: Subject::parse(at).ok_or_else(error)? })
    }
}

/// A fastener that was tightened, and how.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TorqueApplied {
    /// The fastener, in the words of the machine's record.
    pub fastener: String,
    /// The torque at the fastener.
    pub torque: Torque,
    /// What the wrench was set to, where an extension stood between.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set_to: Option<Torque>,
}

/// Work that was done. The day and who did it are the event's.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Job {
    /// The jobs of the catalogue, each on its part: they decide which checks are asked again.
    pub jobs: Vec<JobRef>,
    /// The findings it was done for. They stay open until someone has looked a second time.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub findings: Vec<FindingRef>,
    /// What was done.
    pub work: String,
    /// The parts that went in, in the owner's words.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<String>,
    /// The fasteners that were tightened.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub torques: Vec<TorqueApplied>,
    /// The steps of the catalogue's jobs that were ticked, in their own words.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<String>,
    /// The odometer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub odometer: Option<Distance>,
    /// What it cost, as the owner writes it: `84.50 EUR`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub cost: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_job_survives_its_text_form() {
        for text in ["wheel-out@front", "pads@rear.right", "fluid-change@engine-oil", "chain@machine"] {
            assert_eq!(JobRef::try_from(text.to_owned()).map(|j| j.to_string()), Ok(text.to_owned()));
        }
        assert!(JobRef::try_from("wheel-out".to_owned()).is_err() && JobRef::try_from("@front".to_owned()).is_err());
    }
}
