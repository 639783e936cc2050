//! What the reports say: the domain turned into blocks, one file a part of the page.
//!
//! ```text
//! kinds     the table of the kinds of report, and what each is made of
//! packet    everything a report was made from, as the text that travels inside it
//! redact    records without what the privacy switches leave out
//! seal      the last words: the attached record and its hash
//! verify    a report read back, laid out again from its record, and compared
//! options   the choices: what is left out for strangers, what is written short
//! sale      what a buyer wants to know; told and wear are parts of it
//! parts     the wear parts: fitted when, renewed when, how far still to go
//! due       what falls due, on the garage's sheet
//! told      what speaks against riding, as a stranger is told it: nothing grave can be left out
//! wear      what was measured, where the limit is, what is left
//! comparison  two inspections side by side
//! garage_sheet  every machine with where it stands
//! record    the inspection record, part by part
//! carry     the walk on paper, for a clipboard
//! class     a class on paper: the report of all, a sheet for each student
//! case      what every part needs: the inspection assessed as on its day
//! head      the machine, the conditions, the verdict and the plan
//! together  several faults of one area: what was proposed, what the owner answered
//! findings  each finding with its clock face, its words, its class and why
//! readings  what was measured, against which limit, by which source
//! checks    what was not checked, what was looked at and sound
//! history   what is open from earlier days, and what happened since
//! closing   cautions, and what this record is and is not
//! album     the photos of a report, each ready for its page
//! photos    photos with their words, or why they are not shown
//! sources   numbers for long sources, written out once at the end
//! surveys   readings round the wheel, drawn
//! words     dates, values and places in words
//! ```
//!
//! No part knows pages, fonts or files: photos come as bytes, the day and the moment as arguments.

mod album;
mod carry;
mod case;
mod checks;
mod class;
mod closing;
mod comparison;
mod due;
mod findings;
mod garage_sheet;
mod head;
mod history;
mod kinds;
mod options;
mod packet;
mod parts;
mod photos;
mod readings;
mod record;
mod redact;
mod repairs;
mod sale;
mod seal;
mod sources;
mod surveys;
mod together;
mod told;
mod unprinted;
mod verify;
mod wear;
mod words;

use crate::report::block::Ends;
pub use album::{Album, PHOTO_PIXELS, UNREAD, photos_of};
pub use class::{ClassInput, class_faces, class_report, student_sheet, student_sheets};
pub use head::decision_mark;
pub use kinds::{KINDS, Lacking, Make, ReportCx, ReportKind, Request, Takes, document, kind};
pub use options::{Options, Privacy};
pub use packet::{Held, NAME as RECORD_NAME, Packet, hash};
pub use record::{RecordInput, record};
pub use redact::LEFT_OUT;
pub use seal::grouped;
pub use verify::{Verification, Verified, VerifyError, verify, verify_within};

/// The foot of every page.
fn foot() -> Ends {
    Ends { left: "Not a statement of legal roadworthiness".into(), right: String::new() }
}

/// When a sheet was printed and by what, for its last lines.
fn printed(now: chrono::DateTime<chrono::FixedOffset>) -> [(&'static str, String); 2] {
    [
        ("Printed", format!("{} at {}", words::day(now.date_naive()), now.format("%H:%M %:z"))),
        ("Made with", format!("Stemclock {}, schema {}", env!("CARGO_PKG_VERSION"), crate::machine::SCHEMA)),
    ]
}
