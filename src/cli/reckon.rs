//! `stemclock reckon WHAT …`: a calculator's answer as text or JSON.

use chrono::NaiveDate;

use super::answer::{Answer, Failure};
use super::args::ReckonRequest;
use crate::reckon::Reckoning;

/// Works it out.
pub fn reckon(request: &ReckonRequest, today: NaiveDate) -> Result<Answer, Failure> {
    let answer = request
        .calculator
        .run(&request.matches, request.on.unwrap_or(today))
        .map_err(|e| Failure(format!("reckon {}: {e}", request.calculator.id)))?;
    Ok(Answer { text: text(&answer), json: answer.to_json(request.calculator.id), ..Answer::default() })
}

fn text(answer: &Reckoning) -> String {
    let mut text = format!("{}\n", answer.title);
    for (heading, lines) in
        [("", &answer.lines), ("Formula", &answer.formula), ("Source", &answer.source), ("Mind", &answer.cautions)]
    {
        if !lines.is_empty() && !heading.is_empty() {
            text.push_str(&format!("{heading}\n"));
        }
        for line in lines {
            text.push_str(&format!("  {line}\n"));
        }
    }
    text
}
