//! Each finding: where it is, drawn and in words, its class and by whose rule, its size, note and photos.

use super::case::RecordCase;
use super::photos;
use super::words::{capital, side_of};
use crate::drawing::clock_face::{self, ClockFace, FaceMark};
use crate::drawing::notch::{self, Mark};
use crate::drawing::shape::{Anchor, Drawing, Ink, pt};
use crate::inspection::{Finding, Place, Severity, marker_words_in};
use crate::report::block::{Block, BlockKind, KeyValue, Picture, Span};
use crate::rules::Judgement;

/// Width of the small clock face, in points.
const FACE: f32 = 96.0;

pub(super) fn blocks(case: &RecordCase<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::heading(2, "Findings")];
    let numbered = case.numbered();
    if numbered.is_empty() {
        blocks.push(Block::paragraph(
            "No finding was recorded. What a reading shows outside its limit stands among the readings.",
        ));
    }
    for (number, finding) in numbered {
        let mut photos = photos::blocks(case.input, finding);
        let beside = photos.drain(..photos.len().min(1)).collect();
        blocks.push(one(case, number, finding, beside));
        blocks.extend(photos);
    }
    blocks
}

/// One finding; its first photo stands beside the words, so that the two are never parted.
fn one(case: &RecordCase<'_>, number: usize, finding: &Finding, photo: Vec<Block>) -> Block {
    let class = case.class_of(&finding.id);
    let mut blocks = vec![
        Block::heading(3, title(case, number, finding)),
        Block::spans(vec![Span::text(place(case, finding)).ink(Ink::Line)]),
    ];
    let mut pairs = vec![pair("Class", vec![Span::text(class.word()).strong(), Span::text(sources(case, finding))])];
    if let Some(words) = overruling(case, finding, class) {
        pairs.push(pair("Overruled", vec![Span::text(words)]));
    }
    if let Some(size) = finding.size {
        pairs.push(pair("Size", vec![Span::text(super::words::size(size, case.input.units))]));
    }
    if !finding.note.trim().is_empty() {
        pairs.push(pair("Note", vec![Span::text(finding.note.trim())]));
    }
    let check = case.result_of(finding).map_or_else(|| finding.check.to_string(), |r| r.title.clone());
    pairs.push(pair("Check", vec![Span::text(check)]));
    // A sentence that only repeats the class beside the fault is left out.
    let plain = format!("{}: {}.", what(case, finding), class.word());
    for judgement in case.judgements_of(&finding.id).filter(|j| j.sentence != plain || j.limit.is_some()) {
        pairs.push(pair("Why", judged(judgement)));
    }
    if let Some(closed) = super::history::closed_words(case.input.bay, &finding.id) {
        pairs.push(pair("Closed", vec![Span::text(closed)]));
    }
    blocks.push(Block::from(BlockKind::KeyValues { pairs, two_up: false }));
    blocks.extend(photo);
    Block::side_by_side(Picture::Drawing(picture(case, number, finding, class)), blocks)
}

/// The heading of a finding, to which other places lead: `2. Serious cut`.
pub(super) fn title(case: &RecordCase<'_>, number: usize, finding: &Finding) -> String {
    format!("{number}. {}", what(case, finding))
}

fn pair(label: &str, value: Vec<Span>) -> KeyValue {
    KeyValue { label: label.into(), value }
}

/// What was seen: `Serious cut`.
pub(super) fn what(case: &RecordCase<'_>, finding: &Finding) -> String {
    capital(case.input.catalogue.fault_words(finding))
}

/// Where it is, in words.
pub(super) fn place(case: &RecordCase<'_>, finding: &Finding) -> String {
    match &finding.place {
        Place::Wheel { position, zone, spot } => case.machine().wheel(*position).map_or_else(
            || format!("{}, a wheel that the machine's data no longer have", position.word()),
            |wheel| marker_words_in(wheel, *zone, *spot, side_of(*zone), case.input.units),
        ),
        Place::Part { station, part } if part.trim().is_empty() => station.word().to_owned(),
        Place::Part { station, part } => format!("{} · {}", station.word(), part.trim()),
    }
}

/// The sources that grade the finding, as an addition to its class.
fn sources(case: &RecordCase<'_>, finding: &Finding) -> String {
    let mut words: Vec<String> = Vec::new();
    for source in case.judgements_of(&finding.id).flat_map(|j| &j.graded_by) {
        let source = source.words();
        if !words.contains(&source) {
            words.push(source);
        }
    }
    if words.is_empty() {
        return ". This check is not in the catalogue at hand, so it counts as major until someone grades it.".into();
    }
    format!(" · {}", words.join("; "))
}

/// The proposed class beside the one a person set, with the reason; both are kept.
fn overruling(case: &RecordCase<'_>, finding: &Finding, class: Severity) -> Option<String> {
    let set = finding.overrule.as_ref()?;
    let proposed = case.judgements_of(&finding.id).filter_map(Judgement::severity).max()?;
    let by = if set.by.trim().is_empty() { "a person not named".into() } else { set.by.trim().to_owned() };
    let reason = if set.reason.trim().is_empty() { "no reason given".to_owned() } else { set.reason.trim().to_owned() };
    Some(if class == set.severity {
        format!("proposed {}, set to {} by {by}: {reason}", proposed.word(), class.word())
    } else if proposed == Severity::Dangerous {
        format!(
            "{by} asked for {} ({reason}). A dangerous finding is not lowered; it clears by repair and a second look, \
             so it stays dangerous.",
            set.severity.word()
        )
    } else {
        format!("{by} asked for {} and gave no reason, so it stays {}", set.severity.word(), class.word())
    })
}

/// A judgement as its sentence, with the limit that was used where there is one.
fn judged(judgement: &Judgement) -> Vec<Span> {
    let mut spans = vec![Span::text(judgement.sentence.clone())];
    if let Some(limit) = &judgement.limit {
        spans.push(Span::text(format!(" Limit: {}, {}.", limit.value, limit.source.words())).ink(Ink::Faint));
    }
    spans
}

/// A small clock face for a place on a wheel, else the class's mark above the station.
fn picture(case: &RecordCase<'_>, number: usize, finding: &Finding, class: Severity) -> Drawing {
    if let Place::Wheel { position, zone, spot } = &finding.place
        && let Some(wheel) = case.machine().wheel(*position)
    {
        let marks = spot
            .map(|spot| FaceMark {
                spot,
                zone: *zone,
                severity: Some(class),
                selected: false,
                label: number.to_string(),
            })
            .into_iter()
            .collect();
        let face = ClockFace { wheel, side: side_of(*zone), parked: None, marks, size: FACE };
        let mut drawing = clock_face::draw(&face);
        if spot.is_none() {
            // A finding all round has no place; its mark stands at the hub.
            notch::add(&mut drawing, face.centre(), 24.0, Mark::Found(class));
        }
        return drawing;
    }
    let mut drawing = Drawing::new(FACE, 62.0, format!("mark: {}", class.word()));
    notch::add(&mut drawing, pt(FACE / 2.0, 20.0), 34.0, Mark::Found(class));
    if let Place::Part { station, .. } = &finding.place {
        drawing.words(pt(FACE / 2.0, 48.0), station.word(), 8.5, Anchor::Middle, Ink::Faint);
    }
    drawing
}
