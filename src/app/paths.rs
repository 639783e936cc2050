//! What a person means by a typed path: quotes taken off, `~` for the home folder, and whole, so that the same path
//! leads to the same place in the next run. Must not look at the disk.

use std::path::{Path, PathBuf};

use directories::BaseDirs;

/// The path that was meant. The file `garage.ron` itself means the folder that it is in.
pub fn meant(typed: &Path) -> PathBuf {
    let home = BaseDirs::new().map(|dirs| dirs.home_dir().to_owned());
    let path = from_home(typed, home.as_deref());
    let path = match (path.file_name(), path.parent()) {
        (Some(name), Some(folder)) if name == "garage.ron" => folder.to_owned(),
        _ => path,
    };
    // An empty path, or no current folder: the words after the attempt name what was typed.
    std::path::absolute(&path).unwrap_or(path)
}

fn from_home(typed: &Path, home: Option<&Path>) -> PathBuf {
    let text = typed.to_string_lossy();
    let text = text.trim();
    // File managers copy a path with quotes round it.
    let bare = ['"', '\''].iter().find_map(|quote| text.strip_prefix(*quote)?.strip_suffix(*quote)).unwrap_or(text);
    match (bare.strip_prefix('~'), home) {
        (Some(""), Some(home)) => home.to_owned(),
        (Some(rest), Some(home)) if rest.starts_with(['/', '\\']) => home.join(&rest[1..]),
        // As it came, so that a name that is no Unicode stays whole.
        _ if bare == typed.to_string_lossy() => typed.to_owned(),
        _ => PathBuf::from(bare),
    }
}

/// The path with the ending of a PDF, added where it has another or none: `bike v1.2` is a name, not an ending.
pub fn with_pdf_ending(path: &Path) -> PathBuf {
    with_ending(path, "pdf")
}

/// The path with this ending, added where it has another or none.
pub fn with_ending(path: &Path, ending: &str) -> PathBuf {
    match path.extension() {
        Some(found) if found.eq_ignore_ascii_case(ending) => path.to_owned(),
        _ => {
            let mut name = path.as_os_str().to_owned();
            name.push(".");
            name.push(ending);
            name.into()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_typed_path_is_taken_as_it_was_meant() {
        let home = Path::new("/home/someone");
        let meant = |typed: &str| from_home(Path::new(typed), Some(home));
        assert_eq!(meant("~"), home);
        assert_eq!(meant("~/garages/mine"), home.join("garages/mine"));
        assert_eq!(meant("\"/media/stick/my garage\""), Path::new("/media/stick/my garage"));
        assert_eq!(meant("'~/x'"), home.join("x"));
        assert_eq!(meant("~other"), Path::new("~other"), "another user's home is not guessed");
        assert_eq!(meant("/plain"), Path::new("/plain"));
    }

    #[cfg(unix)]
    #[test]
    fn the_file_of_a_garage_means_its_folder_and_every_path_is_whole() {
        assert_eq!(super::meant(Path::new("/somewhere/garage.ron")), Path::new("/somewhere"));
        assert!(super::meant(Path::new("garage")).is_absolute());
    }

    #[test]
    fn the_ending_of_a_pdf_is_added_and_no_name_is_cut() {
        for (typed, written) in
            [("record", "record.pdf"), ("bike v1.2", "bike v1.2.pdf"), ("a.PDF", "a.PDF"), ("a.docx", "a.docx.pdf")]
        {
            assert_eq!(with_pdf_ending(Path::new(typed)), Path::new(written), "{typed}");
        }
    }
}
