//! Runs the built program on a stranger's file, watches how much memory it takes, and ends it where it hangs.

use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// A run that takes longer is taken for one that never ends. No refusal comes near it.
const HANGS: Duration = Duration::from_secs(120);

/// What a run came to.
#[derive(Debug)]
pub struct Done {
    pub code: i32,
    pub out: String,
    pub err: String,
    /// The most memory it had, in MiB (`VmHWM` of Linux); 0 where the system does not say.
    pub peak_mib: u64,
}

/// Runs the program with no display. The memory is read while it runs; it only ever grows. The shell sees to it that a
/// run which would take the machine's whole memory ends before.
pub fn run(arguments: &[&str]) -> Done {
    let mut child = Command::new("sh")
        .args(["-c", "ulimit -v 4000000; exec \"$0\" \"$@\"", env!("CARGO_BIN_EXE_stemclock")])
        .args(arguments)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("RUST_LOG")
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let (mut out, mut err) = (child.stdout.take().unwrap(), child.stderr.take().unwrap());
    let gather = |pipe: &mut dyn Read| {
        let mut bytes = Vec::new();
        pipe.read_to_end(&mut bytes).unwrap();
        String::from_utf8(bytes).unwrap()
    };
    let (out, err) = (std::thread::spawn(move || gather(&mut out)), std::thread::spawn(move || gather(&mut err)));
    let begun = Instant::now();
    let mut peak_kib = 0;
    let status = loop {
        peak_kib = peak_kib.max(high_water(child.id()).unwrap_or(0));
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if begun.elapsed() > HANGS {
            child.kill().unwrap();
            child.wait().unwrap();
            assert!(begun.elapsed() < HANGS, "stemclock {} does not end", arguments.join(" "));
        }
        std::thread::sleep(Duration::from_millis(1));
    };
    let done = Done {
        code: status.code().unwrap_or(-1),
        out: out.join().unwrap(),
        err: err.join().unwrap(),
        peak_mib: peak_kib / 1024,
    };
    println!("stemclock {}: {} MiB, {:.1} s", arguments.join(" "), done.peak_mib, begun.elapsed().as_secs_f64());
    done
}

fn high_water(process: u32) -> Option<u64> {
    let status = fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().trim_end_matches("kB").trim().parse().ok()
}

/// What the program itself takes at most, on a garage of its own making, in MiB.
pub const PLAIN: u64 = 64;

/// Runs the program and expects that it refuses, in words that hold all of these, within this memory beside its own.
pub fn refused(arguments: &[&str], words: &[&str], most_mib: u64) -> Done {
    let done = run(arguments);
    let told = format!("{}{}", done.out, done.err);
    assert_ne!(done.code, 0, "{arguments:?}: {told}");
    assert_ne!(done.code, 101, "it gave up: {told}");
    assert!(told.contains("expected"), "{arguments:?}: {told}");
    for word in words {
        assert!(told.contains(word), "{arguments:?}: \"{word}\" is not in {told}");
    }
    assert!(done.peak_mib <= PLAIN + most_mib, "{arguments:?} took {} MiB", done.peak_mib);
    done
}

pub fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// A copy of the sample garage, and the folder it is in.
pub fn sample() -> (tempfile::TempDir, PathBuf) {
    let home = tempfile::tempdir().unwrap();
    let garage = home.path().join("garage");
    stemclock::store::copy_sample(&garage).unwrap();
    (home, garage)
}

/// The machine of the sample that these tests go for.
pub const MACHINE: &str = "standard-4c1f";
/// One of its inspections.
pub const INSPECTION: &str = "2026-11-21-trip-8f02";

/// The path of its machine record, and of the inspection.
pub fn records(garage: &Path) -> (PathBuf, PathBuf) {
    let machine = garage.join("machines").join(MACHINE);
    (machine.join("machine.ron"), machine.join("inspections").join(format!("{INSPECTION}.ron")))
}

/// Puts something in the place of a file.
pub fn instead(path: &Path, put: impl FnOnce(&Path)) {
    if path.exists() {
        fs::remove_file(path).unwrap();
    }
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    put(path);
}

/// A pipe that nobody writes into.
pub fn pipe(path: &Path) {
    assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
}

/// A file of 1 GiB that takes no room on the disk.
pub fn gigabyte(path: &Path) {
    fs::File::create(path).unwrap().set_len(1 << 30).unwrap();
}
