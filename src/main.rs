//! The program: reads its arguments and opens the window or answers on the command line.

use std::io::Write as _;
use std::process::ExitCode;

use stemclock::app::{Clock, WallClock};
use stemclock::cli;
use stemclock::guard;
use stemclock::report::pdf::UNLOGGED;

fn main() -> ExitCode {
    let words: Vec<_> = std::env::args_os().collect();
    let cli = match cli::read(&words) {
        Ok(cli) => cli,
        Err(code) => return code,
    };
    let filter = format!("warn,{UNLOGGED}");
    env_logger::Builder::from_env(env_logger::Env::default().default_filter_or(filter))
        .format(|out, record| {
            let words = record.args().to_string();
            writeln!(out, "[{} {}] {}", record.level(), record.target(), guard::text(&words))
        })
        .init();
    cli::run(&cli, WallClock.now())
}
