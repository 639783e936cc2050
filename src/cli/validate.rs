//! `stemclock validate FOLDER`: every problem in the files of a garage, with file, line and column.

use chrono::NaiveDate;
use serde_json::json;

use super::answer::{Answer, Exit, Failure};
use super::args::ValidateArgs;
use super::garage;
use crate::store::{self, Opened};

/// Lists the problems. A folder that is no garage is a failure, not a list.
pub fn validate(args: &ValidateArgs, today: NaiveDate) -> Result<Answer, Failure> {
    let opened = garage::read(&args.folder)?;
    let problems = store::validate(&args.folder, today);
    let records = opened.garage.bays.iter().map(|b| 1 + b.inspections.len() + b.events.len()).sum::<usize>();
    let notes = unnamed(args, &opened);
    let text = if problems.is_empty() {
        format!(
            "No problem found: {}, {} read.\n",
            count(opened.garage.bays.len(), "machine"),
            count(records, "record")
        )
    } else {
        let lines: String = problems.iter().map(|p| format!("{p}\n")).collect();
        format!("{lines}{}\n", count(problems.len(), "problem"))
    };
    Ok(Answer {
        text: notes.iter().map(|note| format!("Note: {note}\n")).chain([text]).collect(),
        json: json!({
            "garage": opened.garage.info.name,
            "machines": opened.garage.bays.len(),
            "records_read": records,
            "problems": problems,
            "notes": notes,
        }),
        warnings: Vec::new(),
        exit: if problems.is_empty() { Exit::Done } else { Exit::Failed },
    })
}

fn count(n: usize, one: &str) -> String {
    format!("{n} {one}{}", if n == 1 { "" } else { "s" })
}

/// Photos that no record names. A photo that was taken out of a finding stays on the disk, so it is no problem; but a
/// merge that took one side whole leaves one behind too.
fn unnamed(args: &ValidateArgs, opened: &Opened) -> Vec<String> {
    match store::unnamed_photos(&args.folder, opened) {
        Ok(paths) => paths
            .iter()
            .map(|path| {
                format!(
                    "{path}: expected a record that names this photo, found none: add it again with stemclock photo \
                     add, which keeps the same file, or remove it if it is not wanted"
                )
            })
            .collect(),
        Err(why) => vec![format!("photos could not be looked at: {why}")],
    }
}
