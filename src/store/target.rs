//! Whether a file that leaves the program may be written where the user said: never inside a garage, with the ending of
//! its form, and over nothing but an older file of the same form. Must not write.

use std::fs::{self, File};
use std::io::Read as _;
use std::path::{Component, Path, PathBuf};

use super::atomic::{Standing, parent, standing_at};
use super::{StoreError, class_pack, is_garage};

/// So many bytes at the beginning of a file tell its form.
const HEAD: u64 = 512;

/// What can be written for somebody else, each by the ending of its name and its first bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A report.
    Pdf,
    /// A page of a report as a picture.
    Png,
    /// A photo.
    Jpeg,
    /// What falls due (RFC 5545).
    Calendar,
    /// A table of scores, by the words that its first line begins with.
    Table(&'static str),
    /// A students' pack.
    Pack,
    /// A student's sheet: the only copy of a walk, so it is never written over.
    Sheet,
}

impl Form {
    /// `the report`, the ending of its name, and what of its kind may be replaced.
    fn words(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Self::Pdf => ("the report", "pdf", "or an older PDF to replace"),
            Self::Png => ("the picture", "png", "or an older PNG picture to replace"),
            Self::Jpeg => ("the copy of a photo", "jpg", "or an older JPEG picture to replace"),
            Self::Calendar => ("the calendar", "ics", "or an older calendar to replace"),
            Self::Table(_) => ("the table of scores", "csv", "or an older table of scores to replace"),
            Self::Pack => ("the students' pack", "zip", "or an older students' pack to replace"),
            Self::Sheet => ("the sheet", "ron", "for a sheet is never written over"),
        }
    }
    /// Whether a file that is there is of this form. An empty one holds nothing that could be lost.
    fn is_at(self, path: &Path) -> bool {
        let Some(head) = head(path) else { return false };
        let text = head.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&head);
        match self {
            Self::Sheet => false,
            _ if head.is_empty() => true,
            Self::Pdf => head.starts_with(b"%PDF-"),
            Self::Png => head.starts_with(b"\x89PNG\r\n\x1a\n"),
            Self::Jpeg => head.starts_with(b"\xff\xd8\xff"),
            Self::Calendar => text.starts_with(b"BEGIN:VCALENDAR"),
            Self::Table(first) => text.starts_with(first.as_bytes()),
            Self::Pack => head.starts_with(b"PK") && class_pack::holds_pack(path),
        }
    }
}

/// The first bytes of a plain file; none where it is no plain file or cannot be read.
fn head(path: &Path) -> Option<Vec<u8>> {
    // A pipe or a device could keep the reader waiting for ever.
    if !fs::metadata(path).is_ok_and(|about| about.is_file()) {
        return None;
    }
    let read = File::open(path).and_then(|file| {
        let mut head = Vec::new();
        file.take(HEAD).read_to_end(&mut head).map(|_| head)
    });
    match read {
        Ok(head) => Some(head),
        Err(why) => {
            log::info!("{} cannot be looked into, so it is not written over: {why}", path.display());
            None
        }
    }
}

/// Whether a file may be written to a path. Errors: a folder, another ending than the form's, no folder to write into, a
/// place inside a garage, or a file that is of another form.
pub fn may_write(path: &Path, form: Form) -> Result<(), StoreError> {
    let (what, ending, older) = form.words();
    let shown = path.display();
    let refuse =
        |expected: String, found: String, way_out: String| Err(StoreError::Target { expected, found, way_out });
    let standing = standing_at(path);
    if standing == Standing::Folder {
        return refuse(
            format!("a file for {what}"),
            format!("the folder \"{shown}\""),
            format!("add a name to it, as in {}", path.join(format!("name.{ending}")).display()),
        );
    }
    if !path.extension().is_some_and(|e| e.eq_ignore_ascii_case(ending)) {
        return refuse(
            format!("a file for {what} whose name ends in .{ending}"),
            format!("\"{shown}\""),
            format!("write it as in name.{ending}"),
        );
    }
    let folder = parent(path);
    if !folder.is_dir() {
        return refuse(
            format!("the folder of \"{shown}\""),
            format!("none at \"{}\"", folder.display()),
            "make the folder first, or choose another place".into(),
        );
    }
    outside(path, what)?;
    if standing == Standing::File && !form.is_at(path) {
        return refuse(
            format!("a free name for {what}, {older}"),
            format!("another file at \"{shown}\""),
            "choose another name, or take that file away first".into(),
        );
    }
    Ok(())
}

/// Where the files of a folder that the user named go, which is made where it is not there. Errors: a file at the path,
/// a place inside a garage, or one of the files may not be written; nothing is written or made here.
pub fn may_fill(
    folder: &Path,
    form: Form,
    names: impl IntoIterator<Item = String>,
) -> Result<Vec<PathBuf>, StoreError> {
    let standing = standing_at(folder);
    if standing == Standing::File {
        return Err(StoreError::Target {
            expected: "a folder to write into".into(),
            found: format!("a file at \"{}\"", folder.display()),
            way_out: "choose another place".into(),
        });
    }
    outside(folder, form.words().0)?;
    let paths: Vec<PathBuf> = names.into_iter().map(|name| folder.join(name)).collect();
    if standing == Standing::Folder {
        paths.iter().try_for_each(|path| may_write(path, form))?;
    }
    Ok(paths)
}

/// Refuses a place inside a garage, links and dots followed: what a garage holds is its records and photos, and a name
/// that is free today may be that of a record tomorrow.
pub fn outside(path: &Path, what: &str) -> Result<(), StoreError> {
    let whole = std::path::absolute(path).map_err(|e| StoreError::from_io("find the place", path, &e))?;
    // What is not there yet is placed by its nearest folder that is.
    let nearest = whole.ancestors().find(|above| above.exists()).unwrap_or(&whole);
    let real = fs::canonicalize(nearest).map_err(|e| StoreError::from_io("find the place", path, &e))?;
    // A folder that is not there yet leads nowhere, so nobody can say where its `..` would.
    if whole.strip_prefix(nearest).is_ok_and(|rest| rest.components().any(|c| c == Component::ParentDir)) {
        return Err(StoreError::NowhereToWrite(whole));
    }
    match real.ancestors().find(|folder| is_garage(folder)) {
        None => Ok(()),
        Some(garage) => Err(StoreError::Target {
            expected: format!("a place outside any garage for {what}"),
            found: format!("\"{}\" inside the garage {}", path.display(), garage.display()),
            way_out: "choose a place beside the garage's folder".into(),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: Form = Form::Table("student,earned");

    fn written(folder: &Path, name: &str, bytes: &[u8]) -> PathBuf {
        let path = folder.join(name);
        fs::write(&path, bytes).expect("a file of the test");
        path
    }

    #[test]
    fn a_file_is_replaced_only_by_one_of_its_own_form() {
        let home = tempfile::tempdir().expect("a folder");
        // First bytes: ISO 32000 7.5.2, the PNG specification 5.2, ISO 10918-1 B.1.1.3, RFC 5545 3.4.
        let own: [(Form, &str, &[u8]); 5] = [
            (Form::Pdf, "a.PDF", b"%PDF-1.3\n"),
            (Form::Png, "a.png", b"\x89PNG\r\n\x1a\n\0"),
            (Form::Jpeg, "a.jpg", b"\xff\xd8\xff\xe0"),
            (Form::Calendar, "a.ics", b"BEGIN:VCALENDAR\r\n"),
            (TABLE, "a.csv", b"\xef\xbb\xbfstudent,earned,out_of\n"),
        ];
        for (form, name, bytes) in own {
            let path = written(home.path(), name, bytes);
            assert_eq!(may_write(&path, form), Ok(()), "{name}");
            for foreign in [&b"(schema: 1)"[..], b"PK\x03\x04", b"\0"] {
                written(home.path(), name, foreign);
                let why = may_write(&path, form).expect_err(name).to_string();
                assert!(why.contains("found another file") && why.contains("choose another name"), "{why}");
            }
            written(home.path(), name, b"");
            assert_eq!(may_write(&path, form), Ok(()), "{name}: nothing is lost");
            fs::remove_file(&path).expect("gone");
            assert_eq!(may_write(&path, form), Ok(()), "{name}: a free name");
        }
        let sheet = written(home.path(), "kim.ron", b"");
        assert!(may_write(&sheet, Form::Sheet).is_err(), "a sheet is never written over");
        let zip = written(home.path(), "other.zip", b"PK\x05\x06\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0");
        assert!(may_write(&zip, Form::Pack).is_err(), "a zip file that is no pack");
    }

    #[test]
    fn nothing_is_written_into_a_garage_by_whatever_way_one_goes_there() {
        let home = tempfile::tempdir().expect("a folder");
        let garage = home.path().join("garage");
        let machines = garage.join("machines");
        fs::create_dir_all(&machines).expect("a garage");
        written(&garage, "garage.ron", b"(schema: 1)");
        let mut ways = vec![
            garage.join("x.csv"),
            machines.join("x.csv"),
            home.path().join("garage/machines/../x.csv"),
            machines.join("new/../../x.csv"),
        ];
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(&machines, home.path().join("link")).expect("a link");
            ways.push(home.path().join("link/x.csv"));
            std::os::unix::fs::symlink(garage.join("garage.ron"), home.path().join("x.csv")).expect("a link");
            ways.push(home.path().join("x.csv"));
        }
        for way in ways {
            let why = may_write(&way, TABLE).expect_err("inside").to_string();
            assert!(why.contains("outside any garage") || why.contains("the folder of"), "{}: {why}", way.display());
        }
        for way in ["new/../garage/pages", "garage/pages", "garage"] {
            assert!(may_fill(&home.path().join(way), Form::Png, []).is_err(), "{way}");
        }
        let why = may_fill(&machines.join("new/deep"), Form::Png, []).expect_err("inside").to_string();
        assert!(why.contains("outside any garage"), "{why}");
        for beside in ["scores.csv", "garage/../scores.csv"] {
            assert_eq!(may_write(&home.path().join(beside), TABLE), Ok(()), "{beside}");
        }
    }
}
