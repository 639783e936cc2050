//! A record with sixty phone photos of twelve million pixels: the size of its PDF and the most memory while it is made.
//!
//! `cargo bench --bench photos`. Memory is read where the system tells it (Linux). Sizes and memory are the same
//! in every build profile; times are not compared with anything here.

#[path = "../record/bench.rs"]
#[allow(clippy::unwrap_used, dead_code, reason = "the record's tests take the rest")]
mod bench;

use std::time::Instant;

use stemclock::catalogue::Catalogue;
use stemclock::photo::{At, PhotoMark, PhotoRef};
use stemclock::report::block::Paper;
use stemclock::report::content::{Album, Options, RecordInput, photos_of, record};
use stemclock::report::{layout, pdf};
use stemclock::units::Preferences;

/// How many photos there are.
const PHOTOS: usize = 60;
/// What a phone gives at its usual setting.
const SIZE: (u32, u32) = (4000, 3000);
/// What the report may weigh, in bytes, and the most memory, in KiB.
const MOST_BYTES: usize = 12_000_000;
const MOST_KIB: u64 = 400 * 1024;

fn main() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let machine = bench::machine();
    let mut inspection = bench::inspection();
    bench::measured(&mut inspection);
    let some = bench::forty_findings(&machine);
    inspection.findings = some.iter().cycle().take(PHOTOS).cloned().collect();
    let mut raw = 0;
    for (index, finding) in inspection.findings.iter_mut().enumerate() {
        finding.id.0 = format!("finding-{index}");
        let file = format!("{index}.jpg");
        let jpeg = photo(index as u32);
        raw += jpeg.len();
        std::fs::write(folder.path().join(&file), jpeg).expect("room for the photo");
        let marks = match index % 3 {
            0 => vec![PhotoMark::Blur { corner: At { x: 100, y: 100 }, across: At { x: 3000, y: 2000 } }],
            1 => vec![PhotoMark::Arrow { tail: At { x: 1000, y: 1000 }, tip: At { x: 5000, y: 5000 } }],
            _ => Vec::new(),
        };
        finding.photos = vec![PhotoRef { marks, ..PhotoRef::new(file) }];
    }
    let bay = bench::bay(machine, vec![inspection]);
    forget_peak();
    let start = Instant::now();
    let mut photos = Album::default();
    for (name, marks) in photos_of(&bay) {
        let bytes = std::fs::read(folder.path().join(&name)).expect("written above");
        photos.add(name, &bytes, &marks);
    }
    let ready = start.elapsed();
    let now = "2026-11-25T10:00:00+00:00".parse::<chrono::DateTime<chrono::FixedOffset>>().expect("a moment");
    let units = Preferences::default();
    let input = RecordInput {
        bay: &bay,
        inspection: &bay.inspections[0],
        catalogue: Catalogue::builtin(),
        units: &units,
        today: now.date_naive(),
        now,
        paper: Paper::A4,
        photos: &photos,
        options: Options::default(),
        off_road: Default::default(),
    };
    let pages = layout::lay_out(&record(&input));
    let bytes = pdf::write(&pages).expect("a PDF");
    let whole = start.elapsed();
    let peak = peak_kib();
    println!(
        "{PHOTOS} photos of {} × {} ({:.0} MB) on {} pages: a PDF of {:.1} MB, {:.0} % of the most that is allowed",
        SIZE.0,
        SIZE.1,
        raw as f64 / 1e6,
        pages.pages.len(),
        bytes.len() as f64 / 1e6,
        100.0 * bytes.len() as f64 / MOST_BYTES as f64
    );
    println!(
        "photos ready in {:.1} s, {:.0} ms each; laid out and written in {:.0} ms",
        ready.as_secs_f64(),
        ready.as_secs_f64() * 1e3 / PHOTOS as f64,
        (whole - ready).as_secs_f64() * 1e3
    );
    match peak {
        Some(peak) => println!(
            "most memory of the whole process: {:.0} MiB, {:.0} % of the most that is allowed",
            peak as f64 / 1024.0,
            100.0 * peak as f64 / MOST_KIB as f64
        ),
        None => println!("most memory: this system does not tell"),
    }
    let fits = bytes.len() < MOST_BYTES && peak.is_none_or(|peak| peak < MOST_KIB);
    std::process::exit(i32::from(!fits));
}

/// A photo with the grain of a sensor over soft shapes, so that it weighs what a phone's weighs.
fn photo(seed: u32) -> Vec<u8> {
    let mut state = seed.wrapping_mul(0x9e37_79b9) | 1;
    let picture = image::RgbImage::from_fn(SIZE.0, SIZE.1, |x, y| {
        state ^= state << 13;
        state ^= state >> 17;
        state ^= state << 5;
        let grain = (state >> 28) as i32 - 8;
        let soft = ((x / 7 + seed * 40) % 256) as i32 / 2 + ((y / 11) % 256) as i32 / 3 + ((x * y / 9000) % 60) as i32;
        let channel = |shift: i32| (soft + shift + grain).clamp(0, 255) as u8;
        image::Rgb([channel(10), channel(0), channel(25)])
    });
    let mut jpeg = Vec::new();
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut jpeg, 88).encode_image(&picture).expect("a JPEG");
    jpeg
}

/// Begins to note the most memory anew, where the system allows it (proc(5), clear_refs).
fn forget_peak() {
    let _ = std::fs::write("/proc/self/clear_refs", "5");
}

/// The most memory in KiB since then (proc(5), VmHWM).
fn peak_kib() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?.trim().trim_end_matches(" kB").parse().ok()
}
