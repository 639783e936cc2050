//! The record of an inspection with forty findings: how long its layout and its PDF take on a warm run, and how large
//! the file is. It prints figures and judges none; the target is 50 ms for both together and 150 kB.
#![allow(clippy::unwrap_used, reason = "what it shares with the tests stops at the first surprise")]

use std::time::Instant;

use chrono::{DateTime, FixedOffset};
use stemclock::catalogue::Catalogue;
use stemclock::report::block::Paper;
use stemclock::report::content::{Album, Options, RecordInput, record};
use stemclock::report::{layout, pdf};
use stemclock::units::Preferences;

#[path = "../record/bench.rs"]
#[allow(dead_code, reason = "the record's tests use the rest")]
mod bench;

/// Runs that are not counted, and runs that are.
const WARM: usize = 3;
const COUNTED: usize = 15;

fn main() {
    let machine = bench::machine();
    let mut inspection = bench::inspection();
    bench::measured(&mut inspection);
    inspection.findings = bench::forty_findings(&machine);
    let bay = bench::bay(machine, vec![inspection]);
    let (catalogue, units, photos) = (Catalogue::builtin(), Preferences::default(), Album::default());
    let now: DateTime<FixedOffset> = "2026-11-25T10:00:00+00:00".parse().expect("a moment");
    let input = RecordInput {
        bay: &bay,
        inspection: &bay.inspections[0],
        catalogue,
        units: &units,
        today: now.date_naive(),
        now,
        paper: Paper::A4,
        photos: &photos,
        options: Options::default(),
        off_road: Default::default(),
    };
    let mut runs: Vec<[f64; 3]> = Vec::new();
    let (mut pages, mut bytes) = (0, 0);
    for run in 0..WARM + COUNTED {
        let start = Instant::now();
        let spec = record(&input);
        let worded = start.elapsed();
        let laid = layout::lay_out(&spec);
        let set = start.elapsed();
        let written = pdf::write(&laid).expect("a PDF");
        let done = start.elapsed();
        (pages, bytes) = (laid.pages.len(), written.len());
        if run >= WARM {
            runs.push([worded, set - worded, done - set].map(|t| t.as_secs_f64() * 1000.0));
        }
    }
    let median = |part: usize| {
        let mut times: Vec<f64> = runs.iter().map(|r| r[part]).collect();
        times.sort_by(f64::total_cmp);
        times[times.len() / 2]
    };
    println!("40 findings, {pages} pages, median of {COUNTED} warm runs");
    println!("content {:.1} ms, layout {:.1} ms, PDF {:.1} ms", median(0), median(1), median(2));
    println!("layout and PDF {:.1} ms (target 50 ms)", median(1) + median(2));
    println!("{bytes} bytes (target 150 000)");
}
