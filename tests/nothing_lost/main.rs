//! Nothing that was acknowledged is lost, whatever the disk does, whoever else writes, and whenever the process dies.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod closing;
mod commands;
mod elsewhere;
mod faulty;
mod killed;
mod old_garages;
mod refused;
mod shared_by_git;
mod slow;
#[cfg(target_os = "linux")]
mod small_disk;
mod units;
mod walks;
mod watched;
mod window;

#[path = "../store/fixture.rs"]
#[allow(dead_code, reason = "shared with the tests of the store, which take other parts of it")]
mod fixture;
#[path = "../support/real_disk.rs"]
mod real_disk;
#[path = "../support/mod.rs"]
mod support;
#[cfg(target_os = "linux")]
#[path = "../support/tmpfs.rs"]
mod tmpfs;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// Every file of a folder but the hidden ones, by its path from there.
pub fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    fn walk(root: &Path, at: &Path, into: &mut BTreeMap<String, Vec<u8>>) {
        for entry in fs::read_dir(at).unwrap().map(Result::unwrap) {
            let path = entry.path();
            if path.is_dir() {
                if entry.file_name() != ".git" {
                    walk(root, &path, into);
                }
            } else if !entry.file_name().to_string_lossy().starts_with('.') {
                into.insert(path.strip_prefix(root).unwrap().display().to_string(), fs::read(&path).unwrap());
            }
        }
    }
    let mut found = BTreeMap::new();
    if folder.is_dir() {
        walk(folder, folder, &mut found);
    }
    found
}

/// Half-written files of the store in a folder and below it.
pub fn half_written(folder: &Path) -> Vec<String> {
    let mut found = Vec::new();
    if let Ok(entries) = fs::read_dir(folder) {
        for entry in entries.map(Result::unwrap) {
            let name = entry.file_name().to_string_lossy().into_owned();
            if entry.path().is_dir() {
                found.extend(half_written(&entry.path()));
            }
            if name.starts_with(".stemclock-") {
                found.push(entry.path().display().to_string());
            }
        }
    }
    found
}

/// Writes files where none are, without waiting for the disk.
pub fn write(folder: &Path, files: &BTreeMap<String, Vec<u8>>) {
    for (name, bytes) in files {
        let path = folder.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
}
