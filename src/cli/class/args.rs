//! The arguments of `class`, and which of its doors each belongs to: one that a door does not take is refused, for
//! nothing that was asked may be left undone in silence.

use std::path::PathBuf;

use clap::{ArgGroup, Args};

/// The arguments of `class`.
#[derive(Debug, Args)]
#[command(group = ArgGroup::new("what").args(["key", "new", "hand_in", "unpack"]).required(true))]
#[command(group = ArgGroup::new("planting").args(["plant", "taken_out"]))]
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
    #[arg(long, value_name = "MACHINE", requires = "new", conflicts_with_all = ["key", "hand_in", "unpack"])]
    pub machine: Option<String>,
    /// The inspection: with --new the one that becomes the key, with --hand-in the one that is handed in
    #[arg(long, value_name = "INSPECTION", conflicts_with_all = ["key", "unpack"])]
    pub inspection: Option<String>,
    /// The time limit of a new exercise, in minutes, 1 to 600
    #[arg(long, value_name = "MINUTES", requires = "new", conflicts_with_all = ["key", "hand_in", "unpack"])]
    #[arg(value_parser = clap::value_parser!(u32).range(1..=600))]
    pub minutes: Option<u32>,
    /// Write the students' pack, without the key: a file whose name ends in .zip, or a new folder; outside the garage,
    /// over nothing but an older pack
    #[arg(long, value_name = "PATH", requires = "key", conflicts_with_all = ["new", "hand_in", "unpack"])]
    pub pack: Option<PathBuf>,
    /// Take sheets in that students sent back
    #[arg(long, value_name = "FILE", num_args = 1.., requires = "key", conflicts_with_all = ["new", "hand_in", "unpack"])]
    pub take_in: Vec<PathBuf>,
    /// Write the scores for a spreadsheet, outside the garage, over nothing but an older table of scores
    #[arg(long, value_name = "FILE.csv", requires = "key", conflicts_with_all = ["new", "hand_in", "unpack"])]
    pub csv: Option<PathBuf>,
    /// Write the class report as a PDF, outside the garage, over nothing but an older PDF
    #[arg(long, value_name = "FILE.pdf", requires = "key", conflicts_with_all = ["new", "hand_in", "unpack"])]
    pub out: Option<PathBuf>,
    /// Write each student's sheet with its score as a PDF into this folder, outside the garage, over nothing but older
    /// PDFs
    #[arg(long, value_name = "FOLDER", requires = "key", conflicts_with_all = ["new", "hand_in", "unpack"])]
    pub each: Option<PathBuf>,
    /// Number the students instead of naming them
    #[arg(long, requires = "key", conflicts_with_all = ["new", "hand_in", "unpack"])]
    pub hide_names: bool,
    /// Note a defect that was planted on the real machine; it reads "do not ride, class exercise" until each is out
    #[arg(long, value_name = "WHAT AND WHERE", requires = "key", requires = "remove")]
    #[arg(conflicts_with_all = ["new", "hand_in", "unpack", "pack", "take_in", "csv", "out", "each", "hide_names"])]
    pub plant: Option<String>,
    /// How the planted defect is taken out again
    #[arg(long, value_name = "HOW", requires = "plant", conflicts_with_all = ["taken_out", "new", "hand_in", "unpack"])]
    pub remove: Option<String>,
    /// Tick a planted defect out, by the id of its event or words of what it is
    #[arg(long, value_name = "WHICH", requires = "key", requires = "look", requires = "by", conflicts_with = "plant")]
    #[arg(conflicts_with_all = ["new", "hand_in", "unpack", "pack", "take_in", "csv", "out", "each", "hide_names"])]
    pub taken_out: Option<String>,
    /// What the second look at its place showed
    #[arg(long, value_name = "WORDS", requires = "taken_out", conflicts_with_all = ["plant", "new", "hand_in", "unpack"])]
    pub look: Option<String>,
    /// Who planted it, or took it out
    #[arg(long, value_name = "NAME", requires = "planting", conflicts_with_all = ["new", "hand_in", "unpack"])]
    pub by: Option<String>,
    /// A student's door: write the sheet that goes back to the instructor, outside the garage and never over a file
    #[arg(long, value_name = "FILE.ron", requires = "student")]
    pub hand_in: Option<PathBuf>,
    /// Who hands the sheet in
    #[arg(long, value_name = "NAME", requires = "hand_in", conflicts_with_all = ["key", "new", "unpack"])]
    pub student: Option<String>,
    /// A student's door: unpack an exercise that the instructor sent, into a new folder
    #[arg(long, value_name = "FILE.zip")]
    pub unpack: Option<PathBuf>,
}

#[cfg(test)]
mod tests {
    use clap::Parser as _;

    use crate::cli::Cli;
    use crate::exercise::EXERCISE_MINUTES;

    /// Each door with what it must have, and the options that it takes beside them.
    const DOORS: &[(&[&str], &[&str])] = &[
        (&["--key", "k"], &["--pack", "--take-in", "--csv", "--out", "--each", "--hide-names"]),
        (&["--key", "k", "--plant", "screw", "--remove", "pull it"], &["--by"]),
        (&["--key", "k", "--taken-out", "screw", "--look", "clean", "--by", "Kim"], &[]),
        (&["--new", "Walk", "--machine", "m"], &["--minutes", "--inspection"]),
        (&["--hand-in", "kim.ron", "--student", "Kim"], &["--inspection"]),
        (&["--unpack", "pack.zip"], &[]),
    ];

    /// Every option with a value that it takes.
    const OPTIONS: &[(&str, &str)] = &[
        ("--key", "k"),
        ("--new", "Walk"),
        ("--machine", "m"),
        ("--inspection", "2026"),
        ("--minutes", "5"),
        ("--pack", "q.zip"),
        ("--take-in", "kim.ron"),
        ("--csv", "q.csv"),
        ("--out", "q.pdf"),
        ("--each", "q"),
        ("--hide-names", ""),
        ("--plant", "screw"),
        ("--remove", "pull it"),
        ("--taken-out", "screw"),
        ("--look", "clean"),
        ("--by", "Kim"),
        ("--hand-in", "kim.ron"),
        ("--student", "Kim"),
        ("--unpack", "pack.zip"),
    ];

    fn is_taken(words: &[&str]) -> bool {
        Cli::try_parse_from([&["stemclock", "class", "g"][..], words].concat()).is_ok()
    }

    #[test]
    fn an_option_that_a_door_would_leave_undone_is_refused() {
        for (door, taken) in DOORS {
            assert!(is_taken(door), "{door:?}");
            for (option, value) in OPTIONS.iter().filter(|(option, _)| !door.contains(option)) {
                let more: &[&str] = if value.is_empty() { &[option] } else { &[option, value] };
                let words = [door, more].concat();
                // These two lead from scoring to another door, which wants more.
                let leads_on = door.len() == 2 && ["--plant", "--taken-out"].contains(option);
                assert_eq!(is_taken(&words), taken.contains(option) && !leads_on, "{words:?}");
            }
        }
    }

    #[test]
    fn a_time_limit_on_the_command_line_is_one_that_the_window_takes() {
        let (least, most) = (EXERCISE_MINUTES.start(), EXERCISE_MINUTES.end());
        for (minutes, is_good) in [(*least, true), (*most, true), (0, false), (most + 1, false), (u32::MAX, false)] {
            let minutes = minutes.to_string();
            assert_eq!(is_taken(&["--new", "T", "--machine", "m", "--minutes", &minutes]), is_good, "{minutes}");
        }
    }
}
