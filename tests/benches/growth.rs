//! How a school's garage of ten, a hundred and five hundred machines behaves: opening, status, search, saving and frames,
//! each against reading the bytes of all records in the same run, and whether it grows with the garage or stays flat.
//!
//! `cargo bench --bench growth [-- MACHINES …]`. It prints figures and judges none.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a benchmark stops at the first surprise and prints"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use stemclock::app::Shell;
use stemclock::edit::{Change, Record, RecordKey};
use stemclock::store;

mod school;
#[path = "../support/mod.rs"]
mod support;

/// Frames of each kind that are measured.
const FRAMES: usize = 300;

/// What is measured of one garage, in milliseconds where nothing else is said.
#[derive(Default)]
struct Figures {
    megabytes: f64,
    bytes: f64,
    list: f64,
    opening: f64,
    /// `status` with everything worked out anew, and asked again on the same day.
    status: [f64; 2],
    search: f64,
    saving: f64,
    files: usize,
    /// The 99th percentile of the time of a frame: typing, scrolling, flipping wheels, taking another machine in hand.
    frames: [f64; 4],
    /// MB in memory once all is read, and at most.
    memory: [f64; 2],
}

fn main() {
    let mut given: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    if given.first().is_some_and(|a| a == "window") {
        window(Path::new(&given[1]));
        return;
    }
    if given.is_empty() {
        given = ["10", "100", "500"].map(Into::into).to_vec();
    }
    let sizes: Vec<usize> = given.iter().map(|n| n.parse().unwrap()).collect();
    let all: Vec<Figures> = sizes.iter().map(|n| measure(&garage(*n))).collect();
    print(&sizes, &all);
}

/// The garage of a size; it is made once and kept.
fn garage(machines: usize) -> PathBuf {
    let home = std::env::var("SCHOOL_GARAGES")
        .map_or_else(|_| Path::new(env!("CARGO_MANIFEST_DIR")).join("target/tmp"), PathBuf::from);
    let folder = home.join(format!("school-{machines}"));
    if !store::is_garage(&folder) {
        std::fs::create_dir_all(&home).unwrap();
        eprintln!("making {}", folder.display());
        school::build(&folder, &school::Size::of(machines)).unwrap();
    }
    folder
}

fn measure(folder: &Path) -> Figures {
    let mut figures = Figures::default();
    let mut files = Vec::new();
    records(folder, &mut files);
    // Twice, so that the second finds the bytes where the other measurements find them.
    for _ in 0..2 {
        let began = Instant::now();
        let bytes: usize = files.iter().map(|f| std::fs::read(f).unwrap().len()).sum();
        (figures.bytes, figures.megabytes) = (ms(began.elapsed()), bytes as f64 / 1e6);
    }
    let home = tempfile::tempdir().unwrap();
    let status = |more: &[&str]| {
        let mut status = Command::new(env!("CARGO_BIN_EXE_stemclock"));
        status.env("XDG_CACHE_HOME", home.path()).arg("status").arg(folder).args(more);
        assert!(status.stdout(Stdio::null()).stderr(Stdio::null()).status().unwrap().success());
    };
    let anew = least(3, || status(&["--anew"]));
    status(&[]);
    figures.status = [anew, least(3, || status(&[]))];
    (figures.saving, figures.files) = saving(folder, &files);
    // In a process of its own, so that its memory is its own.
    let said = Command::new(std::env::current_exe().unwrap()).arg("window").arg(folder).output().unwrap();
    assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
    let said = String::from_utf8(said.stdout).unwrap();
    let numbers: Vec<f64> = said.split_whitespace().map(|n| n.parse().unwrap()).collect();
    let [list, opening, search, typing, scrolling, flipping, taking, now, most] = numbers[..] else { panic!("{said}") };
    figures.list = list;
    figures.opening = opening;
    figures.search = search;
    figures.frames = [typing, scrolling, flipping, taking];
    figures.memory = [now, most];
    figures
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

fn least(runs: usize, work: impl Fn()) -> f64 {
    let time = |_| {
        let began = Instant::now();
        work();
        ms(began.elapsed())
    };
    (0..runs).map(time).fold(f64::INFINITY, f64::min)
}

fn records(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            records(&path, into);
        } else if path.extension().is_some_and(|e| e == "ron") {
            into.push(path);
        }
    }
}

/// The median time of saving one change, and how many files it touched.
fn saving(folder: &Path, files: &[PathBuf]) -> (f64, usize) {
    let machine = std::fs::read_dir(folder.join("machines")).unwrap().next().unwrap().unwrap().file_name();
    let id = stemclock::machine::MachineId(machine.to_string_lossy().into_owned());
    let bay = store::read_machine(folder, &id).unwrap().0.unwrap();
    let mut before = bay.inspections.last().unwrap().clone();
    let stamps = || -> Vec<_> { files.iter().map(|f| std::fs::metadata(f).unwrap().modified().unwrap()).collect() };
    let old = stamps();
    let mut times = Vec::new();
    for n in 0..20 {
        let mut after = before.clone();
        after.note = if n == 19 { bay.inspections.last().unwrap().note.clone() } else { format!("note {n}") };
        let change = Change {
            key: RecordKey::Inspection(id.clone(), after.id.clone()),
            before: Some(Record::Inspection(Box::new(before))),
            after: Some(Record::Inspection(Box::new(after.clone()))),
            label: "note".into(),
        };
        let began = Instant::now();
        store::save(folder, &change).unwrap();
        times.push(ms(began.elapsed()));
        before = after;
    }
    times.sort_by(f64::total_cmp);
    (times[10], stamps().iter().zip(&old).filter(|(new, old)| new != old).count())
}

/// The window on a garage, drawn into nothing: prints its figures in a line.
fn window(folder: &Path) {
    let bench = support::Bench::new();
    let began = Instant::now();
    let shell = bench.shell(Some(folder));
    let spent: Arc<Mutex<Vec<f64>>> = Arc::default();
    let note = spent.clone();
    let mut harness: Harness<'_, Shell> = Harness::builder()
        .with_size([1280.0, 860.0])
        .with_max_steps(16)
        .with_context_setup(stemclock::ui::theme::install)
        .build_ui_state(
            move |ui, shell: &mut Shell| {
                let began = Instant::now();
                shell.logic(ui.ctx());
                shell.ui(ui);
                note.lock().unwrap().push(ms(began.elapsed()));
            },
            shell,
        );
    harness.step();
    let list = ms(began.elapsed());
    harness.state_mut().settle_all();
    let opening = ms(began.elapsed());
    for _ in 0..5 {
        harness.step();
    }
    let ids: Vec<_> = harness.state().garage().bays.iter().map(|b| b.machine.id.clone()).collect();
    let percentile = |harness: &mut Harness<'_, Shell>, act: &mut dyn FnMut(&mut Harness<'_, Shell>, usize)| {
        spent.lock().unwrap().clear();
        for n in 0..FRAMES {
            act(harness, n);
            harness.step();
        }
        let mut times = spent.lock().unwrap().clone();
        times.sort_by(f64::total_cmp);
        times[(times.len() - 1) * 99 / 100]
    };
    // What is typed goes into the field that finds a machine, where there is one; else into nothing.
    let field = harness.query_by_role_and_label(Role::TextInput, "Find a machine").map(|field| {
        field.focus();
    });
    harness.step();
    let field = field.and_then(|()| harness.ctx.memory(|m| m.focused()));
    let typing = percentile(&mut harness, &mut |harness, n| {
        if let Some(field) = field {
            harness.ctx.memory_mut(|m| m.request_focus(field));
        }
        let text = if n % 8 == 7 { None } else { Some(["t", "o", "u", "r", "e", "r", " "][n % 7]) };
        match text {
            Some(text) => harness.event(egui::Event::Text(text.into())),
            None => (0..8).for_each(|_| harness.key_press(egui::Key::Backspace)),
        }
    });
    let search = typing;
    harness.event(egui::Event::PointerMoved(egui::pos2(100.0, 400.0)));
    let scrolling = percentile(&mut harness, &mut |harness, n| {
        let up = if n % 100 < 50 { -90.0 } else { 90.0 };
        harness.event(egui::Event::MouseWheel {
            source: egui::MouseWheelSource::Wheel,
            unit: egui::MouseWheelUnit::Point,
            delta: egui::vec2(0.0, up),
            phase: egui::TouchPhase::Move,
            modifiers: egui::Modifiers::NONE,
        });
    });
    let flipping = percentile(&mut harness, &mut |harness, n| {
        let machine = harness.state().state().machine.clone();
        let wheels: Vec<_> = machine
            .and_then(|id| {
                harness.state().garage().bay(&id).map(|b| b.machine.wheels.iter().map(|w| w.position).collect())
            })
            .unwrap_or_default();
        let state = harness.state_mut().state_mut();
        state.wheel = wheels.get(n % wheels.len().max(1)).copied();
        state.side = Some(if n % 4 < 2 { stemclock::clock::Side::Left } else { stemclock::clock::Side::Right });
    });
    let taking = percentile(&mut harness, &mut |harness, n| {
        if n % 10 == 0 {
            let state = harness.state_mut().state_mut();
            state.machine = Some(ids[(n * 7) % ids.len()].clone());
            state.inspection = None;
        }
    });
    println!(
        "{list} {opening} {search} {typing} {scrolling} {flipping} {taking} {} {}",
        memory("VmRSS"),
        memory("VmHWM")
    );
}

/// A figure of this process's memory in MB, where the system tells it.
fn memory(name: &str) -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|l| l.strip_prefix(name));
    let kb: f64 = line.and_then(|l| l.trim_start_matches(':').split_whitespace().next()?.parse().ok()).unwrap_or(0.0);
    kb * 1024.0 / 1e6
}

fn print(sizes: &[usize], all: &[Figures]) {
    let columns = |of: &dyn Fn(&Figures) -> String| all.iter().map(|f| format!("{:>12}", of(f))).collect::<String>();
    let grown = |of: &dyn Fn(&Figures) -> f64| -> &'static str {
        let (Some(first), Some(last)) = (all.first(), all.last()) else { return "" };
        let (sizes, times) = (*sizes.last().unwrap() as f64 / sizes[0] as f64, of(last) / of(first));
        match times.ln() / sizes.ln() {
            e if !e.is_finite() => "",
            e if e < 0.3 => "flat",
            e if e < 0.8 => "less than linear",
            e if e < 1.2 => "linear",
            _ => "more than linear",
        }
    };
    println!("{:<34}{}", "machines", sizes.iter().map(|n| format!("{n:>12}")).collect::<String>());
    println!("{:<34}{}", "records, MB", columns(&|f| format!("{:.1}", f.megabytes)));
    type Row<'a> = (&'a str, &'a dyn Fn(&Figures) -> f64);
    let rows: [Row<'_>; 8] = [
        ("reading the bytes, ms", &|f| f.bytes),
        ("opening till the list is drawn, ms", &|f| f.list),
        ("opening till all is read, ms", &|f| f.opening),
        ("status, worked out anew, ms", &|f| f.status[0]),
        ("status, asked again, ms", &|f| f.status[1]),
        ("search, a frame, ms (p99)", &|f| f.search),
        ("saving one change, ms", &|f| f.saving),
        ("memory of the window, MB", &|f| f.memory[0]),
    ];
    for (name, of) in rows {
        println!("{name:<34}{}  {}", columns(&|f| format!("{:.1}", of(f))), grown(of));
    }
    println!("{:<34}{}", "most memory, MB", columns(&|f| format!("{:.0}", f.memory[1])));
    println!("{:<34}{}", "files that one change touches", columns(&|f| f.files.to_string()));
    for (at, name) in ["worked out anew", "asked again"].iter().enumerate() {
        let ratio = |f: &Figures| format!("{:.2}", f.status[at] / f.bytes);
        println!("{:<34}{}", format!("status, {name} / reading"), columns(&ratio));
    }
    println!("{:<34}{}", "opening / reading the bytes", columns(&|f| format!("{:.2}", f.opening / f.bytes)));
    for (at, name) in ["typing", "scrolling", "flipping wheels", "another machine"].iter().enumerate() {
        println!("{:<34}{}", format!("frame, {name}, ms (p99)"), columns(&|f| format!("{:.2}", f.frames[at])));
    }
}
