//! A students' pack and a student's sheet from a stranger.

use std::fs;
use std::io::Write as _;
use std::path::Path;

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use crate::bench::{INSPECTION, MACHINE, PLAIN, gigabyte, pipe, refused, run, sample, text};

const GARAGE: &str = "(schema: 1, name: \"Yard\")";

fn pack(to: &Path, files: &[(&str, &[u8])]) {
    let mut writer = ZipWriter::new(fs::File::create(to).unwrap());
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    for (name, bytes) in files {
        writer.start_file(*name, options).unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap();
}

/// Unpacking is refused, and nothing at all has been written.
fn no_unpacking(pack: &Path, words: &[&str], most_mib: u64) {
    let home = tempfile::tempdir().unwrap();
    let to = home.path().join("to");
    refused(&["class", text(&to), "--unpack", text(pack)], words, most_mib);
    assert!(!to.exists(), "something was written");
    let left: Vec<_> = fs::read_dir(home.path()).unwrap().collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_pack_names_no_place_outside_and_holds_no_link() {
    let home = tempfile::tempdir().unwrap();
    let at = home.path().join("pack.zip");
    for name in [
        "../garage.ron",
        "machines/../../x/machine.ron",
        "/etc/garage.ron",
        "C:\\garage.ron",
        "machines/con/machine.ron",
        "machines/a\u{202e}b/machine.ron",
        "kinds/\u{1b}[2J.ron",
        "machines/a/machine.ron/machine.ron",
        "run-me.exe",
        ".stemclock.lock",
        "exercises/walk/key.ron",
    ] {
        pack(&at, &[("garage.ron", GARAGE.as_bytes()), (name, b"x")]);
        no_unpacking(&at, &["records of a garage only", "ask for the pack again"], 16);
    }
    let mut writer = ZipWriter::new(fs::File::create(&at).unwrap());
    let options = SimpleFileOptions::default();
    writer.start_file("garage.ron", options).unwrap();
    writer.write_all(GARAGE.as_bytes()).unwrap();
    writer.add_symlink("machines/a/machine.ron", "/etc/hostname", options).unwrap();
    writer.finish().unwrap();
    no_unpacking(&at, &["records of a garage only"], 16);
}

#[test]
fn a_pack_made_to_fill_the_disk_or_the_memory_is_refused() {
    let home = tempfile::tempdir().unwrap();
    let at = home.path().join("pack.zip");
    // 8 MiB and a byte of zeros pack to some 8 KiB.
    let zeros = vec![b' '; (8 << 20) + 1];
    pack(&at, &[("garage.ron", GARAGE.as_bytes()), ("kinds/a.ron", &zeros)]);
    no_unpacking(&at, &["at most 8388608 bytes"], 48);
    // Each within its limit, together beyond 64 MiB.
    let names: Vec<String> = (0..12).map(|n| format!("kinds/{n}.ron")).collect();
    let files: Vec<(&str, &[u8])> = names.iter().map(|n| (n.as_str(), &zeros[..6 << 20])).collect();
    pack(&at, &files);
    no_unpacking(&at, &["at most 67108864 bytes together", "found more with \"kinds/"], 160);
    let names: Vec<String> = (0..100_000).map(|n| format!("kinds/{n}.ron")).collect();
    let files: Vec<(&str, &[u8])> = names.iter().map(|n| (n.as_str(), &b""[..])).collect();
    pack(&at, &files);
    no_unpacking(&at, &["at most 200 files", "found 100000"], 160);
    gigabyte(&at);
    no_unpacking(&at, &["at most 16 MiB"], 16);
    fs::remove_file(&at).unwrap();
    pipe(&at);
    no_unpacking(&at, &["no plain file"], 16);
}

#[test]
fn a_pack_whose_records_cannot_be_read_is_refused_with_the_reason() {
    let home = tempfile::tempdir().unwrap();
    let (sent, to) = (home.path().join("sent.zip"), home.path().join("to"));
    let (_sample, garage) = sample();
    let made = run(&["class", text(&garage), "--new", "Walk", "--machine", MACHINE, "--inspection", INSPECTION]);
    assert_eq!(made.code, 0, "{}", made.err);
    let made = run(&["class", text(&garage), "--key", "walk", "--pack", text(&sent)]);
    assert_eq!(made.code, 0, "{}", made.err);
    let mut archive = zip::ZipArchive::new(fs::File::open(&sent).unwrap()).unwrap();
    let files: Vec<(String, String)> = (0..archive.len())
        .map(|n| {
            let file = archive.by_index(n).unwrap();
            (file.name().to_owned(), std::io::read_to_string(file).unwrap())
        })
        .collect();
    let at = home.path().join("pack.zip");
    let with = |of: &str, change: &dyn Fn(&str) -> Option<String>| {
        let changed: Vec<(&str, String)> = files
            .iter()
            .filter_map(|(name, words)| {
                let words = if name.contains(of) { change(words) } else { Some(words.clone()) };
                Some((name.as_str(), words?))
            })
            .collect();
        let changed: Vec<(&str, &[u8])> = changed.iter().map(|(name, words)| (*name, words.as_bytes())).collect();
        pack(&at, &changed);
    };
    let deep = |_: &str| Some("[".repeat(100_000));
    for (of, change, words) in [
        ("exercise.ron", &deep as &dyn Fn(&str) -> Option<String>, "records that can be read"),
        ("exercise.ron", &|_| None, "expected an exercise, found none"),
        // A task of 4 MB, on which the window once took 1 GB.
        (
            "exercise.ron",
            &|words| Some(words.replacen("title:", &format!("task: \"{}\", title:", "w ".repeat(2 << 20)), 1)),
            "at most 20000 characters",
        ),
        ("machine.ron", &deep, "machine.ron"),
        ("garage.ron", &deep, "garage.ron"),
    ] {
        with(of, change);
        no_unpacking(&at, &[words, "ask for the pack again"], 64);
    }
    with("none of them", &deep);
    let done = run(&["class", text(&to), "--unpack", text(&at)]);
    assert!(done.code == 0 && done.out.contains("Walk"), "{} {}", done.out, done.err);
}

#[test]
fn a_file_that_stands_in_the_pack_twice_is_told_apart_from_none() {
    // The format allows two entries of one name; the last one would win without a word.
    let home = tempfile::tempdir().unwrap();
    let at = home.path().join("pack.zip");
    pack(&at, &[("garage.ron", GARAGE.as_bytes()), ("kinds/a.ron", b"1"), ("kinds/A.ron", b"2")]);
    no_unpacking(&at, &["each file once", "kinds/A.ron"], 16);
}

#[test]
fn a_sheet_is_refused_with_its_line_and_writes_nothing_outside() {
    let (home, garage) = sample();
    let made = run(&["class", text(&garage), "--new", "Walk", "--machine", MACHINE, "--inspection", INSPECTION]);
    assert_eq!(made.code, 0, "{}", made.err);
    let bay = stemclock::store::read(&garage).unwrap().garage;
    let exercise = bay.courses[0].exercise.clone();
    let bay = bay.bays.iter().find(|b| b.machine.id.0 == MACHINE).unwrap();
    let sheet = stemclock::exercise::Sheet {
        schema: 1,
        id: stemclock::exercise::SheetId("../../../stolen".into()),
        exercise: exercise.id,
        student: "Kim\u{202e}\n=cmd".into(),
        machine: bay.machine.clone(),
        inspection: bay.latest().unwrap().clone(),
    };
    let at = home.path().join("sheet.ron");
    let take = |words: &str| {
        let done = run(&["class", text(&garage), "--key", "walk", "--take-in", text(&at)]);
        assert!(done.err.contains("was not taken in: ") && done.err.contains("expected"), "{}", done.err);
        assert!(done.err.contains(words), "\"{words}\" is not in {}", done.err);
        assert!(done.peak_mib <= PLAIN + 32, "{} MiB", done.peak_mib);
    };
    stemclock::store::write_sheet(&at, &sheet).unwrap();
    take("a sheet id that can be a file name");
    // A name of 200 kB: it is not written, and not taken in from a file that says so.
    let named = fs::read_to_string(&at).unwrap().replacen("Kim", &"Kim ".repeat(50_000), 1);
    let long = stemclock::exercise::Sheet { student: "Kim ".repeat(50_000), ..sheet };
    let why = stemclock::store::write_sheet(&home.path().join("long.ron"), &long).unwrap_err().to_string();
    assert!(why.contains("at most 5000 characters") && !home.path().join("long.ron").exists(), "{why}");
    fs::write(&at, named).unwrap();
    take("at most 5000 characters");
    gigabyte(&at);
    take("at most 8 MiB");
    for (bytes, words) in
        [(&b"\xff\xfe"[..], "UTF-8"), (b"(schema: 99)", "schema"), (b"", "empty file"), (b"[[[[[", "expected")]
    {
        fs::write(&at, bytes).unwrap();
        take(words);
    }
    assert!(!home.path().join("stolen.ron").exists());
}
