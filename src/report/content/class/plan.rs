//! What was missed, on the machine in plan: at each station the numbers of the findings that somebody does not have as
//! the key asks, and how many answers are missing there.

use std::collections::BTreeMap;

use super::ClassInput;
use crate::class::OfFinding;
use crate::drawing::plan::{self, PlaceState, PlanView};
use crate::drawing::shape::{Anchor, Ink, pt};
use crate::inspection::{FindingId, Place, Station};
use crate::report::block::{Block, Paper};

/// The plan with what these sheets do not have; none where nothing is missing. `misses` tells for each finding how
/// many sheets do not have it as the key asks.
pub(super) fn block(
    input: &ClassInput<'_>,
    missing: &[OfFinding],
    numbers: &BTreeMap<FindingId, usize>,
    caption: &str,
) -> Option<Block> {
    let machine = &input.bay.machine;
    let mut stations: BTreeMap<Station, Here> = BTreeMap::new();
    let mut wheels = BTreeMap::new();
    for of in missing.iter().filter(|of| of.not_found() > 0) {
        let Some(finding) = input.wanted(&of.key) else { continue };
        let severity = input.results.severity(&of.key);
        let station = match &finding.place {
            Place::Wheel { position, .. } => {
                let state: &mut PlaceState = wheels.entry(*position).or_default();
                state.worst = state.worst.max(Some(severity));
                state.findings += 1;
                Station::of_wheel(*position)
            }
            Place::Part { station, .. } => *station,
        };
        let here = stations.entry(station).or_default();
        here.state.worst = here.state.worst.max(Some(severity));
        here.state.findings += 1;
        here.numbers.extend(numbers.get(&of.key));
        here.not_found += of.not_found();
    }
    if stations.is_empty() {
        return None;
    }
    let view = PlanView {
        // Below the height at which the plan writes its own counts: it would call them findings, and these are misses.
        width: if input.paper == Paper::A4 { 465.0 } else { 500.0 },
        height: 238.0,
        wheels: wheels.into_iter().collect(),
        stations: stations.iter().map(|(station, here)| (*station, here.state)).collect(),
        ..PlanView::default()
    };
    let drawn = plan::draw(machine, &view);
    let mut drawing = drawn.drawing;
    for (station, at) in &drawn.stations {
        let Some(here) = stations.get(station) else { continue };
        let beside = 14.5;
        // A name at the left ends at its mark; every other begins there.
        let (x, anchor) = match drawn.station_areas.iter().find(|(s, _)| s == station) {
            Some((_, area)) if area[0] <= 0.0 => (at.x - beside, Anchor::End),
            _ => (at.x + beside, Anchor::Start),
        };
        // Above the machine there is room over the name, elsewhere below it.
        let y = if at.y < view.height * 0.2 && anchor == Anchor::Start { at.y - 11.0 } else { at.y + 11.5 };
        drawing.words(pt(x, y), here.words(), 9.0, anchor, Ink::Faint);
    }
    let told: Vec<String> =
        stations.iter().map(|(station, here)| format!("{}: {}", station.word(), here.words())).collect();
    drawing.summary = format!("{} in plan, nose up, with what is missing. {}.", machine.name, told.join(". "));
    Some(Block::figure(drawing, caption))
}

/// What is missing at a station.
#[derive(Default)]
struct Here {
    state: PlaceState,
    numbers: Vec<usize>,
    not_found: usize,
}

impl Here {
    /// `no. 1, 4 · 5 misses`.
    fn words(&self) -> String {
        let mut numbers = self.numbers.clone();
        numbers.sort_unstable();
        let numbers: Vec<String> = numbers.iter().map(ToString::to_string).collect();
        let misses = if self.not_found == 1 { "1 miss".to_owned() } else { format!("{} misses", self.not_found) };
        format!("no. {} · {misses}", numbers.join(", "))
    }
}
