//! Inspection kinds: selections from the catalogue, with what is required for a verdict and how long it holds.

use serde::{Deserialize, Serialize};

use super::{Check, Origin};

/// A set of checks by id.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Selection {
    /// Every check that applies.
    All,
    /// These checks.
    These(Vec<String>),
    /// Every check but these.
    AllBut(Vec<String>),
}

impl Selection {
    /// Whether a check is in it.
    pub fn holds(&self, check: &str) -> bool {
        match self {
            Self::All => true,
            Self::These(ids) => ids.iter().any(|id| id == check),
            Self::AllBut(ids) => !ids.iter().any(|id| id == check),
        }
    }
    /// Where it names a check, counted from nought.
    pub fn index_of(&self, check: &str) -> Option<usize> {
        self.names().iter().position(|id| id == check)
    }
    /// The ids it names.
    pub fn names(&self) -> &[String] {
        match self {
            Self::All => &[],
            Self::These(ids) | Self::AllBut(ids) => ids,
        }
    }
}

/// A kind of inspection.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Kind {
    /// Its id: ride, season, periodic, purchase, sale, fall, trip, storage, work.
    pub id: String,
    /// What it is called: `before a ride`.
    pub name: String,
    /// How the verdict names it: `a before-ride look`.
    pub called: String,
    /// Whether it stands in the place of one with the same id; only a garage's own file needs to say so.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub replaces: bool,
    /// The garage's file that it was read from, if it is not built in.
    #[serde(skip)]
    pub origin: Option<Origin>,
    /// Whether its checks are asked in the order in which `checks` lists them, else in walking order.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub in_order: bool,
    /// The checks it asks.
    pub checks: Selection,
    /// Those without which there is no verdict.
    pub required: Selection,
    /// Days after which its verdict lapses (common practice; the owner may set another).
    pub lapses_after_days: u32,
    /// Kilometres after which its verdict lapses (common practice).
    pub lapses_after_km: u32,
}

/// A file of a garage's own in its folder `kinds`: the fields of a [`Kind`], or own checks in `own_checks`, or both.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OwnKinds {
    /// See [`Kind::id`]; none where the file only brings checks.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// See [`Kind::name`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// See [`Kind::called`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub called: Option<String>,
    /// See [`Kind::replaces`].
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub replaces: bool,
    /// See [`Kind::in_order`].
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub in_order: bool,
    /// See [`Kind::checks`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub checks: Option<Selection>,
    /// See [`Kind::required`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub required: Option<Selection>,
    /// See [`Kind::lapses_after_days`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lapses_after_days: Option<u32>,
    /// See [`Kind::lapses_after_km`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lapses_after_km: Option<u32>,
    /// Checks of the garage's own.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub own_checks: Vec<Check>,
}

impl OwnKinds {
    /// The kind that the file holds, if it holds one. Error: the field that a kind needs and the file lacks.
    pub fn kind(&self) -> Result<Option<Kind>, &'static str> {
        let Some(id) = self.id.clone() else {
            let stray = [
                (self.name.is_some(), "name"),
                (self.called.is_some(), "called"),
                (self.checks.is_some(), "checks"),
                (self.required.is_some(), "required"),
            ];
            return match stray.into_iter().find(|(there, _)| *there) {
                Some(_) => Err("id"),
                None if self.own_checks.is_empty() => Err("id"),
                None => Ok(None),
            };
        };
        Ok(Some(Kind {
            id,
            name: self.name.clone().ok_or("name")?,
            called: self.called.clone().ok_or("called")?,
            replaces: self.replaces,
            origin: None,
            in_order: self.in_order,
            checks: self.checks.clone().ok_or("checks")?,
            required: self.required.clone().ok_or("required")?,
            lapses_after_days: self.lapses_after_days.ok_or("lapses_after_days")?,
            lapses_after_km: self.lapses_after_km.ok_or("lapses_after_km")?,
        }))
    }
}
