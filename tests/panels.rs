//! Every place of the window with the sample garage, light and dark, as pictures. The table of places is walked, so a
//! new place gets its pictures without a new test. Needs Vulkan, for example Mesa's lavapipe.

mod support;

use egui_kittest::kittest::Queryable as _;
use egui_kittest::{SnapshotOptions, SnapshotResults};
use stemclock::app::Look;
use stemclock::ui::panels::PLACES;
use support::{Bench, painted_window};

#[test]
fn every_place_looks_as_it_did() {
    let mut results = SnapshotResults::new();
    for (look, word) in [(Look::Light, "light"), (Look::Dark, "dark")] {
        let bench = Bench::new();
        bench.remember_look(look);
        let mut harness = painted_window(bench.sample(), [1024.0, 700.0]);
        harness.state_mut().apply(stemclock::ui::Action::Dismiss(0));
        // The machine with the gravest finding shows the most.
        let machine = harness.state().garage().bays.iter().find(|b| b.machine.name == "Belt tourer");
        let id = machine.expect("the sample has a belt-driven tourer").machine.id.clone();
        harness.state_mut().state_mut().machine = Some(id);
        harness.state_mut().state_mut().inspection = None;
        harness.run();
        for entry in PLACES {
            harness.key_press(entry.key);
            harness.run();
            // Photos are made ready on one thread, then the pages on another, then they are painted on a third.
            for _ in 0..4 {
                support::rest(&mut harness);
            }
            harness.run();
            // The folder's name differs from run to run.
            let folder = bench.homes().sample_garage().display().to_string();
            if let Some(path) = harness.query_by_label_contains(&folder) {
                let rect = path.rect().with_max_x(1010.0);
                harness.mask(rect);
            }
            let options = SnapshotOptions::new().threshold(0.8).max_failed_pixels(20);
            let name = format!("{}-{word}", entry.name.to_lowercase());
            results.add(harness.try_snapshot_options(name, &options));
        }
    }
}
