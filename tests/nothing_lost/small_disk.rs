//! A disk that is really full, to the last page or with no room for one more name.

use std::fs;

use egui_kittest::kittest::Queryable as _;
use stemclock::catalogue::Catalogue;
use stemclock::edit::decide;
use stemclock::store::{self, StoreError};
use stemclock::ui::Action;

use crate::commands::{every_command, garage};
use crate::support::{Bench, press, rest, window};
use crate::tmpfs::{fill, on_small_disk};
use crate::{files, half_written};

#[test]
fn each_kind_of_command_meets_a_full_disk_and_is_saved_when_there_is_room() {
    let (catalogue, _) = Catalogue::builtin().with_own(garage().own.iter());
    let (mut full, mut went) = (0, 0);
    for (name, command) in every_command() {
        let change = decide(&garage(), &catalogue, command).unwrap();
        on_small_disk("size=1m", |disk| {
            let folder = disk.join("garage");
            store::save_all(&folder, &garage()).unwrap();
            let old = files(&folder);
            for pages in [0, 1, 2, 6] {
                fill(disk, pages);
                let result = store::save(&folder, &change);
                if let Err(error) = &result {
                    full += 1;
                    assert!(matches!(error, StoreError::DiskFull { .. }), "{name}: {error}");
                    assert!(error.to_string().contains("free some space"), "{error}");
                    assert!(files(&folder) == old, "{name}, {pages} pages: what was there is as it was");
                    assert_eq!(half_written(&folder), Vec::<String>::new(), "{name}");
                }
                fs::remove_file(disk.join("filler")).unwrap();
                if result.is_ok() {
                    break;
                }
            }
            store::save(&folder, &change).unwrap();
            let mut changed = garage();
            changed.evolve(&change);
            assert!(store::read(&folder).unwrap().garage == changed, "{name}");
            went += 1;
        });
    }
    println!("{full} saves met a full disk, {went} kinds of command went through after it");
    // Four kinds only take away.
    assert!(full + 4 >= went, "each but those that only take away met it");
}

#[test]
fn a_disk_with_no_room_for_one_more_name_is_a_full_disk() {
    on_small_disk("size=4m,nr_inodes=120", |disk| {
        let folder = disk.join("garage");
        store::save_all(&folder, &garage()).unwrap();
        let names = || (0..).map(|n| disk.join(format!("n{n}")));
        let made = names().take_while(|p| fs::File::create(p).is_ok()).count();
        let old = files(&folder);
        let (_, command) = every_command().swap_remove(4);
        let change = decide(&garage(), Catalogue::builtin(), command).unwrap();
        let error = store::save(&folder, &change).unwrap_err();
        assert!(matches!(error, StoreError::DiskFull { .. }), "{error}");
        assert!(files(&folder) == old);
        names().take(made).for_each(|p| fs::remove_file(p).unwrap());
        store::save(&folder, &change).unwrap();
    });
}

#[test]
fn the_window_on_a_full_disk_says_so_goes_elsewhere_or_waits_for_room() {
    for goes_elsewhere in [true, false] {
        on_small_disk("size=1m", |disk| {
            let bench = Bench::new();
            let folder = disk.join("garage");
            store::save_all(&folder, &garage()).unwrap();
            let mut harness = window(bench.shell(Some(&folder)), [1024.0, 700.0]);
            fill(disk, 0);
            let mut info = garage().info;
            info.name = "Kept though the disk is full".into();
            harness.state_mut().apply(Action::Edit(stemclock::edit::Command::SetGarage(info.clone())));
            rest(&mut harness);
            assert!(harness.query_by_label("Not saved").is_some());
            assert!(harness.query_by_label_contains("free some space").is_some());
            if goes_elsewhere {
                let elsewhere = bench.folder.path().join("elsewhere");
                harness.state_mut().apply(Action::SaveElsewhere(elsewhere.clone()));
                rest(&mut harness);
                assert_eq!(store::read(&elsewhere).unwrap().garage.info.name, info.name);
            } else {
                fs::remove_file(disk.join("filler")).unwrap();
                press(&mut harness, "Try again");
                rest(&mut harness);
                assert_eq!(store::read(&folder).unwrap().garage.info.name, info.name);
            }
            assert!(harness.query_by_label("Saved").is_some());
        });
    }
}
