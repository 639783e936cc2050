//! A full disk and a read-only disk.

use std::fs;
use std::process::Command as Process;

use stemclock::garage::GarageInfo;
use stemclock::store::{self, StoreError};

use super::fixture::*;
#[cfg(target_os = "linux")]
use super::tmpfs::{fill, on_small_disk};

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_old_file_whole() {
    on_small_disk("size=256k", |disk| {
        let folder = disk.join("garage");
        store::save_all(&folder, &garage()).unwrap();
        let old = fs::read(folder.join(MACHINE)).unwrap();
        fill(disk, 0);
        let error = store::save(&folder, &rename_change(&garage(), "Renamed")).unwrap_err();
        assert!(matches!(error, StoreError::DiskFull { .. }), "{error}");
        assert!(error.to_string().contains("free some space"), "{error}");
        assert_eq!(fs::read(folder.join(MACHINE)).unwrap(), old);
        assert_eq!(fs::read_dir(folder.join("machines/outfit-7c1e")).unwrap().count(), 3, "no half-written file stays");
        fs::remove_file(disk.join("filler")).unwrap();
        store::save(&folder, &rename_change(&garage(), "Renamed")).unwrap();
        assert_eq!(store::read(&folder).unwrap().garage.bays[0].machine.name, "Renamed");
    });
}

#[cfg(target_os = "linux")]
#[test]
fn a_read_only_disk_opens_for_reading() {
    on_small_disk("size=1m", |disk| {
        let folder = disk.join("garage");
        store::save_all(&folder, &garage()).unwrap();
        assert!(Process::new("mount").args(["-o", "remount,ro"]).arg(disk).status().unwrap().success());
        let opened = store::open(&folder).unwrap();
        assert_eq!(opened.garage, garage());
        assert!(opened.lock.read_only_because.as_deref().unwrap().contains("cannot be written"));
        let error = store::save(&folder, &rename_change(&garage(), "Renamed")).unwrap_err();
        assert!(matches!(error, StoreError::ReadOnly { .. }), "{error}");
        assert!(matches!(store::create(&disk.join("new"), &GarageInfo::default()), Err(StoreError::ReadOnly { .. })));
    });
}

#[cfg(unix)]
#[test]
fn a_device_or_a_pipe_is_not_written_over() {
    use std::os::unix::fs::FileTypeExt as _;
    let dir = tempfile::tempdir().unwrap();
    let pipe = dir.path().join("report.pdf");
    assert!(Process::new("mkfifo").arg(&pipe).status().unwrap().success());
    let link = dir.path().join("link.pdf");
    std::os::unix::fs::symlink(&pipe, &link).unwrap();
    for path in [&pipe, &link] {
        let words = store::write_file(path, b"pages").unwrap_err().to_string();
        assert!(words.contains("a device or a pipe") && words.contains("try again"), "{words}");
        assert!(fs::metadata(path).unwrap().file_type().is_fifo(), "it is what it was");
    }
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 2, "and nothing is left beside it");
}
