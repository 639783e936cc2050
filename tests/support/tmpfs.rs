//! A disk that is really full: a small one in memory, filled to the last page. Mounting takes the rights of the
//! administrator; without them each test says that it was skipped.

use std::fs;
use std::path::Path;
use std::process::Command;

/// Runs with a small disk mounted at a fresh folder. Without leave to mount, says so and skips.
pub fn on_small_disk(options: &str, run: impl FnOnce(&Path)) {
    let dir = tempfile::tempdir().unwrap();
    let mounted = Command::new("mount").args(["-t", "tmpfs", "-o", options, "none"]).arg(dir.path()).output();
    match mounted {
        Ok(output) if output.status.success() => {
            let outcome = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| run(dir.path())));
            // A thread of the window may still look at it.
            assert!(Command::new("umount").arg("-l").arg(dir.path()).status().unwrap().success());
            if let Err(panic) = outcome {
                std::panic::resume_unwind(panic);
            }
        }
        other => println!("SKIPPED: a small disk cannot be mounted here, so this was not tried ({other:?})"),
    }
}

/// Fills a disk with the file `filler` and leaves so many pages of 4096 bytes.
pub fn fill(disk: &Path, pages: u64) {
    let filler = fs::OpenOptions::new().create(true).append(true).open(disk.join("filler")).unwrap();
    for size in [65_536, 4096, 1] {
        while std::io::Write::write(&mut &filler, &vec![b'x'; size]).is_ok_and(|n| n > 0) {}
    }
    let length = filler.metadata().unwrap().len();
    filler.set_len(length - pages * 4096).unwrap();
}
