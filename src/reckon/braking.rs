//! `reckon braking`: deceleration and efficiency from speed and distance, a decelerometer or a roller, against the
//! minima of the periodic tests.

use chrono::NaiveDate;
use clap::{Args, ValueEnum};
use serde_json::json;

use super::entry::{above_zero, category, figure, number};
use super::{Reckon, ReckonError, Reckoning};
use crate::catalogue::Catalogue;
use crate::inspection::{CheckRef, Inspection, InspectionId, Severity, Subject, Value};
use crate::machine::{Category, Layout, Machine, MachineId};
use crate::rules::braking::{MOST_PERCENT, REAR_ALONE, both_together, class};
use crate::rules::{Case, Judgement, RULES};
use crate::units::{Force, Length, Mass, Preferences, Speed};

/// The check, and the rule of the same name, that judges an efficiency.
const CHECK: &str = "braking-efficiency";
/// Standard gravity in m/s² (NIST SP 811).
const G: f64 = 9.806_65;

/// The entries of the braking calculator.
#[derive(Clone, Debug, Args)]
#[command(group = clap::ArgGroup::new("measured").multiple(false).args(["distance", "decelerometer", "force"]))]
#[command(group = clap::ArgGroup::new("known").required(true).multiple(true).args(["speed", "distance", "decelerometer", "force"]))]
pub struct Braking {
    /// Speed when the brake began to act, as in "50 km/h"
    #[arg(long, value_name = "SPEED", allow_hyphen_values = true)]
    pub speed: Option<Speed>,
    /// Distance from there to standstill, without reaction, as in "20 m"
    #[arg(long, value_name = "DISTANCE", requires = "speed", allow_hyphen_values = true)]
    pub distance: Option<Length>,
    /// The distance was counted from the moment the lever moved: the law's allowance of 0.1 × V metres comes off
    #[arg(long, requires = "distance")]
    pub from_lever: bool,
    /// What a decelerometer showed, in g, as in 0.52
    #[arg(long, value_name = "G", value_parser = number, allow_hyphen_values = true)]
    pub decelerometer: Option<f64>,
    /// The forces of all braked wheels on a roller added up, as in "110 kgf" (needs --mass)
    #[arg(long, value_name = "FORCE", requires = "mass", allow_hyphen_values = true)]
    pub force: Option<Force>,
    /// The mass of machine and rider on the roller, as in "297 kg"
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    pub mass: Option<Mass>,
    /// The category, L1e to L7e
    #[arg(long, value_name = "CATEGORY", default_value = "L3e", value_parser = category)]
    pub category: Category,
    /// Judge by the rules of a region, as in GB, CA-MB, DE; without one by the directive
    #[arg(long, value_name = "REGION")]
    pub region: Option<String>,
    /// The day of first use, where a rule goes by it, as in 1926-05-01
    #[arg(long, value_name = "DATE", value_parser = crate::units::day::parse, requires = "region")]
    pub first_used: Option<NaiveDate>,
    /// Which brakes were used
    #[arg(long, value_name = "BRAKES", value_enum, default_value_t = Brakes::Both)]
    pub brakes: Brakes,
}

/// Which brakes were used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Brakes {
    /// Both together
    Both,
    /// The front brake alone
    Front,
    /// The rear brake alone
    Rear,
}

impl Brakes {
    fn words(self) -> &'static str {
        match self {
            Self::Both => "both brakes together",
            Self::Front => "the front brake alone",
            Self::Rear => "the rear brake alone",
        }
    }
}

/// The divisor of S ≤ 0.1·V + V²/divisor and the test speed in km/h (Directive 93/14/EEC, appendix 1, 2.1), for the
/// rows whose formula was read in full.
fn type_approval(category: Category, brakes: Brakes) -> Option<(f64, f64)> {
    match (category, brakes) {
        (Category::L1e, Brakes::Front) => Some((90.0, 40.0)),
        (Category::L1e, Brakes::Rear) => Some((70.0, 40.0)),
        (Category::L2e, Brakes::Front | Brakes::Rear) => Some((70.0, 40.0)),
        (Category::L3e, Brakes::Front) => Some((115.0, 60.0)),
        (Category::L3e, Brakes::Rear) => Some((75.0, 60.0)),
        (Category::L4e, Brakes::Front | Brakes::Rear) => Some((95.0, 60.0)),
        _ => None,
    }
}

/// The deceleration in m/s², with the formula that gave it.
fn deceleration(entries: &Braking) -> Result<(f64, String), ReckonError> {
    if let (Some(speed), Some(distance)) = (entries.speed, entries.distance) {
        let kmh = above_zero("a speed", speed)?;
        let metres = above_zero("a distance", distance)? / 1000.0;
        let v = kmh / 3.6;
        if entries.from_lever {
            let braked = metres - 0.1 * kmh;
            if braked <= 0.0 {
                return Err(ReckonError::expected(
                    &format!("a distance above the allowance of {} m", figure(0.1 * kmh, 2)),
                    distance,
                    "measure it from the place where the lever moved, or leave --from-lever out",
                ));
            }
            let a = kmh * kmh / (25.92 * braked);
            return Ok((
                a,
                format!(
                    "a = V² / (25.92 × (S − 0.1 × V)) = {0}² / (25.92 × ({1} − 0.1 × {0})) = {2} m/s²",
                    figure(kmh, 1),
                    figure(metres, 2),
                    figure(a, 3)
                ),
            ));
        }
        let a = v * v / (2.0 * metres);
        return Ok((
            a,
            format!("a = v² / (2 × s) = {}² / (2 × {}) = {} m/s²", figure(v, 3), figure(metres, 2), figure(a, 3)),
        ));
    }
    if let Some(g) = entries.decelerometer {
        if g <= 0.0 {
            return Err(ReckonError::expected(
                "a decelerometer reading above zero",
                figure(g, 3),
                "write it in g, as in 0.52",
            ));
        }
        return Ok((g * G, format!("a = {} × 9.80665 = {} m/s²", figure(g, 3), figure(g * G, 3))));
    }
    if let (Some(force), Some(mass)) = (entries.force, entries.mass) {
        let newtons = above_zero("a braking force", force)?;
        let kg = above_zero("a mass", mass)?;
        let a = newtons / kg;
        return Ok((
            a,
            format!("a = ΣF / m = {} N / {} kg = {} m/s²", figure(newtons, 1), figure(kg, 1), figure(a, 3)),
        ));
    }
    Err(ReckonError::expected(
        "a measurement",
        "none",
        "give --speed and --distance, or --decelerometer, or --force and --mass",
    ))
}

impl Braking {
    /// What the directive makes of it, in a sentence.
    fn by_directive(&self, minimum: Option<f64>, severity: Option<Severity>) -> String {
        match (minimum, severity) {
            (None, _) => "The directive has no figure for the front brake alone.".to_owned(),
            (Some(m), None) => {
                format!("Meets the {} % of an {} for {}.", figure(m, 0), self.category.word(), self.brakes.words())
            }
            (Some(m), Some(severity)) => format!(
                "Below the {} % of an {} for {}: {}.",
                figure(m, 0),
                self.category.word(),
                self.brakes.words(),
                match severity {
                    Severity::Dangerous => "less than half of it, dangerous".to_owned(),
                    other => other.word().to_owned(),
                }
            ),
        }
    }

    /// The judgement of the rule that judges an inspection, for a machine known by category and first use alone, with
    /// the id of the region.
    fn by_region(&self, wanted: &str, percent: f64, today: NaiveDate) -> Result<(String, Judgement), ReckonError> {
        let catalogue = Catalogue::builtin();
        let region = catalogue.region_or_wider(wanted).ok_or_else(|| {
            let known: Vec<&str> = catalogue.regions.iter().map(|r| r.id.as_str()).collect();
            ReckonError::expected(
                &format!("a region, one of {}", known.join(", ")),
                format!("\"{}\"", wanted.trim()),
                "generic applies no law and grades after the directive",
            )
        })?;
        let mut machine = Machine::new(MachineId("reckoned".into()), "Reckoned", Layout::Solo);
        machine.category = self.category;
        machine.first_use = self.first_used;
        machine.region.clone_from(&region.id);
        let check = CheckRef::new(CHECK, Subject::Machine);
        let field = match self.brakes {
            Brakes::Both => "both",
            Brakes::Front => "front",
            Brakes::Rear => "rear",
        };
        let mut inspection = Inspection::new(InspectionId("reckoned".into()), "ride", today);
        let answer = inspection.answers.entry(check.clone()).or_default();
        answer.readings.insert(field.into(), Value::Number(percent));
        let units = Preferences::default();
        let case = Case::new(&machine, &inspection, &[], catalogue, &units, today);
        let rule = RULES.iter().find(|rule| rule.id() == CHECK);
        let judged = rule.map(|rule| rule.judge(&case, &check, inspection.answer(&check))).unwrap_or_default();
        let judged = judged.into_iter().next();
        let nothing = || ReckonError::expected("an efficiency to judge", figure(percent, 1), "check the entries");
        Ok((region.id.clone(), judged.ok_or_else(nothing)?))
    }

    /// The distance that type approval asks for, where one brake is named and its formula is known.
    fn type_approval(&self, answer: &mut Reckoning) -> bool {
        let Some((divisor, test_kmh)) = type_approval(self.category, self.brakes) else { return false };
        let kmh = self.speed.map_or(test_kmh, Speed::as_kmh);
        let metres = 0.1 * kmh + kmh * kmh / divisor;
        answer.data["type_approval_distance_m"] = metres.into();
        answer.data["type_approval_speed_kmh"] = kmh.into();
        answer.data["type_approval_deceleration_m_s2"] = (divisor / 25.92).into();
        answer.line(format!(
            "For comparison, not a limit in service: type approval asks for a stop within {} m from {} km/h, counted from the lever.",
            figure(metres, 2),
            figure(kmh, 0)
        ));
        answer.formula(format!(
            "S = 0.1 × V + V² / {} = {} m (laden, tested at {} km/h; {} / 25.92 = {} m/s²)",
            figure(divisor, 0),
            figure(metres, 3),
            figure(test_kmh, 0),
            figure(divisor, 0),
            figure(divisor / 25.92, 3)
        ));
        answer.source("Directive 93/14/EEC appendix 1, 2.1 (type approval)");
        true
    }

    /// A speed alone: what a stop from it is asked to take.
    fn asked_of_a_type(&self) -> Result<Reckoning, ReckonError> {
        let speed = self.speed.ok_or_else(|| {
            ReckonError::expected(
                "a measurement",
                "none",
                "give --speed and --distance, or --decelerometer, or --force and --mass",
            )
        })?;
        above_zero("a speed", speed)?;
        let mut answer = Reckoning::new(
            format!("Stopping distance, {}", self.brakes.words()),
            json!({ "category": self.category.word(), "brakes": self.brakes.words() }),
        );
        if !self.type_approval(&mut answer) {
            return Err(ReckonError::expected(
                "a measurement, or one brake of a moped or motorcycle whose stopping distance the directive gives",
                format!("{} with {}", self.category.word(), self.brakes.words()),
                "add --distance, or name --brakes front or rear",
            ));
        }
        answer.caution(
            "Try brakes only on a closed, dry, level place, after lever and pedal are firm, and first at walking pace.",
        );
        Ok(answer)
    }
}

impl Reckon for Braking {
    const ID: &'static str = "braking";
    const ABOUT: &'static str = "Braking: deceleration and efficiency, against the minima of the periodic tests";
    const EXAMPLE: &'static str = "braking --speed \"50 km/h\" --distance \"20 m\" --category L3e --brakes both";

    fn reckon(&self, today: NaiveDate) -> Result<Reckoning, ReckonError> {
        if self.distance.is_none() && self.decelerometer.is_none() && self.force.is_none() {
            return self.asked_of_a_type();
        }
        let (a, formula) = deceleration(self)?;
        let percent = 100.0 * a / G;
        // No tyre on a road gives more; a larger figure is a slip of the unit.
        if percent > MOST_PERCENT {
            return Err(ReckonError::expected(
                "an efficiency of at most 150 %",
                format!("{} %", figure(percent, 0)),
                "no tyre holds that on a road: check the figures and their units",
            ));
        }
        let minimum = match self.brakes {
            Brakes::Both => Some(both_together(self.category)),
            Brakes::Rear => Some(REAR_ALONE),
            Brakes::Front => None,
        };
        // A reading that stands exactly on the minimum is not below it, whatever the last binary digit.
        let below = |limit: f64| percent < limit - 1e-9;
        let severity = minimum.and_then(|m| class(percent, m));
        let mut answer = Reckoning::new(
            format!("Braking, {}", self.brakes.words()),
            json!({
                "deceleration_m_s2": a,
                "efficiency_percent": percent,
                "category": self.category.word(),
                "brakes": self.brakes.words(),
                "minimum_percent": minimum,
                "severity": severity.map(Severity::word),
            }),
        );
        answer.line(format!("{} m/s², {} %.", figure(a, 2), figure(percent, 1)));
        if let Some(region) = &self.region {
            let (id, judged) = self.by_region(region, percent, today)?;
            answer.data["region"] = id.into();
            answer.data["severity"] = judged.severity().map(Severity::word).into();
            answer.data["sentence"] = judged.sentence.clone().into();
            answer.line(judged.sentence);
            for source in judged.limit.map(|l| l.source).into_iter().chain(judged.graded_by) {
                answer.source(source.words());
            }
            for other in judged.others {
                answer.line(format!("For comparison: {} ({}).", other.value, other.source.words()));
            }
        } else {
            answer.line(self.by_directive(minimum, severity));
        }
        if self.brakes != Brakes::Both && self.region.is_none() {
            let words = |limit: f64| if below(limit) { "is not met" } else { "is met" };
            answer.data["meets_gb_30_percent"] = (!below(30.0)).into();
            answer.data["meets_gb_25_percent"] = (!below(25.0)).into();
            answer.line(format!(
                "In Great Britain one brake must give 30 % and the other 25 % (first use from 1927 on): 30 % {}, 25 % {}.",
                words(30.0),
                words(25.0)
            ));
            answer.source("VOSA/DVSA motorcycle inspection manual, brake performance 3.3 (Great Britain)");
        }
        answer.formula(formula);
        answer.formula(format!("E = 100 × a / g = 100 × {} / 9.80665 = {} %", figure(a, 3), figure(percent, 2)));
        answer.source("Directive 2014/45/EU annex I, item 1.2.2 (minima; less than half is dangerous)");
        self.type_approval(&mut answer);
        answer.caution("Outside the EU the class is graded after the directive and is not law. The reference mass is the greatest authorised one.");
        answer.caution(
            "Try brakes only on a closed, dry, level place, after lever and pedal are firm, and first at walking pace.",
        );
        Ok(answer)
    }
}
