//! What a command comes to: text or JSON for stdout, warnings for stderr, an exit code. A closed pipe ends quietly.

use std::io::{self, ErrorKind, Write};
use std::process::ExitCode;

use serde_json::Value;

use crate::guard;

/// The answer of a command that could be carried out.
#[derive(Debug, Default)]
pub struct Answer {
    /// For people.
    pub text: String,
    /// The same as data.
    pub json: Value,
    /// For stderr: what is worth knowing beside the answer, for example files that could not be read.
    pub warnings: Vec<String>,
    /// The exit code.
    pub exit: Exit,
}

/// How a command ends.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Exit {
    /// Done.
    #[default]
    Done = 0,
    /// It could not be done, or not all of it (a picture or a sheet was refused), or `validate` found problems.
    Failed = 1,
    /// Done, and the verdict is one that `--fail-on` asks about, or a report was found altered.
    AskedAbout = 3,
}

/// Why a command could not be carried out: expected, found, and the way out in one message.
#[derive(Debug)]
pub struct Failure(pub String);

impl Failure {
    /// From its three parts.
    pub fn expected(expected: &str, found: impl std::fmt::Display, way_out: &str) -> Self {
        Self(format!("expected {expected}, found {found}: {way_out}"))
    }
}

impl Answer {
    /// Prints the answer and gives the exit code.
    pub fn print(&self, as_json: bool) -> ExitCode {
        // Warnings go first, so that they stand above a long answer in a terminal.
        for warning in &self.warnings {
            complain(&format!("stemclock: {warning}"));
        }
        let text = if as_json {
            guard::json(&format!("{:#}\n", self.json)).into_owned()
        } else {
            guard::text(&self.text).into_owned()
        };
        match write_out(&text) {
            Ok(()) => ExitCode::from(self.exit as u8),
            Err(error) => {
                complain(&format!("stemclock: the answer could not be written to stdout: {error}"));
                ExitCode::from(Exit::Failed as u8)
            }
        }
    }
}

impl Failure {
    /// Prints the message to stderr and gives the exit code.
    pub fn print(&self) -> ExitCode {
        complain(&format!("stemclock: {}", self.0));
        ExitCode::from(Exit::Failed as u8)
    }
}

/// Writes to stdout. A reader that has seen enough (`| head`) is no failure.
fn write_out(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// Writes a line to stderr. Where stderr is closed there is nobody left to tell.
fn complain(line: &str) {
    let mut out = io::stderr().lock();
    // What a stranger's file says must not command the terminal.
    if writeln!(out, "{}", guard::text(line)).is_err() {
        log::debug!("stderr is closed");
    }
}
