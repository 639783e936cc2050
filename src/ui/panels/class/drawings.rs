//! The machine's plan and the clock faces with what the key has and what the students marked, by the drawings that the
//! walk-around uses.

use egui::{Role, Sense, Ui, WidgetInfo, pos2, vec2};

use crate::class::Score;
use crate::clock::Side;
use crate::drawing::clock_face::{self, ClockFace, FaceMark};
use crate::drawing::notch;
use crate::drawing::plan::{self, PlanView};
use crate::drawing::shape::{Anchor, Drawing, Ink, Pt, Stroke, pt};
use crate::exercise::{Key, Sheet};
use crate::inspection::{Finding, FindingId, Place, Severity, Station};
use crate::machine::{Machine, WheelPosition};
use crate::ui::theme::Tokens;
use crate::ui::widgets::paint;

/// A finding of the key on the plan.
#[derive(Clone, Debug)]
pub(super) struct Numbered<'a> {
    /// The finding.
    pub finding: &'a Finding,
    /// Its number.
    pub number: usize,
    /// The share of the class that does not have it, 0 to 1: the larger its disc.
    pub missed: f32,
    /// Its class by the key.
    pub severity: Severity,
}

/// The machine in plan with the findings of the key as numbered discs, larger where more of the class missed them.
pub(super) fn numbered_plan(machine: &Machine, numbered: &[Numbered<'_>], width: f32, height: f32) -> Drawing {
    let view = PlanView { width, height, ..PlanView::default() };
    let drawn = plan::draw(machine, &view);
    let at = |place: &Place| place_on(&drawn, place);
    let mut taken: Vec<Pt> = Vec::new();
    let mut drawing = drawn.drawing.clone();
    for one in numbered {
        let Some(mut centre) = at(&one.finding.place) else { continue };
        let radius = 10.0 + 7.0 * one.missed.clamp(0.0, 1.0);
        // Several at one place stand below each other.
        while taken.iter().any(|t| (t.x - centre.x).hypot(t.y - centre.y) < 24.0) {
            centre.y += 26.0;
        }
        taken.push(centre);
        let ring = Stroke::solid(notch::ink(one.severity), 1.6 + 2.4 * one.missed.clamp(0.0, 1.0));
        drawing.circle(centre, radius, Some(Ink::Paper), Some(ring));
        drawing.strong_words(centre, one.number.to_string(), 11.0, Anchor::Middle, Ink::Strong);
    }
    let said: Vec<String> =
        numbered.iter().map(|one| format!("{}: not found by {:.0} %", one.number, one.missed * 100.0)).collect();
    drawing.summary = format!("{} {}.", drawing.summary, said.join("; "));
    drawing
}

/// The machine in plan with one place ringed; with the notch mark of its class once it is revealed.
pub(super) fn ringed_plan(
    machine: &Machine,
    place: &Place,
    shown: Option<Severity>,
    width: f32,
    height: f32,
) -> Drawing {
    let drawn = plan::draw(machine, &PlanView { width, height, ..PlanView::default() });
    let mut drawing = drawn.drawing.clone();
    if let Some(centre) = place_on(&drawn, place) {
        drawing.circle(centre, 15.0, Some(Ink::Paper), Some(Stroke::solid(Ink::Accent, 3.5)));
        match shown {
            Some(severity) => notch::add(&mut drawing, centre, 19.0, notch::Mark::Found(severity)),
            None => drawing.strong_words(centre, "?", 17.0, Anchor::Middle, Ink::Accent),
        }
    }
    drawing
}

/// Where a finding is on the plan.
fn place_on(drawn: &plan::Plan, place: &Place) -> Option<Pt> {
    match place {
        Place::Wheel { position, .. } => {
            let (_, [left, top, right, bottom]) = drawn.wheels.iter().find(|(w, _)| w == position)?;
            Some(pt((left + right) / 2.0, (top + bottom) / 2.0))
        }
        Place::Part { station, .. } => station_on(drawn, *station),
    }
}

fn station_on(drawn: &plan::Plan, station: Station) -> Option<Pt> {
    drawn.targets.iter().find(|(s, _)| *s == station).map(|(_, at)| *at)
}

/// The mark of a finding on a wheel's face; none where it is elsewhere or has no clock position. A student's mark
/// carries no class.
pub(super) fn face_mark(
    wheel: WheelPosition,
    finding: &Finding,
    severity: Option<Severity>,
    label: String,
) -> Option<FaceMark> {
    match &finding.place {
        Place::Wheel { position, zone, spot: Some(spot) } if *position == wheel => {
            Some(FaceMark { spot: *spot, zone: *zone, severity, selected: false, label })
        }
        _ => None,
    }
}

/// The marks of the key on a wheel, each with its number.
pub(super) fn key_marks(
    wheel: WheelPosition,
    key: &Key,
    severity: &dyn Fn(&FindingId) -> Severity,
    number: &dyn Fn(&FindingId) -> usize,
) -> Vec<FaceMark> {
    let of = |f: &Finding| face_mark(wheel, f, Some(severity(&f.id)), number(&f.id).to_string());
    key.inspection.findings.iter().filter_map(of).collect()
}

/// What a student marked on a wheel.
pub(super) fn student_marks(wheel: WheelPosition, sheet: &Sheet, label: &str) -> Vec<FaceMark> {
    sheet.inspection.findings.iter().filter_map(|f| face_mark(wheel, f, None, label.to_owned())).collect()
}

/// The student's finding that answers one of the key's.
pub(super) fn answer_to<'a>(score: &Score, sheet: &'a Sheet, key: &FindingId) -> Option<&'a Finding> {
    let pairing = score.pairings.iter().find(|p| &p.key == key)?;
    sheet.inspection.findings.iter().find(|f| f.id == pairing.found)
}

/// A wheel's face with marks; none where the machine has no such wheel.
pub(super) fn face(
    machine: &Machine,
    wheel: WheelPosition,
    side: Side,
    marks: Vec<FaceMark>,
    size: f32,
) -> Option<Drawing> {
    let wheel = machine.wheel(wheel)?;
    let mut drawing = clock_face::draw(&ClockFace { wheel, side, parked: None, marks, size });
    drawing.summary = drawing.summary.replace("chosen place", "a student's mark");
    Some(drawing)
}

/// Paints a drawing, `scale` points to one of its own, and says what it shows.
pub(super) fn show(ui: &mut Ui, drawing: &Drawing, scale: f32, tokens: &Tokens) {
    let size = vec2(drawing.width, drawing.height) * scale;
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &drawing.summary));
    paint(ui.painter(), drawing, pos2(rect.left(), rect.top()), scale, tokens);
}

/// The faces of every wheel that has marks, side by side.
pub(super) fn faces(
    machine: &Machine,
    side: Side,
    marks_of: &dyn Fn(WheelPosition) -> Vec<FaceMark>,
    tokens: &Tokens,
    ui: &mut Ui,
) {
    ui.horizontal_wrapped(|ui| {
        let size = (ui.available_width() / 2.0 - 12.0).clamp(210.0, 330.0);
        for wheel in &machine.wheels {
            let marks = marks_of(wheel.position);
            if marks.is_empty() {
                continue;
            }
            if let Some(drawing) = face(machine, wheel.position, side, marks, size) {
                ui.vertical(|ui| {
                    ui.set_width(size);
                    crate::ui::widgets::strong(ui, &format!("{} wheel", wheel.position.word()));
                    show(ui, &drawing, 1.0, tokens);
                });
            }
        }
    });
}
