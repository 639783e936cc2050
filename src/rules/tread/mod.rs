//! Tread depth by the rule of the region and the machine's own figure; the stricter binds and both are shown.

mod geometry;

use geometry::judge_by;
pub use geometry::{Depth, POSITIONS_ALL_ROUND, TreadOutcome, depths, judge, least};

use super::proof::{at, margin, own_limit, own_unit, tread, wheel};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::catalogue::{TreadGeometry, TreadLaw};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::LimitKind;
use crate::units::Length;

/// Height of the wear bar moulded into a motorcycle tyre: 1/32 in (49 CFR 571.119 S6.4; UN R75 has 0.8 mm).
pub const BAR_32NDS: f64 = 1.0;
/// At or below this there is no groove left to measure (house figure: a gauge reads to 0.1 mm).
const BALD_MM: f64 = 0.1;
/// No motorcycle tyre has deeper grooves (house figure, well above block treads for soft ground).
const DEEPEST_MM: f64 = 30.0;

/// See the module.
pub(super) struct TreadDepth;

impl Rule for TreadDepth {
    fn id(&self) -> &'static str {
        "tread-depth"
    }
    fn explain(&self) -> &'static str {
        "Tread depth by the law of the machine's region, in that law's geometry (a continuous band, the main grooves, \
         the thinnest groove, four points), and by the machine's own figure. Below the law: dangerous, Directive \
         2014/45/EU item 5.2.3 e. Where no law binds the owner, the height of the moulded wear bar counts: major. \
         Fewer than eight clock positions are judged at the places measured."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["tyre-tread"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(points) = tread(answer, "depths") else { return vec![] };
        let all = depths(&points);
        let Some(thinnest) = least(&all) else { return vec![] };
        let shown = format!(
            "least {} at {}, {}",
            case.units.show_depth(thinnest.depth),
            at(thinnest.spot),
            thinnest.zone.words()
        );
        let odd = all.iter().find(|d| !(0.0..=DEEPEST_MM).contains(&d.depth.as_mm()));
        if let Some(odd) = odd {
            let sentence = format!(
                "Expected a tread depth from 0 to {}, found {} at {}: read it again.",
                case.units.show_depth(Length::mm(DEEPEST_MM)),
                case.units.show_depth(odd.depth),
                at(odd.spot)
            );
            return vec![Judgement::new(self.id(), check, Outcome::Refused, sentence).of("depths").read(shown)];
        }
        let laws: Vec<&TreadLaw> = case.region.tread.iter().filter(|l| l.is_about(case.machine, case.today)).collect();
        let own = wheel(case, check).and_then(|w| own_limit(case, LimitKind::TreadMinimum(w.position)));
        let mut candidates = Vec::new();
        if let Some(law) = laws.first() {
            candidates.push(match judge(law, &points) {
                Some(outcome) if law.binds => self.by_law(case, check, law, &outcome),
                Some(outcome) => self.for_comparison(case, check, law, &outcome),
                None => not_in_the_zones(case, self.id(), check, law),
            });
        }
        if let Some((limit, source)) = own {
            candidates.push(self.by_own_figure(case, check, &points, thinnest, limit, source));
        }
        if candidates.is_empty() {
            candidates.push(self.no_figure(case, check, thinnest));
        }
        // The worst binds; of two sound ones the stricter figure does. The other is shown beside it.
        candidates.sort_by(|a, b| b.rank.total_cmp(&a.rank));
        let mut candidates = candidates.into_iter();
        let Some(binding) = candidates.next() else { return vec![] };
        let mut judgement = binding.judgement.of("depths");
        if judgement.reading.is_empty() {
            judgement = judgement.read(shown);
        }
        judgement.others.extend(candidates.filter_map(|c| c.judgement.limit));
        for other in laws.iter().skip(1) {
            judgement = judgement.also(format!("{}, the general rule", at_least(case, other)), law_source(case, other));
        }
        // What is law on another day is told and does not bind.
        for other in
            case.region.tread.iter().filter(|l| l.is_for(case.machine) && !l.is_about(case.machine, case.today))
        {
            judgement =
                judgement.also(format!("{}, not in force today", at_least(case, other)), law_source(case, other));
        }
        vec![judgement.also(
            format!("{} or more", case.units.show_depth(Length::thirty_seconds(2.0))),
            Source::Practice("many riders stop there, whatever the law allows".into()),
        )]
    }
}

/// A judgement with how strongly it binds.
struct Candidate {
    judgement: Judgement,
    rank: f64,
}

/// Worse outcomes before better ones; within one, the stricter figure.
fn candidate(judgement: Judgement, limit: Length) -> Candidate {
    let step = match judgement.outcome {
        Outcome::Fault(Severity::Dangerous) => 4.0,
        Outcome::Fault(Severity::Major) => 3.0,
        Outcome::Fault(Severity::Minor) => 2.0,
        // A figure that could not be applied may not be outdone by one that was met.
        Outcome::Refused => 1.5,
        Outcome::Sound => 1.0,
        Outcome::Noted => 0.0,
    };
    Candidate { judgement, rank: step * 1000.0 + limit.as_mm() }
}

/// The law as a source, with what else a reader should know of it.
fn law_source(case: &Case<'_>, law: &TreadLaw) -> Source {
    let mut words = case.region.cite(&law.citation, law.from, law.until);
    if !law.binds {
        words.push_str(" (for comparison)");
    }
    if !law.remark.is_empty() {
        words.push_str(&format!(". {}", law.remark.trim_end_matches('.')));
    }
    if law.binds { Source::Law(words) } else { Source::Practice(words) }
}

fn at_least(case: &Case<'_>, law: &TreadLaw) -> String {
    let where_ = match law.geometry {
        TreadGeometry::ContinuousBand(p) if p >= 100.0 => "over the whole tread".into(),
        TreadGeometry::ContinuousBand(p) => format!("over a continuous band of {p:.0} % of the breadth"),
        TreadGeometry::MainGrooves(p) => format!("in the main grooves, those of the middle {p:.0} %"),
        TreadGeometry::ThinnestGroove => "at the thinnest point of any groove".into(),
        TreadGeometry::FourPoints { may_be_below } => {
            format!("at four even points, {may_be_below} of which may be below")
        }
    };
    format!("at least {} {where_}", own_unit(case, law.minimum))
}

/// Readings that say nothing under the law's geometry: a shoulder alone, say.
fn not_in_the_zones(case: &Case<'_>, rule: &'static str, check: &CheckRef, law: &TreadLaw) -> Candidate {
    let judgement = Judgement::new(
        rule,
        check,
        Outcome::Refused,
        "The depths were read outside the part of the tread that the law is about: read the centre and both intermediate \
         zones too.",
    )
    .against(law.citation.clone(), law_source(case, law));
    candidate(judgement, law.minimum)
}

/// The least reading anywhere, where it is not the one that decides: a law that leaves some points or the shoulders out
/// is no reason not to know them.
fn the_least(case: &Case<'_>, found: &TreadOutcome) -> String {
    if found.least.depth >= found.deciding.depth {
        return String::new();
    }
    let place = format!("{}, {}", at(found.least.spot), found.least.zone.words());
    format!(" The least anywhere is {} at {place}; this law lets it be.", case.units.show_depth(found.least.depth))
}

/// What was read, where the margin is not taken from the least reading: the figure that counts, then the least with why
/// it does not. Empty where they are one.
fn read_where_it_counts(case: &Case<'_>, found: &TreadOutcome, why: &str) -> String {
    if found.least.depth >= found.deciding.depth {
        return String::new();
    }
    let said =
        |depth: &Depth| format!("{} at {}, {}", case.units.show_depth(depth.depth), at(depth.spot), depth.zone.words());
    format!("{} counts; least {}, {why}", said(&found.deciding), said(&found.least))
}

/// A word where the law goes by the engine's capacity and nobody has entered it.
fn by_capacity(case: &Case<'_>) -> &'static str {
    let category = case.machine.category;
    let applies = |l: &&TreadLaw| l.categories.is_empty() || l.categories.contains(&category);
    let mut laws = case.region.tread.iter().filter(applies);
    if case.machine.capacity_cc.is_none() && laws.any(|l| l.up_to_cc.is_some() || l.above_cc.is_some()) {
        " The law here goes by the engine's capacity, which the machine's data lack: enter it."
    } else {
        ""
    }
}

impl TreadDepth {
    fn by_law(&self, case: &Case<'_>, check: &CheckRef, law: &TreadLaw, found: &TreadOutcome) -> Candidate {
        let deciding = &found.deciding;
        let depth = case.units.show_depth(deciding.depth);
        let place = format!("{}, {}", at(deciding.spot), deciding.zone.words());
        let wanted = at_least(case, law);
        let the_law = case.region.rule_words("the law");
        let (outcome, sentence) = if found.below {
            (
                Outcome::Fault(Severity::Dangerous),
                format!(
                    "{depth} at {place} is below what {the_law} asks for: {wanted}. Dangerous; the tyre is replaced before it is ridden.{}",
                    by_capacity(case)
                ),
            )
        } else {
            (
                Outcome::Sound,
                format!("{depth} at {place} meets {the_law} {}: {wanted}.{}", found.extent(), the_least(case, found)),
            )
        };
        let judgement = Judgement::new(self.id(), check, outcome, sentence)
            .against(wanted, law_source(case, law))
            .with_margin(margin(case, deciding.depth, law.minimum))
            .read(read_where_it_counts(case, found, "which this law lets be"))
            .graded(case.directive("5.2.3 e"));
        candidate(judgement, law.minimum)
    }

    /// A figure that binds no owner: the moulded wear bar counts, and the figure is said to be no law.
    fn for_comparison(&self, case: &Case<'_>, check: &CheckRef, law: &TreadLaw, found: &TreadOutcome) -> Candidate {
        let bar = Length::thirty_seconds(BAR_32NDS);
        let depth = case.units.show_depth(found.deciding.depth);
        let thinnest = case.units.show_depth(found.least.depth);
        let place = format!("{}, {}", at(found.least.spot), found.least.zone.words());
        let wanted = at_least(case, law);
        let no_law = format!("no law binds you to a figure here: {}", case.region.shown());
        let (outcome, sentence, limit) = if found.least.depth.as_mm() <= BALD_MM {
            (
                Outcome::Fault(Severity::Dangerous),
                format!("{thinnest} at {place}: no groove is left, dangerous by common practice ({no_law})."),
                bar,
            )
        } else if found.least.depth < bar {
            (
                Outcome::Fault(Severity::Major),
                format!(
                    "{thinnest} at {place} is below the height of a moulded wear bar, {}: the bar is reached, major \
                     ({no_law}).",
                    case.units.show_depth(bar)
                ),
                bar,
            )
        } else if found.below {
            (
                Outcome::Fault(Severity::Minor),
                format!(
                    "{depth} is below {wanted}, a figure for comparison ({no_law}): minor by common practice. Plan a \
                     new tyre."
                ),
                law.minimum,
            )
        } else {
            (
                Outcome::Sound,
                format!("{depth} or more {}; for comparison, {wanted} ({no_law}).", found.extent()),
                law.minimum,
            )
        };
        let mut judgement = Judgement::new(self.id(), check, outcome, sentence)
            .against(wanted, law_source(case, law))
            .with_margin(margin(case, found.deciding.depth, law.minimum))
            .read(read_where_it_counts(case, found, "which the figure for comparison lets be"));
        judgement.graded_by.push(match &judgement.outcome {
            Outcome::Fault(Severity::Minor) => Source::Practice("near the end of its life".into()),
            _ => case.directive("5.2.3 e"),
        });
        if judgement.outcome == Outcome::Fault(Severity::Dangerous) {
            judgement = judgement.graded(Source::Practice("raised to dangerous: no groove is left".into()));
        }
        candidate(judgement, limit)
    }

    fn by_own_figure(
        &self,
        case: &Case<'_>,
        check: &CheckRef,
        points: &[crate::inspection::TreadPoint],
        thinnest: Depth,
        limit: Length,
        source: Source,
    ) -> Candidate {
        let depth = case.units.show_depth(thinnest.depth);
        let place = format!("{}, {}", at(thinnest.spot), thinnest.zone.words());
        let wanted = format!("at least {}", case.units.show_depth(limit));
        let (outcome, sentence) = if thinnest.depth < limit {
            (
                Outcome::Fault(Severity::Major),
                format!(
                    "{depth} at {place} is below the machine's own figure, {wanted}: major, as a wear bar that is reached."
                ),
            )
        } else {
            let extent = judge_by(TreadGeometry::ThinnestGroove, limit, points).map_or(String::new(), |o| o.extent());
            (Outcome::Sound, format!("{depth} at {place} meets the machine's own figure {extent}: {wanted}."))
        };
        let judgement = Judgement::new(self.id(), check, outcome, sentence)
            .against(wanted, source)
            .with_margin(margin(case, thinnest.depth, limit))
            .graded(case.directive("5.2.3 e"));
        candidate(judgement, limit)
    }

    fn no_figure(&self, case: &Case<'_>, check: &CheckRef, thinnest: Depth) -> Candidate {
        let judgement = Judgement::new(
            self.id(),
            check,
            Outcome::Noted,
            format!(
                "{} cannot be judged: {} gives no figure for this machine. Enter the machine's own least tread, or \
                 choose the region.",
                case.units.show_depth(thinnest.depth),
                case.region.shown()
            ),
        );
        candidate(judgement, Length::mm(0.0))
    }
}

#[cfg(test)]
mod tests;
