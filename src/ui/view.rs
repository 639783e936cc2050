//! What a panel may look at: everything by reference, so that a panel cannot change it.

use std::cell::RefCell;
use std::path::Path;

use chrono::{NaiveDate, NaiveDateTime};

use super::Derived;
use super::theme::Tokens;
use crate::catalogue::Catalogue;
use crate::garage::{Bay, Garage};
use crate::inspection::Inspection;
use crate::units::Preferences;

/// A message to the user that stays until it is read.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// What happened, in one line.
    pub summary: String,
    /// Expected, found, way out.
    pub details: String,
    /// Whether something could not be saved or read.
    pub is_trouble: bool,
    /// Whether it is about the garage as it was opened, and no longer true once one is opened afresh.
    pub is_of_garage: bool,
}

/// Makes the random part of new ids; seeded in tests.
#[derive(Debug)]
pub struct Ids(RefCell<fastrand::Rng>);

impl Ids {
    /// Different every time.
    pub fn random() -> Self {
        Self(RefCell::new(fastrand::Rng::new()))
    }
    /// The same every time, for tests.
    pub fn seeded(seed: u64) -> Self {
        Self(RefCell::new(fastrand::Rng::with_seed(seed)))
    }
    /// Eight letters and digits.
    pub fn fresh(&self) -> String {
        let mut rng = self.0.borrow_mut();
        (0..8).map(|_| char::from(b"abcdefghjkmnpqrstuvwxyz23456789"[rng.usize(..31)])).collect()
    }
}

/// What a panel may look at.
#[derive(Clone, Copy)]
pub struct ViewCtx<'a> {
    /// The garage.
    pub garage: &'a Garage,
    /// Its folder.
    pub folder: &'a Path,
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// What follows from both.
    pub derived: &'a Derived,
    /// The day.
    pub today: NaiveDate,
    /// The moment, for records that say when.
    pub now: NaiveDateTime,
    /// Sizes and colours of the theme in use.
    pub tokens: &'a Tokens,
    /// New ids.
    pub ids: &'a Ids,
    /// Files that could not be read, each with file, line, column and the way out.
    pub unreadable: &'a [String],
    /// What undo would take back.
    pub undo: Option<&'a str>,
    /// What redo would do again.
    pub redo: Option<&'a str>,
    /// Whether everything is on disk, or why not.
    pub saved: &'a Result<(), String>,
    /// The name of the person at the bench, remembered from last time.
    pub inspector: &'a str,
}

impl<'a> ViewCtx<'a> {
    /// The units the owner likes.
    pub fn units(&self) -> &'a Preferences {
        &self.garage.info.units
    }
    /// The bay in hand.
    pub fn bay(&self, state: &super::UiState) -> Option<&'a Bay> {
        self.garage.bay(state.machine.as_ref()?)
    }
    /// The inspection in hand.
    pub fn inspection(&self, state: &super::UiState) -> Option<&'a Inspection> {
        self.bay(state)?.inspection(state.inspection.as_ref()?)
    }
}
