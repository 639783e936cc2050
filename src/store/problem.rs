//! A problem in a file of the garage, with the place and the line itself. Must not know how it was found.

use std::fmt;

use serde::Serialize;

use crate::guard;

/// What is wrong in one file: it prints as `path:line:column: expected …, found …: way out` and the line below.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// The file, from the garage's folder, with `/` between the parts.
    pub path: String,
    /// Line from 1, where one is to blame.
    pub line: Option<usize>,
    /// Column from 1, in characters.
    pub column: Option<usize>,
    /// The line itself, cut to what can be read.
    pub source_line: Option<String>,
    /// What was expected, what was found, and the way out.
    pub message: String,
    /// The schema of the file where it is newer than this version knows: the file must not be rewritten.
    pub newer_schema: Option<u32>,
}

/// Characters of a line that are shown at most.
const SHOWN: usize = 160;

impl Problem {
    /// A problem of a file as a whole.
    pub fn whole(path: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            path: guard::line(&path.into()).into_owned(),
            line: None,
            column: None,
            source_line: None,
            message: guard::brief(&guard::text(&message.into())).into_owned(),
            newer_schema: None,
        }
    }
    /// A problem at a line and column (both from 1) of a text.
    pub fn at(path: impl Into<String>, text: &str, line: usize, column: usize, message: impl Into<String>) -> Self {
        let mut problem = Self::whole(path, message);
        problem.line = Some(line);
        problem.column = Some(column);
        problem.source_line =
            text.lines().nth(line.saturating_sub(1)).map(|l| guard::line(&window(l, column)).into_owned());
        problem
    }
    /// A problem at the first place where `needle` stands in a text, or of the whole file if it stands nowhere.
    pub fn near(path: impl Into<String>, text: &str, needle: &str, message: impl Into<String>) -> Self {
        match locate(text, needle) {
            Some((line, column)) => Self::at(path, text, line, column, message),
            None => Self::whole(path, message),
        }
    }
}

/// The line and column, from 1 and in characters, where `needle` first stands outside the head's comments.
pub(super) fn locate(text: &str, needle: &str) -> Option<(usize, usize)> {
    if needle.is_empty() {
        return None;
    }
    text.lines().enumerate().find_map(|(index, line)| {
        let at = line.find(needle)?;
        (!line.trim_start().starts_with("//")).then(|| (index + 1, line[..at].chars().count() + 1))
    })
}

/// A long line cut round a column.
fn window(line: &str, column: usize) -> String {
    let count = line.chars().count();
    if count <= SHOWN {
        return line.to_owned();
    }
    let from = column.saturating_sub(SHOWN / 2).min(count - SHOWN);
    let middle: String = line.chars().skip(from).take(SHOWN).collect();
    format!("{}{middle}{}", if from > 0 { "…" } else { "" }, if from + SHOWN < count { "…" } else { "" })
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.path)?;
        if let (Some(line), Some(column)) = (self.line, self.column) {
            write!(f, ":{line}:{column}")?;
        }
        write!(f, ": {}", self.message)?;
        if let (Some(line), Some(source)) = (self.line, &self.source_line) {
            write!(f, "\n  {line} | {source}")?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_problem_names_the_place_and_shows_the_line() {
        let text = "// name\n(\n  name: 3,\n)";
        let problem = Problem::near("garage.ron", text, "name", "expected words, found 3: put it in quotes");
        assert_eq!(problem.to_string(), "garage.ron:3:3: expected words, found 3: put it in quotes\n  3 |   name: 3,");
        let whole = Problem::near("garage.ron", text, "absent", "expected it");
        assert_eq!(whole.to_string(), "garage.ron: expected it");
    }

    #[test]
    fn a_very_long_line_is_cut_round_the_column() {
        let line = format!("{}X{}", "a".repeat(1000), "b".repeat(1000));
        let shown = window(&line, 1001);
        assert!(shown.contains('X') && shown.chars().count() <= SHOWN + 2, "{shown}");
    }
}
