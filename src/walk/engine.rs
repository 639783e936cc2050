//! What the engine (or motor) is doing, how long it takes to change that, and what cannot be changed back.

use serde::{Deserialize, Serialize};

/// What the engine does at one moment of the walk.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum EngineNow {
    /// Not run since it stood at least three hours. Once it has run, this does not come back during the walk.
    Cold,
    /// Off, neither cold nor warmed up.
    Off,
    /// Running at a stand.
    Running,
    /// Off after it has run until warm.
    Warm,
    /// On the road.
    OnTheRoad,
    /// Off, straight after a ride.
    Hot,
}

impl EngineNow {
    /// Every state.
    pub const ALL: [Self; 6] = [Self::Cold, Self::Off, Self::Running, Self::Warm, Self::OnTheRoad, Self::Hot];
    /// The states in which it is off.
    pub const AT_REST: [Self; 4] = [Self::Cold, Self::Off, Self::Warm, Self::Hot];

    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Cold => "engine cold",
            Self::Off => "engine off",
            Self::Running => "engine running",
            Self::Warm => "engine off and warm",
            Self::OnTheRoad => "on the road",
            Self::Hot => "engine off and hot from the ride",
        }
    }
    /// In ids: `on-the-road`.
    pub fn id(self) -> &'static str {
        match self {
            Self::Cold => "cold",
            Self::Off => "off",
            Self::Running => "running",
            Self::Warm => "warm",
            Self::OnTheRoad => "on-the-road",
            Self::Hot => "hot",
        }
    }
    /// Whether it is off.
    pub fn is_at_rest(self) -> bool {
        Self::AT_REST.contains(&self)
    }

    /// The seconds it takes to bring it to another state; none where there is no way during the walk. Common
    /// practice: a few seconds to start and stop, four minutes until warm, five minutes into the gear and out on the
    /// road, one minute back in, ten minutes from hot to warm. Nothing leads back to cold, and only a ride to hot.
    pub fn seconds_to(self, to: Self) -> Option<u32> {
        const START: u32 = 21;
        const STOP: u32 = 6;
        const WARM_UP: u32 = 240;
        const RIDE_OUT: u32 = 300;
        const RIDE_BACK: u32 = 60;
        const COOL_DOWN: u32 = 600;
        match (self, to) {
            (a, b) if a == b => Some(0),
            (_, Self::Cold) => None,
            (Self::OnTheRoad, Self::Hot | Self::Running) => Some(RIDE_BACK),
            (_, Self::Hot) => None,
            (a, Self::Running) if a.is_at_rest() => Some(START),
            (Self::Running, Self::OnTheRoad) => Some(RIDE_OUT),
            (a, Self::OnTheRoad) if a.is_at_rest() => Some(START + RIDE_OUT),
            (Self::Running, Self::Off) => Some(STOP),
            (Self::Running, Self::Warm) => Some(WARM_UP + STOP),
            (Self::Hot, Self::Warm) => Some(COOL_DOWN),
            (Self::OnTheRoad, Self::Warm) => Some(RIDE_BACK + COOL_DOWN),
            (Self::Cold | Self::Off, Self::Warm) => Some(START + WARM_UP + STOP),
            // A warm engine is off already where off is asked; it is never left to grow cold on purpose.
            _ => None,
        }
    }
}
