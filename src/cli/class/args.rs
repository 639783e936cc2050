//! The arguments of `class`.

use std::path::PathBuf;

use clap::{ArgGroup, Args};

/// The arguments of `class`.
#[derive(Debug, Args)]
#[command(group = ArgGroup::new("what").args(["key", "new", "hand_in", "unpack"]).required(true))]
pub struct ClassArgs {
    /// The garage: a folder with garage.ron in it; with --unpack the new folder to unpack into
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    /// The exercise whose key the sheets are scored against, by its id, its title, or the beginning of either
    #[arg(long, value_name = "EXERCISE")]
    pub key: Option<String>,
    /// Make a new exercise with this title; --machine names the machine, and its newest or the named inspection
    /// becomes the key
    #[arg(long, value_name = "TITLE", requires = "machine")]
    pub new: Option<String>,
    /// The machine of a new exercise
    #[arg(long, value_name = "MACHINE", requires = "new")]
    pub machine: Option<String>,
    /// The inspection: with --new the one that becomes the key, with --hand-in the one that is handed in
    #[arg(long, value_name = "INSPECTION")]
    pub inspection: Option<String>,
    /// The time limit of a new exercise, in minutes
    #[arg(long, value_name = "MINUTES", requires = "new")]
    pub minutes: Option<u32>,
    /// Write the students' pack, without the key: a file whose name ends in .zip, or a new folder
    #[arg(long, value_name = "PATH", requires = "key")]
    pub pack: Option<PathBuf>,
    /// Take sheets in that students sent back
    #[arg(long, value_name = "FILE", num_args = 1.., requires = "key")]
    pub take_in: Vec<PathBuf>,
    /// Write the scores for a spreadsheet
    #[arg(long, value_name = "FILE.csv", requires = "key")]
    pub csv: Option<PathBuf>,
    /// Write the class report as a PDF
    #[arg(long, value_name = "FILE.pdf", requires = "key")]
    pub out: Option<PathBuf>,
    /// Write each student's sheet with its score as a PDF into this folder
    #[arg(long, value_name = "FOLDER", requires = "key")]
    pub each: Option<PathBuf>,
    /// Number the students instead of naming them
    #[arg(long, requires = "key")]
    pub hide_names: bool,
    /// Note a defect that was planted on the real machine; it reads "do not ride, class exercise" until each is out
    #[arg(long, value_name = "WHAT AND WHERE", requires = "key", requires = "remove")]
    pub plant: Option<String>,
    /// How the planted defect is taken out again
    #[arg(long, value_name = "HOW", requires = "plant")]
    pub remove: Option<String>,
    /// Tick a planted defect out, by the id of its event or words of what it is
    #[arg(long, value_name = "WHICH", requires = "key", requires = "look", requires = "by", conflicts_with = "plant")]
    pub taken_out: Option<String>,
    /// What the second look at its place showed
    #[arg(long, value_name = "WORDS", requires = "taken_out")]
    pub look: Option<String>,
    /// Who planted it, or took it out
    #[arg(long, value_name = "NAME")]
    pub by: Option<String>,
    /// A student's door: write the sheet that goes back to the instructor
    #[arg(long, value_name = "FILE.ron", requires = "student")]
    pub hand_in: Option<PathBuf>,
    /// Who hands the sheet in
    #[arg(long, value_name = "NAME", requires = "hand_in")]
    pub student: Option<String>,
    /// A student's door: unpack an exercise that the instructor sent
    #[arg(long, value_name = "FILE.zip")]
    pub unpack: Option<PathBuf>,
}
