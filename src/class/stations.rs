//! How long a student stood at each station, from the times of the answers. Must not judge.

use std::collections::BTreeMap;

use chrono::NaiveTime;

use crate::inspection::{Inspection, Station};
use crate::rules::Assessment;

/// Minutes at each station and in all. The time up to an answer belongs to the station of that answer; answers
/// without a time are left out. No time at all gives an empty map and none. A walk past midnight counts on.
pub(super) fn times(inspection: &Inspection, assessment: &Assessment) -> (BTreeMap<Station, f64>, Option<f64>) {
    let mut answers: Vec<(NaiveTime, Station)> = inspection
        .answers
        .iter()
        .filter_map(|(check, answer)| Some((answer.at?, assessment.result(check)?.station)))
        .collect();
    let Some(begun) = inspection.started.or_else(|| answers.iter().map(|(at, _)| *at).min()) else {
        return (BTreeMap::new(), None);
    };
    let since = |at: NaiveTime| (at - begun).num_seconds().rem_euclid(24 * 3600) as f64 / 60.0;
    answers.sort_by(|a, b| since(a.0).total_cmp(&since(b.0)));
    let mut stations = BTreeMap::new();
    let mut last = 0.0;
    for (at, station) in &answers {
        *stations.entry(*station).or_insert(0.0) += since(*at) - last;
        last = since(*at);
    }
    (stations, (!answers.is_empty()).then_some(last))
}
