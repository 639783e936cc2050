//! What was planted on the machine against what the key holds. Must not score.

use super::words::finding_words;
use crate::catalogue::Catalogue;
use crate::exercise::Key;

/// What is to be known of a planted defect that no finding of the key is called by: a student who finds what the key
/// does not hold is marked a false alarm. None where one is; further words before and behind its name do no harm.
pub fn not_in_key(catalogue: &Catalogue, key: Option<&Key>, what: &str) -> Option<String> {
    let what = what.trim().to_lowercase();
    let is_it = |f| what.contains(&finding_words(catalogue, f).to_lowercase());
    let is_there = key.is_some_and(|key| key.inspection.findings.iter().any(is_it));
    (!is_there).then(|| {
        "No finding of the key is called so. If the key does not hold it, note it in an inspection and make the key of \
         that, or it counts as a false alarm for each student who finds it."
            .to_owned()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exercise::ExerciseId;
    use crate::inspection::{CheckRef, Finding, FindingId, Inspection, InspectionId, Place, Station, Subject};

    #[test]
    fn a_planted_defect_is_known_by_the_words_that_the_window_offers_for_it() {
        let catalogue = Catalogue::builtin();
        let check = catalogue.checks.iter().find(|c| !c.faults.is_empty()).expect("a check with faults");
        let finding = Finding {
            id: FindingId("f1".into()),
            check: CheckRef::new(check.id.as_str(), Subject::Machine),
            fault: check.faults[0].id.clone(),
            place: Place::Part { station: Station::Saddle, part: String::new() },
            size: None,
            note: String::new(),
            overrule: None,
            photos: Vec::new(),
        };
        let day = "2026-10-03".parse().expect("a day");
        let mut inspection = Inspection::new(InspectionId("i".into()), "season", day);
        let offered = finding_words(catalogue, &finding);
        inspection.findings.push(finding);
        let key = Key::of(ExerciseId("walk-1".into()), inspection);
        for held in [offered.clone(), format!("  {}, with tape over it", offered.to_uppercase())] {
            assert_eq!(not_in_key(catalogue, Some(&key), &held), None, "{held}");
        }
        for (key, what) in [(Some(&key), "fuse taken out"), (None, offered.as_str())] {
            let why = not_in_key(catalogue, key, what).expect(what);
            assert!(why.contains("false alarm") && why.contains("note it in an inspection"), "{why}");
        }
    }
}
