//! Whole files: pictures, and students' packs.

use std::fs;
use std::io::{Cursor, Write as _};
use std::path::Path;

use stemclock::photo::{At, Keep, PhotoMark, for_print, for_screen, must_open, take_in};
use stemclock::store::{self, Medium, Store};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use crate::driver::Target;

#[path = "../photos/bytes.rs"]
#[allow(dead_code, reason = "shared with the tests of photos, which take other parts of it")]
mod bytes;

pub mod photos {
    use super::*;

    pub fn target() -> Target {
        let seeds = vec![
            bytes::jpeg(40, 24),
            bytes::png(24, 16),
            bytes::webp(24, 16),
            bytes::told_jpeg(24, 40, 6),
            bytes::told_png(16, 24, 3),
            bytes::told_webp(16, 24, 8, false),
            bytes::told_jpeg(24, 16, 1),
            bytes::moving_png(),
        ];
        Target {
            name: "photos",
            seeds,
            words: &[
                "\u{0}\u{0}\u{0}\rIHDR",
                "IDAT",
                "PLTE",
                "tRNS",
                "acTL",
                "fdAT",
                "eXIf",
                "iTXt",
                "zTXt",
                "iCCP",
                "IEND",
                "Exif\0\0",
                "II*\0",
                "MM\0*",
                "JFIF\0",
                "RIFF",
                "WEBPVP8 ",
                "VP8L",
                "VP8X",
                "ANIM",
                "ALPH",
                "XMP ",
                "http://ns.adobe.com/xap/1.0/\0",
                "Photoshop 3.0\0",
                "ICC_PROFILE\0",
                "MPF\0",
            ],
            most: 64 << 10,
            rounds: 400,
            run: Box::new(|bytes| {
                let taken = ["x.jpg", "x.png", "x.webp"].map(|name| take_in(name, bytes, Keep::PictureOnly));
                let [a, b, c] = taken;
                let taken = match a.or(b).or(c) {
                    Ok(taken) => taken,
                    Err(refusal) => {
                        let words = refusal.to_string();
                        assert!(words.contains("expected") && words.len() < 1000, "{words}");
                        return words;
                    }
                };
                // What was taken in opens, and holds nothing more to take out.
                must_open(&taken.bytes).unwrap();
                let name = format!("y.{}", taken.kind.ending());
                let again = take_in(&name, &taken.bytes, Keep::PictureOnly).unwrap();
                assert!(again.removed.is_empty() && !again.is_turned, "{:?} were left in", again.removed);
                assert!(again.bytes == taken.bytes, "taken in twice it is another file");
                assert_eq!((again.width, again.height), (taken.width, taken.height));
                let screen = for_screen(&taken.bytes, 16).unwrap();
                assert!(screen.width <= 16 && screen.height <= 16);
                // As it is, because the user says so; and on a page, with marks at places that the input gives.
                let whole = take_in(&name, &taken.bytes, Keep::Everything).unwrap();
                assert!(whole.bytes == taken.bytes && whole.removed.is_empty());
                let page = for_print(&taken.bytes, &marks(bytes), (12, 12)).unwrap();
                assert!(page.width() <= 12 && page.height() <= 12);
                must_open(&page.jpeg()).unwrap();
                format!("{:?} {:?} {}", taken.kind, taken.removed, taken.is_turned)
            }),
        }
    }
}

/// Up to three marks of each kind, their places taken from the end of an input.
fn marks(bytes: &[u8]) -> Vec<PhotoMark> {
    let mut numbers = bytes.rchunks_exact(2).map(|pair| u16::from_le_bytes([pair[0], pair[1]]));
    let mut place = || Some(At { x: numbers.next()?, y: numbers.next()? });
    let mut made = Vec::new();
    for which in 0..bytes.last().copied().unwrap_or_default() % 4 {
        let (Some(a), Some(b)) = (place(), place()) else { break };
        made.push(match which {
            0 => PhotoMark::Blur { corner: a, across: b },
            1 => PhotoMark::Arrow { tail: a, tip: b },
            _ => PhotoMark::Circle { middle: a, rim: b },
        });
    }
    made
}

/// The disk without waiting for it: nothing here must outlive a power cut.
struct Quick;

impl Medium for Quick {
    fn sync(&self, _: &fs::File) -> std::io::Result<()> {
        Ok(())
    }
    fn sync_folder(&self, _: &Path) -> std::io::Result<()> {
        Ok(())
    }
}

pub mod packs {
    use super::*;

    /// A zip file of what stands behind lines that begin with `== `, or the bytes themselves where they are one.
    fn zipped(bytes: &[u8]) -> Vec<u8> {
        if bytes.starts_with(b"PK") {
            return bytes.to_vec();
        }
        let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
        let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
        for line in bytes.split_inclusive(|b| *b == b'\n') {
            match line.strip_prefix(b"== ") {
                // Two of one name are refused by this writer.
                Some(name) => drop(writer.start_file(named(name), options)),
                None => drop(writer.write_all(line)),
            }
        }
        writer.finish().unwrap().into_inner()
    }

    /// A name in a zip file, whose length has two bytes (APPNOTE 4.4.10): this writer gives up on a longer one.
    fn named(bytes: &[u8]) -> String {
        let mut name = String::from_utf8_lossy(bytes).trim_end_matches('\n').to_owned();
        while name.len() > usize::from(u16::MAX) {
            name.pop();
        }
        name
    }

    fn sample() -> Vec<Vec<u8>> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-garage");
        let machine = fs::read_to_string(folder.join("machines/standard-4c1f/machine.ron")).unwrap();
        let garage = fs::read_to_string(folder.join("garage.ron")).unwrap();
        let exercise = fs::read_to_string(folder.join("exercises/autumn-class-6b3e/exercise.ron")).unwrap();
        let text = format!(
            "== garage.ron\n{garage}== machines/standard-4c1f/machine.ron\n{machine}\
             == exercises/autumn-class-6b3e/exercise.ron\n{exercise}"
        );
        let kinds = "== garage.ron\n(schema: 1, name: \"Yard\")\n== kinds/own.ron\n(id: \"own\")\n";
        let short = zipped(kinds.as_bytes());
        vec![zipped(text.as_bytes()), short, text.into_bytes(), kinds.into()]
    }

    pub fn target() -> Target {
        let home = tempfile::tempdir().unwrap();
        Target {
            name: "packs",
            seeds: sample(),
            words: &[
                "== ",
                "== garage.ron\n",
                "== ../",
                "== machines/",
                "machine.ron",
                "exercise.ron",
                "kinds/",
                "regions/",
                "..",
                "/",
                "\\",
                "C:",
                "con",
                "PK\x01\x02",
                "PK\x03\x04",
                "PK\x05\x06",
                "PK\x06\x06",
                "PK\x06\x07",
                ".ron",
            ],
            most: 64 << 10,
            rounds: 150,
            run: Box::new(move |bytes| {
                let (pack, to) = (home.path().join("pack.zip"), home.path().join("to"));
                fs::write(&pack, zipped(bytes)).unwrap();
                let unpacked = Store::on(&Quick).unpack(&pack, &to);
                let there: Vec<_> = fs::read_dir(home.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
                assert!(there.iter().all(|name| name == "pack.zip" || name == "to"), "{there:?}");
                let came = match unpacked {
                    Ok(()) => {
                        let opened = store::read(&to).unwrap();
                        let garage = &opened.garage;
                        format!("{} {} {:?}", garage.bays.len(), garage.courses.len(), opened.unreadable.first())
                    }
                    Err(error) => {
                        assert!(!to.exists(), "a pack that was refused left something behind: {error}");
                        let words = error.to_string();
                        assert!(words.contains("expected") && words.len() < 2000, "{words}");
                        words
                    }
                };
                if to.exists() {
                    fs::remove_dir_all(&to).unwrap();
                }
                // The folder has another name in each run, and the same input must come to the same.
                came.replace(&home.path().display().to_string(), "")
            }),
        }
    }
}
