//! Reports made and saved.

use egui_kittest::kittest::Queryable as _;
use stemclock::ui::Action;

use super::SMALL;
use super::support::{Bench, fill, press, rest, window};

#[test]
fn a_report_is_never_written_over_a_file_that_the_user_has_not_named_twice() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), SMALL);
    harness.key_press(egui::Key::F3);
    harness.run();
    let path = bench.folder.path().join("thesis.pdf");
    std::fs::write(&path, "years of work").expect("a file of the user's");
    let typed = path.display().to_string();
    fill(&mut harness, "or type a path", &typed);
    harness.state_mut().settle();
    harness.run();
    assert!(harness.query_by_label_contains("save to the same path again").is_some(), "the way out is said");
    assert_eq!(std::fs::read_to_string(&path).expect("still there"), "years of work");
    fill(&mut harness, "or type a path", &typed);
    harness.state_mut().settle();
    assert!(std::fs::read(&path).expect("written").starts_with(b"%PDF-"), "asked again, it is written");

    // A point in a name is no ending, a folder takes the name that is offered, and a folder that is not there is said.
    let dotted = bench.folder.path().join("bike v1.2");
    fill(&mut harness, "or type a path", &dotted.display().to_string());
    let offered = harness.state().state().report.file_name();
    fill(&mut harness, "or type a path", &bench.folder.path().display().to_string());
    fill(&mut harness, "or type a path", &bench.folder.path().join("none/record").display().to_string());
    harness.state_mut().settle();
    harness.run();
    assert!(bench.folder.path().join("bike v1.2.pdf").is_file());
    assert!(bench.folder.path().join(&offered).is_file(), "{offered}");
    assert!(harness.query_by_label_contains("Expected a folder to write into").is_some());
}

#[test]
fn the_record_of_the_sample_is_read_aloud_and_saved_as_a_pdf() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), SMALL);
    harness.key_press(egui::Key::F3);
    harness.run();
    rest(&mut harness);
    rest(&mut harness);
    harness.run();
    let name = harness.state().garage().bays[0].machine.name.clone();
    let page =
        harness.query_by(|n| n.label().is_some_and(|l| l.starts_with("Page 1 of ") && l.contains(&name))).is_some();
    assert!(page, "the first page can be heard, and names the machine");
    let path = bench.folder.path().join("record");
    fill(&mut harness, "or type a path", &path.display().to_string());
    harness.state_mut().settle();
    harness.run();
    assert!(harness.query_by_label_contains("The report is in").is_some());
    let bytes = std::fs::read(path.with_extension("pdf")).expect("the ending is added");
    assert!(bytes.starts_with(b"%PDF-"), "it is a PDF");
}

#[test]
fn every_kind_of_report_is_shown_saved_as_pictures_and_copied() {
    use stemclock::report::content::KINDS;
    let bench = Bench::new();
    let mut harness = window(bench.sample(), [1280.0, 1400.0]);
    harness.key_press(egui::Key::F3);
    harness.run();
    for kind in KINDS {
        rest(&mut harness);
        harness.run();
        if harness.query_by_label(kind.title).is_none() {
            harness.get_by_role_and_label(egui::accesskit::Role::ComboBox, "Report").click();
            harness.run();
            harness.get_by_label(kind.title).click();
            harness.run();
        }
        rest(&mut harness);
        rest(&mut harness);
        harness.run();
        let offered = harness.state().state().report.file_name();
        assert!(offered.ends_with(&format!("-{}.pdf", kind.id)), "{offered}");
        assert!(harness.state().state().report.layout().is_some(), "{} has no pages", kind.id);
    }
    let folder = bench.folder.path().join("pictures");
    fill(&mut harness, "or type a path", "");
    harness.state_mut().apply(Action::SavePicturesAt(folder.display().to_string()));
    rest(&mut harness);
    let pictures = std::fs::read_dir(&folder).expect("made").count();
    assert!(pictures > 0);
    assert!(harness.query_by_label_contains("The report is in").is_some());
    press(&mut harness, "Copy the words");
    assert!(harness.query_by_label_contains("on the clipboard").is_some());
}
