//! The machine's plan and the clock faces with what the key has and what the students marked, by the drawings that the
//! walk-around uses.

use egui::{Role, Sense, Ui, WidgetInfo, pos2, vec2};

use crate::class::Score;
use crate::clock::Side;
use crate::drawing::clock_face::{self, ClockFace, FaceMark};
use crate::drawing::notch;
use crate::drawing::plan::{self, PlanView};
use crate::drawing::shape::{Anchor, Drawing, Ink, Pt, Stroke, pt};
use crate::exercise::Sheet;
use crate::inspection::{Finding, FindingId, Place, Severity, Station};
use crate::machine::{Machine, WheelPosition};
use crate::ui::theme::Tokens;
use crate::ui::widgets::{caption, paint, scale_to_fit};

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
        let radius = 8.0 + 5.0 * one.missed.clamp(0.0, 1.0);
        // Several at one place stand below each other.
        while taken.iter().any(|t| (t.x - centre.x).hypot(t.y - centre.y) < 26.0) {
            centre.y += 27.0;
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

/// The student's finding that answers one of the key's.
pub(super) fn answer_to<'a>(score: &Score, sheet: &'a Sheet, key: &FindingId) -> Option<&'a Finding> {
    let pairing = score.pairings.iter().find(|p| &p.key == key)?;
    sheet.inspection.findings.iter().find(|f| f.id == pairing.found)
}

/// What a student marked on a wheel's face, to be put on it as a dot with the student's number beside it.
#[derive(Clone, Debug)]
pub(super) struct Dot {
    /// Where.
    pub mark: FaceMark,
    /// The number; none where there are too many to be told apart.
    pub number: Option<usize>,
}

/// A wheel's face with the key's mark, where it is shown, and the students' dots. Their numbers stand toward the hub,
/// clear of each other and of the key's mark; none where the machine has no such wheel.
pub(super) fn dotted_face(
    machine: &Machine,
    wheel: WheelPosition,
    side: Side,
    key: Option<FaceMark>,
    dots: &[Dot],
    size: f32,
) -> Option<Drawing> {
    let wheel = machine.wheel(wheel)?;
    let face = ClockFace { wheel, side, parked: None, marks: key.into_iter().collect(), size };
    let mut drawing = clock_face::draw(&face);
    let centre = face.centre();
    let spots: Vec<Pt> = dots.iter().map(|d| clock_face::pt_of(&face, d.mark.spot, d.mark.zone)).collect();
    let mut taken: Vec<Pt> = face.marks.iter().map(|m| clock_face::pt_of(&face, m.spot, m.zone)).collect();
    taken.extend(&spots);
    for (dot, at) in dots.iter().zip(&spots) {
        if let Some(number) = dot.number {
            let tag = tag_at(*at, centre, &taken, vec2(drawing.width, drawing.height));
            taken.push(tag);
            drawing.line(*at, tag, Stroke::solid(Ink::Accent, 0.9));
            drawing.circle(tag, 6.6, Some(Ink::Paper), Some(Stroke::solid(Ink::Accent, 1.0)));
            drawing.strong_words(tag, number.to_string(), 8.5, Anchor::Middle, Ink::Strong);
        }
        drawing.circle(*at, 2.6, Some(Ink::Accent), Some(Stroke::solid(Ink::Paper, 0.8)));
    }
    drawing.summary.push_str(&format!(" Students' marks here: {}.", dots.len()));
    Some(drawing)
}

/// How far apart the middles of two numbers are at least.
const APART: f32 = 13.5;

/// Where the number of a dot stands: toward the hub where that is clear, else round the dot, nearer first, so that no two
/// stand on each other, also where many placed it on the hub itself.
fn tag_at(at: Pt, hub: Pt, taken: &[Pt], size: egui::Vec2) -> Pt {
    let (dx, dy) = (hub.x - at.x, hub.y - at.y);
    // On the hub there is no way toward it.
    let toward = if dx.hypot(dy) < 1.0 { std::f32::consts::FRAC_PI_2 } else { dy.atan2(dx) };
    let place = |turn: f32, far: f32| pt(at.x + (toward + turn).cos() * far, at.y + (toward + turn).sin() * far);
    // Beyond the hub the lines of several would lie on each other.
    let inwards = (0..8).map(|n| 14.0 + 7.0 * n as f32).take_while(|far| *far + APART < dx.hypot(dy));
    let inwards = inwards.map(|far| place(0.0, far));
    // Each ring has as many places as stand clear of each other on it.
    let round = (0..6).flat_map(|ring| {
        let far = 14.0 + APART * ring as f32;
        let places = (std::f32::consts::TAU * far / (APART + 0.5)).floor() as usize;
        (0..places).map(move |n| (std::f32::consts::TAU * n as f32 / places as f32, far))
    });
    let round = round.map(|(turn, far)| place(turn, far));
    let is_inside = |p: &Pt| p.x >= 7.0 && p.y >= 7.0 && p.x <= size.x - 7.0 && p.y <= size.y - 7.0;
    let is_clear = |p: &Pt| taken.iter().all(|t| (t.x - p.x).hypot(t.y - p.y) >= APART);
    inwards.chain(round).find(|p| is_inside(p) && is_clear(p)).unwrap_or_else(|| place(0.0, 14.0))
}

/// Paints a drawing, `scale` points to one of its own, and says what it shows.
pub(super) fn show(ui: &mut Ui, drawing: &Drawing, scale: f32, tokens: &Tokens) {
    let size = vec2(drawing.width, drawing.height) * scale;
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &drawing.summary));
    paint(ui.painter(), drawing, pos2(rect.left(), rect.top()), scale, tokens);
}

/// Clock faces side by side, each over its caption.
pub(super) fn faces(ui: &mut Ui, faces: &[(Drawing, String)], tokens: &Tokens) {
    caption(
        ui,
        "The numbered notch marks are the key's. A line leads from each to where it was placed: a full dot is near enough, \
         a ring is not. A cross is a false alarm.",
    );
    const BETWEEN: f32 = 14.0;
    let width = ((ui.available_width() - BETWEEN) / 2.0).max(180.0);
    for row in faces.chunks(2) {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = BETWEEN;
            for (drawing, words) in row {
                let scale = scale_to_fit(drawing, vec2(width, f32::INFINITY), 1.5);
                ui.vertical(|ui| {
                    ui.set_width(drawing.width * scale);
                    show(ui, drawing, scale, tokens);
                    caption(ui, words);
                });
            }
        });
    }
}

/// The numbered plan beside what is said of it, or above it where there is too little room.
pub(super) fn beside(ui: &mut Ui, plan: impl Fn(f32) -> Drawing, tokens: &Tokens, words: impl FnOnce(&mut Ui)) {
    const PLAN: f32 = 250.0;
    if ui.available_width() < 620.0 {
        words(ui);
        show(ui, &plan(PLAN), 1.0, tokens);
        return;
    }
    ui.horizontal_top(|ui| {
        show(ui, &plan(PLAN), 1.0, tokens);
        ui.vertical(|ui| {
            ui.set_width(ui.available_width());
            words(ui);
        });
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_many_marks_at_one_place_stand_clear_of_each_other() {
        let (hub, size) = (pt(130.0, 130.0), vec2(260.0, 260.0));
        for at in [hub, pt(131.0, 129.5), pt(130.0, 140.0), pt(200.0, 60.0), pt(128.0, 12.0)] {
            let mut taken = vec![at];
            for number in 1..=30 {
                let tag = tag_at(at, hub, &taken, size);
                for other in &taken {
                    let far = (other.x - tag.x).hypot(other.y - tag.y);
                    assert!(far >= APART, "number {number} at {at:?} stands {far} from another");
                }
                assert!(tag.x > 0.0 && tag.y > 0.0 && tag.x < size.x && tag.y < size.y, "{tag:?}");
                taken.push(tag);
            }
        }
    }
}
