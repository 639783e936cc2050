//! Where a guided walk is, as it is kept between two runs of the program: which steps in which order, which of them is
//! in hand, the minutes given and used, and what was typed and not yet entered.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::super::proposal::Proposal;
use crate::clock::Side;
use crate::guide::Leg;
use crate::inspection::InspectionId;
use crate::machine::MachineId;
use crate::ui::UiState;

/// Which screen the guided mode shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Phase {
    /// The minutes at hand are asked.
    #[default]
    Minutes,
    /// The plan is shown before it begins.
    Ready,
    /// One step after the other.
    Walk,
    /// The end of the walk.
    Done,
    /// The number of a sheet is asked.
    Number,
    /// The rows of a sheet.
    Entry,
}

/// One guided walk.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeptWalk {
    /// The machine.
    pub machine: MachineId,
    /// The inspection.
    pub inspection: InspectionId,
    /// The screen.
    #[serde(default)]
    pub phase: Phase,
    /// The minutes at hand; none for as long as it takes.
    #[serde(default)]
    pub minutes: Option<u32>,
    /// Whether only what fits into them is walked, where the required checks alone take longer.
    #[serde(default)]
    pub part: bool,
    /// Seconds used.
    #[serde(default)]
    pub used: u32,
    /// The steps in order.
    #[serde(default)]
    pub legs: Vec<Leg>,
    /// The step in hand, by its place among them.
    #[serde(default)]
    pub at: usize,
    /// The checks that were skipped.
    #[serde(default)]
    pub skipped: BTreeSet<String>,
    /// What is left out, with why.
    #[serde(default)]
    pub left_out: Vec<String>,
    /// Seconds that the required checks take beyond those given.
    #[serde(default)]
    pub missing: Option<u32>,
    /// How many required checks are left out.
    #[serde(default)]
    pub unchecked: usize,
    /// Why the engine is not started and why the machine is not ridden, as the plan was made.
    #[serde(default)]
    pub stop: (Option<String>, Option<String>),
    /// What changed when the plan was made anew.
    #[serde(default)]
    pub news: String,
    /// The number of the sheet that is typed in.
    #[serde(default)]
    pub sheet: String,
}

impl KeptWalk {
    /// A walk that has not begun.
    pub fn new(machine: MachineId, inspection: InspectionId) -> Self {
        Self {
            machine,
            inspection,
            phase: Phase::default(),
            minutes: None,
            part: false,
            used: 0,
            legs: Vec::new(),
            at: 0,
            skipped: BTreeSet::new(),
            left_out: Vec::new(),
            missing: None,
            unchecked: 0,
            stop: (None, None),
            news: String::new(),
            sheet: String::new(),
        }
    }
    /// The step in hand.
    pub fn leg(&self) -> Option<&Leg> {
        self.legs.get(self.at)
    }
    /// Seconds that the steps from the one in hand take.
    pub fn still(&self) -> u32 {
        self.legs.iter().skip(self.at).map(|l| l.seconds).sum()
    }
}

/// Everything of the walk-around that is in no record and must not be lost.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Kept {
    /// Whether the guided mode has the window.
    pub on: bool,
    /// The walks that were begun.
    pub walks: Vec<KeptWalk>,
    /// The walk in hand.
    pub hand: Option<(MachineId, InspectionId)>,
    /// Texts typed and not yet entered, by field.
    pub texts: BTreeMap<String, String>,
    /// The place of a finding that still has no fault, and whether its place is settled.
    pub naming: Option<(Proposal, bool)>,
    /// The side of the machine one stands on.
    pub side: Option<Side>,
}

impl Kept {
    /// What is to be kept now.
    pub fn of(state: &UiState) -> Self {
        let guided = &state.walk.guided;
        let texts = state.walk.drafts.under("").into_iter().collect();
        Self {
            on: guided.on,
            walks: guided.walks.clone(),
            hand: state.machine.clone().zip(state.inspection.clone()).filter(|_| guided.on),
            texts,
            naming: state.walk.proposal.clone().filter(|_| guided.on).map(|p| (p, guided.is_placed)),
            side: state.side.filter(|_| guided.on),
        }
    }
    /// Puts the window back to where it was.
    pub fn put_back(self, state: &mut UiState) {
        let Self { on, walks, hand, texts, naming, side } = self;
        if let Some((machine, inspection)) = hand {
            let walk = walks.iter().find(|w| w.machine == machine && w.inspection == inspection);
            // The check is in hand at once, or what was typed for it would be taken for a reading left behind.
            state.check = walk.and_then(KeptWalk::leg).map(|l| l.check.clone());
            state.walk.of = Some(inspection.clone());
            (state.machine, state.inspection) = (Some(machine), Some(inspection));
        }
        // What was half typed has the keyboard again: a field that is left is read, and this one was not left.
        let in_hand = state.check.as_ref().map(ToString::to_string);
        let mut keys: Vec<&String> = texts.keys().collect();
        keys.sort_by_key(|key| !in_hand.as_ref().is_some_and(|check| key.contains(check.as_str())));
        state.walk.drafts.focus_key = keys.first().map(|key| (*key).clone());
        for (key, text) in texts {
            state.walk.drafts.set(&key, text);
        }
        if let Some((proposal, is_placed)) = naming {
            state.walk.proposal = Some(proposal);
            state.walk.guided.is_placed = is_placed;
        }
        state.side = side.or(state.side);
        state.walk.guided.walks = walks;
        state.walk.guided.on = on;
    }
}
