//! The program's own files, where something else stands in their place: the window opens all the same and says so.

use std::fs;
use std::path::PathBuf;

use stemclock::app::{Homes, RealDisk, Settings};

use crate::bench::{gigabyte, instead, pipe};

fn homes() -> (tempfile::TempDir, Homes, PathBuf) {
    let home = tempfile::tempdir().unwrap();
    let at = |name: &str| home.path().join(name);
    let homes = Homes { config: at("config"), data: at("data"), cache: at("cache") };
    let file = homes.settings_file();
    (home, homes, file)
}

#[test]
fn settings_that_are_no_settings_are_told_and_keep_nobody_waiting() {
    let (_home, homes, file) = homes();
    let deep = "Some(".repeat(100_000);
    type Put<'a> = (&'a str, Box<dyn Fn(&std::path::Path)>);
    let puts: [Put<'_>; 7] = [
        ("no plain file", Box::new(pipe)),
        ("at most 1 MiB", Box::new(gigabyte)),
        ("a folder", Box::new(|path| fs::create_dir(path).unwrap())),
        ("UTF-8", Box::new(|path| fs::write(path, b"\xff\xfe(").unwrap())),
        ("unreadable.ron", Box::new(move |path| fs::write(path, format!("(folder: {deep}")).unwrap())),
        ("unreadable.ron", Box::new(|path| fs::write(path, "(schema: 1, surprise: NaN)").unwrap())),
        ("no plain file", Box::new(|path| std::os::unix::fs::symlink("/dev/zero", path).unwrap())),
    ];
    for (words, put) in puts {
        if file.is_dir() {
            fs::remove_dir(&file).unwrap();
        }
        instead(&file, put);
        let (settings, why) = Settings::read(&RealDisk, &homes);
        assert_eq!(settings, Settings::default());
        let why = why.unwrap();
        assert!(why.contains(words), "\"{words}\" is not in {}", &why[..why.len().min(400)]);
        assert!(why.len() < 2000, "{} bytes", why.len());
    }
}
