//! Words of the code that only some files may say: who touches files, the clock, the dialogs, the PDF writer, colours.

use super::sources;

/// Words that only these files may say, with the reason.
const RESERVED: &[(&str, &[&str], &str)] = &[
    ("printpdf", &["src/report/pdf.rs", "src/report/pdf/"], "only the PDF writer names printpdf"),
    ("lopdf", &["src/report/pdf.rs", "src/report/pdf/"], "only the PDF writer and reader name lopdf"),
    ("rfd::", &["src/app/dialogs.rs"], "only one file opens the system's dialogs"),
    ("std::fs", &["src/store/"], "only the store touches files"),
    ("fs::write", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("fs::rename", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("fs::remove", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("fs::create", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("sync_all", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("OpenOptions", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("File::create", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("File::", &["src/store/"], "only the store touches files"),
    ("Local::now", &["src/app/clock.rs"], "only one file reads the clock"),
    ("Utc::now", &["src/app/clock.rs"], "only one file reads the clock"),
    (
        "SystemTime::now",
        &["src/app/clock.rs", "src/store/watch.rs"],
        "only one file reads the clock, and one compares it with the times of files",
    ),
    ("process::Command", &[], "a garage can start nothing"),
    ("std::net", &[], "the program talks to nobody"),
    ("std::env::var", &["src/app/", "src/cli/window.rs"], "only the window looks at its surroundings"),
    ("Color32::", &["src/ui/theme/"], "only the theme makes colours"),
    ("std::{", &[], "write one `use std::…` a module, so that this test can read it"),
    ("process::{", &[], "write one `use std::process::…` a name, so that this test can read it"),
    ("egui", &["src/ui/", "src/app/", "src/lib.rs"], "only the window knows egui"),
    ("TextEdit::", &["src/ui/widgets/typing.rs"], "no field takes more than a record may hold"),
];

#[test]
fn reserved_words_stay_where_they_belong() {
    let mut wrong = Vec::new();
    for source in sources() {
        for (word, places, why) in RESERVED {
            if source.code.contains(word) && !places.iter().any(|place| source.path.starts_with(place)) {
                wrong.push(format!("{} says {word}: {why}", source.path));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
