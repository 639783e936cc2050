//! An event in words, the same in the window, in reports and on the command line. Must not know the catalogue.

use super::{Closing, Condition, EventKind, Fitting, Job, Until};
use crate::units::{Preferences, day};

/// What happened, as a phrase: `a part was fitted: rear tyre at 31 200 km`.
pub fn event_words(kind: &EventKind, units: &Preferences) -> String {
    match kind {
        EventKind::Fall { note } => format!("the machine fell. {}", said(note)),
        EventKind::Work { note } => format!("work was done: {}", said(note)),
        EventKind::Job(job) => job_words(job, units),
        EventKind::PartFitted(fitting) => fitting_words(fitting, units),
        EventKind::FindingClosed { closing, .. } => closing_words(closing),
        EventKind::Odometer(read) => format!("odometer read: {}", units.show(*read)),
        EventKind::Fill { odometer, note } if note.trim().is_empty() => format!("filled at {}", units.show(*odometer)),
        EventKind::Fill { odometer, note } => format!("filled at {}: {}", units.show(*odometer), note.trim()),
        EventKind::OdometerReplaced { last, first, note } => {
            let last = last.map_or_else(|| "a figure that could not be read".into(), |l| units.show(l));
            let note = if note.trim().is_empty() { String::new() } else { format!(". {}", said(note)) };
            format!("odometer replaced: the old one showed {last}, the new one began at {}{note}", units.show(*first))
        }
        EventKind::Watched { until, reason, .. } => {
            let why = if reason.trim().is_empty() { String::new() } else { format!(": {}", reason.trim()) };
            format!("a minor finding is watched {}{why}", until_words(until, units))
        }
        EventKind::SameDefect { .. } => "a finding was said to be an earlier one seen again".into(),
        EventKind::Apart { .. } => "two findings near each other were said to be two".into(),
        EventKind::Planted { what, remove, .. } => {
            format!("planted for a class: {}. To be taken out: {}", said(what), said(remove))
        }
        EventKind::Unplanted { look, .. } => {
            format!("a defect planted for a class was taken out; second look: {}", said(look))
        }
        EventKind::TakenBack { event, reason } => format!("the event {event} was taken back: {}", said(reason)),
    }
}

/// How a finding was closed.
pub fn closing_words(closing: &Closing) -> String {
    match closing {
        Closing::Repaired { work, second_look } => {
            format!("repaired, {}; second look: {}", said(work), said(second_look))
        }
        Closing::LookedAgain { second_look, .. } => {
            format!("looked at again after the repair; second look: {}", said(second_look))
        }
        Closing::Withdrawn { reason } => format!("withdrawn as recorded by mistake, {}", said(reason)),
    }
}

/// `until 1 May 2027 or 32 000 km, whichever is first`.
pub fn until_words(until: &Until, units: &Preferences) -> String {
    let date = until.date.map(day::words);
    let odometer = until.odometer.map(|o| units.show(o));
    match (date, odometer) {
        (Some(date), Some(odometer)) => format!("until {date} or {odometer}, whichever is first"),
        (Some(one), None) | (None, Some(one)) => format!("until {one}"),
        (None, None) => "without an end".into(),
    }
}

fn job_words(job: &Job, units: &Preferences) -> String {
    let mut words = format!("work was done: {}", said(&job.work));
    if !job.parts.is_empty() {
        words.push_str(&format!(". Parts: {}", job.parts.join(", ")));
    }
    if !job.torques.is_empty() {
        let each = job.torques.iter().map(|t| match t.set_to {
            Some(set) => format!("{} {} (wrench set to {})", t.fastener, units.show(t.torque), units.show(set)),
            None => format!("{} {}", t.fastener, units.show(t.torque)),
        });
        words.push_str(&format!(". Tightened: {}", each.collect::<Vec<_>>().join(", ")));
    }
    if !job.cost.trim().is_empty() {
        words.push_str(&format!(". Cost: {}", job.cost.trim()));
    }
    words
}

fn fitting_words(fitting: &Fitting, units: &Preferences) -> String {
    let mut words = format!("a part was fitted: {}", fitting.part.words());
    if let Some(tyre) = &fitting.tyre {
        words.push_str(&format!(", {}", tyre.marking));
    }
    if !fitting.what.trim().is_empty() {
        words.push_str(&format!(", {}", fitting.what.trim()));
    }
    match fitting.condition {
        Condition::New => words.push_str(", new"),
        Condition::Used(None) => words.push_str(", used"),
        Condition::Used(Some(run)) => words.push_str(&format!(", used for {}", units.show(run))),
    }
    if let Some(odometer) = fitting.odometer {
        words.push_str(&format!(", at {}", units.show(odometer)));
    }
    if let Some(measured) = fitting.measured {
        words.push_str(&format!(", {} when fitted", units.show_depth(measured)));
    }
    if !fitting.note.trim().is_empty() {
        words.push_str(&format!(". {}", said(&fitting.note)));
    }
    words
}

/// What was written, with a capital only where the writer set one; a blank is said.
fn said(words: &str) -> String {
    let words = words.trim();
    if words.is_empty() { "nothing noted".into() } else { words.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inspection::PartRef;
    use crate::machine::WheelPosition;
    use crate::units::{Distance, Length};

    #[test]
    fn an_event_is_said_in_the_units_of_the_owner() {
        let us = Preferences { distance: "mi".into(), depth: "/32 in".into(), ..Preferences::default() };
        let mut fitting = Fitting::new(PartRef::Tyre(WheelPosition::Rear));
        fitting.odometer = Some(Distance::miles(31_200.0));
        fitting.measured = Some(Length::thirty_seconds(9.0));
        let words = event_words(&EventKind::PartFitted(Box::new(fitting)), &us);
        assert_eq!(words, "a part was fitted: rear tyre, new, at 31\u{a0}200 mi, 9/32 in when fitted");
        let until = Until { date: "2027-05-01".parse().ok(), odometer: Some(Distance::miles(32_000.0)) };
        assert_eq!(until_words(&until, &us), "until 1 May 2027 or 32\u{a0}000 mi, whichever is first");
    }
}
