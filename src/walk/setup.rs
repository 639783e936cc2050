//! How the machine is set up while a check is done, and what it takes to set it up otherwise.

use serde::{Deserialize, Serialize};

use super::EngineNow;
use crate::machine::Stance;

/// How the machine stands, with the wheel that is off the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Pose {
    /// Leaning on the side stand.
    SideStand,
    /// Held or stood upright, every wheel on the ground.
    Upright,
    /// On the centre stand.
    CentreStand,
    /// Front wheel off the ground.
    FrontRaised,
    /// Rear wheel off the ground.
    RearRaised,
    /// Sidecar wheel off the ground.
    SidecarRaised,
    /// Upright with the rider aboard.
    Aboard,
}

impl Pose {
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::SideStand => Stance::SideStand.word(),
            Self::Upright => Stance::Upright.word(),
            Self::CentreStand => Stance::CentreStand.word(),
            Self::FrontRaised => Stance::FrontRaised.word(),
            Self::RearRaised => Stance::RearRaised.word(),
            Self::SidecarRaised => "sidecar wheel raised",
            Self::Aboard => Stance::RiderAboard.word(),
        }
    }
    /// In ids: `front-raised`.
    pub fn id(self) -> &'static str {
        match self {
            Self::SideStand => "side-stand",
            Self::Upright => "upright",
            Self::CentreStand => "centre-stand",
            Self::FrontRaised => "front-raised",
            Self::RearRaised => "rear-raised",
            Self::SidecarRaised => "sidecar-raised",
            Self::Aboard => "rider-aboard",
        }
    }
    /// Whether a wheel is off the ground by a lift; never two of these at once.
    pub fn is_raised(self) -> bool {
        matches!(self, Self::FrontRaised | Self::RearRaised | Self::SidecarRaised)
    }
    /// Seconds to bring the machine into the pose, and out of it again, from standing upright in the hands. Common
    /// practice of one person with stands ready.
    fn seconds(self) -> (u32, u32) {
        match self {
            Self::Upright => (6, 6),
            Self::SideStand => (6, 6),
            Self::CentreStand => (30, 21),
            Self::FrontRaised => (120, 60),
            Self::RearRaised => (90, 45),
            Self::SidecarRaised => (90, 45),
            Self::Aboard => (12, 12),
        }
    }
}

impl From<Stance> for Pose {
    fn from(stance: Stance) -> Self {
        match stance {
            Stance::SideStand => Self::SideStand,
            Stance::Upright => Self::Upright,
            Stance::CentreStand => Self::CentreStand,
            Stance::FrontRaised => Self::FrontRaised,
            Stance::RearRaised => Self::RearRaised,
            Stance::RiderAboard => Self::Aboard,
        }
    }
}

/// How the machine is set up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Setup {
    /// How it stands.
    pub pose: Pose,
    /// What the engine does.
    pub engine: EngineNow,
    /// Whether the ignition is on; always while the engine runs.
    pub ignition: bool,
    /// Whether seat and covers are off; never on the road.
    pub covers_off: bool,
    /// Whether luggage is off; it is put on again after the walk.
    pub luggage_off: bool,
}

impl Setup {
    /// In words: `on the side stand, engine off, ignition on`.
    pub fn words(&self) -> String {
        let mut words = format!("{}, {}", self.pose.word(), self.engine.word());
        if self.ignition && self.engine.is_at_rest() {
            words.push_str(", ignition on");
        }
        if self.covers_off {
            words.push_str(", seat and covers off");
        }
        if self.luggage_off {
            words.push_str(", luggage off");
        }
        words
    }

    /// Seconds to set the machine up otherwise; none where it cannot be done during the walk.
    pub fn seconds_to(&self, to: &Self) -> Option<u32> {
        if self.luggage_off && !to.luggage_off {
            return None;
        }
        let engine = self.engine.seconds_to(to.engine)?;
        Some(engine + self.changes_to(to).iter().map(|c| c.seconds_beside_engine()).sum::<u32>())
    }

    /// What is done to set the machine up otherwise, in order: covers before the machine moves, the engine last.
    pub fn changes_to(&self, to: &Self) -> Vec<Change> {
        let mut changes = Vec::new();
        if self.engine == EngineNow::OnTheRoad && to.engine != EngineNow::OnTheRoad {
            changes.push(Change::RideBack);
        }
        if self.engine == EngineNow::Running && to.engine.is_at_rest() {
            changes.push(if to.engine == EngineNow::Warm { Change::WarmUpAndStop } else { Change::Stop });
        }
        let has_stopped = self.engine.is_at_rest() || to.engine == self.engine;
        if has_stopped && self.engine.is_at_rest() && to.engine.is_at_rest() {
            match (self.ignition, to.ignition) {
                (true, false) => changes.push(Change::IgnitionOff),
                (false, true) => changes.push(Change::IgnitionOn),
                _ => {}
            }
        } else if !self.engine.is_at_rest() && to.engine.is_at_rest() && to.ignition {
            changes.push(Change::IgnitionOn);
        }
        if !self.luggage_off && to.luggage_off {
            changes.push(Change::LuggageOff);
        }
        match (self.covers_off, to.covers_off) {
            (true, false) => changes.push(Change::CoversOn),
            (false, true) => changes.push(Change::CoversOff),
            _ => {}
        }
        if self.pose != to.pose {
            changes.push(Change::Pose { from: self.pose, to: to.pose });
        }
        match (self.engine, to.engine) {
            (a, EngineNow::Running) if a.is_at_rest() => changes.push(Change::Start),
            (a, EngineNow::OnTheRoad) if a.is_at_rest() => {
                changes.push(Change::Start);
                changes.push(Change::RideOut);
            }
            (EngineNow::Running, EngineNow::OnTheRoad) => changes.push(Change::RideOut),
            (EngineNow::Cold | EngineNow::Off, EngineNow::Warm) => {
                changes.push(Change::Start);
                changes.push(Change::WarmUpAndStop);
            }
            (EngineNow::Hot | EngineNow::OnTheRoad, EngineNow::Warm) => changes.push(Change::CoolDown),
            _ => {}
        }
        changes
    }
}

/// One thing done to the machine between two checks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Change {
    /// From one pose to another, with the raised end let down first.
    Pose {
        /// How it stood.
        from: Pose,
        /// How it stands then.
        to: Pose,
    },
    /// Ignition on, engine not started.
    IgnitionOn,
    /// Ignition off.
    IgnitionOff,
    /// Seat and covers off.
    CoversOff,
    /// Seat and covers on again.
    CoversOn,
    /// Luggage off.
    LuggageOff,
    /// Start the engine.
    Start,
    /// Stop the engine.
    Stop,
    /// Let it run until warm, then stop it.
    WarmUpAndStop,
    /// Let a hot engine cool until it is only warm.
    CoolDown,
    /// Ride out.
    RideOut,
    /// Ride back and stop.
    RideBack,
}

impl Change {
    /// In words, as told to the person.
    pub fn words(self) -> String {
        match self {
            Self::Pose { from, to } => {
                let down = if from.is_raised() { "let it down, then " } else { "" };
                let up = match to {
                    Pose::SideStand => "put it on the side stand",
                    Pose::Upright => "stand it upright",
                    Pose::CentreStand => "put it on the centre stand",
                    Pose::FrontRaised => "raise the front",
                    Pose::RearRaised => "raise the rear",
                    Pose::SidecarRaised => "raise the sidecar wheel",
                    Pose::Aboard => "sit on it",
                };
                format!("{down}{up}")
            }
            Self::IgnitionOn => "ignition on".into(),
            Self::IgnitionOff => "ignition off".into(),
            Self::CoversOff => "take seat and covers off".into(),
            Self::CoversOn => "put seat and covers on".into(),
            Self::LuggageOff => "take the luggage off".into(),
            Self::Start => "start the engine".into(),
            Self::Stop => "stop the engine".into(),
            Self::WarmUpAndStop => "let it run until warm, then stop it".into(),
            Self::CoolDown => "let it cool until it is only warm".into(),
            Self::RideOut => "gear on, ride out".into(),
            Self::RideBack => "ride back and stop".into(),
        }
    }
    /// The id of the catalogue's caution that belongs to it, if any.
    pub fn caution(self) -> Option<&'static str> {
        match self {
            Self::Pose { to, .. } if to.is_raised() => Some("raised-machine"),
            Self::Start | Self::WarmUpAndStop => Some("carbon-monoxide"),
            Self::RideOut => Some("road-trial"),
            Self::RideBack => Some("hot-parts"),
            _ => None,
        }
    }
    /// Its seconds, those of the engine left out (see [`EngineNow::seconds_to`]). Common practice.
    fn seconds_beside_engine(self) -> u32 {
        match self {
            Self::Pose { from, to } => from.seconds().1 + to.seconds().0,
            Self::IgnitionOn | Self::IgnitionOff => 3,
            Self::CoversOff | Self::CoversOn => 120,
            Self::LuggageOff => 60,
            Self::Start | Self::Stop | Self::WarmUpAndStop | Self::CoolDown | Self::RideOut | Self::RideBack => 0,
        }
    }
}
