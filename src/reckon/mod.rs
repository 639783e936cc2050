//! The calculators: one file each, one line in [`CALCULATORS`]. The window and the command line use the same functions.
//!
//! A calculator is a struct of its entries that derives `clap::Args`, so that its entries, their help and their
//! command-line form are written once. Its answer carries the result, the formula with the numbers put in and the
//! source. Must not know files, the window or the clock: the day is an argument.

mod answer;
mod battery;
mod belt;
mod bolt;
mod brake_fluid;
mod braking;
mod chain;
mod clock;
mod convert;
mod entry;
mod form;
mod headlamp;
mod pressure;
mod runout;
mod sag;
mod tin;
pub mod torque;
mod tread;
mod trend;
mod tyre;
mod vin;

pub use answer::{ReckonError, Reckoning};
pub use battery::Battery;
pub use belt::Belt;
pub use bolt::Bolt;
pub use brake_fluid::BrakeFluid;
pub use braking::{Brakes, Braking};
pub use chain::Chain;
pub use clock::Clock;
pub use convert::Convert;
pub use form::{FormEntry, SAID};
pub use headlamp::Headlamp;
pub use pressure::TyrePressure;
pub use runout::{Runout, Way};
pub use sag::Sag;
pub use tin::TinAge;
pub use torque::WrenchTorque;
pub use tread::TreadDepth;
pub use trend::Trend;
pub use tyre::TyreFigures;
pub use vin::{Vin, vin_remark};

use chrono::NaiveDate;
use clap::{ArgMatches, Args, Command};

/// A calculator with its entries.
pub trait Reckon: Args {
    /// What it is called on the command line.
    const ID: &'static str;
    /// What it works out, in one plain sentence.
    const ABOUT: &'static str;
    /// A command that shows its use, without `stemclock reckon`.
    const EXAMPLE: &'static str;
    /// Works it out. `today` is used where an age is asked for and no day is given.
    ///
    /// # Errors
    /// Entries that make no sense together, with expected, found and the way out.
    fn reckon(&self, today: NaiveDate) -> Result<Reckoning, ReckonError>;
}

/// A calculator as the table holds it.
pub struct Calculator {
    /// What it is called on the command line.
    pub id: &'static str,
    /// What it works out.
    pub about: &'static str,
    /// A command that shows its use.
    pub example: &'static str,
    arguments: fn(Command) -> Command,
    run: fn(&ArgMatches, NaiveDate) -> Result<Reckoning, ReckonError>,
}

impl Calculator {
    const fn of<R: Reckon>() -> Self {
        fn run<R: Reckon>(matches: &ArgMatches, today: NaiveDate) -> Result<Reckoning, ReckonError> {
            R::from_arg_matches(matches).map_err(|e| ReckonError::new(e.to_string()))?.reckon(today)
        }
        Self { id: R::ID, about: R::ABOUT, example: R::EXAMPLE, arguments: R::augment_args, run: run::<R> }
    }
    /// Its command with all its arguments and their help.
    pub fn command(&self) -> Command {
        let command = Command::new(self.id).about(self.about);
        (self.arguments)(command).about(self.about).long_about(None).after_help(format!(
            "Example:\n  stemclock reckon {}\n\nPrints the result, the formula with the numbers put in, and the source. \
             Every quantity is written with its unit, for example \"36 psi\", \"2,5 bar\", \"4/32\", \"-5 C\".",
            self.example
        ))
    }
    /// Works it out from parsed arguments.
    ///
    /// # Errors
    /// See [`Reckon::reckon`].
    pub fn run(&self, matches: &ArgMatches, today: NaiveDate) -> Result<Reckoning, ReckonError> {
        (self.run)(matches, today)
    }
}

/// Every calculator, in the order in which help lists them.
pub static CALCULATORS: &[Calculator] = &[
    Calculator::of::<TyreFigures>(),
    Calculator::of::<Clock>(),
    Calculator::of::<TyrePressure>(),
    Calculator::of::<TreadDepth>(),
    Calculator::of::<TinAge>(),
    Calculator::of::<Chain>(),
    Calculator::of::<Belt>(),
    Calculator::of::<WrenchTorque>(),
    Calculator::of::<Bolt>(),
    Calculator::of::<Runout>(),
    Calculator::of::<Braking>(),
    Calculator::of::<BrakeFluid>(),
    Calculator::of::<Battery>(),
    Calculator::of::<Sag>(),
    Calculator::of::<Headlamp>(),
    Calculator::of::<Vin>(),
    Calculator::of::<Trend>(),
    Calculator::of::<Convert>(),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_calculator_has_its_own_name_and_sound_arguments() {
        let mut ids: Vec<_> = CALCULATORS.iter().map(|c| c.id).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), CALCULATORS.len(), "a calculator's name is used twice");
        for calculator in CALCULATORS {
            calculator.command().debug_assert();
            assert!(calculator.example.starts_with(calculator.id), "{}", calculator.id);
        }
    }
}
