//! What is judged otherwise under the rules of another region: the same inspection, assessed twice and compared.

use super::{Assessment, CheckResult, Judgement, Outcome};
use crate::inspection::CheckRef;

/// A check that is judged otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RegionChange {
    /// Which check.
    pub check: CheckRef,
    /// Its title with the part.
    pub title: String,
    /// How it was judged before: the class or status, and the limit where one was used.
    pub before: String,
    /// How it is judged now.
    pub after: String,
    /// The document by which it is judged now; empty where none is cited.
    pub law: String,
}

/// The checks that differ, in walking order.
pub fn region_changes(before: &Assessment, after: &Assessment) -> Vec<RegionChange> {
    let pairs = after.results.iter().filter_map(|new| Some((before.result(&new.check)?, new)));
    pairs.filter_map(|(old, new)| change(old, new)).collect()
}

fn change(old: &CheckResult, new: &CheckResult) -> Option<RegionChange> {
    // A rule may say two things of one reading, a judgement and a comparison: the first is paired with the first.
    let twin = |index: usize| {
        let judgement = &new.judgements[index];
        let nth = new.judgements[..index].iter().filter(|j| is_twin(j, judgement)).count();
        old.judgements.iter().filter(|j| is_twin(j, judgement)).nth(nth)
    };
    let differs = |index: &usize| twin(*index).is_none_or(|twin| key(twin) != key(&new.judgements[*index]));
    let index = (0..new.judgements.len()).find(differs);
    let judged = index.map(|index| &new.judgements[index]);
    let is_otherwise = (old.severity, &old.status) != (new.severity, &new.status);
    if judged.is_none() && !is_otherwise {
        return None;
    }
    let was = index.and_then(twin);
    Some(RegionChange {
        check: new.check.clone(),
        title: new.title.clone(),
        before: words(old, was),
        after: words(new, judged),
        law: judged.map(law).unwrap_or_default(),
    })
}

/// The same rule about the same reading or finding.
fn is_twin(a: &Judgement, b: &Judgement) -> bool {
    a.rule == b.rule && a.field == b.field && a.finding == b.finding
}

/// What makes two judgements alike: the outcome and the binding limit; how a class is cited is not a change.
fn key(judgement: &Judgement) -> (&Outcome, Option<&str>) {
    (&judgement.outcome, judgement.limit.as_ref().map(|l| l.value.as_str()))
}

fn words(result: &CheckResult, judgement: Option<&Judgement>) -> String {
    let standing = match (result.severity, judgement.map(|j| &j.outcome)) {
        (Some(severity), _) => severity.word().to_owned(),
        (None, Some(Outcome::Noted)) => "shown for comparison".into(),
        (None, Some(Outcome::Refused)) => "not taken as a reading".into(),
        (None, _) => result.status.words(),
    };
    match judgement.and_then(|j| j.limit.as_ref()) {
        Some(limit) => format!("{standing}, {}", limit.value),
        None => standing,
    }
}

fn law(judgement: &Judgement) -> String {
    match (&judgement.limit, judgement.graded_by.first()) {
        (Some(limit), _) => limit.source.words(),
        (None, Some(source)) => source.words(),
        (None, None) => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::Bench;
    use super::*;
    use crate::clock::Spot;
    use crate::inspection::{Subject, TreadPoint, Value, Zone};
    use crate::machine::WheelPosition;
    use crate::units::Length;

    fn depths(mm: f64) -> Value {
        let point = |i: i32| TreadPoint {
            spot: Spot::from_degrees(f64::from(i) * 45.0).expect("finite"),
            depths: Zone::TREAD.map(|zone| (zone, Length::mm(mm))).to_vec(),
        };
        Value::Tread((0..8).map(point).collect())
    }

    #[test]
    fn a_tread_that_is_law_in_britain_is_below_it_in_germany() {
        // SI 1986/1078 regulation 27: 1.0 mm; StVZO § 36: 1.6 mm.
        let mut bench = Bench::new("gb");
        bench.machine.capacity_cc = Some(600);
        let check = CheckRef::new("tyre-tread", Subject::Wheel(WheelPosition::Front));
        bench.read(&check, "depths", depths(1.3));
        let before = bench.assess();
        bench.machine.region = "de".into();
        let after = bench.assess();
        let changes = region_changes(&before, &after);
        let tread = changes.iter().find(|c| c.check == check).expect("the tread");
        assert!(tread.before.contains("sound") && tread.before.contains("1.0 mm"), "{tread:?}");
        assert!(tread.after.contains("dangerous") && tread.after.contains("1.6 mm"), "{tread:?}");
        assert!(tread.law.contains("StVZO"), "{tread:?}");
        assert!(region_changes(&after, &after).is_empty());
        // A limit that is another one is told although both are met.
        bench.read(&check, "depths", depths(4.0));
        let here = bench.assess();
        bench.machine.region = "gb".into();
        let tread = region_changes(&here, &bench.assess()).into_iter().find(|c| c.check == check).expect("told");
        assert!(tread.before.contains("1.6 mm") && tread.after.contains("1.0 mm"), "{tread:?}");
    }
}
