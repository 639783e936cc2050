//! `reckon tread`: tread depths round the clock and across the zones, judged by a region's law in its own geometry.
//!
//! The judgement is that of the rule which judges an inspection, so that the two can never differ.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::{category, clock_reading};
use super::{Reckon, ReckonError, Reckoning};
use crate::catalogue::{Catalogue, Region};
use crate::clock::{Side, Spot};
use crate::inspection::{Answer, CheckRef, Inspection, InspectionId, Subject, TreadPoint, Value, Zone};
use crate::machine::{Category, Layout, Machine, MachineId, WheelPosition};
use crate::rules::tread::{depths, judge, least};
use crate::rules::{Case, Judgement, Outcome, RULES, Source};
use crate::units::{Length, Preferences};

/// The rule and the check that a tread is judged by.
const RULE: &str = "tread-depth";
const CHECK: &str = "tyre-tread";
/// More positions than a hand takes round a tyre: one a clock minute would be 720.
const MOST_POSITIONS: usize = 720;

/// The entries of the tread calculator.
#[derive(Clone, Debug, Args)]
pub struct TreadDepth {
    /// The region whose rules apply, as in GB, US-MD, DE, FR, generic
    #[arg(long, value_name = "REGION")]
    pub region: String,
    /// The engine's capacity in cm³, where the rule depends on it
    #[arg(long, value_name = "CM3", value_parser = clap::value_parser!(u32).range(1..=10_000))]
    pub cc: Option<u32>,
    /// The category, L1e to L7e
    #[arg(long, value_name = "CATEGORY", default_value = "L3e", value_parser = category)]
    pub category: Category,
    /// The side the clock positions are read from, as the rider sits: left or right
    #[arg(long, value_name = "SIDE", default_value = "right")]
    pub side: Side,
    /// One a clock position: the clock, then depths from the left shoulder to the right one, as in "12:00 2.4 3.1 2.2"
    ///
    /// One depth is the centre; three are left shoulder, centre, right shoulder; five are all zones. Millimetres unless
    /// a unit stands, as in "3:00 4/32 5/32 4/32".
    #[arg(value_name = "READING", required = true)]
    pub readings: Vec<String>,
}

fn point(reading: &str, side: Side) -> Result<TreadPoint, ReckonError> {
    let (spot, entries) = clock_reading(reading, side)?;
    let [left, left_of_centre, centre, right_of_centre, right] = Zone::TREAD;
    let zones: &[Zone] = match entries.len() {
        1 => &[centre],
        3 => &[left, centre, right],
        5 => &[left, left_of_centre, centre, right_of_centre, right],
        found => {
            return Err(ReckonError::new(format!(
                "in \"{}\": expected 1, 3 or 5 depths after the clock position, found {found}: the centre; left \
                 shoulder, centre and right shoulder; or all five zones from the left shoulder to the right",
                reading.trim()
            )));
        }
    };
    Ok(TreadPoint { spot, depths: zones.iter().copied().zip(entries).collect() })
}

impl TreadDepth {
    fn region(&self) -> Result<&'static Region, ReckonError> {
        let catalogue = Catalogue::builtin();
        catalogue.region_or_wider(&self.region).ok_or_else(|| {
            let known: Vec<&str> = catalogue.regions.iter().map(|r| r.id.as_str()).collect();
            ReckonError::expected(
                &format!("a region, one of {}", known.join(", ")),
                format!("\"{}\"", self.region.trim()),
                "generic applies no law and shows common practice",
            )
        })
    }

    fn points(&self) -> Result<Vec<TreadPoint>, ReckonError> {
        if self.readings.len() > MOST_POSITIONS {
            return Err(ReckonError::expected(
                "at most 720 clock positions",
                self.readings.len(),
                "eight evenly round the tyre are enough for \"all round\"",
            ));
        }
        let mut points: Vec<TreadPoint> = Vec::new();
        for reading in &self.readings {
            let point = point(reading, self.side)?;
            if points.iter().any(|p| p.spot == point.spot) {
                return Err(ReckonError::expected(
                    "each clock position once",
                    format!("{} twice", point.spot.time(self.side)),
                    "keep the reading that was taken with more care, usually the lesser",
                ));
            }
            points.push(point);
        }
        Ok(points)
    }

    /// The rule's judgement on a machine that is known by category and capacity alone.
    fn judged(&self, points: Vec<TreadPoint>, units: &Preferences, today: NaiveDate) -> Result<Judgement, ReckonError> {
        let mut machine = Machine::new(MachineId("reckoned".into()), "Reckoned", Layout::Solo);
        machine.category = self.category;
        machine.capacity_cc = self.cc;
        machine.region = self.region()?.id.clone();
        let check = CheckRef::new(CHECK, Subject::Wheel(WheelPosition::Front));
        let mut answer = Answer::default();
        answer.readings.insert("depths".into(), Value::Tread(points));
        let mut inspection = Inspection::new(InspectionId("reckoned".into()), "ride", today);
        inspection.answers.insert(check.clone(), answer.clone());
        let case = Case::new(&machine, &inspection, &[], Catalogue::builtin(), units, today);
        RULES
            .iter()
            .filter(|rule| rule.id() == RULE)
            .flat_map(|rule| rule.judge(&case, &check, Some(&answer)))
            .next()
            .ok_or_else(|| ReckonError::expected("depths to judge", "none", "write them as in \"12:00 2.4 3.1 2.2\""))
    }
}

impl Reckon for TreadDepth {
    const ID: &'static str = "tread";
    const ABOUT: &'static str = "Tread depths round a tyre, judged by a region's law in its own geometry";
    const EXAMPLE: &'static str = "tread --region GB \"12:00 2.4 3.1 2.2\" \"3:00 2.3 3.0 2.2\"";

    fn reckon(&self, today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let region = self.region()?;
        let points = self.points()?;
        let all = depths(&points);
        let Some(thinnest) = least(&all) else {
            return Err(ReckonError::expected("a depth on the tread", "none", "write it as in \"12:00 2.4\""));
        };
        let units = Preferences { depth: thinnest.depth.unit().symbol.into(), ..Preferences::default() };
        let judged = self.judged(points.clone(), &units, today)?;
        if judged.outcome == Outcome::Refused {
            return Err(ReckonError::new(judged.sentence));
        }
        let mean_mm = all.iter().map(|d| d.depth.as_mm()).sum::<f64>() / all.len() as f64;
        let greatest_mm = all.iter().map(|d| d.depth.as_mm()).fold(f64::MIN, f64::max);
        let mut machine = Machine::new(MachineId("reckoned".into()), "Reckoned", Layout::Solo);
        machine.category = self.category;
        machine.capacity_cc = self.cc;
        let law = region.tread.iter().find(|law| law.is_about(&machine, today));
        let outcome = law.and_then(|law| judge(law, &points));
        let place = |spot: Spot| format!("{} from the {}", spot.time(self.side), self.side.word());
        let data = json!({
            "region": region.id,
            "category": self.category.word(),
            "capacity_cc": self.cc,
            "outcome": judged.outcome.word(),
            "severity": match judged.outcome { Outcome::Fault(s) => Some(s.word()), _ => None },
            "sentence": judged.sentence,
            "limit": judged.limit.as_ref().map(|l| json!({ "value": l.value, "source": l.source.words() })),
            "others": judged.others.iter().map(|l| json!({ "value": l.value, "source": l.source.words() })).collect::<Vec<_>>(),
            "graded_by": judged.graded_by.iter().map(Source::words).collect::<Vec<_>>(),
            "margin": judged.margin,
            "minimum_mm": law.map(|l| l.minimum.as_mm()),
            "law_binds": law.map(|l| l.binds),
            "deciding_mm": outcome.as_ref().map(|o| o.deciding.depth.as_mm()),
            "deciding_at": outcome.as_ref().map(|o| place(o.deciding.spot)),
            "deciding_zone": outcome.as_ref().map(|o| o.deciding.zone.words()),
            "below": outcome.as_ref().map(|o| o.below),
            "all_round": outcome.as_ref().map(|o| o.all_round),
            "positions": points.len(),
            "least_mm": thinnest.depth.as_mm(),
            "least_at": place(thinnest.spot),
            "least_zone": thinnest.zone.words(),
            "mean_mm": mean_mm,
            "greatest_mm": greatest_mm,
        });
        let mut answer = Reckoning::new(format!("Tread depth, {}", region.name), data);
        answer.line(judged.sentence.clone());
        answer.line(format!(
            "Least {} at {}, {}; mean {}, greatest {}, {} reading{} at {} clock position{}.",
            units.show_depth(thinnest.depth),
            place(thinnest.spot),
            thinnest.zone.words(),
            units.show_depth(Length::mm(mean_mm)),
            units.show_depth(Length::mm(greatest_mm)),
            all.len(),
            plural(all.len()),
            points.len(),
            plural(points.len())
        ));
        if let Some(limit) = &judged.limit {
            answer.formula(format!("limit: {}; margin: {}", limit.value, judged.margin));
            answer.source(limit.source.words());
        }
        for other in &judged.others {
            answer.line(format!("Also: {} ({}).", other.value, other.source.words()));
        }
        for graded in &judged.graded_by {
            answer.source(format!("class: {}", graded.words()));
        }
        if let Some(law) = law.filter(|l| !l.remark.is_empty()) {
            answer.caution(law.remark.clone());
        }
        // Where no law binds the owner, the region says why and where to look.
        if !law.is_some_and(|l| l.binds) && !region.remark.is_empty() {
            answer.caution(region.remark.clone());
        }
        if self.cc.is_none() && region.tread.iter().any(|l| l.above_cc.is_some() || l.up_to_cc.is_some()) {
            answer.caution(
                "A rule here depends on the engine's capacity, which was not given: add --cc, as in --cc 125.",
            );
        }
        answer.caution("The machine's own figure, placard or manual, goes first where it is stricter. Cord, cuts and age are not seen in a depth.");
        Ok(answer)
    }
}

fn plural(count: usize) -> &'static str {
    if count == 1 { "" } else { "s" }
}
