//! Adding, viewing and marking photos in the window, found by the names that a screen reader hears.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Event, Pos2, pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use stemclock::app::{Question, Shell};
use stemclock::edit::PhotoHome;
use stemclock::photo::{Keep, PhotoMark, PhotoRef};
use stemclock::ui::{Action, PhotoSource, Place};

use crate::bytes::{bomb, jpeg, png, says, told_jpeg, webp};
use crate::support::{Bench, fill, press, rest, window};

const SIZE: [f32; 2] = [1280.0, 860.0];

fn outside(bench: &Bench, name: &str, bytes: &[u8]) -> PathBuf {
    let path = bench.folder.path().join(name);
    std::fs::write(&path, bytes).unwrap();
    path
}

/// A window on a garage with one machine, its photos in sight.
fn opened<'a>(bench: &Bench) -> Harness<'a, Shell> {
    let mut harness = window(bench.shell(Some(&bench.garage())), SIZE);
    press(&mut harness, "Add a machine");
    fill(&mut harness, "What do you call it?", "Heron");
    for part in ["What it is", "Wheels"] {
        press(&mut harness, part);
    }
    press(&mut harness, "Photos");
    harness
}

/// Lets the threads for pictures end, and what they brought be written and drawn.
fn come(harness: &mut Harness<'_, Shell>) {
    for _ in 0..3 {
        rest(harness);
    }
}

fn photos(harness: &Harness<'_, Shell>) -> Vec<PhotoRef> {
    harness.state().garage().bays[0].machine.photos.clone()
}

fn folder(bench: &Bench, harness: &Harness<'_, Shell>) -> PathBuf {
    bench.garage().join("machines").join(&harness.state().garage().bays[0].machine.id.0).join("photos")
}

#[test]
fn photos_are_added_by_the_dialog_kept_clean_undone_and_found_again() {
    let bench = Bench::new();
    let path = outside(&bench, "front.jpg", &told_jpeg(60, 40, 6));
    let mut harness = opened(&bench);
    let machine = harness.state().garage().bays[0].machine.id.clone();
    let answer = Action::AddPhotos {
        machine,
        home: PhotoHome::Machine,
        from: vec![PhotoSource::File(path.clone())],
        keep: Keep::PictureOnly,
    };
    *bench.answers.answer.lock().unwrap() = Some(answer);
    press(&mut harness, "Add photos…");
    assert!(matches!(bench.answers.asked.lock().unwrap()[..], [Question::Pictures { .. }]));
    come(&mut harness);
    assert!(harness.query_by_label("Photo 1 of 1").is_some(), "it is seen small");
    assert!(harness.query_by_label_contains("1 photo added").is_some());
    assert!(harness.query_by_label_contains("camera data and place (EXIF)").is_some(), "what was left out is said");
    let file = photos(&harness)[0].file.clone();
    let kept = std::fs::read(folder(&bench, &harness).join(&file)).unwrap();
    assert!(!says(&kept, "SECRET"));
    assert_eq!(image::load_from_memory(&kept).unwrap().to_rgb8().dimensions(), (40, 60), "it stands upright");
    assert_eq!(std::fs::read(&path).unwrap(), told_jpeg(60, 40, 6), "the file outside stays");

    press(&mut harness, "Undo: add a photo");
    come(&mut harness);
    assert!(photos(&harness).is_empty() && harness.query_by_label("Photo 1 of 1").is_none());
    press(&mut harness, "Redo: add a photo");
    come(&mut harness);
    drop(harness);
    let mut again = window(bench.shell(None), SIZE);
    again.key_press(egui::Key::F2);
    again.run();
    assert_eq!(photos(&again)[0].file, file);
}

#[test]
fn a_typed_path_a_drop_and_a_paste_add_photos_too() {
    let bench = Bench::new();
    let (one, two) = (outside(&bench, "one.jpg", &jpeg(30, 20)), outside(&bench, "two.png", &png(32, 20)));
    let mut harness = opened(&bench);
    press(&mut harness, "Other ways to add photos");
    fill(&mut harness, "Path of a picture", &one.display().to_string());
    come(&mut harness);
    assert_eq!(photos(&harness).len(), 1);

    #[derive(Debug)]
    struct Dropped(PathBuf);
    impl egui::DroppedFile for Dropped {
        fn path(&self) -> &Path {
            &self.0
        }
        fn bytes(&self) -> Result<Vec<u8>, String> {
            Err("the window reads the file by its path, on a thread".into())
        }
    }
    harness.input_mut().dropped_files.push(Arc::new(Dropped(two.clone())));
    harness.run();
    come(&mut harness);
    assert_eq!(photos(&harness).len(), 2);

    let pixels = vec![egui::Color32::LIGHT_BLUE; 24 * 16];
    harness.event(Event::PasteImage(Arc::new(egui::ColorImage::new([24, 16], pixels))));
    harness.run();
    come(&mut harness);
    let all = photos(&harness);
    assert_eq!(all.len(), 3);
    assert!(all[2].file.ends_with(".png"));
    assert!(harness.query_by_label("Photo 3 of 3").is_some());
    // The same picture again is told and not listed twice.
    harness.input_mut().dropped_files.push(Arc::new(Dropped(two)));
    harness.run();
    come(&mut harness);
    assert_eq!(photos(&harness).len(), 3);
    assert!(harness.query_by_label_contains("two.png is there already").is_some());
}

#[test]
fn what_is_refused_says_why_and_the_others_come_in() {
    let bench = Bench::new();
    let from = vec![
        PhotoSource::File(outside(&bench, "lies.png", &jpeg(9, 9))),
        PhotoSource::File(outside(&bench, "good.jpg", &jpeg(9, 9))),
        PhotoSource::File(outside(&bench, "cut.jpg", &jpeg(90, 90)[..700])),
    ];
    let mut harness = opened(&bench);
    let machine = harness.state().garage().bays[0].machine.id.clone();
    let home = PhotoHome::Machine;
    harness.state_mut().apply(Action::AddPhotos { machine, home, from, keep: Keep::PictureOnly });
    come(&mut harness);
    assert_eq!(photos(&harness).len(), 1);
    for words in ["lies.png was not added", "found a JPEG file", "cut.jpg was not added", "cut short"] {
        assert!(harness.query_all_by_label_contains(words).next().is_some(), "{words}");
    }
}

#[test]
fn a_bomb_is_refused_in_the_window_and_a_webp_beside_it_comes_in() {
    let bench = Bench::new();
    let from = vec![
        PhotoSource::File(outside(&bench, "bomb.png", &bomb(30_000, 30_000))),
        PhotoSource::File(outside(&bench, "still.webp", &webp(12, 9))),
    ];
    let mut harness = opened(&bench);
    let machine = harness.state().garage().bays[0].machine.id.clone();
    let home = PhotoHome::Machine;
    harness.state_mut().apply(Action::AddPhotos { machine, home, from, keep: Keep::PictureOnly });
    come(&mut harness);
    let kept = photos(&harness);
    assert!(kept.len() == 1 && kept[0].file.ends_with(".webp"), "{kept:?}");
    for words in ["bomb.png was not added", "at most 50 million pixels"] {
        assert!(harness.query_all_by_label_contains(words).next().is_some(), "{words}");
    }
}

/// Draws from one place of the canvas to another, in fractions of its width and height.
fn draw(harness: &mut Harness<'_, Shell>, from: (f32, f32), to: (f32, f32)) {
    let room = harness.get_by_label("The photo, with its marks").rect();
    let at = |(x, y): (f32, f32)| -> Pos2 { pos2(room.left() + x * room.width(), room.top() + y * room.height()) };
    harness.hover_at(at(from));
    harness.run();
    harness.drag_at(at(from));
    harness.run();
    for step in 1..=4 {
        let t = step as f32 / 4.0;
        harness.hover_at(at((from.0 + (to.0 - from.0) * t, from.1 + (to.1 - from.1) * t)));
        harness.run();
    }
    harness.drop_at(at(to));
    harness.run();
}

#[test]
fn a_photo_is_seen_large_marked_told_and_left() {
    let bench = Bench::new();
    let path = outside(&bench, "side.jpg", &jpeg(400, 300));
    let mut harness = opened(&bench);
    press(&mut harness, "Other ways to add photos");
    fill(&mut harness, "Path of a picture", &path.display().to_string());
    come(&mut harness);
    press(&mut harness, "Photo 1 of 1");
    come(&mut harness);
    assert!(harness.state().state().photos.is_viewing());
    assert!(harness.query_by_label("The photo, with its marks").is_some(), "the large picture has come");

    press(&mut harness, "Arrow");
    draw(&mut harness, (0.3, 0.3), (0.5, 0.5));
    press(&mut harness, "Blur box");
    draw(&mut harness, (0.6, 0.6), (0.7, 0.8));
    press(&mut harness, "Circle");
    draw(&mut harness, (0.4, 0.6), (0.5, 0.6));
    // A slip of the hand draws nothing.
    draw(&mut harness, (0.4, 0.6), (0.4, 0.6));
    let marks = photos(&harness)[0].marks.clone();
    assert!(
        matches!(marks[..], [PhotoMark::Arrow { .. }, PhotoMark::Blur { .. }, PhotoMark::Circle { .. }]),
        "{marks:?}"
    );
    // The middle of the canvas is the middle of the photo, whatever the canvas is wide.
    let PhotoMark::Arrow { tip, .. } = marks[0] else { unreachable!() };
    assert!(tip.x.abs_diff(5000) < 60 && tip.y.abs_diff(5000) < 60, "{tip:?}");
    assert!(harness.query_by_label("2. blur box").is_some());
    press(&mut harness, "Remove mark 3");
    assert_eq!(photos(&harness)[0].marks.len(), 2);
    press(&mut harness, "Undo: change a photo");
    assert_eq!(photos(&harness)[0].marks.len(), 3);

    harness.get_by_label("What it shows").focus();
    harness.run();
    harness.get_by_label("What it shows").type_text("left side");
    harness.run();
    harness.get_by_label("The photo, with its marks").focus();
    harness.run();
    come(&mut harness);
    assert_eq!(photos(&harness)[0].words, "left side");

    // Keys zoom and move; the file itself has not changed.
    let before = std::fs::read(folder(&bench, &harness).join(&photos(&harness)[0].file)).unwrap();
    for key in [egui::Key::Plus, egui::Key::ArrowLeft, egui::Key::Num0] {
        harness.key_press(key);
        harness.run();
    }
    assert_eq!(before, jpeg(400, 300));
    let copy = bench.folder.path().join("copy");
    press(&mut harness, "Save a copy to hand on");
    harness.get_by_label_contains("Where to").focus();
    harness.run();
    harness.get_by_label_contains("Where to").type_text(&copy.display().to_string());
    harness.run();
    press(&mut harness, "Save the copy");
    come(&mut harness);
    assert!(copy.with_extension("jpg").is_file());
    assert_ne!(std::fs::read(copy.with_extension("jpg")).unwrap(), before, "the marks are burnt in");

    harness.get_by_label("The photo, with its marks").focus();
    harness.run();
    harness.key_press(egui::Key::Escape);
    harness.run();
    assert!(!harness.state().state().photos.is_viewing());
    assert!(harness.query_by_label("Photo 1 of 1: left side, 3 marks").is_some());
}

#[test]
fn another_place_shuts_the_photo_and_taking_it_away_is_undone() {
    let bench = Bench::new();
    let path = outside(&bench, "side.jpg", &jpeg(40, 30));
    let mut harness = opened(&bench);
    press(&mut harness, "Other ways to add photos");
    fill(&mut harness, "Path of a picture", &path.display().to_string());
    come(&mut harness);
    press(&mut harness, "Photo 1 of 1");
    come(&mut harness);
    harness.key_press(egui::Key::F4);
    harness.run();
    harness.run();
    assert_eq!(harness.state().state().place, Place::Garage);
    assert!(!harness.state().state().photos.is_viewing());
    harness.key_press(egui::Key::F2);
    harness.run();
    press(&mut harness, "Photo 1 of 1");
    come(&mut harness);
    press(&mut harness, "Take this photo away");
    come(&mut harness);
    assert!(photos(&harness).is_empty() && !harness.state().state().photos.is_viewing());
    press(&mut harness, "Undo: take a photo away");
    come(&mut harness);
    assert!(harness.query_by_label("Photo 1 of 1").is_some());
}

#[test]
fn a_finding_in_hand_takes_the_photos() {
    let bench = Bench::new();
    let path = outside(&bench, "cut.jpg", &jpeg(64, 48));
    let mut harness = window(bench.sample(), SIZE);
    let (machine, inspection, finding) = {
        let garage = harness.state().garage();
        let with = |b: &&stemclock::garage::Bay| b.latest().is_some_and(|i| !i.findings.is_empty());
        let bay = garage.bays.iter().find(with).unwrap();
        let inspection = bay.latest().unwrap();
        (bay.machine.id.clone(), inspection.id.clone(), inspection.findings[0].id.clone())
    };
    let state = harness.state_mut().state_mut();
    (state.machine, state.inspection) = (Some(machine.clone()), Some(inspection.clone()));
    (state.finding, state.place) = (Some(finding.clone()), Place::Walk);
    harness.run();
    let count = |harness: &Harness<'_, Shell>| {
        let bay = harness.state().garage().bay(&machine).unwrap();
        bay.finding(&finding).unwrap().1.photos.len()
    };
    let before = count(&harness);
    let pixels = vec![egui::Color32::LIGHT_RED; 24 * 16];
    harness.event(Event::PasteImage(Arc::new(egui::ColorImage::new([24, 16], pixels))));
    harness.run();
    come(&mut harness);
    assert_eq!(count(&harness), before + 1, "what is pasted goes to the finding in hand");
    harness.state_mut().apply(Action::AddPhotos {
        machine: machine.clone(),
        home: PhotoHome::Finding(inspection, finding.clone()),
        from: vec![PhotoSource::File(path)],
        keep: Keep::PictureOnly,
    });
    come(&mut harness);
    assert_eq!(count(&harness), before + 2);
    let label = format!("Photo {0} of {0}", before + 2);
    assert!(harness.query_by_label(&label).is_some(), "it is seen in hand");

    // The report waits for its photos and then shows them.
    harness.key_press(egui::Key::F3);
    harness.run();
    come(&mut harness);
    harness.run();
    let layout = harness.state().state().report.layout();
    let photos = layout.unwrap().pages.iter().flat_map(|p| &p.items).filter(|i| is_photo(i)).count();
    assert!(photos >= before + 2, "{photos} photos on the pages");
}

fn is_photo(item: &stemclock::report::layout::Placed) -> bool {
    matches!(item, stemclock::report::layout::Placed::Photo { .. })
}
