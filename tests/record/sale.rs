//! The sale sheet beside its findings: the lives of the wear parts and how far they may still go, photos by the clock,
//! what the privacy switches leave out of pages, words and attachment, and what a blur box hides.

use stemclock::catalogue::Catalogue;
use stemclock::clock::Side;
use stemclock::garage::{Bay, Garage, GarageInfo};
use stemclock::inspection::{
    Closing, Event, EventId, EventKind, Finding, FindingId, Fitting, InspectionId, PartRef, Value, Zone,
};
use stemclock::machine::WheelPosition;
use stemclock::photo::{At, PhotoMark, PhotoRef};
use stemclock::report::block::{BlockKind, DocumentSpec, Paper};
use stemclock::report::content::{
    Album, Options, Privacy, ReportCx, Request, Verified, document, kind, photos_of, verify,
};
use stemclock::report::layout::lay_out;
use stemclock::report::{pdf, raster, text};
use stemclock::units::{Distance, Length};

use crate::bench::{bay, date, finding, inspection, machine, on, on_wheel, says};

/// The sale sheet with the choices that it begins with.
fn sheet(garage: &Garage, photos: &Album, options: Options) -> DocumentSpec {
    let now = chrono::DateTime::parse_from_rfc3339("2026-04-05T09:10:00+02:00").unwrap();
    let cx = ReportCx {
        garage,
        catalogue: Catalogue::builtin(),
        today: now.date_naive(),
        now,
        paper: Paper::A4,
        photos,
        options,
    };
    let sale = kind("sale").unwrap();
    document(&Request { kind: sale, cx, bay: garage.bays.first(), inspection: None, earlier: None }).unwrap()
}

fn usual() -> Options {
    Options::of(kind("sale").unwrap())
}

fn garage(bay: Bay) -> Garage {
    Garage { info: GarageInfo::default(), bays: vec![bay], ..Garage::default() }
}

fn event(id: &str, day: &str, kind: EventKind) -> Event {
    Event { schema: 1, id: EventId(id.into()), date: date(day), by: "A. Person".into(), kind }
}

/// Pads that were renewed twice and read four times since: 4.5 mm new, then 0.5 mm less each 2000 km.
fn worn() -> Bay {
    let mut days = Vec::new();
    for (day, km, mm) in [
        ("2025-05-01", 22_000.0, 4.0),
        ("2025-08-01", 24_000.0, 3.5),
        ("2025-11-01", 26_000.0, 3.0),
        ("2026-04-03", 28_000.0, 2.5),
    ] {
        let mut i = inspection();
        i.id = InspectionId(format!("{day}-season-a1b2"));
        i.date = date(day);
        i.odometer = Some(Distance::km(km));
        let lining = i.answers.entry(on("brake-lining", WheelPosition::Front)).or_default();
        lining.readings.insert("thickness".into(), Value::Length(Length::mm(mm)));
        days.push(i);
    }
    let mut bay = bay(machine(), days);
    let fitted = |km: f64, what: &str| {
        let mut fitting = Fitting::new(PartRef::Lining(WheelPosition::Front, None));
        (fitting.odometer, fitting.what) = (Some(Distance::km(km)), what.into());
        fitting.measured = Some(Length::mm(4.5));
        EventKind::PartFitted(Box::new(fitting))
    };
    bay.events = vec![
        event("e1", "2023-06-10", fitted(9_000.0, "organic pads")),
        event("e2", "2025-03-01", fitted(20_000.0, "sintered pads")),
    ];
    bay
}

#[test]
fn the_lives_of_the_wear_parts_and_what_is_left_of_them_are_said_to_a_buyer() {
    let pages = lay_out(&sheet(&garage(worn()), &Album::default(), usual()));
    crate::bench::show("sale-parts", &pages);
    // In since 20 000 km and now at 28 000; the pads before ran from 9000 to 20 000.
    for words in [
        "Front pads or shoes",
        "1 March 2025 at 20 000 km",
        "sintered pads, new, 4.5 mm when fitted",
        "8000 km",
        "Those before them",
        "10 June 2023 at 9000 km",
        "11 000 km",
    ] {
        assert!(says(&pages, words), "{words} is not on the sheet");
    }
    // 0.25 mm in 1000 km: from 2.5 mm to 1.5 mm (older British manual, ordinary lining) are 4000 km.
    assert!(says(&pages, "4000 km to 1.5 mm, the usual limit"));
    assert!(says(&pages, "four times in five the true distance lies between the two figures"));
    assert!(says(&pages, "Rear tyre") && says(&pages, "not on record"), "a part without a life is said");
    assert!(says(&pages, "no reading of its wear on record"));
    assert!(says(&pages, "Lining, front, since it was fitted"), "its curve");
}

#[test]
fn readings_that_do_not_agree_are_said_to_a_buyer_without_the_owners_homework() {
    let mut bay = worn();
    bay.events.clear();
    let newest =
        bay.inspections.last_mut().unwrap().answers.get_mut(&on("brake-lining", WheelPosition::Front)).unwrap();
    newest.readings.insert("thickness".into(), Value::Length(Length::mm(4.4)));
    let pages = lay_out(&sheet(&garage(bay), &Album::default(), usual()));
    assert!(says(&pages, "not known: the readings do not agree; perhaps renewed, and not on record"));
    for task in ["record it", "measure again", "If a new part was fitted"] {
        assert!(!says(&pages, task), "the owner's task \"{task}\" is on the sheet");
    }
    // The newest reading stands in the table of wear, so it ends the curve.
    assert!(says(&pages, "over the odometer; the readings do not agree"));
    assert!(says(&pages, "4.4 mm"));
}

/// A picture with bars over its middle, as letters on a plate would be.
fn plate() -> Vec<u8> {
    let picture = image::RgbImage::from_fn(600, 400, |x, y| {
        let is_bar = (150..450).contains(&x) && (150..250).contains(&y) && (x / 10) % 2 == 0;
        if is_bar { image::Rgb([0, 0, 0]) } else { image::Rgb([230, 230, 230]) }
    });
    let mut jpeg = Vec::new();
    let picture = image::DynamicImage::ImageRgb8(picture);
    picture.write_to(&mut std::io::Cursor::new(&mut jpeg), image::ImageFormat::Jpeg).unwrap();
    jpeg
}

fn pictured(id: &str, time: &str, fault: &str) -> Finding {
    let place = on_wheel(WheelPosition::Front, Zone::Shoulder(Side::Right), time);
    let mut finding = finding(id, on("tyre-look", WheelPosition::Front), fault, place);
    finding.photos = vec![format!("{id}.jpg").as_str().into()];
    finding
}

/// The captions of the photos in order.
fn captions(spec: &DocumentSpec) -> Vec<String> {
    let galleries = spec.blocks.iter().filter_map(|block| match &block.kind {
        BlockKind::Gallery { pictures, .. } => Some(pictures),
        _ => None,
    });
    galleries.flatten().map(|(_, words)| words.iter().map(|s| s.text.as_str()).collect()).collect()
}

#[test]
fn photos_stand_in_the_order_of_the_clock_and_only_those_of_what_is_written_out() {
    let mut i = inspection();
    i.odometer = Some(Distance::km(12_345.0));
    i.findings = vec![
        pictured("late", "9:00", "cut"),
        pictured("early", "2:00", "cut"),
        pictured("fine", "4:00", "crack"),
        pictured("mistaken", "6:00", "cut"),
    ];
    let mut bay = bay(machine(), vec![i]);
    bay.events = vec![event(
        "e1",
        "2026-04-03",
        EventKind::FindingClosed {
            inspection: bay.inspections[0].id.clone(),
            finding: FindingId("mistaken".into()),
            closing: Closing::Withdrawn { reason: "it was dirt".into() },
        },
    )];
    let mut photos = Album::default();
    for name in photos_of(&bay).keys() {
        photos.add(name.as_str(), &plate(), &[]);
    }
    let garage = garage(bay);
    let at = |options: Options| -> Vec<String> {
        let all = captions(&sheet(&garage, &photos, options));
        all.iter().filter_map(|c| c.split(" · ").nth(1)).map(|c| c.split(' ').next().unwrap().to_owned()).collect()
    };
    assert_eq!(at(usual()), ["2:00", "4:00", "9:00"], "clockwise, without the one that was withdrawn");
    assert_eq!(at(Options { count_minors: true, ..usual() }), ["2:00", "9:00"], "a counted minor has no photo");
}

#[test]
fn what_is_left_out_for_strangers_is_left_out_of_words_pages_and_attachment_without_being_asked() {
    let mut bay = worn();
    bay.machine.vin = Some("WZZ1234567X000042".into());
    bay.machine.registration = Some("AB12 CDE".into());
    let last = bay.inspections.last_mut().unwrap();
    last.inspector = "Lena Öztürk".into();
    last.conditions.place = "Werkstatt am Fluß".into();
    last.note = "AB12CDE seen by Lena Öztürk".into();
    let mut cut = pictured("cut", "2:00", "cut");
    cut.note = "Lena Öztürk has the old tyre, frame WZZ1234567X000042".into();
    last.findings = vec![cut];
    let garage = Garage { info: GarageInfo { name: "Lena's".into(), ..GarageInfo::default() }, ..garage(bay) };
    let mut photos = Album::default();
    photos.add("cut.jpg", &plate(), &[]);
    let spec = sheet(&garage, &photos, usual());
    let pages = lay_out(&spec);
    let record = String::from_utf8(spec.attachments[0].bytes.clone()).unwrap();
    let shown: String = crate::bench::text_of(&pages);
    let bitmap = raster::page(&pages, 0, 0.5).unwrap().png().unwrap();
    let picture = String::from_utf8_lossy(&bitmap).into_owned();
    for (what, words) in [("plain text", text::plain(&spec)), ("pages", shown), ("record", record), ("PNG", picture)] {
        let words = words.to_lowercase();
        for name in ["wzz1234567x000042", "ab12", "öztürk", "lena", "am fluß", "amfluß", "a. person"] {
            assert!(!words.contains(name), "{name} is in the {what}");
        }
    }
    assert!(spec.author.is_empty());
    // With every switch off they are all there.
    let open = sheet(&garage, &photos, Options { privacy: Privacy::NONE, ..Options::default() });
    assert!(text::plain(&open).contains("Lena Öztürk") && text::plain(&open).contains("WZZ1234567X000042"));
}

#[test]
fn a_blur_box_is_filled_in_the_pictures_of_a_sheet_and_in_its_pages_as_pixels() {
    let blur = PhotoMark::Blur { corner: At::of(0.2, 0.3), across: At::of(0.8, 0.7) };
    let mut bay = worn();
    bay.machine.photos = vec![PhotoRef { marks: vec![blur], ..PhotoRef::from("tail.jpg") }];
    // The same photo stands at a finding without the box: what is hidden once is hidden everywhere.
    let mut cut = pictured("tail", "2:00", "cut");
    cut.note.clear();
    bay.inspections.last_mut().unwrap().findings = vec![cut];
    let mut photos = Album::default();
    for (name, marks) in photos_of(&bay) {
        photos.add(name, &plate(), &marks);
    }
    let spec = sheet(&garage(bay), &photos, usual());
    let bytes = pdf::write(&lay_out(&spec)).unwrap();
    let found = verify(&bytes).unwrap();
    assert_eq!(found.verified, Verified::Intact, "{:?}", found.differences);
    assert!(!found.photos.is_empty());
    for (name, jpeg) in &found.photos {
        let picture = image::load_from_memory(jpeg).unwrap().to_luma8();
        let (w, h) = picture.dimensions();
        let inside = |x: u32, y: u32| picture.get_pixel(w / 4 + x * w / 200, h * 2 / 5 + y * h / 100).0[0];
        let values: Vec<u8> = (0..100).flat_map(|x| (0..20).map(move |y| (x, y))).map(|(x, y)| inside(x, y)).collect();
        let (least, most) = (values.iter().min().unwrap(), values.iter().max().unwrap());
        // The bars are black on near white; one flat colour is left, but for what the JPEG adds.
        assert!(most - least < 12, "{name}: {least} to {most} inside the box");
    }
}

#[test]
fn papers_keys_and_recalls_are_asked_before_buying_and_before_selling() {
    let catalogue = Catalogue::builtin();
    for id in ["purchase", "sale"] {
        let kind = catalogue.kind(id).unwrap();
        let asked = catalogue.checks_for(&machine(), kind);
        for check in ["recall", "keys", "vin-papers", "number-plate"] {
            assert!(asked.iter().any(|(r, _)| r.check == check), "{check} is not asked in {id}");
        }
    }
}

#[test]
fn remarks_that_no_page_prints_do_not_travel_with_it() {
    let mut bay = worn();
    let last = bay.inspections.last_mut().unwrap();
    last.note = "Ask at the farm before you sell".into();
    let check = last.answers.keys().next().unwrap().clone();
    last.answers.get_mut(&check).unwrap().note = "borrowed the gauge".into();
    bay.inspections[0].note = "bought for far too little".into();
    let garage = garage(bay);
    let spec = sheet(&garage, &Album::default(), usual());
    let found = verify(&pdf::write(&lay_out(&spec)).unwrap()).unwrap();
    assert_eq!(found.verified, Verified::Intact, "{:?}", found.differences);
    let (record, printed) = (found.packet.text().unwrap(), text::plain(&spec));
    let printed = printed.split_whitespace().collect::<Vec<_>>().join(" ");
    for remark in ["Ask at the farm before you sell", "borrowed the gauge", "bought for far too little"] {
        assert_eq!(record.contains(remark), printed.contains(remark), "{remark}");
    }
    assert!(!printed.contains("borrowed the gauge"), "else this test says nothing");
}
