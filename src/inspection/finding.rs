//! A finding: what is wrong, where, how bad by whose rule, and who thinks otherwise.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::{CheckRef, Zone};
use crate::clock::Spot;
use crate::machine::WheelPosition;
use crate::photo::PhotoRef;
use crate::units::Length;

/// The three classes of Directive 2014/45/EU, article 7, in rising order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Severity {
    /// No significant effect on safety.
    Minor,
    /// May prejudice safety.
    Major,
    /// A direct and immediate risk.
    Dangerous,
}

impl Severity {
    /// All three, least first.
    pub const ALL: [Self; 3] = [Self::Minor, Self::Major, Self::Dangerous];
    /// The word that always stands beside the mark.
    pub fn word(self) -> &'static str {
        match self {
            Self::Minor => "minor",
            Self::Major => "major",
            Self::Dangerous => "dangerous",
        }
    }
}

/// Whether a person may set a severity against the proposed one (house rule 3): anyone may raise; minor and major may
/// be lowered with a reason; a dangerous clears only by repair plus a second look, or by withdrawal.
pub fn may_overrule(proposed: Severity, set: Severity) -> bool {
    set >= proposed || proposed < Severity::Dangerous
}

/// A place where one stands on the walk round the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Station {
    /// At the front wheel.
    FrontWheel,
    /// At the handlebar.
    Bars,
    /// At the machine's left side.
    LeftFlank,
    /// At the engine.
    EngineRoom,
    /// Down beside or under the machine.
    Underneath,
    /// At the machine's right side.
    RightFlank,
    /// At the rear wheel.
    RearWheel,
    /// Behind the machine.
    Tail,
    /// At the sidecar.
    SidecarSide,
    /// In the saddle.
    Saddle,
    /// On the road.
    OnTheRoad,
}

impl Station {
    /// Every station in walking order.
    pub const ALL: [Self; 11] = [
        Self::FrontWheel,
        Self::Bars,
        Self::LeftFlank,
        Self::EngineRoom,
        Self::Underneath,
        Self::RearWheel,
        Self::Tail,
        Self::RightFlank,
        Self::SidecarSide,
        Self::Saddle,
        Self::OnTheRoad,
    ];
    /// Where one stands for a wheel.
    pub fn of_wheel(wheel: WheelPosition) -> Self {
        match wheel {
            WheelPosition::Sidecar => Self::SidecarSide,
            w if w.is_front() => Self::FrontWheel,
            _ => Self::RearWheel,
        }
    }
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::FrontWheel => "front wheel",
            Self::Bars => "at the bars",
            Self::LeftFlank => "left flank",
            Self::EngineRoom => "engine room",
            Self::Underneath => "underneath",
            Self::RightFlank => "right flank",
            Self::RearWheel => "rear wheel",
            Self::Tail => "tail",
            Self::SidecarSide => "sidecar",
            Self::Saddle => "saddle",
            Self::OnTheRoad => "on the road",
        }
    }
}

/// Where a finding is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Place {
    /// On a wheel, at a spot where it has one.
    Wheel {
        /// Which wheel.
        position: WheelPosition,
        /// Which zone.
        zone: Zone,
        /// Where round it; none for the whole zone (an even wear, a play).
        spot: Option<Spot>,
    },
    /// Elsewhere: a station and the part in words.
    Part {
        /// Where one stands to see it.
        station: Station,
        /// The part in the finder's words.
        part: String,
    },
}

/// The id of a finding: random, unique in the garage.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct FindingId(pub String);

impl fmt::Display for FindingId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A severity set by a person against the proposed one, with the reason. The record keeps both.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Overrule {
    /// The severity by the person.
    pub severity: Severity,
    /// Why.
    pub reason: String,
    /// Who.
    pub by: String,
}

impl Overrule {
    /// The class that counts where a rule proposed another one. Lowering without a reason, or below dangerous, counts
    /// for nothing, whoever wrote it into the file.
    pub fn over(&self, proposed: Severity) -> Severity {
        let reasoned = self.severity >= proposed || !self.reason.trim().is_empty();
        if reasoned && may_overrule(proposed, self.severity) { self.severity } else { proposed }
    }
}

/// A defect that was seen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Finding {
    /// Its id.
    pub id: FindingId,
    /// The check it was found by.
    pub check: CheckRef,
    /// The fault of that check, by its id in the catalogue.
    pub fault: String,
    /// Where it is.
    pub place: Place,
    /// Its size, where it was measured.
    #[serde(default)]
    pub size: Option<Length>,
    /// A remark.
    #[serde(default)]
    pub note: String,
    /// A severity set by a person.
    #[serde(default)]
    pub overrule: Option<Overrule>,
    /// Photos in the machine's photo folder.
    #[serde(default)]
    pub photos: Vec<PhotoRef>,
}
