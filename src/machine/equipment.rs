//! What a machine was built without, or carries beyond what is usual: it decides what it is asked about.

use serde::{Deserialize, Serialize};

use super::Layout;

macro_rules! equipment {
    ($($(#[$doc:meta])* $name:ident: $words:literal),+ $(,)?) => {
        /// A part that some machines were built without.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum Equipment {
            $($(#[$doc])* $name,)+
        }

        impl Equipment {
            /// Every part.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];
            /// In words: `indicators`.
            pub fn word(self) -> &'static str {
                match self {
                    $(Self::$name => $words,)+
                }
            }
        }
    };
}
equipment! {
    /// Lamps that show a turn.
    Indicators: "indicators",
    /// The lamp that shows braking.
    StopLamp: "stop lamp",
    /// A lamp to see by.
    Headlamp: "headlamp",
    /// The lamp at the tail.
    TailLamp: "tail lamp",
    /// A position lamp at the front.
    FrontPositionLamp: "front position lamp",
    /// The lamp over the number plate.
    PlateLamp: "plate lamp",
    /// Lamps beyond those required.
    ExtraLamps: "extra lamps",
    /// Reflectors.
    Reflectors: "reflectors",
    /// Lamps in the dash.
    TellTales: "tell-tales",
    /// A horn.
    Horn: "horn",
    /// Mirrors.
    Mirrors: "mirrors",
    /// A speedometer.
    Speedometer: "speedometer",
    /// An odometer.
    Odometer: "odometer",
    /// A lock of ignition or steering.
    Lock: "ignition or steering lock",
    /// A brake that holds it while it is parked.
    ParkingBrake: "parking brake",
    /// A cruise control.
    CruiseControl: "cruise control",
    /// A seat for a passenger.
    PassengerSeat: "passenger's seat",
    /// Carriers, cases and other fittings.
    Luggage: "luggage and carriers",
    /// A screen.
    Screen: "screen",
    /// Mudguards.
    Mudguards: "mudguards",
    /// A number plate.
    NumberPlate: "number plate",
    /// An air filter that can be looked at.
    AirFilter: "air filter",
}

impl Equipment {
    /// Whether a machine of a layout usually has it: a machine of which nothing is said is asked about what is usual. A
    /// parking brake is usual on three wheels only.
    pub fn is_usual(self, layout: Layout) -> bool {
        self != Self::ParkingBrake || matches!(layout, Layout::Trike | Layout::TwoFront)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::{Machine, MachineId};

    #[test]
    fn a_machine_has_what_is_usual_unless_its_record_says_otherwise() {
        let mut solo = Machine::new(MachineId("s".into()), "S", Layout::Solo);
        assert!(solo.has(Equipment::Indicators) && !solo.has(Equipment::ParkingBrake));
        assert!(Machine::new(MachineId("t".into()), "T", Layout::Trike).has(Equipment::ParkingBrake));
        solo.built_without.insert(Equipment::Indicators);
        solo.fitted_with.insert(Equipment::ParkingBrake);
        assert!(!solo.has(Equipment::Indicators) && solo.has(Equipment::ParkingBrake));
        let words: std::collections::BTreeSet<_> = Equipment::ALL.iter().map(|e| e.word()).collect();
        assert_eq!(words.len(), Equipment::ALL.len(), "each is told apart by its words");
    }
}
