//! What a score says, in the words that window, reports and command line share. Must not score.

use super::figures::Share;
use super::nearness::{Nearness, PositionSlip};
use super::readings::{ReadingOutcome, ReadingScore};
use super::score::{Missed, Outcome, Pairing};
use crate::catalogue::Catalogue;
use crate::clock::Side;
use crate::inspection::{Finding, Place, Subject, clock_words};
use crate::stats::Interval;

/// What a finding is and where: `a nail or screw in the tread (front · 4:30 from the right · right shoulder)`.
pub fn finding_words(catalogue: &Catalogue, finding: &Finding) -> String {
    format!("{} ({})", catalogue.fault_words(finding), place_words(finding))
}

/// Where a finding is, without distances.
pub fn place_words(finding: &Finding) -> String {
    match &finding.place {
        Place::Wheel { position, zone, spot } => {
            let spot = spot.map_or_else(|| "no clock position".into(), |s| clock_words(s, Side::Right));
            format!("{} · {spot} · {}", position.word(), zone.words())
        }
        Place::Part { station, part } if part.trim().is_empty() => station.word().to_owned(),
        Place::Part { station, part } => format!("{}, {}", station.word(), part.trim()),
    }
}

/// What became of a pairing: `misplaced: read from the other side; minor instead of major`.
pub fn pairing_words(pairing: &Pairing) -> String {
    let mut words = pairing.outcome.words().to_owned();
    let slips: Vec<String> = pairing.nearness.slips.iter().map(|s| slip_words(s, &pairing.nearness)).collect();
    if !slips.is_empty() {
        words.push_str(&format!(": {}", slips.join(", ")));
    } else if let (Outcome::Found, Some(off)) = (pairing.outcome, off_words(&pairing.nearness)) {
        words.push_str(&format!(", {off}"));
    }
    if pairing.severity != pairing.key_severity {
        words.push_str(&format!("; {} instead of {}", pairing.severity.word(), pairing.key_severity.word()));
    }
    words
}

fn slip_words(slip: &PositionSlip, nearness: &Nearness) -> String {
    match slip {
        PositionSlip::Mirrored => "the clock was read from the other side".into(),
        PositionSlip::OtherSide => "the machine's other side".into(),
        PositionSlip::OtherZone => "another zone".into(),
        PositionSlip::Far => off_words(nearness).unwrap_or_else(|| "too far round the wheel".into()),
        PositionSlip::NotGiven => "no clock position given".into(),
    }
}

/// How far off a position is: `75 minutes off (196 mm)`; none where it was met.
fn off_words(nearness: &Nearness) -> Option<String> {
    let minutes = nearness.minutes.map(|m| m.round()).filter(|m| *m >= 1.0)?;
    let plural = if minutes == 1.0 { "" } else { "s" };
    let along = nearness.millimetres.map(|mm| format!(" ({mm:.0} mm)")).unwrap_or_default();
    Some(format!("{minutes:.0} minute{plural} off{along}"))
}

/// What is said of a finding that was missed.
pub fn missed_words(missed: &Missed) -> &'static str {
    if missed.called_sound { "missed: looked at and called sound" } else { "missed: not looked at" }
}

/// What became of a reading: `off by more than the key allows`.
pub fn reading_words(score: &ReadingScore) -> &'static str {
    match score.outcome {
        ReadingOutcome::Right => "within the key's tolerance",
        ReadingOutcome::Off(_) => "off by more than the key allows",
        ReadingOutcome::NotRead => "not read",
        ReadingOutcome::NoKey => "not in the key, so nobody is marked by it",
    }
}

/// A check's title with its part.
pub fn check_words(catalogue: &Catalogue, check: &crate::inspection::CheckRef) -> String {
    let title = catalogue.check(&check.check).map_or(check.check.as_str(), |c| c.title.as_str());
    match check.subject {
        Subject::Machine => title.to_owned(),
        subject => format!("{title}, {}", subject.words()),
    }
}

/// A share in per cent with its interval: `14 of 30, 47 % (95 % interval 30 to 64 %)`.
pub fn share_words(s: &Share) -> String {
    let per_cent = [s.value(), s.interval.low, s.interval.high].map(|share| 100.0 * share);
    format!(
        "{} of {}, {:.0} % (95 % interval {:.0} to {:.0} %)",
        s.part, s.whole, per_cent[0], per_cent[1], per_cent[2]
    )
}

/// How far classes agree, in a sentence that says what the number is. Where every pair agrees, or one side gave one class
/// only, the standard error is nought: that is no certainty, so no interval is said.
pub fn kappa_words(value: f64, interval: Interval) -> String {
    if interval.high - interval.low < 1e-9 {
        return format!(
            "{value:.2} (no interval: the pairs are too alike to tell one; 1 is full agreement, 0 what chance gives)"
        );
    }
    format!(
        "{value:.2} (95 % interval {:.2} to {:.2}; 1 is full agreement, 0 what chance gives)",
        interval.low, interval.high
    )
}
