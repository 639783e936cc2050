//! The limits that a series runs towards, each with its source: the machine's own, the law's, practice.

use chrono::NaiveDate;

use crate::catalogue::{Catalogue, TreadGeometry};
use crate::inspection::Zone;
use crate::machine::{LimitKind, Machine, Quota, WheelPosition};
use crate::rules::lining::ORDINARY_MM;
use crate::rules::tread::BAR_32NDS;

/// How far a limit binds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Trust {
    /// The machine's own figure, or the owner's.
    Own,
    /// A law that binds the owner here.
    Law,
    /// Common practice.
    Practice,
    /// A law that binds nobody here, for comparison.
    Comparison,
}

impl Trust {
    /// In a word or two.
    pub fn word(self) -> &'static str {
        match self {
            Self::Own => "own figure",
            Self::Law => "law",
            Self::Practice => "practice",
            Self::Comparison => "for comparison",
        }
    }
}

/// A limit that a series runs towards.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitLine {
    /// The figure, in the unit of the series.
    pub value: f64,
    /// How far it binds.
    pub trust: Trust,
    /// Where it comes from.
    pub source: String,
}

/// The height of a wear bar in mm, as the rule of tread depth has it.
const BAR_MM: f64 = BAR_32NDS * 25.4 / 32.0;

fn own(machine: &Machine, kind: LimitKind) -> Option<LimitLine> {
    let limit = machine.limit(kind)?;
    let Quota::Length(value) = limit.value else { return None };
    Some(LimitLine { value: value.as_mm(), trust: Trust::Own, source: limit.source.to_string() })
}

/// The limits of one zone of a tyre. A law that looks at the middle or at a band leaves the shoulders out.
pub(super) fn tread(
    machine: &Machine,
    catalogue: &Catalogue,
    w: WheelPosition,
    zone: Zone,
    on: NaiveDate,
) -> Vec<LimitLine> {
    let mut limits: Vec<LimitLine> = own(machine, LimitKind::TreadMinimum(w)).into_iter().collect();
    let region = catalogue.region_applied(machine);
    let law = region.tread.iter().find(|l| l.is_about(machine, on));
    let counts = |g: TreadGeometry| match g {
        TreadGeometry::ContinuousBand(p) | TreadGeometry::MainGrooves(p) => {
            p > 75.0 || !matches!(zone, Zone::Shoulder(_))
        }
        TreadGeometry::ThinnestGroove | TreadGeometry::FourPoints { .. } => true,
    };
    if let Some(law) = law.filter(|l| counts(l.geometry)) {
        let trust = if law.binds { Trust::Law } else { Trust::Comparison };
        limits.push(LimitLine { value: law.minimum.as_mm(), trust, source: region.cite(&law.citation, None, None) });
    }
    if !limits.iter().any(|l| matches!(l.trust, Trust::Own | Trust::Law)) {
        limits.push(LimitLine { value: BAR_MM, trust: Trust::Practice, source: "height of a moulded wear bar".into() });
    }
    limits
}

/// The limits of a lining.
pub(super) fn lining(machine: &Machine, w: WheelPosition) -> Vec<LimitLine> {
    let source = "older British inspection manual, ordinary lining (archived text, medium certainty)";
    let practice = || LimitLine { value: ORDINARY_MM, trust: Trust::Practice, source: source.into() };
    vec![own(machine, LimitKind::LiningMinimum(w)).unwrap_or_else(practice)]
}

/// The limit of a disc or a drum: only its own, for no standard gives one.
pub(super) fn own_only(machine: &Machine, kind: LimitKind) -> Vec<LimitLine> {
    own(machine, kind).into_iter().collect()
}

/// The limit of a chain's elongation in per cent, with the length it should have over the pitches measured.
pub(super) fn chain(machine: &Machine, nominal_mm: f64, teeth: Option<f64>) -> Vec<LimitLine> {
    let practice = || LimitLine {
        value: crate::rules::chain::general_limit_percent(teeth),
        trust: Trust::Practice,
        source: "elongation allowed in general (ANSI B29.1 practice)".into(),
    };
    let own = own(machine, LimitKind::ChainLengthMaximum)
        .map(|l| LimitLine { value: 100.0 * (l.value - nominal_mm) / nominal_mm, ..l });
    vec![own.unwrap_or_else(practice)]
}
