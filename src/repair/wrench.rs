//! A torque wrench with an extension on its drive, as the user has it in hand.

use crate::reckon::torque::wrench_setting;
use crate::units::{Length, Torque};

/// The lengths that change what a wrench is set to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wrench {
    /// From the drive to the middle of the grip.
    pub length: Length,
    /// From the drive to the fastener.
    pub extension: Length,
    /// The angle between the two in degrees: 0 in line, 90 square.
    pub angle: f64,
}

impl Wrench {
    /// What it is set to for a torque at the fastener, in the unit of that torque. Errors: lengths that cannot be, with
    /// the way out.
    pub fn setting(&self, wanted: Torque) -> Result<Torque, String> {
        let newton_metres =
            wrench_setting(wanted, self.length, self.extension, self.angle).map_err(|e| e.to_string())?;
        Ok(Torque::newton_metres(newton_metres).to_unit(wanted.unit()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_setting_is_that_of_the_published_examples() {
        // US Navy training text: 100 at the fastener, wrench 12 in, extension 6 in: 66.7.
        let wrench = Wrench { length: Length::inch(12.0), extension: Length::inch(6.0), angle: 0.0 };
        let set = wrench.setting(Torque::newton_metres(100.0)).expect("a setting");
        assert!((set.base() - 66.667).abs() < 0.001, "{set}");
        // Aircraft manual: 30 lbf·ft, 1 ft, 0.25 ft: 24.
        let wrench = Wrench { length: Length::inch(12.0), extension: Length::inch(3.0), angle: 0.0 };
        let wanted = Torque::parse("30 lbf·ft", None).expect("a torque");
        let set = wrench.setting(wanted).expect("a setting");
        assert!((set.amount() - 24.0).abs() < 1e-9 && set.unit() == wanted.unit(), "{set}");
        let wrong = Wrench { length: Length::mm(0.0), ..wrench };
        assert!(wrong.setting(wanted).is_err());
    }
}
