//! A hundred pages of text, fifty-nine lines each, against ReportLab on the same lines with the same typeface, in one run.
//!
//! `cargo bench --bench pages`, once `tests/all` has made its Python environment (or PYTHON names one with reportlab).
#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a benchmark stops at the first surprise and prints")]

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use stemclock::report::block::{Block, DocumentSpec, Span};
use stemclock::report::{layout, pdf};

const PAGES: usize = 100;
/// What fills the body of an A4 page in the smaller size.
const LINES: usize = 59;
const RUNS: usize = 7;

/// Words of a workshop, put together anew for each line, so that no two lines are alike.
const WORDS: [&str; 24] = [
    "front",
    "wheel",
    "tyre",
    "valve",
    "disc",
    "pads",
    "worn",
    "looked",
    "at",
    "sound",
    "measured",
    "2.4 mm",
    "36 psi",
    "chain",
    "slack",
    "lever",
    "firm",
    "lamp",
    "indicator",
    "oil",
    "level",
    "between",
    "marks",
    "Öztürk",
];

fn lines() -> Vec<String> {
    // A linear congruential generator (Numerical Recipes), so that every run has the same lines.
    let mut state = 20_261_125_u32;
    let mut next = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 16) as usize
    };
    (0..PAGES * LINES)
        .map(|n| {
            let words: Vec<&str> = (0..10).map(|_| WORDS[next() % WORDS.len()]).collect();
            format!("{n} {}", words.join(" "))
        })
        .collect()
}

fn ours(lines: &[String]) -> Vec<u8> {
    let made = chrono::DateTime::parse_from_rfc3339("2026-11-25T10:00:00+00:00").unwrap();
    let mut spec = DocumentSpec::new("Lines", made);
    for page in lines.chunks(LINES) {
        spec.blocks.push(Block::spans(vec![Span::text(page.join("\n")).small()]));
        spec.blocks.push(Block::page_break());
    }
    let pages = layout::lay_out(&spec);
    assert_eq!(pages.pages.len(), PAGES);
    pdf::write(&pages).unwrap()
}

fn main() {
    let lines = lines();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = root.join("target/tmp");
    std::fs::create_dir_all(&folder).unwrap();
    let (text, own, theirs) = (folder.join("lines.txt"), folder.join("own.pdf"), folder.join("reportlab.pdf"));
    std::fs::write(&text, lines.join("\n")).unwrap();
    let mut best = f64::INFINITY;
    let mut bytes = Vec::new();
    for _ in 0..RUNS {
        let began = Instant::now();
        bytes = ours(&lines);
        best = best.min(began.elapsed().as_secs_f64());
    }
    std::fs::write(&own, &bytes).unwrap();
    let python = std::env::var("PYTHON").map_or_else(|_| root.join("target/venv/bin/python"), PathBuf::from);
    let output = Command::new(&python)
        .arg(root.join("tests/benches/reportlab_pages.py"))
        .args([&text, &theirs, &root.join("assets/fonts/NotoSans-Regular.ttf")])
        .arg(LINES.to_string())
        .arg(RUNS.to_string())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let seconds: f64 = String::from_utf8_lossy(&output.stdout).trim().parse().unwrap();
    let size = std::fs::metadata(&theirs).unwrap().len();
    println!("{PAGES} pages of {LINES} lines");
    println!("  here       {:7.1} ms  {:8} bytes", best * 1e3, bytes.len());
    println!("  ReportLab  {:7.1} ms  {size:8} bytes", seconds * 1e3);
    println!("  ratio      {:7.2}     {:8.2}", best / seconds, bytes.len() as f64 / size as f64);
}
