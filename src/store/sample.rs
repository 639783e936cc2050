//! The sample garage, carried in the program and copied once to where it can be changed. Must not know its contents.

use std::path::Path;

use include_dir::{Dir, include_dir};

use super::{Medium, StoreError, atomic, layout};

/// Every file of `sample-garage/` as it was when the program was built.
static SAMPLE: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/sample-garage");

/// Copies the sample garage to a place where nothing is yet, or an empty folder. It appears there whole or not at
/// all. Errors: something is there already, or the disk.
pub(super) fn copy_sample(on: &dyn Medium, to: &Path) -> Result<(), StoreError> {
    if to.is_file() || !layout::entries(to)?.is_empty() {
        return Err(StoreError::AlreadyThere(to.to_path_buf()));
    }
    let fail = |e: &std::io::Error| StoreError::from_io("copy the sample garage", to, e);
    let above = atomic::parent(to);
    atomic::make_folder(on, &above)?;
    let half = on.begin_folder(&above).map_err(|e| fail(&e))?;
    let whole = half.path().join("garage");
    atomic::make_folder(on, &whole)?;
    copy(on, &SAMPLE, &whole)?;
    if to.is_dir() {
        // Empty, as seen above; not every system renames over an empty folder.
        on.remove_folder(to).map_err(|e| fail(&e))?;
    }
    on.rename(&whole, to).map_err(|e| match e.kind() {
        std::io::ErrorKind::DirectoryNotEmpty | std::io::ErrorKind::AlreadyExists => {
            StoreError::AlreadyThere(to.to_path_buf())
        }
        _ => fail(&e),
    })?;
    on.sync_folder(&above).map_err(|e| fail(&e))
}

fn copy(on: &dyn Medium, dir: &Dir<'_>, to: &Path) -> Result<(), StoreError> {
    for file in dir.files().filter(|f| !hidden(f.path())) {
        let path = to.join(file.path());
        if let Some(parent) = path.parent() {
            atomic::make_folder(on, parent)?;
        }
        atomic::write_file(on, &path, file.contents())?;
    }
    for below in dir.dirs() {
        copy(on, below, to)?;
    }
    Ok(())
}

/// A lock that a window left in the folder while the program was built is no part of the sample.
fn hidden(path: &Path) -> bool {
    path.file_name().is_some_and(|n| n.to_string_lossy().starts_with('.'))
}
