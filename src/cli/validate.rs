//! `stemclock validate FOLDER`: every problem in the files of a garage, with file, line and column.

use chrono::NaiveDate;
use serde_json::json;

use super::answer::{Answer, Exit, Failure};
use super::args::ValidateArgs;
use super::garage;
use crate::store::{self, Validated};

/// Lists the problems. A folder that is no garage is a failure, not a list.
pub fn validate(args: &ValidateArgs, today: NaiveDate) -> Result<Answer, Failure> {
    let Validated { name, machines, records, catalogue, problems } =
        store::validated(&args.folder, today).map_err(|e| Failure(e.to_string()))?;
    let text = if problems.is_empty() {
        let s = if machines == 1 { "" } else { "s" };
        format!("No problem found: {machines} machine{s}, {records} records read.\n")
    } else {
        let lines: String = problems.iter().map(|p| format!("{p}\n")).collect();
        format!("{lines}{} problem{}\n", problems.len(), if problems.len() == 1 { "" } else { "s" })
    };
    // That is allowed, and no problem; but whoever reads a verdict here should know of it.
    let text = format!("{text}{}", garage::own_rules(&catalogue));
    Ok(Answer {
        text,
        json: json!({
            "garage": name,
            "machines": machines,
            "records_read": records,
            "problems": problems,
            "own_rules": catalogue.own_words(),
        }),
        warnings: Vec::new(),
        exit: if problems.is_empty() { Exit::Done } else { Exit::Failed },
    })
}
