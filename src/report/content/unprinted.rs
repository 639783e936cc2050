//! Remarks that no page of a sheet for strangers prints do not travel in its record either: whoever hands it on has seen
//! everything that goes with it.

use serde_json::Value;

use crate::garage::{Bay, Garage};
use crate::inspection::Inspection;

/// The key under which every record keeps its remarks.
const REMARK: &str = "note";

/// The garage without the remarks of inspections that do not stand in a text.
///
/// # Errors
/// When a record does not survive the way there and back.
pub(super) fn without_unprinted(garage: &Garage, printed: &str) -> Result<Garage, String> {
    let printed = in_one_line(printed);
    let clean = |inspection: &Inspection| -> Result<Inspection, String> {
        let mut value = serde_json::to_value(inspection).map_err(|e| e.to_string())?;
        walk(&mut value, &printed);
        serde_json::from_value(value).map_err(|e| e.to_string())
    };
    let bay = |bay: &Bay| -> Result<Bay, String> {
        Ok(Bay { inspections: bay.inspections.iter().map(clean).collect::<Result<_, _>>()?, ..bay.clone() })
    };
    Ok(Garage { bays: garage.bays.iter().map(bay).collect::<Result<_, _>>()?, ..garage.clone() })
}

fn walk(value: &mut Value, printed: &str) {
    match value {
        Value::Array(items) => items.iter_mut().for_each(|item| walk(item, printed)),
        Value::Object(entries) => {
            for (key, value) in entries.iter_mut() {
                match value {
                    Value::String(text) if key == REMARK && !printed.contains(&in_one_line(text)) => text.clear(),
                    other => walk(other, printed),
                }
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

/// The words with one blank between them, because pages break lines where they will.
fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
