//! Every limit on what comes from a stranger, each with the reason for its number. DEVELOPERS.md shows this table; a
//! test holds the two together. Other rooms name a limit; none has one of its own.

/// One limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limit {
    /// What is limited.
    pub what: &'static str,
    /// The most that is taken.
    pub most: u64,
    /// What is counted.
    pub unit: &'static str,
    /// Why this number.
    pub why: &'static str,
}

impl Limit {
    const fn of(what: &'static str, most: u64, unit: &'static str, why: &'static str) -> Self {
        Self { what, most, unit, why }
    }
    /// The limit as a size in memory.
    pub const fn size(&self) -> usize {
        self.most as usize
    }
}

const MIB: u64 = 1 << 20;

/// A file of one record.
pub const RECORD_BYTES: Limit =
    Limit::of("a record's file", 8 * MIB, "bytes", "A hundred checks with surveys of two wheels are about 100 KiB.");
/// Values in a file of one record.
pub const RECORD_VALUES: Limit = Limit::of(
    "values in a record",
    200_000,
    "values",
    "The same inspection holds about 5 000; a value may take forty times its text in memory.",
);
/// How deep RON text may nest.
pub const DEPTH: Limit =
    Limit::of("brackets within brackets in a record", 64, "levels", "The deepest record has about 12.");
/// Characters of words that may run over several lines.
pub const TEXT_CHARS: Limit = Limit::of(
    "a note, or other words of several lines",
    20_000,
    "characters",
    "Five closely written pages; the longest of the catalogue has 301.",
);
/// Characters of words on one line.
pub const LINE_CHARS: Limit = Limit::of(
    "a name, or other words on one line",
    5_000,
    "characters",
    "A name has 30, but a path that a report quotes may have 4 096.",
);
/// Entries in one folder.
pub const FOLDER_ENTRIES: Limit = Limit::of(
    "entries of one folder",
    100_000,
    "entries",
    "A school of 500 machines has 500 folders, and a machine in ten years of daily looks 3 650 files.",
);
/// Findings of one machine, with the looks at them.
pub const MACHINE_FINDINGS: Limit = Limit::of(
    "findings of one machine and later looks at them",
    10_000,
    "findings",
    "One a day for 27 years. Which of them are one defect takes comparing each with the others.",
);
/// Inspections or events of one machine.
pub const MACHINE_RECORDS: Limit = Limit::of(
    "inspections, or events, of one machine",
    10_000,
    "records",
    "One a day for 27 years. What an event takes back or closes is searched among the others.",
);
/// All records of a garage.
pub const GARAGE_BYTES: Limit = Limit::of(
    "all records of a garage",
    1024 * MIB,
    "bytes",
    "A school with 20 000 inspections and two million readings has less than a quarter of it.",
);
/// A name that becomes a part of a path.
pub const NAME_BYTES: Limit =
    Limit::of("an id or a file name", 120, "bytes", "Every system takes 255 bytes; half is left for endings.");
/// A photo's file.
pub const PHOTO_BYTES: Limit = Limit::of("a photo's file", 32 * MIB, "bytes", "What phones give is 3 to 15 MiB.");
/// A photo's pixels.
pub const PHOTO_PIXELS: Limit = Limit::of(
    "a photo's pixels",
    50_000_000,
    "pixels",
    "The largest that phones of 2026 give; at three bytes a pixel 150 MB.",
);
/// A photo's pixels as bytes.
pub const PHOTO_DECODED: Limit =
    Limit::of("a photo's decoded pixels", 256 * MIB, "bytes", "Deep colours at the most pixels would be more.");
/// A photo's longer side.
pub const PHOTO_SIDE: Limit = Limit::of(
    "a photo's longer side",
    32_000,
    "pixels",
    "A panorama has less; the graphics of old machines end there.",
);
/// A students' pack as it is sent.
pub const PACK_BYTES: Limit =
    Limit::of("a students' pack", 16 * MIB, "bytes", "A pack holds no photos: some ten files of text.");
/// A students' pack unpacked.
pub const PACK_UNPACKED: Limit =
    Limit::of("a students' pack unpacked", 64 * MIB, "bytes", "Eight records of the greatest size.");
/// Files in a students' pack.
pub const PACK_FILES: Limit = Limit::of(
    "files in a students' pack",
    200,
    "files",
    "One machine, one exercise, and a garage's own kinds and regions.",
);
/// A PDF that is read back.
pub const PDF_BYTES: Limit = Limit::of(
    "a PDF to verify",
    64 * MIB,
    "bytes",
    "Five times a report of forty pages with sixty photos, which may weigh 12 MB.",
);
/// What one part of a PDF may unpack to.
pub const PDF_PART: Limit = Limit::of("one part of a PDF unpacked", 32 * MIB, "bytes", "No smaller than the record.");
/// What the objects of a PDF may weigh in memory.
pub const PDF_OBJECTS: Limit = Limit::of(
    "all objects of a PDF in memory",
    256 * MIB,
    "bytes",
    "Four times the largest file; the same bytes read again and again for other objects would be more.",
);
/// Objects packed together in one stream: their count times the stream's length.
pub const PDF_PACKED: Limit = Limit::of(
    "objects packed together, times the length of their stream",
    16 * MIB,
    "bytes",
    "Programs pack a hundred small objects together; each could be read to the end of the stream.",
);
/// What one page of a PDF may unpack to.
pub const PDF_PAGE: Limit =
    Limit::of("one page of a PDF unpacked", 4 * MIB, "bytes", "A page of a report with drawings has about 300 KiB.");
/// Pages of a PDF.
pub const PDF_PAGES: Limit = Limit::of("pages of a PDF", 5_000, "pages", "A garage of 500 machines at ten pages each.");
/// Letters of a report that is laid out, whoever asked for it.
pub const PAGES_LETTERS: Limit = Limit::of(
    "letters of a report's pages",
    2_000_000,
    "letters",
    "Seven hundred pages full of words; each letter takes some 150 bytes until the PDF is written.",
);
/// How far objects of a PDF are followed into each other.
pub const PDF_DEPTH: Limit =
    Limit::of("objects within objects of a PDF", 24, "levels", "A report's own go to about ten.");
/// Typefaces of one page of a PDF.
pub const PDF_FONTS: Limit =
    Limit::of("typefaces of a page whose letters are read", 16, "typefaces", "A report has three.");
/// What the list of a typeface's letters may unpack to.
pub const PDF_FONT_LETTERS: Limit =
    Limit::of("the letters of a typeface unpacked", MIB, "bytes", "A report's have about 20 KiB.");
/// Bookmarks of a PDF.
pub const PDF_BOOKMARKS: Limit = Limit::of(
    "bookmarks of a PDF that are compared",
    100_000,
    "bookmarks",
    "Twenty on each of the most pages; a list that runs in a circle ends there.",
);
/// Files attached to a PDF.
pub const PDF_ATTACHED: Limit = Limit::of("files attached to a PDF", 64, "files", "A report carries one.");
/// The record inside a report.
pub const PDF_RECORD: Limit =
    Limit::of("the record inside a report", 32 * MIB, "bytes", "A hundred times the largest of the sample garage.");
/// Values of the record inside a report.
pub const PDF_VALUES: Limit = Limit::of(
    "values of the record inside a report",
    1_000_000,
    "values",
    "A machine with 200 inspections of 5 000 values.",
);
/// How long a PDF may take to be read.
pub const PDF_SECONDS: Limit =
    Limit::of("reading a PDF", 60, "seconds", "A report takes less than one; files made to be slow take hours.");
/// What is said of one thing in a file.
pub const MESSAGE: Limit = Limit::of(
    "what is said of one thing that is wrong",
    2_000,
    "characters",
    "It quotes what stands there, which may be the whole file; beginning and end are kept.",
);
/// The program's own files, such as its settings.
pub const OWN_BYTES: Limit =
    Limit::of("the program's own files", MIB, "bytes", "Settings and walks under way are a few KiB.");
/// The answers that the program keeps of one garage.
pub const KEPT_BYTES: Limit =
    Limit::of("the kept answers of a garage", 64 * MIB, "bytes", "500 machines have 2 MiB; more is worked out anew.");

/// Every limit.
pub const LIMITS: &[Limit] = &[
    RECORD_BYTES,
    RECORD_VALUES,
    DEPTH,
    TEXT_CHARS,
    LINE_CHARS,
    FOLDER_ENTRIES,
    MACHINE_FINDINGS,
    MACHINE_RECORDS,
    GARAGE_BYTES,
    NAME_BYTES,
    PHOTO_BYTES,
    PHOTO_PIXELS,
    PHOTO_DECODED,
    PHOTO_SIDE,
    PACK_BYTES,
    PACK_UNPACKED,
    PACK_FILES,
    PDF_BYTES,
    PDF_PART,
    PDF_OBJECTS,
    PDF_PACKED,
    PDF_PAGE,
    PDF_PAGES,
    PAGES_LETTERS,
    PDF_DEPTH,
    PDF_FONTS,
    PDF_FONT_LETTERS,
    PDF_BOOKMARKS,
    PDF_ATTACHED,
    PDF_RECORD,
    PDF_VALUES,
    PDF_SECONDS,
    MESSAGE,
    OWN_BYTES,
    KEPT_BYTES,
];
