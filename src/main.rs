//! The program: reads its arguments and opens the window or answers on the command line.

use std::process::ExitCode;

use clap::Parser;
use stemclock::app::{Clock, WallClock};
use stemclock::cli::{self, Cli};

fn main() -> ExitCode {
    let cli = Cli::parse();
    env_logger::Builder::from_env(env_logger::Env::default().default_filter_or("warn")).init();
    cli::run(&cli, WallClock.now())
}
