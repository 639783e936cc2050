//! What the program remembers between runs, apart from any garage: the last folder, the person, light or dark.

use std::path::{Path, PathBuf};

use directories::ProjectDirs;
use serde::{Deserialize, Serialize};

use super::disk::Disk;
use crate::report::content::hash;

/// Where the program keeps its own files.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Homes {
    /// Settings.
    pub config: PathBuf,
    /// The copy of the sample garage, and the window's geometry.
    pub data: PathBuf,
    /// What can be worked out again at any time.
    pub cache: PathBuf,
}

impl Homes {
    /// The user's own folders; none where the system names no home.
    pub fn of_user() -> Option<Self> {
        let dirs = ProjectDirs::from("", "", "stemclock")?;
        Some(Self {
            config: dirs.config_dir().to_owned(),
            data: dirs.data_dir().to_owned(),
            cache: dirs.cache_dir().to_owned(),
        })
    }
    /// The settings file.
    pub fn settings_file(&self) -> PathBuf {
        self.config.join("settings.ron")
    }
    /// Where a walk under way in a garage is kept: a file for each, so that two windows do not strike out each other's.
    pub fn walks_file(&self, garage: &Path) -> PathBuf {
        let name = hash(garage.as_os_str().as_encoded_bytes());
        self.data.join("walks").join(format!("{}.ron", name.get(..20).unwrap_or(&name)))
    }
    /// Where the walks of all garages were kept by older versions.
    pub fn old_walks_file(&self) -> PathBuf {
        self.data.join("walks.ron")
    }
    /// The copy of the sample garage.
    pub fn sample_garage(&self) -> PathBuf {
        self.data.join("sample-garage")
    }
}

/// Light, dark, or as the system says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Look {
    /// As the system says.
    #[default]
    System,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

/// The settings file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Settings {
    /// The schema of this file.
    pub schema: u32,
    /// The garage opened last.
    pub folder: Option<PathBuf>,
    /// The id of the machine last in hand.
    pub machine: Option<String>,
    /// The person at the bench.
    pub inspector: String,
    /// Light or dark.
    pub look: Look,
}

impl Default for Settings {
    fn default() -> Self {
        Self { schema: 1, folder: None, machine: None, inspector: String::new(), look: Look::System }
    }
}

fn options() -> ron::Options {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
}

impl Settings {
    /// Reads the settings; a file that cannot be read is set aside whole beside it, and its reason is given.
    pub fn read(disk: &dyn Disk, homes: &Homes) -> (Self, Option<String>) {
        let path = homes.settings_file();
        let text = match disk.read_text(&path) {
            Ok(None) => return (Self::default(), None),
            Ok(Some(text)) => text,
            Err(error) => return (Self::default(), Some(error)),
        };
        match options().from_str(&text) {
            Ok(settings) => (settings, None),
            Err(error) => {
                let aside = path.with_file_name("settings.unreadable.ron");
                let kept = match disk.write_file(&aside, text.as_bytes()) {
                    Ok(()) => format!("it is kept as {}", aside.display()),
                    Err(problem) => format!("and it could not be set aside: {problem}"),
                };
                let words = format!(
                    "{}:{}:{}: {}; the program goes on as if it were new, and {kept}",
                    path.display(),
                    error.span.start.line,
                    error.span.start.col,
                    crate::guard::brief(&error.code.to_string())
                );
                (Self::default(), Some(words))
            }
        }
    }
    /// Writes the settings.
    pub fn write(&self, disk: &dyn Disk, homes: &Homes) -> Result<(), String> {
        let text = options()
            .to_string_pretty(self, ron::ser::PrettyConfig::default())
            .map_err(|e| format!("the settings could not be put into words: {e}"))?;
        disk.make_folder(&homes.config)?;
        disk.write_file(&homes.settings_file(), text.as_bytes())
    }
}
