//! The sheets beside the record: what a sale sheet can never leave out, what a comparison compares, what the garage's
//! sheet says of each machine.

use stemclock::catalogue::Catalogue;
use stemclock::clock::Side;
use stemclock::garage::{Bay, Garage, GarageInfo};
use stemclock::inspection::{CheckRef, Finding, InspectionId, Overrule, Severity, Subject, Value, Zone};
use stemclock::machine::{Fluid, FluidKind, FluidState, Layout, Machine, MachineId, Stance, WheelPosition};
use stemclock::report::block::Paper;
use stemclock::report::content::{self, Album, Options, Privacy, ReportCx, Request, Takes, document, kind, photos_of};
use stemclock::report::layout::{Layout as Pages, lay_out};
use stemclock::store;
use stemclock::units::{Distance, Length, Pressure};

use crate::bench::{bay, date, finding, inspection, machine, measured, on, on_wheel, says, show};

fn pages(id: &str, garage: &Garage, options: Options) -> Pages {
    let photos = Album::default();
    let now = chrono::DateTime::parse_from_rfc3339("2026-04-05T09:10:00+02:00").unwrap();
    let cx = ReportCx {
        garage,
        catalogue: Catalogue::builtin(),
        today: now.date_naive(),
        now,
        paper: Paper::A4,
        photos: &photos,
        options,
    };
    let request = Request { kind: kind(id).unwrap(), cx, bay: garage.bays.first(), inspection: None, earlier: None };
    lay_out(&document(&request).unwrap())
}

fn garage(bays: Vec<Bay>) -> Garage {
    Garage { info: GarageInfo::default(), bays, ..Garage::default() }
}

/// One finding of each class on the front tyre, by the catalogue: cord showing is dangerous (item 5.2.3 d), a serious
/// cut major (5.2.3 d), fine cracks minor (common practice).
fn graded() -> Vec<Finding> {
    let at = |time| on_wheel(WheelPosition::Front, Zone::Shoulder(Side::Right), time);
    let check = || on("tyre-look", WheelPosition::Front);
    let mut all = vec![
        finding("f-cord", check(), "cord", at("2:00")),
        finding("f-cut", check(), "cut", at("4:00")),
        finding("f-cracks", check(), "crack", at("6:00")),
    ];
    for (finding, note) in all.iter_mut().zip(["note-cord", "note-cut", "note-cracks"]) {
        finding.note = note.into();
    }
    all
}

fn for_sale(findings: Vec<Finding>) -> Garage {
    let mut i = inspection();
    i.odometer = Some(Distance::km(12_345.0));
    measured(&mut i);
    i.findings = findings;
    garage(vec![bay(machine(), vec![i])])
}

#[test]
fn a_sale_sheet_never_leaves_out_what_is_dangerous_or_major() {
    let garage = for_sale(graded());
    // Every choice there is, both ways.
    for count_minors in [false, true] {
        for privacy in [Privacy::NONE, Privacy::ALL] {
            let sheet = pages("sale", &garage, Options { count_minors, privacy, ..Options::default() });
            show(&format!("sale-{count_minors}-{}", privacy.vin), &sheet);
            for words in ["note-cord", "note-cut", "Do not ride", "12 345 km", "3 April 2026"] {
                assert!(says(&sheet, words), "{words} is not on the sheet");
            }
            assert_eq!(says(&sheet, "note-cracks"), !count_minors);
            assert_eq!(says(&sheet, "2 minor findings are not written out here"), count_minors);
            assert!(says(&sheet, "What nobody has looked at is not sound; it is unknown."));
            assert!(says(&sheet, "not a statement of legal roadworthiness"));
            assert!(says(&sheet, "not asked in this inspection, so unknown") || says(&sheet, "not yet checked"));
        }
    }
}

#[test]
fn a_seller_who_lowers_a_class_does_not_hide_the_finding() {
    let mut findings = graded();
    findings.remove(0);
    findings[0].overrule =
        Some(Overrule { severity: Severity::Minor, reason: "it is shallow".into(), by: "the seller".into() });
    let sheet = pages("sale", &for_sale(findings), Options { count_minors: true, ..Options::default() });
    assert!(says(&sheet, "note-cut") && says(&sheet, "set to minor by the seller: it is shallow"));
    assert!(says(&sheet, "2 minor findings are not written out here"));
}

#[test]
fn wear_is_said_as_what_is_left() {
    let mut i = inspection();
    measured(&mut i);
    let lining = i.answers.entry(on("brake-lining", WheelPosition::Front)).or_default();
    lining.readings.insert("thickness".into(), Value::Length(Length::mm(2.5)));
    let sheet = pages("sale", &garage(vec![bay(machine(), vec![i])]), Options::default());
    // 2.5 mm of lining against 1.5 mm of common practice leave 1.0 mm; the tread of 2.0 mm against 1.0 mm in Great
    // Britain (SI 1986/1078 regulation 27) leaves 1.0 mm.
    assert!(says(&sheet, "1.0 mm left before the limit"));
    assert!(says(&sheet, "Not measured, so unknown:") && says(&sheet, "Tread depth, rear"));
}

fn two_days() -> Garage {
    let mut early = inspection();
    early.id = InspectionId("2025-09-01-season-e5f6a7b8".into());
    early.date = date("2025-09-01");
    early.odometer = Some(Distance::km(10_000.0));
    let mut late = inspection();
    late.odometer = Some(Distance::km(13_400.0));
    for (i, psi, mm) in [(&mut early, 36.0, 4.2), (&mut late, 33.5, 3.6)] {
        let pressure = i.answers.entry(on("tyre-pressure", WheelPosition::Front)).or_default();
        pressure.readings.insert("cold".into(), Value::Pressure(Pressure::psi(psi)));
        let lining = i.answers.entry(on("brake-lining", WheelPosition::Front)).or_default();
        lining.readings.insert("thickness".into(), Value::Length(Length::mm(mm)));
        let flashes = i.answers.entry(CheckRef::new("indicators", Subject::Machine)).or_default();
        flashes.readings.insert("rate".into(), Value::Number(psi));
    }
    let at = |time| on_wheel(WheelPosition::Rear, Zone::Centre, time);
    let check = || on("tyre-look", WheelPosition::Rear);
    let mut grown = finding("f-1", check(), "cut", at("4:30"));
    grown.size = Some(Length::mm(10.0));
    early.findings = vec![grown.clone(), finding("f-2", check(), "bulge", at("9:00"))];
    grown.id.0 = "f-3".into();
    grown.place = at("4:45");
    grown.size = Some(Length::mm(14.0));
    late.findings = vec![grown, finding("f-4", check(), "cut", at("10:30"))];
    garage(vec![bay(machine(), vec![early, late])])
}

#[test]
fn a_comparison_says_what_is_new_what_stayed_and_what_changed() {
    let sheet = pages("comparison", &two_days(), Options::default());
    show("comparison", &sheet);
    let text = crate::bench::text_of(&sheet);
    let part = |from: &str, to: &str| {
        let (from, to) = (crate::bench::squeezed(from), crate::bench::squeezed(to));
        let start = text.find(&from).unwrap_or_else(|| unreachable!("{from} is not on the sheet"));
        text[start..].split(&to).next().unwrap().to_owned()
    };
    assert!(part("New", "Seen on both days").contains("10:30fromtheright"));
    assert!(part("Seen on both days", "Found on the earlier").contains("10mmthen,14mmnow"));
    assert!(part("Found on the earlier day only", "Readings on both").contains("stillopen"));
    // From 1 September 2025 to 3 April 2026 are 214 days.
    assert!(says(&sheet, "Between them lie 214 days and 3400 km"));
    // 36.0 psi to 33.5 psi in bar, one psi being 0.0689476 bar: 2.48 to 2.31, a fall of 0.17.
    assert!(says(&sheet, "−0.17 bar") && says(&sheet, "−0.60 mm"));
    assert!(says(&sheet, "Indicators: Flashes a minute"), "a bare number says what it counts");
}

/// What stands on a sheet between two titles, without blanks.
fn between(sheet: &Pages, from: &str, to: &str) -> String {
    let text = crate::bench::text_of(sheet);
    let (from, to) = (crate::bench::squeezed(from), crate::bench::squeezed(to));
    let start = text.find(&from).unwrap_or_else(|| unreachable!("{from} is not on the sheet"));
    text[start..].split(&to).next().unwrap().to_owned()
}

#[test]
fn a_comparison_pairs_each_defect_once_by_what_lies_nearest_together() {
    let mut garage = two_days();
    let cut = |id: &str, time: &str| {
        finding(
            id,
            on("tyre-look", WheelPosition::Rear),
            "cut",
            on_wheel(WheelPosition::Rear, Zone::Shoulder(Side::Right), time),
        )
    };
    let days = &mut garage.bays[0].inspections;
    // Two cuts then, a quarter of an hour apart, and three now, all within half an hour of both. Nearest together are
    // 4:30 with 4:28 (two minutes) and 4:45 with 4:40 (five), so that at 4:52 is new.
    days[0].findings = vec![cut("then-a", "4:30"), cut("then-b", "4:45")];
    days[1].findings = vec![cut("now-b", "4:40"), cut("now-a", "4:28"), cut("now-c", "4:52")];
    let sheet = pages("comparison", &garage, Options::default());
    show("comparison-pairs", &sheet);
    let new = between(&sheet, "New", "Seen on both days");
    assert!(new.contains("·4:52fromtheright"), "{new}");
    assert_eq!(new.matches("fromthe").count(), 1, "one of the three is new: {new}");
    let both = between(&sheet, "Seen on both days", "Readings on both");
    assert_eq!(both.matches("Cut").count() + both.matches("cut").count(), 2, "{both}");
    assert!(!says(&sheet, "Found on the earlier day only"));
}

#[test]
fn a_comparison_takes_a_persons_word_and_the_second_looks_for_what_they_are() {
    use stemclock::inspection::{Event, EventId, EventKind, FindingId, FindingRef, Revisit, Seen};
    let mut garage = two_days();
    let bay = &mut garage.bays[0];
    let of = |i: &stemclock::inspection::Inspection, id: &str| FindingRef {
        inspection: i.id.clone(),
        finding: FindingId(id.into()),
    };
    // A person said that the cut at 10:30 is the bulge of 9:00, seen again; the cut of 4:30 was looked at again.
    let said = EventKind::SameDefect { earlier: of(&bay.inspections[0], "f-2"), later: of(&bay.inspections[1], "f-4") };
    bay.events.push(Event {
        schema: 1,
        id: EventId("e1".into()),
        date: date("2026-04-03"),
        by: String::new(),
        kind: said,
    });
    bay.inspections[1].findings.remove(0);
    let size = Some(Length::mm(12.0));
    let look = Revisit { seen: Seen::Grown, size, note: "opens under the thumb".into() };
    bay.inspections[1].carried.insert(FindingId("f-1".into()), look);
    let sheet = pages("comparison", &garage, Options::default());
    let both = between(&sheet, "Seen on both days", "Readings on both");
    assert!(both.contains("then:Bulge") || both.contains("then:bulge"), "{both}");
    assert!(both.contains("Stillthereandgrown:10mmthen,12mmnow.opensunderthethumb"), "{both}");
    assert!(!says(&sheet, "not closed on record"));
    let gone = Revisit { seen: Seen::Gone, ..Revisit::default() };
    garage.bays[0].inspections[1].carried.insert(FindingId("f-1".into()), gone);
    let sheet = pages("comparison", &garage, Options::default());
    let gone = between(&sheet, "Found on the earlier day only", "Readings on both");
    assert!(gone.contains("Nolongertobeseen"), "{gone}");
}

#[test]
fn a_comparison_without_an_earlier_inspection_says_what_it_needs() {
    let garage = for_sale(Vec::new());
    let photos = Album::default();
    let now = chrono::DateTime::parse_from_rfc3339("2026-04-05T09:10:00+02:00").unwrap();
    let cx = ReportCx {
        garage: &garage,
        catalogue: Catalogue::builtin(),
        today: now.date_naive(),
        now,
        paper: Paper::A4,
        photos: &photos,
        options: Options::default(),
    };
    let request =
        Request { kind: kind("comparison").unwrap(), cx, bay: garage.bays.first(), inspection: None, earlier: None };
    let error = document(&request).unwrap_err().to_string();
    assert!(error.contains("a comparison needs two"), "{error}");
    let error = document(&Request { bay: None, ..request }).unwrap_err().to_string();
    assert!(error.contains("expected a machine"), "{error}");
}

#[test]
fn the_garage_sheet_names_every_machine() {
    let mut garage = two_days();
    garage.bays[0].machine.fluids = vec![Fluid {
        kind: FluidKind::FrontBrakeFluid,
        grade: "DOT 4".into(),
        stance: Stance::Upright,
        state: FluidState::Any,
        changed_on: Some(date("2024-03-10")),
    }];
    garage.bays.push(Bay::new(Machine::new(MachineId("new-1".into()), "Newcomer", Layout::Solo)));
    let mut away = Machine::new(MachineId("old-1".into()), "Old one", Layout::Solo);
    away.archived = true;
    garage.bays.push(Bay::new(away));
    let sheet = pages("garage", &garage, Options::default());
    show("garage", &sheet);
    for words in ["Heron", "do not ride", "nobody has gone over it", "Newcomer", "Put away", "Old one.", "13 400 km"] {
        assert!(says(&sheet, words), "{words}");
    }
    // Brake fluid is changed every two years, common practice: from 10 March 2024 until 10 March 2026.
    let due = between(&sheet, "What falls due", "About this sheet");
    assert!(due.contains("Overduesince10March2026HeronChangethefrontbrakefluid"), "{due}");
}

#[test]
fn every_kind_of_every_machine_of_the_sample_garage_is_laid_out() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("garage");
    store::copy_sample(&path).unwrap();
    let opened = store::open(&path).unwrap();
    let now = chrono::DateTime::parse_from_rfc3339("2026-11-25T10:00:00+01:00").unwrap();
    for kind in content::KINDS {
        let bays: Vec<Option<&Bay>> = match kind.make.needs_machine() {
            true => opened.garage.bays.iter().map(Some).collect(),
            false => vec![None],
        };
        for bay in bays {
            let mut photos = Album::default();
            if let Some(bay) = bay {
                for (name, marks) in photos_of(bay) {
                    photos.add(&name, &store::photo_bytes(&path, &bay.machine.id, &name).unwrap(), &marks);
                }
            }
            let cx = ReportCx {
                garage: &opened.garage,
                catalogue: &opened.catalogue,
                today: now.date_naive(),
                now,
                paper: Paper::A4,
                photos: &photos,
                options: Options::of(kind),
            };
            let request = Request { kind, cx, bay, inspection: None, earlier: None };
            let pages = lay_out(&document(&request).unwrap());
            let of = bay.map_or_else(String::new, |b| format!("-{}", b.machine.id));
            show(&format!("sheet-{}{of}", kind.id), &pages);
            assert!(pages.missing.is_empty(), "{}{of}: {:?}", kind.id, pages.missing);
            assert!(says(&pages, "not a statement of legal roadworthiness"), "{}{of}", kind.id);
            assert!(says(&pages, "Made with"), "{}{of}", kind.id);
            if kind.is_private && kind.takes.contains(&Takes::Privacy) {
                assert!(!says(&pages, "M. Fenwick"), "{}{of}", kind.id);
            }
        }
    }
}
