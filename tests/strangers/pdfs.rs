//! A PDF from a stranger that is verified: parts that unpack without end, lists that lead back into themselves, very many
//! of a thing, and reports whose record was made to cost.

use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::time::Duration;

use stemclock::guard::limits::{PDF_ATTACHED, PDF_PAGES, PDF_SECONDS, TEXT_CHARS};
use stemclock::report::content::{Packet, VerifyError, verify_within};
use stemclock::report::pdf::read::{LONGEST, ReadError};

use crate::bench::{MACHINE, PLAIN, gigabyte, refused, run, sample, text};
use crate::plain_pdf::pdf;

fn object(words: &str) -> Vec<u8> {
    words.as_bytes().to_vec()
}

fn stream(entries: &str, packed: &[u8]) -> Vec<u8> {
    let head = format!("<< {entries} /Filter /FlateDecode /Length {} >>\nstream\n", packed.len());
    [head.as_bytes(), packed, b"\nendstream"].concat()
}

/// Bytes packed by zlib (RFC 1950). A PNG of one line is packed the same way, so the picture library's is used.
fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default().compression_method(zip::CompressionMethod::Deflated);
    writer.start_file("x", options).unwrap();
    writer.write_all(bytes).unwrap();
    let whole = writer.finish().unwrap().into_inner();
    // A local head is 30 bytes and the name; the packed bytes end before the central head (APPNOTE 4.3.7, 4.3.12).
    let end = whole.windows(4).rposition(|w| w == b"PK\x01\x02").unwrap();
    let deflated = &whole[31..end];
    let (mut a, mut b) = (1_u32, 0_u32);
    for byte in bytes {
        a = (a + u32::from(*byte)) % 65_521;
        b = (b + a) % 65_521;
    }
    [&[0x78, 0x9c][..], deflated, &(b << 16 | a).to_be_bytes()].concat()
}

const PAGES: &str = "<< /Type /Pages /Kids [3 0 R] /Count 1 >>";
const PAGE: &str = "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] >>";

fn with_names(names: &str, more: Vec<Vec<u8>>) -> Vec<u8> {
    let catalog = format!("<< /Type /Catalog /Pages 2 0 R /Names << /EmbeddedFiles {names} >> >>");
    pdf(&[vec![object(&catalog), object(PAGES), object(PAGE)], more].concat())
}

/// Verifying a file is refused in these words.
fn no_report(bytes: &[u8], words: &[&str], most_mib: u64) {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("sent.pdf");
    fs::write(&file, bytes).unwrap();
    refused(&["verify", text(&file)], words, most_mib);
}

#[test]
fn a_part_that_unpacks_without_end_is_refused() {
    let bomb = packed(&vec![b' '; 40 << 20]);
    let spec = "<< /Type /Filespec /UF (stemclock-record.ron) /EF << /F 5 0 R >> >>";
    let file = with_names("<< /Names [(a) 4 0 R] >>", vec![object(spec), stream("/Type /EmbeddedFile", &bomb)]);
    no_report(&file, &["unpacks to more than 32 MB", "fill the memory"], 160);
    // The same bomb under other names is not unpacked at all.
    let spec = "<< /Type /Filespec /UF (other.txt) /EF << /F 5 0 R >> >>";
    let names = format!("<< /Names [{}] >>", "(a) 4 0 R ".repeat(PDF_ATTACHED.size()));
    let file = with_names(&names, vec![object(spec), stream("/Type /EmbeddedFile", &bomb)]);
    no_report(&file, &["a PDF without one"], 32);
    let names = format!("<< /Names [{}] >>", "(a) 4 0 R ".repeat(PDF_ATTACHED.size() + 1));
    let file = with_names(&names, vec![object(spec), stream("/Type /EmbeddedFile", &bomb)]);
    no_report(&file, &["at most 64 attached files"], 32);
    // Objects packed together.
    let many = packed(&vec![b'7'; 40 << 20]);
    let file = with_names("<< >>", vec![stream("/Type /ObjStm /N 1 /First 4", &many)]);
    no_report(&file, &["fill the memory"], 160);
    // One large object that a hundred thousand numbers lead to.
    let index: String = (10..100_010).map(|n| format!("{n} 0 ")).collect();
    let body = format!("{index}[{}]", "1 ".repeat(500_000));
    let entries = format!("/Type /ObjStm /N 100000 /First {}", index.len());
    let file = with_names("<< >>", vec![stream(&entries, &packed(body.as_bytes()))]);
    no_report(&file, &["fill the memory"], 160);
}

#[test]
fn lists_that_lead_back_into_themselves_end() {
    // Sixteen levels of ten branches that are all the same would be ten to the sixteenth.
    let kids = |to: usize| object(&format!("<< /Kids [{}] >>", format!("{to} 0 R ").repeat(10)));
    let more: Vec<Vec<u8>> = (5..25).map(kids).collect();
    no_report(&with_names("4 0 R", more), &["a PDF without one"], 16);
    let ring = with_names("4 0 R", vec![object("<< /Kids [4 0 R 4 0 R] >>")]);
    no_report(&ring, &["a PDF without one"], 16);
    let file = pdf(&[
        object("<< /Type /Catalog /Pages 2 0 R >>"),
        object("<< /Type /Pages /Kids [2 0 R 2 0 R 3 0 R] /Count 9 /Parent 2 0 R >>"),
        object(PAGE),
    ]);
    no_report(&file, &["expected"], 16);
    let text_of = String::from_utf8_lossy(&file).replace("/Root", "/Prev 0 /Root");
    no_report(text_of.as_bytes(), &["expected"], 16);
}

#[test]
fn very_many_pages_and_very_deep_brackets_are_refused() {
    let kids = "3 0 R ".repeat(PDF_PAGES.size() + 10);
    let pages = format!("<< /Type /Pages /Kids [{kids}] /Count {} >>", PDF_PAGES.size() + 10);
    let file = pdf(&[object("<< /Type /Catalog /Pages 2 0 R >>"), object(&pages), object(PAGE)]);
    no_report(&file, &["expected"], 32);
    for (open, close) in [("[", "]"), ("<< /A ", " >>"), ("(", ")")] {
        let deep = format!("{}{}", open.repeat(200_000), close.repeat(200_000));
        let file = pdf(&[object("<< /Type /Catalog /Pages 2 0 R >>"), object(PAGES), object(PAGE), object(&deep)]);
        no_report(&file, &["expected"], 64);
    }
}

/// A report on an inspection of the sample, read back.
fn sent(home: &Path, garage: &Path) -> Packet {
    let out = home.join("sent.pdf");
    let arguments = ["report", text(garage), "--machine", MACHINE, "--kind", "record", "--out", text(&out)];
    let done = run(&[&arguments[..], &["--on", "2026-11-25"]].concat());
    assert_eq!(done.code, 0, "{}", done.err);
    stemclock::report::content::verify(&fs::read(&out).unwrap()).unwrap().packet
}

/// A PDF of one empty page with this record inside.
fn with_record(record: &str) -> Vec<u8> {
    let spec = "<< /Type /Filespec /UF (stemclock-record.ron) /EF << /F 5 0 R >> >>";
    let embedded = stream("/Type /EmbeddedFile", &packed(record.as_bytes()));
    with_names("<< /Names [(a) 4 0 R] >>", vec![object(spec), embedded])
}

/// Verifying a file finds pages that are not those of its record, and that is all.
fn altered(bytes: &[u8], most_mib: u64) {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("sent.pdf");
    fs::write(&file, bytes).unwrap();
    let done = run(&["verify", text(&file)]);
    assert!(done.code == 3 && done.out.contains("Altered"), "{} {}", done.out, done.err);
    assert!(done.peak_mib <= PLAIN + most_mib, "{} MiB", done.peak_mib);
}

#[test]
fn words_without_end_in_the_record_of_a_report_are_refused() {
    let (home, garage) = sample();
    let packet = sent(home.path(), &garage);
    let inspection = packet.inspection.clone().unwrap();
    let record = |note: &str, remarks: usize, remark: &str| {
        let mut changed = packet.clone();
        let held = changed.machines[0].inspections.iter_mut().find(|i| i.id == inspection).unwrap();
        held.note = note.to_owned();
        let first = held.findings[0].clone();
        held.findings.extend((0..remarks).map(|n| {
            let id = stemclock::inspection::FindingId(format!("f-more-{n:04}"));
            stemclock::inspection::Finding { id, note: remark.to_owned(), ..first.clone() }
        }));
        with_record(&changed.text().unwrap())
    };
    let of = |unit: &str, bytes: usize| unit.repeat(bytes / unit.len());
    // A PDF of 11 KB once took 1 GB to verify, and one of 15 KB the whole memory.
    for bytes in [TEXT_CHARS.size() + 1, 500_000, 2_000_000] {
        no_report(&record(&of("w", bytes), 0, ""), &["at most 20000 characters", "shorten it"], 64);
        no_report(&record(&of("w ", bytes + 1), 0, ""), &["at most 20000 characters", "shorten it"], 64);
    }
    let long_name =
        with_record(&packet.text().unwrap().replacen("name: \"", &format!("name: \"{}", of("n", 3_000_000)), 1));
    no_report(&long_name, &["at most 5000 characters"], 96);
    // The longest note, as words, as one word, as lines without anything else.
    for unit in ["w ", "w", "w\n", "\n"] {
        altered(&record(&of(unit, TEXT_CHARS.size()), 0, ""), 64);
    }
    // Many of the longest: nearly as many as are laid out, and as many as the record holds.
    for unit in ["words ", "i\n"] {
        let few = home.path().join("few.pdf");
        fs::write(&few, record("", 60, &of(unit, TEXT_CHARS.size()))).unwrap();
        let done = run(&["verify", text(&few)]);
        assert!(matches!(done.code, 1 | 3), "{unit:?}: {} {}", done.out, done.err);
        assert!(done.peak_mib <= PLAIN + 400, "{unit:?}: {} MiB", done.peak_mib);
    }
    for (unit, mib) in [("words ", 31), ("w", 8)] {
        let many = record("", (mib << 20) / TEXT_CHARS.size(), &of(unit, TEXT_CHARS.size()));
        no_report(&many, &["at most 5000 pages and 2000000 letters", "choose less of it"], 400);
    }
}

#[test]
fn a_file_made_to_be_slow_ends_at_its_limit() {
    // So many numbers lead to one list without an end. It is read anew for each, and thrown away.
    const NUMBERS: usize = 4_000;
    let list = format!("[{}", "1 ".repeat(100_000));
    let file = pdf(&[object("<< /Type /Catalog /Pages 2 0 R >>"), object(PAGES), object(PAGE), object(&list)]);
    let file = String::from_utf8(file).unwrap();
    let (before, after) = file.split_once("trailer").unwrap();
    let entry = &before[before.len() - 20..];
    assert!(entry.ends_with(" 00000 n \n"), "{entry}");
    let before = before.replacen("xref\n0 5\n", &format!("xref\n0 {}\n", 5 + NUMBERS), 1);
    let after = after.replacen("/Size 5", &format!("/Size {}", 5 + NUMBERS), 1);
    let slow = format!("{before}{}trailer{after}", entry.repeat(NUMBERS));
    // The limit of the table is a minute; a fifth of a second is as good here, where the file takes many seconds.
    let most = Duration::from_millis(200);
    let refused = verify_within(slow.as_bytes(), most).unwrap_err();
    assert!(matches!(refused, VerifyError::Read(ReadError::TooSlow(after)) if after == most), "{refused}");
    assert!(refused.to_string().contains("takes longer than 0.2 s to be read"), "{refused}");
    assert_eq!(LONGEST, Duration::from_secs(PDF_SECONDS.most));
    let words = ReadError::TooSlow(LONGEST).to_string();
    assert!(words.contains("takes longer than 60 s to be read: it is not opened"), "{words}");
}

#[test]
fn a_report_whose_record_was_made_to_cost_is_refused() {
    let (home, garage) = sample();
    let record = sent(home.path(), &garage).text().unwrap();
    // As it is: the pages are not those of the record, and that is all.
    altered(&with_record(&record), 32);
    let at = record.find("(id:\"f-").or_else(|| record.find("id: \"f-")).unwrap();
    let from = record[..at].rfind('(').unwrap_or(at).min(at);
    let from = if record[at..].starts_with('(') { at } else { from };
    let end = from + record[from..].find("photos").unwrap();
    let end = end + record[end..].find(')').unwrap() + 1;
    let finding = format!("{},", &record[from..end]);
    let many = format!("{}{}{}", &record[..from], finding.repeat(20_000), &record[from..]);
    no_report(&with_record(&many), &["at most 10000 findings"], 256);
    no_report(&with_record(&format!("{}{}", "[".repeat(100_000), "]".repeat(100_000))), &["text that is none"], 32);
    let marks = format!("photos: [{}]", "\"\",".repeat(2_000_000));
    no_report(&with_record(&record.replacen("photos: []", &marks, 1)), &["at most 1000000 values"], 400);
}

#[test]
fn a_file_of_a_gigabyte_or_of_nothing_is_refused() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("sent.pdf");
    gigabyte(&file);
    refused(&["verify", text(&file)], &["at most 64 MiB"], 16);
    no_report(b"", &["expected a PDF file"], 16);
    no_report(b"%PDF-1.7", &["damaged"], 16);
    let zeros = [b"%PDF-1.7\n".to_vec(), vec![0; 60 << 20]].concat();
    no_report(&zeros, &["expected"], 200);
}
