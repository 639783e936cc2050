//! A report proves itself: read back, laid out again from its own record, and compared; and each way of changing it is
//! said with its page and words.

use std::path::Path;
use std::process::Command;

use lopdf::{Document, Object, Stream, dictionary};
use stemclock::catalogue::Catalogue;
use stemclock::garage::{Bay, Garage, GarageInfo};
use stemclock::inspection::{Closing, Event, EventId, EventKind, FindingId, Overrule, Severity};
use stemclock::report::block::Paper;
use stemclock::report::content::{
    self, Album, LEFT_OUT, Options, Privacy, RECORD_NAME, ReportCx, Request, Verified, VerifyError, document, kind,
    verify,
};
use stemclock::report::layout::lay_out;
use stemclock::report::pdf;

use crate::bench::{bay, date, finding, inspection, machine, measured, on, on_wheel};

fn jpeg() -> Vec<u8> {
    let mut jpeg = Vec::new();
    let picture = image::RgbImage::from_fn(900, 700, |x, y| image::Rgb([(x / 4) as u8, (y / 3) as u8, 120]));
    let picture = image::DynamicImage::ImageRgb8(picture);
    picture.write_to(&mut std::io::Cursor::new(&mut jpeg), image::ImageFormat::Jpeg).unwrap();
    jpeg
}

/// A machine with names and numbers in every place where a person may write them.
fn told() -> Bay {
    let mut m = machine();
    m.vin = Some("WZZ1234567X000042".into());
    m.registration = Some("AB12 CDE".into());
    let mut i = inspection();
    i.inspector = "Lena Öztürk".into();
    i.conditions.place = "Werkstatt am Fluß".into();
    i.note = "plate ab-12-cde is bent; Lena Öztürk has the papers, frame WZZ1234567X000042".into();
    measured(&mut i);
    let place = || on_wheel(stemclock::machine::WheelPosition::Front, stemclock::inspection::Zone::Centre, "4:30");
    let mut cut = finding("f1", on("tyre-look", stemclock::machine::WheelPosition::Front), "cut", place());
    cut.note = "seen by Lena Öztürk at the Werkstatt am Fluß".into();
    cut.photos = vec!["cut.jpg".into()];
    cut.overrule =
        Some(Overrule { severity: Severity::Dangerous, reason: "near the cords".into(), by: "Lena Öztürk".into() });
    let mistaken = finding("f2", on("tyre-look", stemclock::machine::WheelPosition::Front), "crack", place());
    i.findings = vec![cut, mistaken];
    let mut bay = bay(m, vec![i]);
    bay.events = vec![Event {
        schema: 1,
        id: EventId("e1".into()),
        date: date("2026-04-03"),
        by: "Lena Öztürk".into(),
        kind: EventKind::FindingClosed {
            inspection: bay.inspections[0].id.clone(),
            finding: FindingId("f2".into()),
            closing: Closing::Withdrawn { reason: "it was dirt".into() },
        },
    }];
    bay
}

fn garage() -> Garage {
    Garage {
        info: GarageInfo { name: "Lena's garage".into(), ..GarageInfo::default() },
        bays: vec![told()],
        ..Garage::default()
    }
}

/// A report's PDF with the privacy asked for.
fn report(id: &str, garage: &Garage, privacy: Privacy) -> Vec<u8> {
    let mut photos = Album::default();
    photos.add("cut.jpg", &jpeg(), &[]);
    report_with(id, garage, privacy, &photos)
}

fn report_with(id: &str, garage: &Garage, privacy: Privacy, photos: &Album) -> Vec<u8> {
    let now = chrono::DateTime::parse_from_rfc3339("2026-04-03T18:30:00+02:00").unwrap();
    let cx = ReportCx {
        garage,
        catalogue: Catalogue::builtin(),
        today: now.date_naive(),
        now,
        paper: Paper::A4,
        photos,
        options: Options { privacy, ..Options::default() },
    };
    let request = Request { kind: kind(id).unwrap(), cx, bay: garage.bays.first(), inspection: None, earlier: None };
    pdf::write(&lay_out(&document(&request).unwrap())).unwrap()
}

fn record(privacy: Privacy) -> Vec<u8> {
    report("record", &garage(), privacy)
}

/// The same file with something changed by another program.
fn changed(bytes: &[u8], change: impl FnOnce(&mut Document)) -> Vec<u8> {
    let mut document = Document::load_mem(bytes).unwrap();
    change(&mut document);
    let mut out = Vec::new();
    document.save_to(&mut out).unwrap();
    out
}

/// The same file with another record inside.
fn changed_record(bytes: &[u8], change: impl Fn(&str) -> String) -> Vec<u8> {
    changed(bytes, |document| {
        let ids: Vec<_> = document.objects.keys().copied().collect();
        for id in ids {
            let Ok(stream) = document.get_object_mut(id).and_then(Object::as_stream_mut) else { continue };
            if stream.dict.get(b"Type").and_then(Object::as_name).is_ok_and(|name| name == b"EmbeddedFile") {
                let text = String::from_utf8(stream.get_plain_content().unwrap()).unwrap();
                stream.set_plain_content(change(&text).into_bytes());
            }
        }
    })
}

fn first_page(document: &Document) -> lopdf::ObjectId {
    document.page_iter().next().unwrap()
}

fn differences(bytes: &[u8]) -> Vec<String> {
    let found = verify(bytes).unwrap();
    assert_eq!(found.verified == Verified::Intact, found.differences.is_empty());
    found.differences.iter().map(ToString::to_string).collect()
}

#[test]
fn a_report_as_it_was_saved_is_intact() {
    for privacy in [Privacy::NONE, Privacy::ALL] {
        let bytes = record(privacy);
        let found = verify(&bytes).unwrap();
        assert_eq!(differences(&bytes), Vec::<String>::new());
        assert_eq!(found.verified, Verified::Intact);
        assert!(found.notes.is_empty());
        assert_eq!(found.photos.len(), 1, "the photo comes out by its name");
        assert_eq!(record(privacy), bytes, "the same input gives the same bytes");
    }
}

#[test]
fn a_report_whose_photo_could_not_be_read_is_intact_and_gives_the_reason() {
    let mut broken = Album::default();
    broken.add("cut.jpg", &jpeg()[..400], &[]);
    let mut unread = Album::default();
    unread.put("cut.jpg", Err(content::UNREAD.to_owned()));
    for (photos, why) in [(Album::default(), "not in the"), (broken, "cut short"), (unread, "cannot be read")] {
        for id in ["record", "sale"] {
            let bytes = report_with(id, &garage(), Privacy::ALL, &photos);
            let folder = tempfile::tempdir().unwrap();
            let file = folder.path().join("sent.pdf");
            std::fs::write(&file, &bytes).unwrap();
            let pages = Command::new("pdftotext").arg(&file).arg("-").output().expect("pdftotext is installed").stdout;
            let pages = crate::bench::squeezed(&String::from_utf8_lossy(&pages));
            assert!(pages.contains(&crate::bench::squeezed(why)), "{id}: {why} is on no page");
            let found = verify(&bytes).unwrap();
            assert_eq!(found.verified, Verified::Intact, "{id}, {why}: {:?}", found.differences);
        }
    }
    // The reason cannot be put in the place of a photo that was sent: the page shows a photo, the record none.
    let sent = record(Privacy::NONE);
    let told = differences(&changed_record(&sent, |text| {
        let from = text.find(" photos: {\n").unwrap();
        format!("{} unshown: {{\n  \"cut.jpg\": \"it was lost\",\n }},\n)\n", &text[..from])
    }));
    assert!(told.iter().any(|t| t.starts_with("page ")), "{told:?}");
}

#[test]
fn saving_it_with_another_program_is_no_alteration() {
    // qpdf writes object streams and its own numbers; lopdf packs the streams anew.
    let bytes = record(Privacy::NONE);
    let packed = changed(&bytes, |document| {
        document.decompress();
        document.renumber_objects();
    });
    assert_eq!(differences(&packed), Vec::<String>::new());
    let folder = tempfile::tempdir().unwrap();
    let (from, to) = (folder.path().join("a.pdf"), folder.path().join("b.pdf"));
    std::fs::write(&from, &bytes).unwrap();
    let words = |path: &Path| path.to_str().unwrap().to_owned();
    let done = Command::new("qpdf")
        .args(["--object-streams=generate", "--linearize", &words(&from), &words(&to)])
        .status()
        .expect("qpdf is installed");
    assert!(done.success());
    assert_eq!(differences(&std::fs::read(&to).unwrap()), Vec::<String>::new());
}

#[test]
fn what_the_privacy_switches_leave_out_is_nowhere_in_the_file() {
    let open = verify(&record(Privacy::NONE)).unwrap();
    let text = open.packet.text().unwrap();
    for name in ["WZZ1234567X000042", "AB12 CDE", "Lena Öztürk", "Werkstatt am Fluß"] {
        assert!(text.contains(name), "{name} is in the record that leaves nothing out");
    }
    let bytes = record(Privacy::ALL);
    let found = verify(&bytes).unwrap();
    let text = found.packet.text().unwrap();
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("private.pdf");
    std::fs::write(&file, &bytes).unwrap();
    let pages = Command::new("pdftotext").arg(&file).arg("-").output().expect("pdftotext is installed").stdout;
    let info = Command::new("pdfinfo").arg(&file).output().expect("pdfinfo is installed").stdout;
    let unpacked = changed(&bytes, Document::decompress);
    let everything =
        [text.as_bytes(), &pages, &info, &unpacked].map(|bytes| String::from_utf8_lossy(bytes).to_lowercase());
    for all in &everything {
        for name in ["wzz1234567x000042", "ab12 cde", "ab-12-cde", "ab12cde", "öztürk", "lena", "am fluß"] {
            assert!(!all.contains(name), "{name} is still there");
        }
    }
    assert!(everything[0].contains(LEFT_OUT) && everything[1].contains(LEFT_OUT));
    // A finding withdrawn by a person whose name is left out stays withdrawn.
    assert_eq!(open.packet.machines[0].events.len(), found.packet.machines[0].events.len());
    assert!(!everything[1].contains("1 dangerous, 1 major"), "the crack was withdrawn");
}

#[test]
fn a_changed_word_on_a_page_is_named_with_its_page() {
    let bytes = changed(&record(Privacy::NONE), |document| {
        // Another size of tyre would be another number; here one run of glyphs is put in the place of another.
        let page = first_page(document);
        let content = document.get_page_content(page);
        let mut content = lopdf::content::Content::decode(&content).unwrap();
        let shows: Vec<usize> =
            content.operations.iter().enumerate().filter(|(_, o)| o.operator == "TJ").map(|(i, _)| i).collect();
        let taken = content.operations[shows[0]].operands.clone();
        content.operations[shows[4]].operands = taken;
        let id = document.get_page_contents(page)[0];
        let stream = document.get_object_mut(id).unwrap().as_stream_mut().unwrap();
        stream.set_plain_content(content.encode().unwrap());
    });
    let told = differences(&bytes);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].starts_with("page 1: says “Heron"), "{told:?}");
    assert!(told[0].contains("where the record gives “"), "{told:?}");
}

#[test]
fn what_is_laid_over_a_page_is_said() {
    let note = changed(&record(Privacy::NONE), |document| {
        let note = document.add_object(dictionary! {
            "Type" => "Annot", "Subtype" => "FreeText", "Rect" => vec![60.into(), 600.into(), 500.into(), 700.into()],
            "Contents" => Object::string_literal("Fit to ride"),
        });
        let page = first_page(document);
        document.get_dictionary_mut(page).unwrap().set("Annots", vec![note.into()]);
    });
    assert_eq!(differences(&note), ["page 1: something was laid over the page, or a link was changed"]);

    let white = changed(&record(Privacy::NONE), |document| {
        let page = first_page(document);
        document.add_page_contents(page, b"1 1 1 rg 60 500 400 200 re f".to_vec()).unwrap();
    });
    assert_eq!(differences(&white), ["page 1: lines, areas or colours differ from what the record gives"]);

    let turned = changed(&record(Privacy::NONE), |document| {
        let page = first_page(document);
        document.get_dictionary_mut(page).unwrap().set("Rotate", 180);
    });
    assert_eq!(differences(&turned), ["page 1: the page was turned"]);

    let action = changed(&record(Privacy::NONE), |document| {
        document.catalog_mut().unwrap().set("OpenAction", dictionary! { "S" => "JavaScript" });
    });
    assert_eq!(differences(&action), ["an action on opening was added"]);
}

#[test]
fn a_page_taken_out_or_put_in_is_said() {
    let bytes = record(Privacy::NONE);
    let pages = verify(&bytes).unwrap().pages;
    let shorter = changed(&bytes, |document| document.delete_pages(&[2]));
    let told = differences(&shorter);
    assert_eq!(told[0], format!("the file has {} pages, the record gives {pages}", pages - 1));
}

#[test]
fn a_changed_record_no_longer_gives_the_pages() {
    // Whoever makes a dangerous finding minor in the record must also lay out the pages anew; the pages say it.
    let bytes = changed_record(&record(Privacy::NONE), |text| {
        assert!(text.contains("severity: Dangerous"));
        text.replace("severity: Dangerous", "severity: Minor")
    });
    let told = differences(&bytes).join("\n");
    assert!(told.contains("page 1: says “Do not ride"), "{told}");
    let pages = verify(&bytes).unwrap().pages;
    assert!(told.contains(&format!("page {pages}:")), "the hash on the last page is another: {told}");
}

#[test]
fn a_photo_that_was_changed_is_named() {
    let bytes = changed(&record(Privacy::NONE), |document| {
        let ids: Vec<_> = document.objects.keys().copied().collect();
        for id in ids {
            let Ok(stream) = document.get_object_mut(id).and_then(Object::as_stream_mut) else { continue };
            if stream.filters().is_ok_and(|f| f == [b"DCTDecode"]) {
                let middle = stream.content.len() / 2;
                stream.content[middle] ^= 1;
            }
        }
    });
    let told = differences(&bytes).join("\n");
    assert!(told.contains("the photo cut.jpg is not the one that was recorded"), "{told}");
}

#[test]
fn a_second_file_beside_the_record_is_said_and_two_records_are_refused() {
    let with = |name: &str| {
        changed(&record(Privacy::NONE), |document| {
            let file = document.add_object(Stream::new(dictionary! { "Type" => "EmbeddedFile" }, b"more".to_vec()));
            let spec = document.add_object(dictionary! {
                "Type" => "Filespec", "F" => Object::string_literal(name),
                "EF" => dictionary! { "F" => file },
            });
            let catalog = document.catalog_mut().unwrap();
            let names = catalog.get_mut(b"Names").unwrap().as_dict_mut().unwrap();
            let files = names.get_mut(b"EmbeddedFiles").unwrap().as_dict_mut().unwrap();
            let list = files.get_mut(b"Names").unwrap().as_array_mut().unwrap();
            list.extend([Object::string_literal(name), spec.into()]);
        })
    };
    assert_eq!(differences(&with("other.txt")), ["the file “other.txt” was attached beside the record"]);
    let error = verify(&with(RECORD_NAME)).unwrap_err();
    assert!(matches!(error, VerifyError::SeveralRecords(2)), "{error}");
}

#[test]
fn what_is_no_report_is_refused_with_the_way_out() {
    let bytes = record(Privacy::NONE);
    let said = |bytes: &[u8]| verify(bytes).unwrap_err().to_string();
    assert!(said(b"").contains("expected a PDF file"));
    assert!(said(b"hello, I am no PDF").contains("expected a PDF file"));
    for cut in [20, 1000, bytes.len() / 2, bytes.len() - 40] {
        assert!(said(&bytes[..cut]).contains("damaged"), "cut at {cut}: {}", said(&bytes[..cut]));
    }
    let mut other = Document::with_version("1.4");
    let pages = other.add_object(dictionary! { "Type" => "Pages", "Count" => 0, "Kids" => Vec::<Object>::new() });
    let page = other.add_object(dictionary! { "Type" => "Page", "Parent" => pages });
    other.objects.insert(pages, dictionary! { "Type" => "Pages", "Count" => 1, "Kids" => vec![page.into()] }.into());
    let catalog = other.add_object(dictionary! { "Type" => "Catalog", "Pages" => pages });
    other.trailer.set("Root", catalog);
    let mut foreign = Vec::new();
    other.save_to(&mut foreign).unwrap();
    assert!(said(&foreign).contains("made by another program"), "{}", said(&foreign));
}

#[test]
fn a_part_that_unpacks_to_too_much_is_not_opened() {
    let bytes = changed(&record(Privacy::NONE), |document| {
        let ids: Vec<_> = document.objects.keys().copied().collect();
        for id in ids {
            let Ok(stream) = document.get_object_mut(id).and_then(Object::as_stream_mut) else { continue };
            if stream.dict.get(b"Type").and_then(Object::as_name).is_ok_and(|name| name == b"EmbeddedFile") {
                stream.set_plain_content(vec![b' '; 33 << 20]);
                stream.compress().unwrap();
            }
        }
    });
    assert!(bytes.len() < 1 << 20, "the bomb is small: {}", bytes.len());
    let said = verify(&bytes).unwrap_err().to_string();
    assert!(said.contains("unpacks to more than 32 MB"), "{said}");
}

#[test]
fn any_byte_changed_is_noticed_or_changes_nothing_that_is_shown() {
    // A damaged file gives a message or an answer, never a panic.
    let bytes = record(Privacy::NONE);
    for step in 0..40 {
        let mut damaged = bytes.clone();
        let at = step * bytes.len() / 40;
        damaged[at] = damaged[at].wrapping_add(7);
        if let Err(error) = verify(&damaged) {
            assert!(error.to_string().starts_with("expected") || error.to_string().starts_with("the pages"), "{error}");
        }
    }
}

#[test]
fn every_kind_that_carries_its_record_verifies() {
    let mut two = garage();
    let mut earlier = two.bays[0].inspections[0].clone();
    earlier.id.0 = "2025-04-03-season-0000".into();
    earlier.date = date("2025-04-03");
    earlier.findings.clear();
    two.bays[0].inspections.insert(0, earlier);
    for kind in content::KINDS.iter().filter(|kind| kind.carries_record) {
        for privacy in [Privacy::NONE, Privacy::ALL] {
            let bytes = report(kind.id, &two, privacy);
            let told = differences(&bytes);
            assert!(told.is_empty(), "{}: {told:?}", kind.id);
        }
    }
}
