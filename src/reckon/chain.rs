//! `reckon chain`: wear of a chain from the length over a number of pitches, and its slack at several wheel positions.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::{above_zero, figure};
use super::{Reckon, ReckonError, Reckoning};
use crate::rules::chain::{elongation_percent, general_limit_percent};
use crate::units::Length;

/// Inner widths of the usual chains in mm, least and greatest of two seen tables that differ.
const INNER_WIDTHS: [(u16, f64, f64); 8] = [
    (415, 4.76, 4.88),
    (420, 6.35, 6.35),
    (428, 7.75, 7.94),
    (520, 6.35, 6.35),
    (525, 7.85, 7.95),
    (530, 9.52, 9.53),
    (532, 9.53, 9.53),
    (630, 9.53, 9.53),
];
/// Roller diameters of the same chains in mm, least and greatest of the same tables.
const ROLLERS: [(u16, f64, f64); 8] = [
    (415, 7.75, 7.77),
    (420, 7.75, 7.77),
    (428, 8.51, 8.51),
    (520, 10.16, 10.16),
    (525, 10.16, 10.16),
    (530, 10.16, 10.16),
    (532, 11.10, 11.10),
    (630, 11.91, 11.91),
];
/// Fewer pitches than this say little (published methods measure 6 to 10 links or more).
const LEAST_PITCHES: u32 = 6;

/// The entries of the chain calculator.
#[derive(Clone, Debug, Args)]
#[command(group = clap::ArgGroup::new("size").required(true).multiple(false).args(["pitch", "number"]))]
pub struct Chain {
    /// The pitch, as in "15.875 mm"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub pitch: Option<Length>,
    /// The chain's number, as in 520
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(400..=699))]
    pub number: Option<u16>,
    /// How many pitches were measured over; without --length, what they come to new and worn
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u32).range(1..=400))]
    pub pitches: Option<u32>,
    /// The length over those pitches, pin to pin on the tight run, as in "321 mm"
    #[arg(long, value_name = "LENGTH", requires = "pitches", allow_hyphen_values = true)]
    pub length: Option<Length>,
    /// The teeth of the rear sprocket, which is the larger one; with more than 66 less wear is allowed
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u32).range(6..=200))]
    pub teeth: Option<u32>,
    /// The teeth of the front sprocket, for the ratio
    #[arg(long, value_name = "COUNT", requires = "teeth", value_parser = clap::value_parser!(u32).range(6..=100))]
    pub front_teeth: Option<u32>,
    /// The links of the whole chain: after how many turns of the wheel the marked link comes round again
    #[arg(long, value_name = "COUNT", requires = "teeth", value_parser = clap::value_parser!(u32).range(20..=300))]
    pub links: Option<u32>,
    /// Slack in the middle of the lower run, once for each wheel position
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub slack: Vec<Length>,
    /// The least slack that the manual allows
    #[arg(long, value_name = "LENGTH", requires = "slack", allow_hyphen_values = true)]
    pub slack_min: Option<Length>,
    /// The greatest slack that the manual allows
    #[arg(long, value_name = "LENGTH", requires = "slack", allow_hyphen_values = true)]
    pub slack_max: Option<Length>,
}

/// Pitch in mm by the number: its first figure in eighths of an inch.
fn pitch_by_number(number: u16) -> f64 {
    f64::from(number / 100) * 25.4 / 8.0
}

/// Eighths of an inch as a fraction in its lowest terms: `5/8 in`, `3/4 in`.
fn eighths(count: u16) -> String {
    match count {
        4 => "1/2 in".into(),
        6 => "3/4 in".into(),
        n => format!("{n}/8 in"),
    }
}

/// Inner width in mm by the number: its last two figures in eightieths of an inch.
fn width_by_number(number: u16) -> f64 {
    f64::from(number % 100) * 25.4 / 80.0
}

impl Chain {
    fn pitch_mm(&self) -> Result<f64, ReckonError> {
        match (self.pitch, self.number) {
            (Some(pitch), _) => above_zero("a pitch", pitch),
            (None, Some(number)) => Ok(pitch_by_number(number)),
            (None, None) => Err(ReckonError::expected(
                "a pitch or a number",
                "neither",
                "give --pitch \"15.875 mm\" or --number 520",
            )),
        }
    }

    fn wear(&self, answer: &mut Reckoning, pitch: f64) -> Result<(), ReckonError> {
        let Some(pitches) = self.pitches else { return Ok(()) };
        let limit = general_limit_percent(self.teeth.map(f64::from));
        let Some(length) = self.length else {
            self.lengths(answer, pitches, pitch, limit);
            return Ok(());
        };
        if pitches < LEAST_PITCHES {
            return Err(ReckonError::expected(
                "at least 6 pitches",
                pitches,
                "measure over 20 if you can: more is better",
            ));
        }
        let length_mm = above_zero("a length over the pitches", length)?;
        let (count, new_mm) = (f64::from(pitches), f64::from(pitches) * pitch);
        let worn = elongation_percent(length_mm, count, pitch);
        // Nothing shrinks: a shorter chain, or one that is a whole pitch longer, was miscounted.
        if worn < -1.0 || length_mm - new_mm > 0.75 * pitch {
            return Err(ReckonError::expected(
                &format!("about {} mm over {pitches} pitches of {} mm", figure(new_mm, 1), figure(pitch, 3)),
                length,
                "count the pitches again, or check the pitch",
            ));
        }
        let limit_mm = new_mm * (1.0 + limit / 100.0);
        let is_over = worn > limit + 1e-6;
        for (name, value) in [
            ("length_mm", length_mm),
            ("new_length_mm", new_mm),
            ("elongation_percent", worn),
            ("limit_percent", limit),
            ("limit_length_mm", limit_mm),
            ("left_to_limit_mm", limit_mm - length_mm),
        ] {
            answer.data[name] = value.into();
        }
        for percent in [1, 2, 3] {
            answer.data[format!("length_at_{percent}_percent_mm")] =
                (new_mm * (1.0 + f64::from(percent) / 100.0)).into();
        }
        answer.data["pitches"] = pitches.into();
        answer.data["over_limit"] = is_over.into();
        answer.line(format!(
            "{} mm over {pitches} pitches, new {} mm: {} % longer.",
            figure(length_mm, 2),
            figure(new_mm, 2),
            figure(worn, 2)
        ));
        answer.line(if is_over {
            format!(
                "Over the general limit of {} % ({} mm): chain and both sprockets are replaced as a set.",
                figure(limit, 2),
                figure(limit_mm, 2)
            )
        } else {
            format!(
                "{} mm are left to the general limit of {} % ({} mm). Handbooks often stop at 1 to 2 % ({} to {} mm), and the handbook goes first.",
                figure(limit_mm - length_mm, 2),
                figure(limit, 2),
                figure(limit_mm, 2),
                figure(new_mm * 1.01, 2),
                figure(new_mm * 1.02, 2)
            )
        });
        answer.formula(format!(
            "E = 100 × (L − N × p) / (N × p) = 100 × ({} − {pitches} × {}) / {} = {} %",
            figure(length_mm, 2),
            figure(pitch, 3),
            figure(new_mm, 2),
            figure(worn, 2)
        ));
        answer.source("ANSI B29.1 practice as two chain makers give it: 3 %, with more than 66 teeth 200 % / teeth; handbooks 1 to 2 % (from memory)");
        Ok(())
    }

    /// What a number of pitches comes to new and worn, for somebody who is about to measure.
    fn lengths(&self, answer: &mut Reckoning, pitches: u32, pitch: f64, limit: f64) {
        let new_mm = f64::from(pitches) * pitch;
        let at = |percent: f64| new_mm * (1.0 + percent / 100.0);
        answer.data["pitches"] = pitches.into();
        answer.data["new_length_mm"] = new_mm.into();
        answer.data["limit_percent"] = limit.into();
        answer.data["limit_length_mm"] = at(limit).into();
        for percent in [1, 2, 3] {
            answer.data[format!("length_at_{percent}_percent_mm")] = at(f64::from(percent)).into();
        }
        answer.line(format!(
            "{pitches} pitches: {} mm new, {} mm at 1 %, {} mm at 2 %, {} mm at 3 %; general limit {} % ({} mm).",
            figure(new_mm, 2),
            figure(at(1.0), 3),
            figure(at(2.0), 2),
            figure(at(3.0), 3),
            figure(limit, 2),
            figure(at(limit), 2)
        ));
        answer.formula(format!("L = N × p × (1 + E / 100) = {pitches} × {} × (1 + E / 100) mm", figure(pitch, 3)));
        answer.source("ANSI B29.1 practice as two chain makers give it: 3 %, with more than 66 teeth 200 % / teeth; handbooks 1 to 2 % (from memory)");
    }

    /// The ratio, and how often the wheel turns until every link has met the same tooth.
    fn round(&self, answer: &mut Reckoning) {
        let Some(rear) = self.teeth else { return };
        answer.data["teeth"] = rear.into();
        if let Some(front) = self.front_teeth {
            let ratio = f64::from(rear) / f64::from(front);
            answer.data["ratio"] = ratio.into();
            answer.line(format!(
                "Ratio {}: the front sprocket turns so often for each turn of the wheel.",
                figure(ratio, 3)
            ));
            answer.formula(format!("ratio = {rear} / {front} = {}", figure(ratio, 3)));
        }
        if let Some(links) = self.links {
            let turns = f64::from(links) / f64::from(rear);
            answer.data["links"] = links.into();
            answer.data["turns_per_circuit"] = turns.into();
            answer.line(format!(
                "The whole chain has gone round after {} turns of the wheel: go on until the marked link is back.",
                figure(turns, 2)
            ));
            answer.formula(format!("turns = links / teeth = {links} / {rear} = {}", figure(turns, 3)));
        }
    }

    fn slack(&self, answer: &mut Reckoning) -> Result<(), ReckonError> {
        let Some(first) = self.slack.first() else { return Ok(()) };
        if let Some(negative) = self.slack.iter().find(|s| s.as_mm() < 0.0) {
            return Err(ReckonError::expected(
                "a slack of zero or more",
                negative,
                "measure from the lowest to the highest place of the run",
            ));
        }
        let by = |a: &&Length, b: &&Length| a.as_mm().total_cmp(&b.as_mm());
        let tightest = self.slack.iter().min_by(by).unwrap_or(first);
        let loosest = self.slack.iter().max_by(by).unwrap_or(first);
        answer.line(format!(
            "Slack {} at the tightest of {} wheel position{}, which counts; {} at the loosest.",
            tightest,
            self.slack.len(),
            if self.slack.len() == 1 { "" } else { "s" },
            loosest
        ));
        let too_tight = self.slack_min.is_some_and(|min| *tightest < min);
        let too_loose = self.slack_max.is_some_and(|max| *tightest > max);
        answer.line(match (too_tight, too_loose, self.slack_min.is_some() || self.slack_max.is_some()) {
            (true, ..) => "Too tight by the figures given.".to_owned(),
            (_, true, _) => "Too loose by the figures given.".to_owned(),
            (_, _, true) => "Within the figures given.".to_owned(),
            _ => "25 to 40 mm are typical on the street; the machine's own figure decides.".to_owned(),
        });
        answer.data["slack_tightest_mm"] = tightest.as_mm().into();
        answer.data["slack_loosest_mm"] = loosest.as_mm().into();
        answer.data["slack_spread_mm"] = (loosest.as_mm() - tightest.as_mm()).into();
        answer.data["too_tight"] = too_tight.into();
        answer.data["too_loose"] = too_loose.into();
        answer.source("slack: common practice (from memory), the tightest place counts");
        answer.caution(
            "Slack is read in the stance and with the load that the manual names; in another it is no reading.",
        );
        answer.caution("Once per wheel turn points to the sprocket, once per circuit of the chain to the chain.");
        Ok(())
    }
}

impl Reckon for Chain {
    const ID: &'static str = "chain";
    const ABOUT: &'static str = "Chain: pitch by number, wear, turns of the wheel, slack";
    const EXAMPLE: &'static str = "chain --number 520 --pitches 20 --length \"321 mm\"";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let pitch = self.pitch_mm()?;
        let mut answer = Reckoning::new("Chain", json!({ "pitch_mm": pitch }));
        if let Some(number) = self.number {
            let by_number = width_by_number(number);
            let table = INNER_WIDTHS.iter().find(|(n, ..)| *n == number);
            answer.title = format!("Chain {number}");
            answer.data["number"] = number.into();
            answer.data["inner_width_by_number_mm"] = by_number.into();
            let roller = ROLLERS.iter().find(|(n, ..)| *n == number);
            answer.data["roller_diameter_table_mm"] = roller.map(|(_, low, high)| json!([low, high])).into();
            answer.data["inner_width_table_mm"] = table.map(|(_, low, high)| json!([low, high])).into();
            answer.line(format!(
                "Pitch {} mm ({}), inner width {} mm by the number{}.",
                figure(pitch, 3),
                eighths(number / 100),
                figure(by_number, 2),
                table
                    .map(|(_, low, high)| match (figure(*low, 2), figure(*high, 2)) {
                        (low, high) if low == high => format!(", {low} mm by trade tables too"),
                        (low, high) => format!(", {low} to {high} mm by trade tables"),
                    })
                    .unwrap_or_default()
            ));
            if let Some((_, low, high)) = roller {
                let range =
                    if low == high { figure(*low, 2) } else { format!("{} to {}", figure(*low, 2), figure(*high, 2)) };
                answer.line(format!("Rollers {range} mm thick by trade tables."));
            }
            answer.formula(format!(
                "pitch = {} × 25.4 / 8 = {} mm; width = {} × 25.4 / 80 = {} mm",
                number / 100,
                figure(pitch, 3),
                number % 100,
                figure(by_number, 3)
            ));
            answer.source(
                "the rule of the numbers and trade tables (three seen); the series is ISO 10190 (from memory, high)",
            );
            if table.is_none() {
                answer.caution("This number is not among the usual ones: check it on the side plates.");
            }
        }
        self.wear(&mut answer, pitch)?;
        self.round(&mut answer);
        self.slack(&mut answer)?;
        if self.number.is_none() && answer.lines.is_empty() {
            return Err(ReckonError::expected(
                "something to work out",
                "a pitch alone",
                "add --pitches (and --length), --slack, or --teeth with --links",
            ));
        }
        answer.caution("Turn the wheel by hand with the engine off; never run it in gear to check a chain.");
        Ok(answer)
    }
}
