//! The sample garage, carried in the program and copied once to where it can be changed. Must not know its contents.

use std::fs;
use std::path::Path;

use include_dir::{Dir, include_dir};

use super::{StoreError, atomic, layout};

/// Every file of `sample-garage/` as it was when the program was built.
static SAMPLE: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/sample-garage");

/// Copies the sample garage to a place where nothing is yet, or an empty folder. It appears there whole or not at
/// all. Errors: something is there already, or the disk.
pub fn copy_sample(to: &Path) -> Result<(), StoreError> {
    if to.is_file() || !layout::entries(to)?.is_empty() {
        return Err(StoreError::AlreadyThere(to.to_path_buf()));
    }
    let fail = |e: &std::io::Error| StoreError::from_io("copy the sample garage", to, e);
    let above = match to.parent() {
        Some(above) if !above.as_os_str().is_empty() => above.to_path_buf(),
        _ => Path::new(".").to_path_buf(),
    };
    atomic::make_folder(&above)?;
    let half = tempfile::Builder::new().prefix(layout::TEMPORARY).tempdir_in(&above).map_err(|e| fail(&e))?;
    let whole = half.path().join("garage");
    atomic::make_folder(&whole)?;
    copy(&SAMPLE, &whole)?;
    if to.is_dir() {
        // Empty, as seen above; not every system renames over an empty folder.
        fs::remove_dir(to).map_err(|e| fail(&e))?;
    }
    fs::rename(&whole, to).map_err(|e| match e.kind() {
        std::io::ErrorKind::DirectoryNotEmpty | std::io::ErrorKind::AlreadyExists => {
            StoreError::AlreadyThere(to.to_path_buf())
        }
        _ => fail(&e),
    })?;
    atomic::sync_folder(&above).map_err(|e| fail(&e))
}

fn copy(dir: &Dir<'_>, to: &Path) -> Result<(), StoreError> {
    for file in dir.files().filter(|f| !hidden(f.path())) {
        let path = to.join(file.path());
        if let Some(parent) = path.parent() {
            atomic::make_folder(parent)?;
        }
        atomic::write_file(&path, file.contents())?;
    }
    for below in dir.dirs() {
        copy(below, to)?;
    }
    Ok(())
}

/// A lock that a window left in the folder while the program was built is no part of the sample.
fn hidden(path: &Path) -> bool {
    path.file_name().is_some_and(|n| n.to_string_lossy().starts_with('.'))
}
