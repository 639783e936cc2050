//! What a record says of other records and of the catalogue: every id must point somewhere. Must not touch files.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::layout;
use super::validate::Sheet;
use crate::catalogue::{Catalogue, Check, Field, FieldKind};
use crate::garage::{Bay, GarageInfo};
use crate::history::OdometerLog;
use crate::history::odometer::{Doubt, Source};
use crate::inspection::{CheckRef, Finding, Inspection, Place, Subject, Value};
use crate::machine::{Machine, RimKind};
use crate::photo::PhotoRef;
use crate::units::{Dimension, Distance, find_unit};

/// The units of the garage.
pub(super) fn units(sheet: &mut Sheet<'_>, path: &str, info: &GarageInfo) {
    fn known<D: Dimension>(_: fn() -> crate::units::Quantity<D>, symbol: &str) -> Option<String> {
        let symbols: Vec<&str> = D::UNITS.iter().map(|u| u.symbol).collect();
        find_unit(D::UNITS, symbol).is_none().then(|| symbols.join(", "))
    }
    let u = &info.units;
    for (field, symbol, expected) in [
        ("pressure", &u.pressure, known(|| crate::units::Pressure::kpa(0.0), &u.pressure)),
        ("depth", &u.depth, known(|| crate::units::Length::mm(0.0), &u.depth)),
        ("length", &u.length, known(|| crate::units::Length::mm(0.0), &u.length)),
        ("distance", &u.distance, known(|| Distance::km(0.0), &u.distance)),
        ("temperature", &u.temperature, known(|| crate::units::Temperature::celsius(0.0), &u.temperature)),
        ("torque", &u.torque, known(|| crate::units::Torque::newton_metres(0.0), &u.torque)),
        ("speed", &u.speed, known(|| crate::units::Speed::kmh(0.0), &u.speed)),
        ("mass", &u.mass, known(|| crate::units::Mass::kg(0.0), &u.mass)),
    ] {
        if let Some(expected) = expected {
            let message = format!("expected a unit of {field} ({expected}), found \"{symbol}\": write one of these");
            sheet.note(path, &format!("\"{symbol}\""), message);
        }
    }
}

pub(super) fn to_come(sheet: &mut Sheet<'_>, path: &str, what: &str, day: NaiveDate, today: NaiveDate) {
    if day > today {
        let message = format!("expected {what} on or before today ({today}), found {day}: correct the day");
        sheet.note(path, &day.to_string(), message);
    }
}

/// A machine: its region, its days, its spokes.
pub(super) fn machine(sheet: &mut Sheet<'_>, folder: &str, m: &Machine, catalogue: &Catalogue, today: NaiveDate) {
    let path = format!("{folder}/machine.ron");
    if catalogue.region_or_wider(&m.region).is_none() && !sheet.has_unread(layout::REGIONS, catalogue) {
        let known: Vec<&str> = catalogue.regions.iter().map(|r| r.id.as_str()).collect();
        let message = format!(
            "expected a region ({}), found \"{}\": write one of these, or add it to the folder regions",
            known.join(", "),
            m.region
        );
        sheet.note(&path, &format!("\"{}\"", m.region), message);
    }
    if let Some(both) = m.built_without.intersection(&m.fitted_with).next() {
        let message = format!(
            "expected a part in one of the two lists, found {} both in built_without, which counts, and in fitted_with: take it out of one",
            both.word()
        );
        sheet.note(&path, "built_without", message);
    }
    if let Some(day) = m.first_use {
        to_come(sheet, &path, "the day of first use", day, today);
    }
    photos(sheet, folder, &path, m, &m.photos);
    for wheel in &m.wheels {
        if let RimKind::WireSpoked { spokes, .. } = wheel.rim.kind
            && let Err(e) = crate::clock::SpokeCount::new(u32::from(spokes))
        {
            sheet.note(&path, &format!("spokes: {spokes}"), e.to_string());
        }
        if let Some(day) = wheel.tyre.as_ref().and_then(|t| t.fitted_on) {
            to_come(sheet, &path, "the day a tyre was mounted", day, today);
        }
    }
}

/// An inspection: its kind, its day, its answers and its findings.
pub(super) fn inspection(
    sheet: &mut Sheet<'_>,
    folder: &str,
    m: &Machine,
    i: &Inspection,
    catalogue: &Catalogue,
    today: NaiveDate,
) {
    let path = format!("{folder}/inspections/{}.ron", i.id);
    to_come(sheet, &path, "the day of the inspection", i.date, today);
    contents(sheet, folder, &path, m, i, catalogue);
}

/// What an inspection says, wherever its record lies.
pub(super) fn contents(
    sheet: &mut Sheet<'_>,
    folder: &str,
    path: &str,
    m: &Machine,
    i: &Inspection,
    catalogue: &Catalogue,
) {
    if catalogue.kind(&i.kind).is_none() && !sheet.has_unread(layout::KINDS, catalogue) {
        let known: Vec<&str> = catalogue.kinds.iter().map(|k| k.id.as_str()).collect();
        let message =
            format!("expected a kind of inspection ({}), found \"{}\": write one of these", known.join(", "), i.kind);
        sheet.note(path, &format!("\"{}\"", i.kind), message);
    }
    for (reference, answer) in &i.answers {
        let Some(check) = known_check(sheet, path, m, reference, catalogue) else { continue };
        for (id, value) in &answer.readings {
            reading(sheet, path, check, reference, id, value);
        }
    }
    for reference in i.overrules.keys().chain(&i.asks) {
        known_check(sheet, path, m, reference, catalogue);
    }
    let mut ids = BTreeSet::new();
    for finding in &i.findings {
        if !ids.insert(&finding.id) {
            let message =
                format!("expected each finding once, found {} twice: give one of them another id", finding.id);
            sheet.note(path, &format!("\"{}\"", finding.id), message);
        }
        self::finding(sheet, folder, path, m, finding, catalogue);
    }
}

pub(super) fn known_check<'a>(
    sheet: &mut Sheet<'_>,
    path: &str,
    m: &Machine,
    reference: &CheckRef,
    catalogue: &'a Catalogue,
) -> Option<&'a Check> {
    let needle = format!("\"{reference}\"");
    let Some(check) = catalogue.check(&reference.check) else {
        if sheet.has_unread(layout::KINDS, catalogue) {
            return None;
        }
        let message = format!(
            "expected a check of the catalogue, found \"{}\": correct the id; the answer is kept until then",
            reference.check
        );
        sheet.note(path, &needle, message);
        return None;
    };
    let there = match reference.subject {
        Subject::Machine => true,
        Subject::Wheel(w) => m.wheel(w).is_some(),
        Subject::Disc(w, side) => m.wheel(w).is_some_and(|w| w.disc_sides().contains(&side)),
        Subject::Fluid(kind) => m.fluid(kind).is_some(),
    };
    if !there || !check.on.subjects(m).contains(&reference.subject) {
        let part = reference.subject.words();
        let part = if part.is_empty() { "the machine as a whole".to_owned() } else { part };
        let message = format!(
            "expected a part of this machine that \"{}\" is made on, found {part}: correct the part, or the machine's data",
            check.title
        );
        sheet.note(path, &needle, message);
    }
    Some(check)
}

fn reading(sheet: &mut Sheet<'_>, path: &str, check: &Check, reference: &CheckRef, id: &str, value: &Value) {
    let Some(field) = check.field(id) else {
        let known: Vec<&str> = check.fields.iter().map(|f| f.id.as_str()).collect();
        let message = format!(
            "expected a reading of {reference} ({}), found \"{id}\": correct the name",
            if known.is_empty() { "it has none".into() } else { known.join(", ") }
        );
        return sheet.note(path, &format!("\"{id}\":"), message);
    };
    if let Some(message) = unfit(field, reference, value) {
        sheet.note(path, &format!("\"{id}\":"), message);
    }
}

/// Why a value is not one that the field takes.
fn unfit(field: &Field, reference: &CheckRef, value: &Value) -> Option<String> {
    if let (FieldKind::Choice(choices), Value::Choice(id)) = (&field.kind, value) {
        let known: Vec<&str> = choices.iter().map(|c| c.id.as_str()).collect();
        return (!known.contains(&id.as_str())).then(|| {
            format!(
                "expected a choice of \"{}\" of {reference} ({}), found \"{id}\": write one of these",
                field.id,
                known.join(", ")
            )
        });
    }
    (!field.kind.takes(value)).then(|| {
        let kind = format!("{:?}", field.kind);
        let kind = kind.split('(').next().unwrap_or("value").to_lowercase();
        format!(
            "expected a value of the kind {kind} for \"{}\" of {reference}, found another kind: write it as the field asks",
            field.id
        )
    })
}

fn finding(sheet: &mut Sheet<'_>, folder: &str, path: &str, m: &Machine, f: &Finding, catalogue: &Catalogue) {
    let needle = format!("\"{}\"", f.id);
    if let Some(check) = known_check(sheet, path, m, &f.check, catalogue)
        && check.fault(&f.fault).is_none()
    {
        let known: Vec<&str> = check.faults.iter().map(|f| f.id.as_str()).collect();
        let message = format!(
            "expected a fault of {} ({}), found \"{}\": write one of these",
            f.check,
            known.join(", "),
            f.fault
        );
        sheet.note(path, &format!("\"{}\"", f.fault), message);
    }
    if let Place::Wheel { position, zone, .. } = &f.place {
        match m.wheel(*position) {
            None => {
                let message = format!(
                    "expected a wheel of this machine ({}), found {}: correct the place",
                    m.layout.positions().iter().map(|p| p.word()).collect::<Vec<_>>().join(", "),
                    position.word()
                );
                sheet.note(path, &needle, message);
            }
            Some(wheel) => {
                let spoked = matches!(wheel.rim.kind, RimKind::WireSpoked { .. });
                let lacking = match zone {
                    crate::inspection::Zone::Spoke => !spoked,
                    crate::inspection::Zone::Disc(side) => !wheel.disc_sides().contains(side),
                    _ => false,
                };
                if lacking {
                    let message =
                        format!("expected a zone that this wheel has, found {}: correct the place", zone.words());
                    sheet.note(path, &needle, message);
                }
            }
        }
    }
    photos(sheet, folder, path, m, &f.photos);
}

/// Photos that are named and are not there, or that do not open.
fn photos(sheet: &mut Sheet<'_>, folder: &str, path: &str, m: &Machine, photos: &[PhotoRef]) {
    for photo in photos.iter().map(|photo| &photo.file) {
        let relative = format!("{folder}/photos/{photo}");
        let is_there = layout::name("a photo name", photo).is_ok() && sheet.has(&relative);
        if !is_there {
            let message = format!(
                "expected the photo \"{photo}\" in {folder}/photos, found none: put it there, or take the name out"
            );
            sheet.note(path, &format!("\"{photo}\""), message);
        } else if let Some(why) = sheet.wrong_with_photo(&m.id, photo) {
            sheet.whole(&relative, why);
        }
    }
}

/// What the odometer log says of its readings that somebody has to put right.
pub(super) fn odometer(sheet: &mut Sheet<'_>, folder: &str, bay: &Bay, today: NaiveDate) {
    for note in OdometerLog::of(bay, today).problems() {
        // A day to come is said of its record already.
        if note.doubt == Doubt::ToCome {
            continue;
        }
        let path = match &note.source {
            Source::Inspection(id) => format!("{folder}/inspections/{id}.ron"),
            Source::Event(id) => format!("{folder}/events/{id}.ron"),
        };
        sheet.note(&path, &note.shown.to_string(), note.message.clone());
    }
}
