//! The headless doors: the same core answers on the command line, for scripts, tests and people without a display.
//!
//! Every command has `--json`, ends with a code that says how it went, and prints errors to stderr with what was
//! expected, what was found, and the way out. Must not judge or change anything itself.

mod answer;
mod args;
mod garage;
mod judge;
mod reckon;
mod report;
mod status;
mod validate;
mod window;
mod words;

use std::process::ExitCode;

use chrono::{DateTime, FixedOffset};

pub use answer::{Answer, Exit, Failure};
pub use args::{Cli, Command, FailOn};

/// Carries out what was asked. `now` is used where no day is given.
pub fn run(cli: &Cli, now: DateTime<FixedOffset>) -> ExitCode {
    match dispatch(cli, now) {
        Ok(Some(answer)) => answer.print(cli.json),
        Ok(None) => ExitCode::SUCCESS,
        Err(failure) => failure.print(),
    }
}

fn dispatch(cli: &Cli, now: DateTime<FixedOffset>) -> Result<Option<Answer>, Failure> {
    let Some(command) = &cli.command else {
        if cli.json {
            return Err(Failure::expected(
                "a command with --json",
                "none",
                "name one, as in stemclock status FOLDER --json; the window prints no JSON",
            ));
        }
        return window::open(cli.folder.as_deref(), cli.frames).map(|()| None);
    };
    if cli.folder.is_some() || cli.frames.is_some() {
        return Err(Failure::expected(
            "a command, or a folder to open in the window",
            "both",
            "write the folder after the command, as in stemclock status FOLDER",
        ));
    }
    let today = now.date_naive();
    match command {
        Command::Report(args) => report::report(args, now),
        Command::Reckon(request) => reckon::reckon(request, today),
        Command::Status(args) => status::status(args, today),
        Command::Validate(args) => validate::validate(args, today),
        Command::Judge(args) => judge::judge(args, today),
    }
    .map(Some)
}
