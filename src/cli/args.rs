//! What can be typed: the commands, their arguments and their help.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use clap::{Arg, ArgMatches, Args, Command as ClapCommand, FromArgMatches, Parser, Subcommand, ValueEnum};

use super::class::ClassArgs;
use crate::reckon::{CALCULATORS, Calculator};
use crate::report::content::{KINDS, ReportKind, kind};
use crate::rules::Decision;
use crate::units::day;

/// Decide whether each motorcycle in a garage is fit to ride, and what to put right first.
///
/// Without a command, the window opens on FOLDER (a garage), or on the last garage, or on the sample garage.
#[derive(Debug, Parser)]
#[command(name = "stemclock", version, after_help = AFTER_HELP, max_term_width = 100)]
pub struct Cli {
    /// What to do without the window
    #[command(subcommand)]
    pub command: Option<Command>,
    /// The garage to open in the window
    #[arg(value_name = "FOLDER")]
    pub folder: Option<PathBuf>,
    /// Draw this many frames, print how long they took, and quit
    #[arg(long, value_name = "N", hide_short_help = true, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pub frames: Option<u32>,
    /// Print the answer as JSON; the names of fields carry their units (pressure_kpa)
    #[arg(long, global = true)]
    pub json: bool,
}

const AFTER_HELP: &str = "\
Exit codes:
  0  done, whatever the verdict
  1  it could not be done, or not all of it: a picture or a sheet was refused, validate found problems; the reason is
     on stderr: what was expected, what was found, the way out
  2  the command line could not be read
  3  done, and the verdict is one that --fail-on asks about, or verify found the report altered

Examples:
  stemclock my-garage
  stemclock status my-garage
  stemclock judge my-garage --machine heron
  stemclock due my-garage --ics due.ics
  stemclock report my-garage --machine heron --kind record --out heron.pdf
  stemclock reckon pressure --set \"36 psi\" --set-at \"68 F\" --now \"41 F\"";

/// A command without the window.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// The machines of a garage with their verdicts and open findings
    Status(StatusArgs),
    /// What falls due over all machines, overdue first: papers, services, fluids, age, wear; also as a calendar file
    Due(DueArgs),
    /// Every problem in the files of a garage, with file, line and column
    Validate(ValidateArgs),
    /// Each judgement of an inspection with its proof: reading, limit, source, margin
    Judge(JudgeArgs),
    /// A report as a PDF, as pictures or as text, page for page as the window shows it
    Report(ReportArgs),
    /// Pictures into a garage, and copies with their marks burnt in out of it
    Photo(PhotoArgs),
    /// Read a report back: whether its pages show the record inside it, and where they do not
    Verify(VerifyArgs),
    /// A class: make an exercise, pack it for the students, take their sheets in and score them against the key
    Class(Box<ClassArgs>),
    /// The ordered walk round a machine: what to check in the minutes there are, in which order, and what is left out
    Walk(WalkArgs),
    /// The calculators, one by one, each with its formula and its source
    Reckon(ReckonRequest),
}

/// The arguments of `status`.
#[derive(Debug, Args)]
pub struct StatusArgs {
    /// The garage: a folder with garage.ron in it
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    /// Also list machines that are put away
    #[arg(long)]
    pub all: bool,
    /// Work everything out anew: in a garage of fifty machines or more, a machine whose files have not changed by a byte
    /// since the last time today is else not judged again
    #[arg(long)]
    pub anew: bool,
    #[command(flatten)]
    #[allow(missing_docs, reason = "flattened arguments take their help from their own fields")]
    pub day: DayArgs,
    #[command(flatten)]
    #[allow(missing_docs, reason = "flattened arguments take their help from their own fields")]
    pub fail: FailArgs,
}

/// The arguments of `due`.
#[derive(Debug, Args)]
pub struct DueArgs {
    /// The garage: a folder with garage.ron in it
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    /// Only this machine, by its id, its name, or the beginning of either
    #[arg(long, value_name = "MACHINE")]
    pub machine: Option<String>,
    /// Also write it as an iCalendar file, whose name ends in .ics; outside the garage, over nothing but an older
    /// calendar
    #[arg(long, value_name = "FILE")]
    pub ics: Option<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs, reason = "flattened arguments take their help from their own fields")]
    pub day: DayArgs,
}

/// The arguments of `validate`.
#[derive(Debug, Args)]
pub struct ValidateArgs {
    /// The garage: a folder with garage.ron in it
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
}

/// The arguments of `judge`.
#[derive(Debug, Args)]
pub struct JudgeArgs {
    /// The garage: a folder with garage.ron in it
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    #[command(flatten)]
    #[allow(missing_docs, reason = "flattened arguments take their help from their own fields")]
    pub which: WhichArgs,
    /// Judge by the rules of another region, as in GB, US-MD, DE, and tell what changes
    #[arg(long, value_name = "REGION")]
    pub region: Option<String>,
    #[command(flatten)]
    #[allow(missing_docs, reason = "flattened arguments take their help from their own fields")]
    pub day: DayArgs,
    #[command(flatten)]
    #[allow(missing_docs, reason = "flattened arguments take their help from their own fields")]
    pub fail: FailArgs,
}

/// The arguments of `walk`.
#[derive(Debug, Args)]
pub struct WalkArgs {
    /// The garage: a folder with garage.ron in it
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    /// The machine by its id, its name, or the beginning of either
    #[arg(long, value_name = "MACHINE")]
    pub machine: String,
    /// The minutes there are; as long as it takes if left out
    #[arg(long, value_name = "MINUTES", value_parser = clap::value_parser!(u32).range(1..=1440))]
    pub minutes: Option<u32>,
    /// The kind of inspection by its id: ride, season, periodic, purchase, sale, fall, trip, storage, work, or one of
    /// the garage's own
    #[arg(long, value_name = "KIND", default_value = "ride")]
    pub kind: String,
    /// Where the required checks do not fit, plan the part of all checks that takes away the most risk
    #[arg(long, requires = "minutes")]
    pub part: bool,
    /// Nobody helps: leave out what needs a second person, and say so
    #[arg(long)]
    pub alone: bool,
    /// The engine has run within three hours: leave out what needs it cold, and say so
    #[arg(long)]
    pub has_run: bool,
    #[command(flatten)]
    #[allow(missing_docs, reason = "flattened arguments take their help from their own fields")]
    pub day: DayArgs,
}

/// The arguments of `report`.
#[derive(Debug, Args)]
pub struct ReportArgs {
    /// The garage: a folder with garage.ron in it
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    /// The machine by its id, its name, or the beginning of either; not for reports of the whole garage
    #[arg(long, value_name = "MACHINE")]
    pub machine: Option<String>,
    /// The inspection by its id or the beginning of it, as in 2026-03-14; the newest if left out
    #[arg(long, value_name = "INSPECTION")]
    pub inspection: Option<String>,
    /// What to print
    #[arg(long, value_name = "KIND", value_parser = report_kinds())]
    pub kind: &'static ReportKind,
    /// The minutes there are for the walk of a carry sheet; as long as it takes if left out
    #[arg(long, value_name = "MINUTES", value_parser = clap::value_parser!(u32).range(1..=1440))]
    pub minutes: Option<u32>,
    /// Where the required checks do not fit into the minutes, print only what fits, most risk first
    #[arg(long, requires = "minutes")]
    pub part: bool,
    /// The kind of inspection that a carry sheet is for, where none has been begun: ride, season, …
    #[arg(long, value_name = "KIND", conflicts_with = "inspection")]
    pub inspection_kind: Option<String>,
    /// Compare with this inspection, by its id or the beginning of it; the one before if left out
    #[arg(long, value_name = "INSPECTION")]
    pub against: Option<String>,
    /// The class exercise of a class report, by its id, its title, or the beginning of either; the newest if left out
    #[arg(long, value_name = "EXERCISE")]
    pub exercise: Option<String>,
    /// The paper
    #[arg(long, value_name = "PAPER", value_enum, default_value_t = PaperSize::A4)]
    pub paper: PaperSize,
    /// The PDF file to write, outside the garage; an older PDF that is there is replaced, nothing else
    #[arg(long, value_name = "FILE.pdf", required_unless_present_any = ["png", "text"])]
    pub out: Option<PathBuf>,
    /// The folder for one PNG picture a page, for listings that take only pictures; outside the garage, made if it is
    /// not there; older pictures of the same pages are replaced
    #[arg(long, value_name = "FOLDER")]
    pub png: Option<PathBuf>,
    /// Print the words as plain text, for a listing
    #[arg(long)]
    pub text: bool,
    /// Leave this out of the pages and of the record inside the file; reports for strangers leave all of it out
    #[arg(long, value_name = "WHAT", value_enum, value_delimiter = ',')]
    pub leave_out: Vec<LeaveOut>,
    /// Count minor findings instead of writing them out; the report says how many there are
    #[arg(long)]
    pub count_minors: bool,
    #[command(flatten)]
    #[allow(missing_docs, reason = "flattened arguments take their help from their own fields")]
    pub day: DayArgs,
}

/// The kinds of report as the table has them.
fn report_kinds() -> impl TypedValueParser<Value = &'static ReportKind> {
    let ids = KINDS.iter().map(|kind| PossibleValue::new(kind.id).help(kind.what));
    // The parser gives only ids of the table.
    PossibleValuesParser::new(ids).map(|id| kind(&id).unwrap_or(&KINDS[0]))
}

/// What a report leaves out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum LeaveOut {
    /// The identification number
    Vin,
    /// The registration
    Registration,
    /// The names of people
    People,
    /// The place of the inspection
    Place,
    /// All of these
    All,
    /// None of these
    None,
}

/// The arguments of `photo`.
#[derive(Debug, Args)]
pub struct PhotoArgs {
    /// What to do with photos
    #[command(subcommand)]
    pub what: PhotoCommand,
}

/// What can be done with photos.
#[derive(Debug, Subcommand)]
pub enum PhotoCommand {
    /// Add pictures to a machine or a finding, without place, serial number and owner
    Add(PhotoAddArgs),
    /// Write copies of a machine's photos, marks and blur boxes burnt in, to be handed on
    Copy(PhotoCopyArgs),
}

/// The arguments of `photo add`.
#[derive(Debug, Args)]
pub struct PhotoAddArgs {
    /// The garage: a folder with garage.ron in it
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    /// The machine by its id, its name, or the beginning of either
    #[arg(long, value_name = "MACHINE")]
    pub machine: String,
    /// The inspection of the finding; the newest if left out
    #[arg(long, value_name = "INSPECTION")]
    pub inspection: Option<String>,
    /// The finding by its id or the beginning of it; photos of the machine as a whole if left out
    #[arg(long, value_name = "FINDING")]
    pub finding: Option<String>,
    /// What the pictures show
    #[arg(long, value_name = "WORDS")]
    pub words: Option<String>,
    /// Keep the files byte for byte, with place, serial number and owner; what is printed is clean all the same
    #[arg(long)]
    pub keep_everything: bool,
    /// The pictures: JPEG, PNG or WebP
    #[arg(value_name = "FILE", required = true)]
    pub files: Vec<PathBuf>,
}

/// The arguments of `photo copy`.
#[derive(Debug, Args)]
pub struct PhotoCopyArgs {
    /// The garage: a folder with garage.ron in it
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    /// The machine by its id, its name, or the beginning of either
    #[arg(long, value_name = "MACHINE")]
    pub machine: String,
    /// The folder for the copies, outside the garage; it is made if it is not there, and copies of an earlier time are
    /// replaced
    #[arg(long, value_name = "FOLDER")]
    pub out: PathBuf,
}

/// The arguments of `verify`.
#[derive(Debug, Args)]
pub struct VerifyArgs {
    /// The report: a PDF file that Stemclock made
    #[arg(value_name = "FILE.pdf")]
    pub file: PathBuf,
    /// The SHA-256 that was sent to you another way, to compare with the record's
    #[arg(long, value_name = "HASH")]
    pub sha256: Option<String>,
    /// Take the machines of an intact report into this garage, as a history that is read and not changed
    #[arg(long, value_name = "FOLDER")]
    pub import: Option<PathBuf>,
}

/// The papers a report is printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PaperSize {
    /// 210 by 297 mm
    A4,
    /// 8.5 by 11 inches
    Letter,
}

/// Which machine and which of its inspections.
#[derive(Debug, Args)]
pub struct WhichArgs {
    /// The machine by its id, its name, or the beginning of either
    #[arg(long, value_name = "MACHINE")]
    pub machine: String,
    /// The inspection by its id or the beginning of it, as in 2026-03-14; the newest if left out
    #[arg(long, value_name = "INSPECTION")]
    pub inspection: Option<String>,
}

/// The day that counts as today.
#[derive(Debug, Args)]
pub struct DayArgs {
    /// Answer as on this day instead of today, as in 2026-11-25
    #[arg(long = "on", alias = "today", value_name = "DATE", value_parser = day::parse)]
    pub on: Option<NaiveDate>,
}

/// When a verdict makes the exit code 3.
#[derive(Debug, Args)]
pub struct FailArgs {
    /// Exit with 3 if a machine's verdict is this or worse
    #[arg(long, value_name = "VERDICT")]
    pub fail_on: Option<FailOn>,
}

/// The verdicts that `--fail-on` asks about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum FailOn {
    /// Do not ride
    DoNotRide,
    /// Do not ride, or not fit until repaired
    NotFit,
    /// Anything but fit to ride and fit with minor defects
    NotDecided,
}

impl FailOn {
    /// Whether a verdict is one of those asked about; a machine that nobody has looked at has none.
    pub fn holds(self, decision: Option<Decision>) -> bool {
        match self {
            Self::DoNotRide => decision == Some(Decision::DoNotRide),
            Self::NotFit => matches!(decision, Some(Decision::DoNotRide | Decision::NotFitUntilRepaired)),
            Self::NotDecided => !matches!(decision, Some(Decision::FitToRide | Decision::FitWithMinorDefects)),
        }
    }
}

/// A calculator that was asked for, with its arguments. The commands come from the table of calculators.
pub struct ReckonRequest {
    /// Which one.
    pub calculator: &'static Calculator,
    /// Its arguments.
    pub matches: ArgMatches,
    /// The day that counts as today, if one was given.
    pub on: Option<NaiveDate>,
}

impl std::fmt::Debug for ReckonRequest {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("ReckonRequest").field("calculator", &self.calculator.id).finish_non_exhaustive()
    }
}

impl FromArgMatches for ReckonRequest {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let asked = matches
            .subcommand()
            .and_then(|(id, matches)| CALCULATORS.iter().find(|c| c.id == id).map(|c| (c, matches)));
        let Some((calculator, matches)) = asked else {
            return Err(clap::Error::raw(
                clap::error::ErrorKind::MissingSubcommand,
                "expected the name of a calculator, found none: see stemclock reckon --help\n",
            ));
        };
        Ok(Self { calculator, matches: matches.clone(), on: matches.get_one::<NaiveDate>("on").copied() })
    }
    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

impl Args for ReckonRequest {
    fn augment_args(command: ClapCommand) -> ClapCommand {
        let on = Arg::new("on")
            .long("on")
            .alias("today")
            .value_name("DATE")
            .value_parser(day::parse)
            .global(true)
            .help("Answer as on this day instead of today, as in 2026-11-25");
        command
            .subcommand_required(true)
            .arg_required_else_help(true)
            .subcommand_value_name("WHAT")
            .subcommand_help_heading("Calculators")
            .arg(on)
            .subcommands(CALCULATORS.iter().map(Calculator::command))
    }
    fn augment_args_for_update(command: ClapCommand) -> ClapCommand {
        Self::augment_args(command)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        Cli::command().debug_assert();
    }

    #[test]
    fn fail_on_takes_the_verdict_named_and_the_worse_ones() {
        use Decision::{DoNotRide, FitToRide, FitWithMinorDefects, NotFitUntilRepaired, NotYetDecided};
        let every = [DoNotRide, NotFitUntilRepaired, NotYetDecided, FitWithMinorDefects, FitToRide];
        let held = |on: FailOn| every.into_iter().filter(|d| on.holds(Some(*d))).count();
        assert_eq!([FailOn::DoNotRide, FailOn::NotFit, FailOn::NotDecided].map(held), [1, 2, 3]);
        assert!(!FailOn::NotFit.holds(None) && FailOn::NotDecided.holds(None));
    }
}
