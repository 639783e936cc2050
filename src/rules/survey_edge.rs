//! The limits that belong into the drawing of a wheel survey: the same figures by which the rules judge its readings.

use super::proof::{own_limit, wheel};
use super::{Case, Source, disc, rim_runout};
use crate::inspection::{CheckRef, Subject};
use crate::machine::LimitKind;
use crate::survey::Edge;
use crate::units::Length;

/// The limits of a field that is read round the wheel, the stricter first where two are of a kind. Empty where neither
/// the machine nor the law gives one.
pub fn survey_edges(case: &Case<'_>, check: &CheckRef, field: &str) -> Vec<(Edge, Length, Source)> {
    let own = |edge: Edge, kind: LimitKind| own_limit(case, kind).map(|(limit, source)| (edge, limit, source));
    let mut edges: Vec<(Edge, Length, Source)> = match (check.check.as_str(), field) {
        ("tyre-tread", _) => {
            let law = case.region.tread.iter().find(|law| law.is_about(case.machine, case.today));
            let law = law.filter(|law| law.binds).map(|l| {
                let source = Source::Law(case.region.cite(&l.citation, None, None));
                (Edge::Least, l.minimum, source)
            });
            let position = wheel(case, check).map(|w| w.position);
            law.into_iter().chain(position.and_then(|p| own(Edge::Least, LimitKind::TreadMinimum(p)))).collect()
        }
        ("rim-runout", way) => wheel(case, check)
            .map_or_else(Vec::new, |wheel| rim_runout::limits(case, wheel, way))
            .into_iter()
            .map(|(limit, source)| (Edge::Swing, limit, source))
            .collect(),
        ("disc", "runout") => match check.subject {
            Subject::Disc(wheel, _) => {
                own(Edge::Swing, LimitKind::DiscRunoutMaximum(wheel)).into_iter().chain([disc::practice()]).collect()
            }
            _ => Vec::new(),
        },
        ("disc", _) => match check.subject {
            Subject::Disc(wheel, side) => own(Edge::Least, LimitKind::DiscMinimum(wheel, side)).into_iter().collect(),
            _ => Vec::new(),
        },
        ("drive-slack", _) => {
            let least = own(Edge::Least, LimitKind::DriveSlackMinimum);
            least.into_iter().chain(own(Edge::Most, LimitKind::DriveSlackMaximum)).collect()
        }
        _ => Vec::new(),
    };
    edges.sort_by(|a, b| {
        let strict = |e: &(Edge, Length, Source)| if e.0 == Edge::Least { -e.1.as_mm() } else { e.1.as_mm() };
        (a.0 as u8).cmp(&(b.0 as u8)).then(strict(a).total_cmp(&strict(b)))
    });
    edges
}

#[cfg(test)]
mod tests {
    use super::super::fixture::Bench;
    use super::*;
    use crate::machine::{RimMaterial, WheelPosition};

    #[test]
    fn the_stricter_of_machine_and_law_comes_first() {
        let mut bench = Bench::new("gb");
        bench.machine.wheels[0].rim.material = RimMaterial::Aluminium;
        let front = CheckRef::new("rim-runout", Subject::Wheel(WheelPosition::Front));
        let edges = |bench: &Bench| -> Vec<f64> {
            survey_edges(&bench.case(), &front, "lateral").iter().map(|e| e.1.as_mm()).collect()
        };
        // DVSA inspection manual for motorcycles 5.2.2: 2 mm for aluminium.
        assert_eq!(edges(&bench), [2.0]);
        bench.limit(LimitKind::RimLateralMaximum(WheelPosition::Front), 0.5);
        assert_eq!(edges(&bench), [0.5, 2.0]);
    }

    #[test]
    fn slack_has_two_edges_and_tread_the_laws() {
        let mut bench = Bench::new("gb");
        bench.limit(LimitKind::DriveSlackMinimum, 25.0);
        bench.limit(LimitKind::DriveSlackMaximum, 35.0);
        let slack = CheckRef::new("drive-slack", Subject::Machine);
        let tread = CheckRef::new("tyre-tread", Subject::Wheel(WheelPosition::Front));
        let kinds: Vec<_> = survey_edges(&bench.case(), &slack, "round").iter().map(|e| (e.0, e.1.as_mm())).collect();
        assert_eq!(kinds, [(Edge::Least, 25.0), (Edge::Most, 35.0)]);
        // SI 1986/1078 regulation 27: 1 mm.
        assert_eq!(survey_edges(&bench.case(), &tread, "depths")[0].1.as_mm(), 1.0);
    }
}
