//! A calculator as a form: its entries with their help, and an answer from typed texts. So a window needs no form of its
//! own for each calculator, and never says anything that the command line does not.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use clap::error::ErrorKind;
use clap::{Arg, ArgAction};

use super::{Calculator, ReckonError, Reckoning};

/// One entry of a calculator.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormEntry {
    /// Its id, which is also the option's name on the command line.
    pub id: String,
    /// What is to be typed, one sentence.
    pub help: String,
    /// Whether several may be typed, apart by semicolons.
    pub many: bool,
    /// Whether nothing can be worked out without it.
    pub required: bool,
    /// Whether it is said or not said, with nothing to type.
    pub is_flag: bool,
    /// What holds where nothing is typed; may be empty.
    pub default: String,
    /// The words that may be typed, where only some may.
    pub choices: Vec<String>,
}

/// What stands between several values of one entry.
const BETWEEN: char = ';';
/// What a flag holds when it is said.
pub const SAID: &str = "yes";

impl Calculator {
    /// Its entries in the order of its help.
    pub fn entries(&self) -> Vec<FormEntry> {
        let command = self.command();
        command.get_arguments().filter(|a| a.get_id() != "help").map(entry).collect()
    }

    /// Works it out from texts by entry id; what is blank was not typed.
    ///
    /// # Errors
    /// What is missing or cannot be read, with expected, found and the way out.
    pub fn answer(&self, typed: &BTreeMap<String, String>, today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let command = self.command().no_binary_name(true);
        let mut words: Vec<String> = Vec::new();
        let mut positional: Vec<String> = Vec::new();
        for arg in command.get_arguments() {
            let id = arg.get_id().as_str();
            let Some(text) = typed.get(id).map(|t| t.trim()).filter(|t| !t.is_empty()) else { continue };
            if is_flag(arg) {
                words.push(format!("--{}", option(arg)));
                continue;
            }
            let values = if is_many(arg) { text.split(BETWEEN).collect() } else { vec![text] };
            for value in values.into_iter().map(str::trim).filter(|v| !v.is_empty()) {
                if arg.is_positional() {
                    positional.push(value.to_owned());
                } else {
                    words.push(format!("--{}={value}", option(arg)));
                }
            }
        }
        words.push("--".into());
        words.extend(positional);
        let matches = command.clone().try_get_matches_from(words).map_err(|e| self.said(&e))?;
        self.run(&matches, today)
    }

    /// What the reader of the command line says, in the words of a form.
    fn said(&self, error: &clap::Error) -> ReckonError {
        let text = error.render().to_string();
        let text = text.trim_start_matches("error: ");
        if error.kind() == ErrorKind::MissingRequiredArgument {
            let lines = text.lines().skip(1).take_while(|l| l.starts_with("  "));
            let names: Vec<String> = lines.map(|line| self.help_of(line.trim())).collect();
            return ReckonError::new(format!("Still to be typed: {}.", names.join("; ")));
        }
        let first = text.split("\n\n").next().unwrap_or(text);
        // "invalid value 'x' for '<Y>': expected …" says its reason after the second quotation.
        let reason = first.split_once(">': ").or_else(|| first.split_once("]': ")).map_or(first, |(_, reason)| reason);
        ReckonError::new(reason.trim().replace('\n', " "))
    }
}

impl Calculator {
    /// What an entry, or any one of several, asks for, in the words of its help: `--pitch <LENGTH>|--number <NUMBER>`.
    fn help_of(&self, usage: &str) -> String {
        let command = self.command();
        let one = |part: &str| {
            let part = part.trim_matches(|c| matches!(c, '<' | '>' | '[' | ']' | '.' | ' '));
            let name = part.trim_start_matches("--").split([' ', '=']).next().unwrap_or(part);
            let found = command.get_arguments().find(|arg| {
                let value = arg.get_value_names().and_then(|names| names.first()).map(|n| n.as_str());
                option(arg) == name || (arg.is_positional() && value == Some(part))
            });
            let help = found.and_then(Arg::get_help).map(ToString::to_string);
            let help = help.map(|h| h.split(", as in").next().unwrap_or_default().to_owned());
            help.map_or_else(|| part.to_owned(), |h| lower_first(&h))
        };
        usage.split('|').map(one).collect::<Vec<_>>().join(", or ")
    }
}

/// The first letter in lower case, for words in the middle of a sentence.
fn lower_first(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

fn option(arg: &Arg) -> String {
    arg.get_long().map_or_else(|| arg.get_id().to_string(), str::to_owned)
}

fn is_flag(arg: &Arg) -> bool {
    matches!(arg.get_action(), ArgAction::SetTrue)
}

fn is_many(arg: &Arg) -> bool {
    matches!(arg.get_action(), ArgAction::Append)
}

fn entry(arg: &Arg) -> FormEntry {
    let default = arg.get_default_values().iter().map(|v| v.to_string_lossy()).collect::<Vec<_>>().join(" ");
    let flag = is_flag(arg);
    FormEntry {
        id: arg.get_id().to_string(),
        help: arg.get_help().map(ToString::to_string).unwrap_or_default(),
        many: is_many(arg),
        required: arg.is_required_set(),
        is_flag: flag,
        default: if flag { String::new() } else { default },
        choices: if flag {
            Vec::new()
        } else {
            arg.get_possible_values().iter().map(|v| v.get_name().to_owned()).collect()
        },
    }
}

#[cfg(test)]
mod tests {
    use super::super::CALCULATORS;
    use super::*;

    fn day() -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 11, 25).expect("a day")
    }
    fn calculator(id: &str) -> &'static Calculator {
        CALCULATORS.iter().find(|c| c.id == id).expect("in the table")
    }
    fn typed(pairs: &[(&str, &str)]) -> BTreeMap<String, String> {
        pairs.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect()
    }

    #[test]
    fn every_calculator_has_entries_with_a_sentence_each() {
        for calculator in CALCULATORS {
            let entries = calculator.entries();
            assert!(!entries.is_empty(), "{}", calculator.id);
            for entry in entries {
                assert!(!entry.help.is_empty(), "{} {}", calculator.id, entry.id);
            }
        }
    }

    #[test]
    fn a_form_answers_as_the_command_line_does() {
        // House rule 1, by hand on absolute pressure.
        let answer = calculator("pressure")
            .answer(&typed(&[("set", "36 psi"), ("set_at", "68 F"), ("now", "41 F"), ("altitude", " ")]), day())
            .expect("an answer");
        assert!(answer.lines[0].starts_with("36 psi set at 68 °F reads 33.4 psi"), "{:?}", answer.lines);
        let surveyed = typed(&[("side", "right"), ("readings", "12:00 0.05; 3:00 -0.1; 6:00 0; 9:00 0.02")]);
        assert!(calculator("runout").answer(&surveyed, day()).is_ok(), "negative and several at once");
        let slack = typed(&[("number", "520"), ("slack", "28 mm; 31 mm")]);
        assert!(
            calculator("chain").answer(&slack, day()).expect("an answer").lines.iter().any(|l| l.contains("28 mm"))
        );
    }

    #[test]
    fn what_is_missing_or_wrong_is_said_without_the_command_line() {
        let missing = calculator("sag").answer(&typed(&[("extended", "560 mm")]), day()).expect_err("incomplete");
        assert!(
            missing.to_string().contains("Still to be typed") && !missing.to_string().contains("Usage"),
            "{missing}"
        );
        let said = missing.to_string();
        assert!(said.contains("rider aboard") && !said.contains("--"), "in the words of the form: {said}");
        let wrong = calculator("tyre").answer(&typed(&[("size", "120/70-17 105W")]), day()).expect_err("off the table");
        assert!(wrong.to_string().starts_with("expected a load index from 10 to 100, found 105"), "{wrong}");
        let nan = calculator("battery").answer(&typed(&[("kind", "agm"), ("rest", "NaN V")]), day()).expect_err("nan");
        assert!(nan.to_string().contains("finite"), "{nan}");
    }
}
