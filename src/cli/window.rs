//! `stemclock [FOLDER]`: opens the window, or says why it cannot and what to do without one.

use std::path::Path;

use super::answer::Failure;
use crate::app::{self, WindowOptions};

/// What to do without a window.
const WITHOUT_A_WINDOW: &str = "start it from a desktop, or make the record without a window: \
    stemclock report FOLDER --machine MACHINE --kind record --out FILE.pdf (see also stemclock --help)";

/// Opens the window and returns when it is closed.
pub fn open(folder: Option<&Path>, frames: Option<u32>) -> Result<(), Failure> {
    if let Some(folder) = folder
        && !folder.exists()
    {
        return Err(no_such_folder(folder));
    }
    if !has_display() {
        return Err(Failure::expected(
            "a display to open the window on",
            "none (neither DISPLAY nor WAYLAND_DISPLAY is set)",
            WITHOUT_A_WINDOW,
        ));
    }
    app::run(WindowOptions { folder: folder.map(Path::to_owned), frames }).map_err(|e| Failure(e.to_string()))
}

/// Whether a window could be shown at all. Elsewhere than on X11 and Wayland the system decides.
fn has_display() -> bool {
    let is_set = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    cfg!(not(all(unix, not(target_os = "macos")))) || is_set("DISPLAY") || is_set("WAYLAND_DISPLAY")
}

fn no_such_folder(folder: &Path) -> Failure {
    Failure::expected(
        "the folder of a garage, or a command",
        format!("\"{}\", which does not exist", folder.display()),
        "check the path, or see stemclock --help for the commands",
    )
}
