//! A report that is verified and whose typefaces are not its own: taken out, exchanged for something else, or packed so
//! that they unpack to very much. A strange typeface is never set in letters; what is said is that it is another one.

use std::collections::BTreeSet;
use std::fs;

use lopdf::{Dictionary, Document, Object, ObjectId, Stream};

use crate::bench::{Done, MACHINE, PLAIN, run, sample, text};

/// A report of the sample garage as its parts.
fn report() -> Document {
    let (home, garage) = sample();
    let out = home.path().join("made.pdf");
    let arguments = ["report", text(&garage), "--machine", MACHINE, "--kind", "record", "--out", text(&out)];
    let done = run(&[&arguments[..], &["--on", "2026-11-25"]].concat());
    assert_eq!(done.code, 0, "{}", done.err);
    Document::load_mem(&fs::read(&out).unwrap()).unwrap()
}

/// Verifies what was made of a report.
fn verified(mut document: Document) -> Done {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("sent.pdf");
    document.save(&file).unwrap();
    run(&["verify", text(&file)])
}

/// Every dictionary that has a key, with its number.
fn holding(document: &Document, key: &[u8]) -> Vec<ObjectId> {
    let has = |object: &Object| object.as_dict().is_ok_and(|entries| entries.has(key));
    let found: Vec<ObjectId> = document.objects.iter().filter(|(_, object)| has(object)).map(|(id, _)| *id).collect();
    assert!(!found.is_empty(), "{}", String::from_utf8_lossy(key));
    found
}

/// A report without a key, wherever it stands.
fn without(report: &Document, key: &[u8]) -> Document {
    fn take(object: &mut Object, key: &[u8]) -> usize {
        match object {
            Object::Array(items) => items.iter_mut().map(|item| take(item, key)).sum(),
            Object::Dictionary(entries) => {
                let taken = usize::from(entries.remove(key).is_some());
                taken + entries.iter_mut().map(|(_, entry)| take(entry, key)).sum::<usize>()
            }
            _ => 0,
        }
    }
    let mut document = report.clone();
    let taken: usize = document.objects.values_mut().map(|object| take(object, key)).sum();
    assert!(taken > 0, "{}", String::from_utf8_lossy(key));
    document
}

/// The streams that a key leads to.
fn streams(document: &Document, key: &[u8]) -> BTreeSet<ObjectId> {
    let led_to = |id: &ObjectId| document.get_dictionary(*id).unwrap().get(key).unwrap().as_reference().unwrap();
    holding(document, key).iter().map(led_to).collect()
}

/// Puts other bytes in the place of each stream that a key leads to.
fn exchange(document: &mut Document, key: &[u8], bytes: &[u8]) {
    for id in streams(document, key) {
        let mut stream = Stream::new(Dictionary::new(), bytes.to_vec());
        stream.compress().unwrap();
        document.objects.insert(id, Object::Stream(stream));
    }
}

/// The file is told apart from the report that it was, in these words and within this memory beside the program's own.
fn altered(document: Document, words: &str, most_mib: u64) {
    let done = verified(document);
    assert_eq!(done.code, 3, "{} {}", done.out, done.err);
    assert!(done.out.contains("Altered") && done.out.contains(words), "\"{words}\" is not in {}", done.out);
    assert!(done.peak_mib <= PLAIN + most_mib, "it took {} MiB", done.peak_mib);
}

const OTHERS: &str = "the typefaces inside the file were changed";
/// What a comparison may take beside the program's own memory, in MiB: a quarter of what these typefaces unpack to.
const COMPARING: u64 = 8;

#[test]
fn a_report_saved_by_another_program_keeps_its_typefaces() {
    let done = verified(report());
    assert!(done.code == 0 && done.out.contains("Intact"), "{} {}", done.out, done.err);
}

#[test]
fn a_typeface_that_was_taken_out_is_told() {
    let report = report();
    altered(without(&report, b"FontFile2"), OTHERS, COMPARING);
    altered(without(&report, b"FontDescriptor"), OTHERS, COMPARING);
    // Without any, the words have no letters: they are told as other words.
    altered(without(&report, b"Font"), "where the record gives", COMPARING);
}

#[test]
fn a_typeface_that_is_none_is_told() {
    let report = report();
    for junk in [&b""[..], b"OTTO this is none"] {
        let mut document = report.clone();
        exchange(&mut document, b"FontFile2", junk);
        altered(document, OTHERS, COMPARING);
    }
    // One that cannot be unpacked.
    let mut document = report.clone();
    for id in streams(&document, b"FontFile2") {
        let stream = document.objects.get_mut(&id).unwrap().as_stream_mut().unwrap();
        stream.content.truncate(stream.content.len() / 2);
    }
    altered(document, OTHERS, COMPARING);
    // What says which letters are meant.
    let mut document = report;
    exchange(&mut document, b"ToUnicode", b"this maps nothing");
    altered(document, "where the record gives", COMPARING);
}

#[test]
fn a_typeface_that_unpacks_to_very_much_is_not_unpacked() {
    let report = report();
    // A little below what one part may unpack to, so that nothing else refuses it, and above.
    for (mib, key, words) in
        [(31, &b"FontFile2"[..], OTHERS), (40, b"FontFile2", OTHERS), (31, b"ToUnicode", "where the record gives")]
    {
        let mut document = report.clone();
        exchange(&mut document, key, &vec![b' '; mib << 20]);
        altered(document, words, COMPARING);
    }
}
