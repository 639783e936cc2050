//! The command line as a person or a script meets it: the built program, its exit codes, its words and its JSON.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod bench;
mod garages;
mod own;
mod reckon;
mod report;
mod sample;
mod verify;
mod workshop;

use bench::{program, run};

#[test]
fn help_names_every_command_and_the_exit_codes() {
    let done = run(&["--help"]);
    assert_eq!(done.code, 0);
    for word in ["status", "validate", "judge", "report", "reckon", "--json", "Exit codes"] {
        assert!(done.out.contains(word), "{word}: {}", done.out);
    }
    let reckon = run(&["reckon", "--help"]).out;
    for calculator in stemclock::reckon::CALCULATORS {
        assert!(reckon.contains(calculator.about), "{}", calculator.id);
        let help = run(&["reckon", calculator.id, "--help"]);
        assert!(help.code == 0 && help.out.contains(calculator.example), "{}: {}", calculator.id, help.out);
    }
}

#[test]
fn without_a_display_it_says_so_and_names_the_headless_way() {
    let done = run(&[]);
    assert_eq!((done.code, done.out.as_str()), (1, ""));
    for word in ["expected a display", "DISPLAY", "stemclock report"] {
        assert!(done.err.contains(word), "{word}: {}", done.err);
    }
}

#[test]
fn a_folder_that_is_not_there_and_a_mistyped_command_are_told_apart_from_a_garage() {
    let done = run(&["statuss"]);
    assert_eq!(done.code, 1);
    assert!(done.err.contains("statuss") && done.err.contains("--help"), "{}", done.err);
    // With a word after it, the mistyped word is still what the message is about.
    let done = run(&["statuss", "elsewhere"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("found \"statuss\"") && done.err.contains("validate"), "{}", done.err);
    let done = run(&["somewhere", "status", "elsewhere"]);
    assert_eq!(done.code, 1);
    assert!(done.err.contains("write the folder after the command"), "{}", done.err);
    let done = run(&["--json"]);
    assert!(done.code == 1 && done.err.contains("expected a command"), "{}", done.err);
}

#[test]
fn a_reader_that_has_seen_enough_is_no_failure() {
    use std::process::Stdio;
    let mut child =
        program().args(["reckon", "tyre", "120/70-17"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    // Closing our end before the program writes makes its pipe a broken one.
    drop(child.stdout.take());
    let done = child.wait_with_output().unwrap();
    assert!(done.status.success(), "{:?}", done.status);
    assert_eq!(String::from_utf8_lossy(&done.stderr), "");
}
