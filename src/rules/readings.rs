//! A reading fits its field: the kind of value, the choice, a finite number. What does not fit is refused, not judged.

use super::proof::{at, figure};
use super::{Case, Judgement, Outcome, Rule};
use crate::catalogue::{Field, FieldKind};
use crate::inspection::{Answer, CheckRef, Value};

/// See the module.
pub(super) struct ReadingsFit;

impl Rule for ReadingsFit {
    fn id(&self) -> &'static str {
        "readings-fit"
    }
    fn explain(&self) -> &'static str {
        "Refuses a reading that its field cannot hold: another kind of value, an unknown choice, a number that is not \
         finite. It matters for records that were written by hand."
    }
    fn checks(&self) -> &'static [&'static str] {
        &[]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let (Some(entry), Some(answer)) = (case.catalogue.check(&check.check), answer) else { return vec![] };
        let mut refused = Vec::new();
        for (id, value) in &answer.readings {
            let why = match entry.field(id) {
                Some(field) => misfit(case, field, value),
                None => Some(format!("This check has no field \"{id}\": expected one of its own fields, or none.")),
            };
            if let Some(why) = why {
                refused.push(Judgement::new(self.id(), check, Outcome::Refused, why).of(id.as_str()));
            }
        }
        refused
    }
}

fn misfit(case: &Case<'_>, field: &Field, value: &Value) -> Option<String> {
    if !field.kind.takes(value) {
        return Some(format!("{}: the value is not of the kind that this field takes; enter it again.", field.label));
    }
    match (&field.kind, value) {
        (FieldKind::Number, Value::Number(number)) if !number.is_finite() || *number < 0.0 => {
            let found = if number.is_finite() { figure(case, *number, 3) } else { number.to_string() };
            Some(format!("{}: expected a number of zero or more, found {found}; read it again.", field.label))
        }
        (_, Value::Numbers(points)) => {
            let bad = points.iter().find(|p| !p.reading.is_finite() || p.reading < 0.0)?;
            Some(format!(
                "{}: expected numbers of zero or more, found {} at {}; read it again.",
                field.label,
                bad.reading,
                at(bad.spot)
            ))
        }
        (_, Value::Round(points)) => {
            let bad = points.iter().find(|p| p.reading.as_mm() < 0.0)?;
            Some(format!(
                "{}: expected lengths of zero or more, found {} at {}; read it again.",
                field.label,
                bad.reading,
                at(bad.spot)
            ))
        }
        (FieldKind::Choice(choices), Value::Choice(id)) if !choices.iter().any(|c| &c.id == id) => {
            let known: Vec<&str> = choices.iter().map(|c| c.id.as_str()).collect();
            Some(format!("{}: expected one of {}, found \"{id}\".", field.label, known.join(", ")))
        }
        _ => None,
    }
}
