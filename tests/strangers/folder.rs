//! A garage's folder from a stranger: links out of it, names that lead elsewhere, pipes, devices, very large files.

use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;

use crate::bench::{INSPECTION, MACHINE, PLAIN, gigabyte, instead, pipe, records, refused, run, sample, text};

#[test]
fn no_link_leads_out_of_the_garage() {
    let (home, garage) = sample();
    let outside = home.path().join("outside");
    fs::create_dir_all(outside.join("machines/spy-1")).unwrap();
    let secret = "(schema: 1, name: \"SECRET\")";
    fs::write(outside.join("secret.ron"), secret).unwrap();
    let (machine, inspection) = records(&garage);
    let bay = garage.join("machines").join(MACHINE);
    for place in [machine, inspection, garage.join("kinds/spy.ron"), garage.join("regions/spy.ron")] {
        let (_other, garage_again) = sample();
        let place = garage_again.join(place.strip_prefix(&garage).unwrap());
        instead(&place, |path| symlink(outside.join("secret.ron"), path).unwrap());
        let done = refused(&["validate", text(&garage_again)], &["link that leads out", "the file itself"], 16);
        assert!(!done.out.contains("SECRET") && !done.err.contains("SECRET"));
    }
    for folder in ["machines/spy-2", "kinds", "exercises"] {
        let (_other, garage_again) = sample();
        let place = garage_again.join(folder);
        if place.exists() {
            fs::remove_dir_all(&place).unwrap();
        }
        symlink(&outside, &place).unwrap();
        refused(&["validate", text(&garage_again)], &["link that leads out"], 16);
    }
    // The garage's own record, and a link through which a save would write.
    instead(&garage.join("garage.ron"), |path| symlink(outside.join("secret.ron"), path).unwrap());
    let done = refused(&["validate", text(&garage)], &["link that leads out"], 16);
    assert!(!done.out.contains("SECRET"));
    instead(&bay.join("events/new.ron"), |path| symlink(outside.join("new.ron"), path).unwrap());
    refused(&["validate", text(&garage)], &["events/new.ron", "link that leads out"], 16);
    assert!(!outside.join("new.ron").exists() && fs::read_to_string(outside.join("secret.ron")).unwrap() == secret);
}

#[test]
fn no_photo_leads_out_of_the_garage_in_a_report_or_anywhere() {
    let (home, garage) = sample();
    // A true picture, so that nothing but the place speaks against it.
    let photos = garage.join("machines").join(MACHINE).join("photos");
    let own = fs::read_dir(&photos).unwrap().next().unwrap().unwrap().path();
    let name = own.file_name().unwrap().to_string_lossy().into_owned();
    let outside = home.path().join("secret.jpg");
    fs::rename(&own, &outside).unwrap();
    symlink(&outside, &own).unwrap();
    let (_, inspection) = records(&garage);
    let copy = home.path().join("copies");
    let done = run(&["photo", "copy", text(&garage), "--machine", MACHINE, "--out", text(&copy)]);
    assert!(done.err.contains("link that leads out") && done.err.contains(&name), "{}", done.err);
    // As a record names it: up and out, from the root, a device's name, a drive.
    let text_of = fs::read_to_string(&inspection).unwrap();
    for bad in
        ["../../../secret.jpg", "/etc/hostname", "..\\\\secret.jpg", "C:secret.jpg", "CON.jpg", "photo\u{202e}gpj.exe"]
    {
        fs::write(&inspection, text_of.replacen("photos: []", &format!("photos: [\"{bad}\"]"), 1)).unwrap();
        let done = run(&["validate", text(&garage)]);
        assert!(done.code != 0 && done.out.contains("expected"), "{bad}: {}", done.out);
        let out = home.path().join("report.pdf");
        let done = run(&["report", text(&garage), "--machine", MACHINE, "--kind", "record", "--out", text(&out)]);
        assert_eq!(done.code, 0, "{bad}: {}", done.err);
        let bytes = fs::read(&out).unwrap();
        let secret = fs::read(&outside).unwrap();
        assert!(!bytes.windows(200).any(|w| w == &secret[secret.len() / 2..secret.len() / 2 + 200]), "{bad}");
    }
}

#[test]
fn names_that_lead_elsewhere_are_named_and_nothing_of_them_is_read() {
    let (_home, garage) = sample();
    for bad in
        ["aux", "com1.x", "a:b", "back\\slash", "new\nline", "turned\u{202e}nor", "\u{1b}[2J", "wide\u{200b}less"]
    {
        fs::create_dir_all(garage.join("machines").join(bad)).unwrap();
    }
    for bad in ["bad\u{202e}nor.ron", "nul.ron"] {
        fs::create_dir_all(garage.join("kinds")).unwrap();
        fs::write(garage.join("kinds").join(bad), "(id: \"x\")").unwrap();
    }
    let done = refused(&["validate", text(&garage)], &["turned[U+202E]nor", "[U+001B][2J", "use letters, digits"], 16);
    assert_eq!(done.out.matches("that can be a file name").count(), 10, "{}", done.out);
    assert!(!done.out.contains(['\u{1b}', '\u{202e}', '\u{200b}']), "{:?}", done.out);
}

#[test]
fn a_pipe_or_a_device_keeps_nobody_waiting() {
    let (machine, inspection) = records(std::path::Path::new(""));
    for place in [machine, inspection, "kinds/own.ron".into(), "regions/own.ron".into()] {
        let (_home, garage) = sample();
        instead(&garage.join(&place), pipe);
        refused(&["validate", text(&garage)], &["no plain file"], 16);
    }
    let (home, garage) = sample();
    let (_, inspection) = records(&garage);
    // Where a window or a command that writes would take the lock.
    instead(&garage.join(".stemclock.lock"), pipe);
    let done = refused(&["photo", "add", text(&garage), "--machine", MACHINE, text(&inspection)], &["the lock"], 16);
    assert!(done.err.contains("remove it"), "{}", done.err);
    let there = home.path().join("pipe");
    pipe(&there);
    refused(&["verify", text(&there)], &["no plain file"], 16);
    refused(&["verify", "/dev/zero"], &["no plain file"], 16);
    refused(&["status", "/dev/zero"], &["expected a folder"], 16);
    fs::remove_file(garage.join(".stemclock.lock")).unwrap();
    refused(&["photo", "add", text(&garage), "--machine", MACHINE, text(&there), "/dev/zero"], &["no plain file"], 16);
    instead(&garage.join("garage.ron"), pipe);
    refused(&["status", text(&garage)], &["garage.ron"], 16);
}

#[test]
fn a_file_of_a_gigabyte_is_refused_before_it_is_read() {
    let (machine, inspection) = records(std::path::Path::new(""));
    for place in [machine, inspection, "kinds/own.ron".into(), "regions/own.ron".into(), "garage.ron".into()] {
        let (_home, garage) = sample();
        instead(&garage.join(&place), gigabyte);
        refused(&["validate", text(&garage)], &["at most 8 MiB", "1073741824 bytes"], 16);
    }
    let (home, garage) = sample();
    let large = home.path().join("large.jpg");
    gigabyte(&large);
    refused(&["photo", "add", text(&garage), "--machine", MACHINE, text(&large)], &["at most 32 MiB"], 16);
    refused(&["verify", text(&large)], &["at most 64 MiB"], 16);
}

#[test]
fn words_without_end_are_refused_and_the_rest_opens() {
    let long = |bytes: usize| "w ".repeat(bytes / 2);
    let report = |garage: &Path, kind: &str| {
        let out = garage.with_extension("pdf");
        let done = run(&["report", text(garage), "--machine", MACHINE, "--kind", kind, "--out", text(&out)]);
        assert!(done.peak_mib <= PLAIN + 400, "{} MiB", done.peak_mib);
        done
    };
    // A note of 0.94 MB, on which the program once gave up.
    let (_home, garage) = sample();
    let (machine, inspection) = records(&garage);
    let before = fs::read_to_string(&inspection).unwrap();
    let with_note = |note: &str| before.replacen("Before the tour to the coast. Pressures set for luggage.", note, 1);
    fs::write(&inspection, with_note(&long(940_000))).unwrap();
    refused(&["validate", text(&garage)], &[INSPECTION, "at most 20000 characters", "shorten it"], 64);
    let done = report(&garage, "record");
    assert!(done.code == 0 && done.err.contains("at most 20000 characters"), "{}", done.err);
    // The longest note that is taken.
    fs::write(&inspection, with_note(&long(20_000))).unwrap();
    assert_eq!(run(&["validate", text(&garage)]).code, 0);
    assert_eq!(report(&garage, "record").code, 0);
    fs::write(&inspection, &before).unwrap();
    // A name of 3 MB, with which a report on the garage took the whole memory.
    let named = fs::read_to_string(&machine).unwrap();
    let at = named.find("name: \"").unwrap() + 7;
    fs::write(&machine, format!("{}{}{}", &named[..at], long(3_000_000), &named[at..])).unwrap();
    refused(&["validate", text(&garage)], &[MACHINE, "at most 5000 characters"], 64);
    let out = garage.with_extension("pdf");
    let done = run(&["report", text(&garage), "--kind", "garage", "--out", text(&out)]);
    assert!(done.code == 0 && done.peak_mib <= PLAIN + 64, "{} {} MiB", done.err, done.peak_mib);
    assert!(done.err.contains("at most 5000 characters"), "{}", done.err);
}

#[test]
fn more_words_than_are_laid_out_are_refused_within_the_memory() {
    let (_home, garage) = sample();
    let (_, inspection) = records(&garage);
    let before = fs::read_to_string(&inspection).unwrap();
    let note = "w ".repeat(10_000);
    // 8 MiB of the longest notes.
    let findings: String = (0..410)
        .map(|n| {
            format!(
                "(id: \"f-many-{n}\", check: \"rim-look@rear\", fault: \"chip\", place: Wheel(position: Rear, \
                 zone: RimFlange(Left), spot: {}.0), size: \"3 mm\", note: \"{note}\"),\n",
                n % 360
            )
        })
        .collect();
    let more = format!("    findings: [\n{findings}");
    fs::write(&inspection, before.replacen("    findings: [\n", &more, 1)).unwrap();
    assert_eq!(run(&["validate", text(&garage)]).code, 0);
    let out = garage.with_extension("pdf");
    let arguments = ["report", text(&garage), "--machine", MACHINE, "--kind", "record", "--out", text(&out)];
    refused(&arguments, &["at most 5000 pages and 2000000 letters"], 400);
    assert!(!out.exists());
}

#[test]
fn what_is_nested_deeply_or_is_no_number_is_named_with_its_line() {
    let (_home, garage) = sample();
    let (machine, inspection) = records(&garage);
    let text_of = fs::read_to_string(&inspection).unwrap();
    let before = fs::read_to_string(&machine).unwrap();
    for (open, close) in [("[", "]"), ("(", ")"), ("{1:", "}"), ("Some(", ")")] {
        fs::write(&machine, format!("{}{}", open.repeat(100_000), close.repeat(100_000))).unwrap();
        refused(&["validate", text(&garage)], &["machine.ron"], 32);
    }
    fs::write(&machine, before).unwrap();
    for (number, shown) in
        [("NaN", "finite number"), ("inf", "finite number"), ("-inf", "finite number"), ("1e999", "finite number")]
    {
        let bad = text_of.replacen("Choice(\"goes-out\")", &format!("Number({number})"), 1);
        fs::write(&inspection, bad).unwrap();
        refused(&["validate", text(&garage)], &[INSPECTION, shown], 16);
    }
}
