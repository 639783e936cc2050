//! The machine in plan with its wheels and stations to choose, each with the mark of what is known there.

use egui::{Rect, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use super::round::Round;
use super::select;
use crate::drawing::plan::{self, PlaceState, PlanView};
use crate::inspection::{Finding, Place, Station};
use crate::machine::WheelPosition;
use crate::rules::CheckResult;
use crate::ui::UiState;
use crate::ui::widgets::paint;

/// Draws the plan in the height given.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, height: f32) {
    let machine = round.machine();
    let wheels: Vec<_> = machine.wheels.iter().map(|w| (w.position, at_wheel(round, w.position))).collect();
    let stations: Vec<_> = plan::stations_of(machine).into_iter().map(|s| (s, at_station(round, s))).collect();
    // In a small window the names would hide the machine; the list below holds every place.
    let has_names = ui.available_width() >= 290.0 && height >= 240.0;
    let view = PlanView {
        width: ui.available_width(),
        height,
        wheels: wheels.clone(),
        stations: if has_names { stations.clone() } else { Vec::new() },
        selected_wheel: state.wheel,
        selected_station: if state.wheel.is_some() { None } else { state.walk.station },
        viewer: state.wheel.map(|_| select::side(state)),
    };
    let drawn = plan::draw(machine, &view);
    let (rect, response) = ui.allocate_exact_size(vec2(view.width, height), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &drawn.drawing.summary));
    paint(ui.painter(), &drawn.drawing, rect.min, 1.0, round.cx.tokens);
    let area = |[left, top, right, bottom]: [f32; 4]| {
        let corner = rect.min.to_vec2();
        Rect::from_min_max(pos2(left, top) + corner, pos2(right, bottom) + corner)
    };
    let positions: Vec<WheelPosition> = machine.wheels.iter().map(|w| w.position).collect();
    for (station, place) in &drawn.station_areas {
        let known = stations.iter().find(|(s, _)| s == station).map(|(_, k)| k.words()).unwrap_or_default();
        let name = format!("station: {}", station.word());
        if press(round, ui, area(*place), &name, &known, state.walk.station == Some(*station)) {
            select::station(state, *station, &positions);
        }
    }
    // Wheels come last, so that they lie above a station's name.
    for (position, place) in &drawn.wheels {
        let known = wheels.iter().find(|(p, _)| p == position).map(|(_, k)| k.words()).unwrap_or_default();
        let name = format!("{} wheel", position.word());
        if press(round, ui, area(*place), &name, &known, state.wheel == Some(*position)) {
            select::wheel(state, *position);
        }
    }
}

/// A place of the plan to press, with its name and what is known of it for those who cannot see it.
fn press(round: &Round<'_>, ui: &mut Ui, rect: Rect, name: &str, known: &str, chosen: bool) -> bool {
    let response = ui.interact(rect, ui.scope_id().with(("plan", name)), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, name));
    if response.hovered() || response.has_focus() {
        let stroke = egui::Stroke::new(1.5, round.cx.tokens.accent);
        ui.painter().rect_stroke(rect.expand(1.0), 4.0, stroke, egui::StrokeKind::Outside);
        ui.set_cursor_icon(egui::CursorIcon::PointingHand);
    }
    response.on_hover_text(format!("{name}: {known}")).clicked()
}

/// What is known of a wheel: its checks of this inspection, and its findings that are open from any.
fn at_wheel(round: &Round<'_>, position: WheelPosition) -> PlaceState {
    known(
        round,
        |r| r.check.subject.wheel() == Some(position),
        |f| matches!(&f.place, Place::Wheel { position: p, .. } if *p == position),
    )
}

/// What is known of a station, its wheels apart.
fn at_station(round: &Round<'_>, station: Station) -> PlaceState {
    known(
        round,
        |r| r.station == station,
        |f| match &f.place {
            Place::Wheel { position, .. } => Station::of_wheel(*position) == station,
            Place::Part { station: s, .. } => *s == station,
        },
    )
}

fn known(
    round: &Round<'_>,
    is_check: impl Fn(&CheckResult) -> bool,
    is_finding: impl Fn(&Finding) -> bool,
) -> PlaceState {
    let checks = || round.results().iter().filter(|r| is_check(r));
    let open = round.open_findings().into_iter().filter(|(_, f)| is_finding(f));
    let (mut worst, mut findings) = (checks().filter_map(|r| r.severity).max(), 0);
    for (inspection, finding) in open {
        worst = worst.max(round.severity_of(inspection, finding));
        findings += 1;
    }
    // A reading outside its limit speaks like a finding.
    findings += checks().filter(|r| r.judgements.iter().any(|j| j.finding.is_none() && j.severity().is_some())).count();
    PlaceState {
        worst,
        findings,
        unchecked: checks().filter(|r| r.status.is_open()).count(),
        unasked: checks().next().is_none(),
    }
}
