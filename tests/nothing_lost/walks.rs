//! What is half typed on a walk belongs to its garage: another window on another garage does not strike it out.

use std::fs;
use std::path::PathBuf;

use egui_kittest::Harness;
use stemclock::app::Shell;
use stemclock::store;
use stemclock::ui::panels::walk::Kept;

use crate::commands::garage;
use crate::support::{Bench, rest, window};

const SIZE: [f32; 2] = [1024.0, 700.0];
const FIELD: &str = "a-field";

fn two_garages() -> (Bench, [PathBuf; 2]) {
    let bench = Bench::new();
    let folders = ["one", "other"].map(|name| bench.folder.path().join(name));
    for folder in &folders {
        store::save_all(folder, &garage()).unwrap();
    }
    (bench, folders)
}

fn half_type(harness: &mut Harness<'_, Shell>, text: &str) {
    let kept = Kept { texts: [(FIELD.to_owned(), text.to_owned())].into(), ..Kept::default() };
    kept.put_back(harness.state_mut().state_mut());
    harness.run();
    rest(harness);
}

fn half_typed(harness: &Harness<'_, Shell>) -> Option<String> {
    Kept::of(harness.state().state()).texts.get(FIELD).cloned()
}

#[test]
fn two_windows_on_two_garages_keep_what_is_half_typed_in_each() {
    let (bench, [one, other]) = two_garages();
    let mut first = window(bench.shell(Some(&one)), SIZE);
    let mut second = window(bench.shell(Some(&other)), SIZE);
    half_type(&mut first, "2.");
    half_type(&mut second, "36");
    half_type(&mut first, "2.3");
    drop((first, second));
    assert_eq!(half_typed(&window(bench.shell(Some(&one)), SIZE)).as_deref(), Some("2.3"));
    assert_eq!(half_typed(&window(bench.shell(Some(&other)), SIZE)).as_deref(), Some("36"));
}

#[test]
fn what_an_older_version_kept_is_taken_up_once() {
    let (bench, [one, other]) = two_garages();
    let old = bench.homes().old_walks_file();
    store::make_folder(old.parent().unwrap()).unwrap();
    let text = format!("(schema: 1, garages: [({one:?}, (texts: {{\"{FIELD}\": \"from before\"}}))])");
    fs::write(&old, &text).unwrap();
    assert_eq!(half_typed(&window(bench.shell(Some(&other)), SIZE)), None, "it is of the other garage");
    let mut harness = window(bench.shell(Some(&one)), SIZE);
    assert_eq!(half_typed(&harness).as_deref(), Some("from before"));
    half_type(&mut harness, "since then");
    drop(harness);
    assert_eq!(half_typed(&window(bench.shell(Some(&one)), SIZE)).as_deref(), Some("since then"));
    assert_eq!(fs::read_to_string(&old).unwrap(), text, "the old file is left as it is");
}
