//! `stemclock validate FOLDER`: every problem in the files of a garage, with file, line and column.

use chrono::NaiveDate;
use serde_json::json;

use super::answer::{Answer, Exit, Failure};
use super::args::ValidateArgs;
use super::garage;
use crate::store::{self, Validated};

/// Lists the problems, after what is only worth knowing. A folder that is no garage is a failure, not a list.
pub fn validate(args: &ValidateArgs, today: NaiveDate) -> Result<Answer, Failure> {
    let Validated { name, machines, records, catalogue, problems, notes } =
        store::validated(&args.folder, today).map_err(|e| Failure(e.to_string()))?;
    let mut text: String = notes.iter().map(|note| format!("Note: {note}\n")).collect();
    text.push_str(&if problems.is_empty() {
        format!("No problem found: {}, {} read.\n", count(machines, "machine"), count(records, "record"))
    } else {
        let lines: String = problems.iter().map(|p| format!("{p}\n")).collect();
        format!("{lines}{}\n", count(problems.len(), "problem"))
    });
    // That is allowed, and no problem; but whoever reads a verdict here should know of it.
    text.push_str(&garage::own_rules(&catalogue));
    Ok(Answer {
        text,
        json: json!({
            "garage": name,
            "machines": machines,
            "records_read": records,
            "problems": problems,
            "own_rules": catalogue.own_words(),
            "notes": notes,
        }),
        warnings: Vec::new(),
        exit: if problems.is_empty() { Exit::Done } else { Exit::Failed },
    })
}

fn count(n: usize, one: &str) -> String {
    format!("{n} {one}{}", if n == 1 { "" } else { "s" })
}
