//! The headless doors: the same core answers on the command line, for scripts, tests and people without a display.
//!
//! Every command has `--json`, ends with a code that says how it went, and prints errors to stderr with what was
//! expected, what was found, and the way out. Must not judge or change anything itself.

mod answer;
mod args;
mod class;
mod due;
mod garage;
mod import;
mod judge;
mod photo;
mod readings;
mod reckon;
mod repairs;
mod report;
mod status;
mod validate;
mod verify;
mod walk;
mod window;
mod words;

use std::ffi::OsString;
use std::path::Path;
use std::process::ExitCode;

use chrono::{DateTime, FixedOffset};
use clap::error::ErrorKind;
use clap::{CommandFactory, Parser};

pub use answer::{Answer, Exit, Failure};
pub use args::{Cli, Command, FailOn};

/// Reads the command line. A mistyped command would else be taken for the folder of the window, and the complaint would
/// be about the word after it.
///
/// # Errors
/// The exit code, after the reason has been printed.
pub fn read(words: &[OsString]) -> Result<Cli, ExitCode> {
    let error = match Cli::try_parse_from(words) {
        Ok(cli) => return Ok(cli),
        Err(error) => error,
    };
    let first = words.get(1).map(|word| word.to_string_lossy()).unwrap_or_default();
    let is_command = Cli::command().get_subcommands().any(|c| c.get_name() == first);
    let could_be_one = !first.is_empty() && !first.starts_with('-') && !Path::new(first.as_ref()).exists();
    if error.kind() == ErrorKind::UnknownArgument && could_be_one && !is_command {
        let known: Vec<String> = Cli::command().get_subcommands().map(|c| c.get_name().to_owned()).collect();
        let found = format!("\"{first}\"");
        let failure = Failure::expected(
            &format!("a command, one of {}, or the folder of a garage", known.join(", ")),
            found,
            "see stemclock --help",
        );
        failure.print();
    } else if let Err(e) = error.print() {
        log::debug!("the reason could not be printed: {e}");
    }
    Err(ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2)))
}

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
        Command::Verify(args) => verify::verify(args, today),
        Command::Class(args) => class::class(args, now),
        Command::Reckon(request) => reckon::reckon(request, today),
        Command::Due(args) => due::due(args, today),
        Command::Status(args) => status::status(args, today),
        Command::Validate(args) => validate::validate(args, today),
        Command::Photo(args) => photo::photo(&args.what),
        Command::Walk(args) => walk::walk(args, today),
        Command::Judge(args) => judge::judge(args, today),
    }
    .map(Some)
}
