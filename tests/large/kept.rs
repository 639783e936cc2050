//! `status` of a large garage keeps its answers, and never gives one that is not what it would work out anew.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::school;

/// A garage of sixty machines with 240 inspections, and a folder for what is kept.
struct Bench {
    home: tempfile::TempDir,
    folder: PathBuf,
}

impl Bench {
    fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        let folder = home.path().join("school");
        let size = school::Size { machines: 60, inspections: 240, readings: 9_600, photos: 0, seed: 5 };
        school::build(&folder, &size).unwrap();
        Self { home, folder }
    }

    fn run(&self, program: &Path, more: &[&str]) -> String {
        let mut command = Command::new(program);
        command.env("XDG_CACHE_HOME", self.home.path().join("cache")).env("HOME", self.home.path());
        command.arg("status").arg(&self.folder).args(["--on", "2026-11-25"]).args(more);
        let done = command.output().unwrap();
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
        format!("{}{}", String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr))
    }

    fn status(&self, more: &[&str]) -> String {
        self.run(Path::new(env!("CARGO_BIN_EXE_stemclock")), more)
    }

    fn kept(&self) -> PathBuf {
        let folder = self.home.path().join("cache/stemclock");
        let files: Vec<_> = fs::read_dir(&folder).unwrap().map(|e| e.unwrap().path()).collect();
        assert_eq!(files.len(), 1, "one file for one garage: {files:?}");
        files[0].clone()
    }

    /// Marks every kept answer, so that whoever gives one is found out.
    fn mark(&self) {
        let kept = fs::read_to_string(self.kept()).unwrap();
        fs::write(self.kept(), kept.replace("\"text\":\"", "\"text\":\"KEPT ")).unwrap();
    }

    /// How many machines are answered from what was kept.
    fn marked(&self, more: &[&str]) -> usize {
        self.status(more).matches("KEPT ").count()
    }

    /// Puts fresh answers in, marks them, and gives how many of them are given after a change.
    fn after(&self, change: impl FnOnce(&Path)) -> usize {
        if self.home.path().join("cache").exists() {
            fs::remove_dir_all(self.home.path().join("cache")).unwrap();
        }
        self.status(&[]);
        self.mark();
        change(&self.folder);
        self.marked(&[])
    }

    fn machine(&self, at: usize) -> PathBuf {
        let mut all: Vec<_> = fs::read_dir(self.folder.join("machines")).unwrap().map(|e| e.unwrap().path()).collect();
        all.sort();
        all[at].clone()
    }
}

fn first(folder: PathBuf) -> PathBuf {
    let mut all: Vec<_> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    all.sort();
    all[0].clone()
}

#[test]
fn a_kept_answer_is_what_would_be_worked_out_anew() {
    let bench = Bench::new();
    for more in [&[][..], &["--json"], &["--all"]] {
        let anew = bench.status(&[more, &["--anew"]].concat());
        assert_eq!(bench.status(more), anew, "the first time");
        assert_eq!(bench.status(more), anew, "the second time");
    }
    bench.mark();
    assert_eq!(bench.marked(&["--all"]), 60, "the second time they are the kept ones");
    assert_eq!(bench.marked(&["--all", "--anew"]), 0, "and --anew asks for none");
}

#[test]
fn whatever_changes_is_worked_out_anew() {
    let bench = Bench::new();
    assert_eq!(bench.after(|_| {}), 60, "nothing has changed");
    let one = |change: &dyn Fn(PathBuf)| bench.after(|_| change(bench.machine(7)));
    let note = |path: PathBuf| {
        let text = fs::read_to_string(&path).unwrap();
        fs::write(&path, format!("{text} ")).unwrap();
    };
    assert_eq!(one(&|m| note(m.join("machine.ron"))), 59, "a blank in the machine");
    assert_eq!(one(&|m| note(first(m.join("inspections")))), 59, "a blank in an inspection");
    assert_eq!(one(&|m| note(first(m.join("events")))), 59, "a blank in an event");
    assert_eq!(one(&|m| fs::remove_file(first(m.join("inspections"))).unwrap()), 59, "an inspection gone");
    // The same bytes and the same time of change under another name; the id no longer fits, so that it cannot be read.
    let rename = |m: PathBuf| fs::rename(first(m.join("events")), m.join("events/2020-01-01-x.ron")).unwrap();
    assert_eq!(one(&rename), 59, "a file renamed");
    let mended = one(&|m| fs::remove_file(m.join("events/2020-01-01-x.ron")).unwrap());
    assert_eq!(mended, 59, "nothing was kept of a machine with something wrong");
    // What is no plain record is looked at each time.
    assert_eq!(one(&|m| fs::write(m.join("events/e.ron.set-aside-1"), "x").unwrap()), 59, "a copy set aside");
    fs::remove_file(bench.machine(7).join("events/e.ron.set-aside-1")).unwrap();
    // What all machines share.
    assert_eq!(bench.after(|folder| note(folder.join("garage.ron"))), 0, "the garage's own record");
    let region = |folder: &Path| {
        fs::create_dir_all(folder.join("regions")).unwrap();
        fs::write(folder.join("regions/mine.ron"), "// nothing in it\n[]").unwrap();
    };
    assert_eq!(bench.after(region), 0, "a region of the garage's own");
}

#[test]
fn another_day_question_or_program_is_another_answer() {
    let bench = Bench::new();
    bench.status(&[]);
    bench.mark();
    assert_eq!(bench.marked(&["--all"]), 0, "asked about those put away too");
    bench.status(&[]);
    bench.mark();
    let copy = bench.home.path().join("another");
    fs::copy(env!("CARGO_BIN_EXE_stemclock"), &copy).unwrap();
    assert_eq!(bench.run(&copy, &[]).matches("KEPT ").count(), 0, "another program");
    let mut command = Command::new(env!("CARGO_BIN_EXE_stemclock"));
    bench.status(&[]);
    bench.mark();
    command.env("XDG_CACHE_HOME", bench.home.path().join("cache")).args(["status", "--on", "2026-11-26"]);
    let next_day = command.arg(&bench.folder).output().unwrap();
    assert!(next_day.status.success());
    assert!(!String::from_utf8_lossy(&next_day.stdout).contains("KEPT "), "the next day");
}

#[test]
fn what_cannot_be_kept_or_read_back_is_worked_out() {
    let bench = Bench::new();
    let anew = bench.status(&["--anew"]);
    bench.status(&[]);
    let kept = fs::read(bench.kept()).unwrap();
    let spoilt: [(&str, Vec<u8>); 5] = [
        ("empty", Vec::new()),
        ("cut off", kept[..kept.len() / 2].to_vec()),
        ("no text", vec![0xff; 4096]),
        ("answers that are none", String::from_utf8_lossy(&kept).replace("{\"", "{").into_bytes()),
        ("seals that are none", String::from_utf8_lossy(&kept).replace('\t', "\té").into_bytes()),
    ];
    for (what, bytes) in spoilt {
        fs::write(bench.kept(), bytes).unwrap();
        assert_eq!(bench.status(&[]), anew, "{what}");
    }
    // Where the folder should be stands a file: nothing can be kept, and the answer is the same.
    fs::remove_dir_all(bench.home.path().join("cache")).unwrap();
    fs::write(bench.home.path().join("cache"), "in the way").unwrap();
    assert_eq!(bench.status(&[]), anew, "a file in the way");
}

#[test]
fn a_small_garage_leaves_nothing_behind() {
    let bench = Bench::new();
    for _ in 0..20 {
        fs::remove_dir_all(bench.machine(0)).unwrap();
    }
    bench.status(&[]);
    assert!(!bench.home.path().join("cache").exists());
}
