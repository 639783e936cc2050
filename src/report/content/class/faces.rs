//! The wheels as clocks, with what the key holds and where students placed it: a line leads from the key's place to
//! each of theirs, so that a clock read from the wrong side shows as a mirror image.

use std::collections::BTreeMap;

use super::ClassInput;
use crate::class::{Outcome, Score};
use crate::clock::{Side, Spot};
use crate::drawing::clock_face::{self, ClockFace, FaceMark, pt_of};
use crate::drawing::shape::{Anchor, Drawing, Ink, Pt, Stroke, pt};
use crate::inspection::{FindingId, Place, Zone};
use crate::machine::{Wheel, WheelPosition};
use crate::report::block::{Block, Picture};
use crate::report::content::words::{capital, side_of};

/// How many faces stand side by side, and so how large they are.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Row {
    /// Two, for a whole class: many places lie close together.
    Two,
    /// Three, for one student.
    Three,
}

impl Row {
    /// Width of a face in points.
    fn face(self) -> f32 {
        match self {
            Self::Two => 226.0,
            // The compact form: hours between the quarters and the words beside them would touch.
            Self::Three => 139.0,
        }
    }
}

/// A place on a wheel.
type At = (Zone, Spot);

/// A finding's place on a wheel, where it has one.
fn at(place: &Place) -> Option<(WheelPosition, At)> {
    match place {
        Place::Wheel { position, zone, spot: Some(spot) } => Some((*position, (*zone, *spot))),
        _ => None,
    }
}

/// What one student did with a wheel.
struct Placed {
    /// The key's place, where it answers one; none for a false alarm.
    key: Option<At>,
    /// The student's.
    at: At,
    /// Whether it is near enough.
    is_near: bool,
}

/// The faces of every wheel and side on which the key has a place, or one of these sheets a false alarm, with the
/// places of the sheets. The numbers are those of the list of findings.
pub(super) fn blocks(
    input: &ClassInput<'_>,
    scores: &[&Score],
    numbers: &BTreeMap<FindingId, usize>,
    row: Row,
) -> Vec<Block> {
    let drawn = faces(input, row, scores, numbers).into_iter();
    let pictures: Vec<_> = drawn.map(|(drawing, caption)| (Picture::Drawing(drawing), caption)).collect();
    if pictures.is_empty() {
        return Vec::new();
    }
    let (whose, columns) = match row {
        Row::Two => ("students", 2),
        Row::Three => ("you", 3),
    };
    vec![
        Block::paragraph(format!(
            "The numbered notch marks are the key's. A line leads from each to where {whose} placed it: a full dot is \
             near enough, a ring is not. A cross is a false alarm."
        ))
        .keep_with_next(),
        Block::gallery(pictures, columns),
    ]
}

/// The same as drawings, each with its caption. The window shows these too.
pub fn class_faces(
    input: &ClassInput<'_>,
    scores: &[&Score],
    numbers: &BTreeMap<FindingId, usize>,
) -> Vec<(Drawing, String)> {
    faces(input, Row::Two, scores, numbers)
}

fn faces(
    input: &ClassInput<'_>,
    row: Row,
    scores: &[&Score],
    numbers: &BTreeMap<FindingId, usize>,
) -> Vec<(Drawing, String)> {
    let wheels = input.bay.machine.wheels.iter();
    wheels
        .flat_map(|wheel| [Side::Right, Side::Left].map(|side| (wheel, side)))
        .filter_map(|at| face(input, at, row.face(), scores, numbers))
        .collect()
}

fn face(
    input: &ClassInput<'_>,
    (wheel, side): (&Wheel, Side),
    size: f32,
    scores: &[&Score],
    numbers: &BTreeMap<FindingId, usize>,
) -> Option<(Drawing, String)> {
    let here = |(position, (zone, _)): &(WheelPosition, At)| *position == wheel.position && side_of(*zone) == side;
    let mut tags: Vec<(Zone, Spot, String)> = Vec::new();
    let marks: Vec<FaceMark> = input
        .key
        .inspection
        .findings
        .iter()
        .filter_map(|finding| {
            let (_, (zone, spot)) = at(&finding.place).filter(here)?;
            tags.push((zone, spot, numbers.get(&finding.id).map(ToString::to_string).unwrap_or_default()));
            let severity = Some(input.results.severity(&finding.id));
            Some(FaceMark { spot, zone, severity, selected: false, label: String::new() })
        })
        .collect();
    let placed: Vec<Placed> = scores.iter().flat_map(|score| placed(input, score, &here)).collect();
    if marks.is_empty() && placed.is_empty() {
        return None;
    }
    let (key_count, alarms) = (marks.len(), placed.iter().filter(|p| p.key.is_none()).count());
    let face = ClockFace { wheel, side, parked: None, marks, size };
    let mut drawing = clock_face::draw(&face);
    let (near, far): (Vec<&Placed>, Vec<&Placed>) = placed.iter().filter(|p| p.key.is_some()).partition(|p| p.is_near);
    for one in &placed {
        draw(&face, one, &mut drawing);
    }
    for (zone, spot, number) in &tags {
        tag(&face, pt_of(&face, *spot, *zone), number, &mut drawing);
    }
    drawing.summary.push_str(&format!(
        " Placed near enough: {}; not near enough: {}; false alarms: {alarms}.",
        near.len(),
        far.len()
    ));
    let mut words = vec![format!("{key_count} in the key")];
    if !near.is_empty() {
        words.push(format!("{} near enough", near.len()));
    }
    if !far.is_empty() {
        words.push(format!("{} not", far.len()));
    }
    if alarms > 0 {
        words.push(format!("{alarms} false"));
    }
    let caption = format!("{} wheel, from the {}: {}", capital(wheel.position.word()), side.word(), words.join(", "));
    Some((drawing, caption))
}

/// What a student placed on this side of a wheel: the answers to the key's places here, and false alarms here.
fn placed(input: &ClassInput<'_>, score: &Score, here: &dyn Fn(&(WheelPosition, At)) -> bool) -> Vec<Placed> {
    let answers = score.pairings.iter().filter_map(|pairing| {
        let key = at(&input.wanted(&pairing.key)?.place).filter(here)?.1;
        let (_, own) = at(&input.written(score, &pairing.found)?.place)?;
        Some(Placed { key: Some(key), at: own, is_near: pairing.outcome != Outcome::Misplaced })
    });
    let alarms = score.alarms.iter().filter_map(|alarm| {
        let (_, own) = at(&input.written(score, &alarm.found)?.place).filter(here)?;
        Some(Placed { key: None, at: own, is_near: false })
    });
    answers.chain(alarms).collect()
}

fn draw(face: &ClockFace<'_>, one: &Placed, drawing: &mut Drawing) {
    let to = pt_of(face, one.at.1, one.at.0);
    match one.key {
        Some((zone, spot)) => {
            let from = pt_of(face, spot, zone);
            drawing.line(from, to, Stroke::solid(Ink::Accent, 0.9));
            let fill = if one.is_near { Ink::Accent } else { Ink::Paper };
            drawing.circle(to, 3.0, Some(fill), Some(Stroke::solid(Ink::Accent, 1.1)));
        }
        None => cross(to, drawing),
    }
}

/// The number of a finding of the key, outward of its mark, so that no line to a student's place runs through it.
fn tag(face: &ClockFace<'_>, at: Pt, number: &str, drawing: &mut Drawing) {
    let centre = face.centre();
    let (dx, dy) = (at.x - centre.x, at.y - centre.y);
    let away = 14.5 / (dx * dx + dy * dy).sqrt().max(1.0);
    let middle = pt(at.x + dx * away, at.y + dy * away);
    drawing.circle(middle, 6.8, Some(Ink::Paper), Some(Stroke::solid(Ink::Line, 0.8)));
    drawing.strong_words(middle, number, 8.5, Anchor::Middle, Ink::Strong);
}

fn cross(at: Pt, drawing: &mut Drawing) {
    drawing.circle(at, 6.5, Some(Ink::Paper), None);
    for (dx, dy) in [(4.0, 4.0), (4.0, -4.0)] {
        drawing.line(pt(at.x - dx, at.y - dy), pt(at.x + dx, at.y + dy), Stroke::solid(Ink::Strong, 1.6));
    }
}
