//! `stemclock validate FOLDER`: every problem in the files of a garage, with file, line and column.

use chrono::NaiveDate;
use serde_json::json;

use super::answer::{Answer, Exit, Failure};
use super::args::ValidateArgs;
use super::garage;
use crate::store;

/// Lists the problems. A folder that is no garage is a failure, not a list.
pub fn validate(args: &ValidateArgs, today: NaiveDate) -> Result<Answer, Failure> {
    let opened = garage::read(&args.folder)?;
    let problems = store::validate(&args.folder, today);
    let records = opened.garage.bays.iter().map(|b| 1 + b.inspections.len() + b.events.len()).sum::<usize>();
    let text = if problems.is_empty() {
        format!("No problem found: {} machines, {records} records read.\n", opened.garage.bays.len())
    } else {
        let lines: String = problems.iter().map(|p| format!("{p}\n")).collect();
        format!("{lines}{} problem{}\n", problems.len(), if problems.len() == 1 { "" } else { "s" })
    };
    // That is allowed, and no problem; but whoever reads a verdict here should know of it.
    let text = format!("{text}{}", garage::own_rules(&opened.catalogue));
    Ok(Answer {
        text,
        json: json!({
            "garage": opened.garage.info.name,
            "machines": opened.garage.bays.len(),
            "records_read": records,
            "problems": problems,
            "own_rules": opened.catalogue.own_words(),
        }),
        warnings: Vec::new(),
        exit: if problems.is_empty() { Exit::Done } else { Exit::Failed },
    })
}
