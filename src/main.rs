//! The program: reads its arguments and opens the window or answers on the command line.

use std::process::ExitCode;

use stemclock::app::{Clock, WallClock};
use stemclock::cli;

fn main() -> ExitCode {
    let words: Vec<_> = std::env::args_os().collect();
    let cli = match cli::read(&words) {
        Ok(cli) => cli,
        Err(code) => return code,
    };
    env_logger::Builder::from_env(env_logger::Env::default().default_filter_or("warn")).init();
    cli::run(&cli, WallClock.now())
}
