//! The machine in plan: a sheet of every kind of machine to look at, and what a click finds.

use stemclock::clock::Side;
use stemclock::drawing::plan::{self, PlaceState, Plan, PlanView};
use stemclock::drawing::shape::Shape;
use stemclock::inspection::{Severity, Station};
use stemclock::machine::{Category, FinalDrive, Layout, Machine, MachineId, RollingArrow, WheelPosition};
use stemclock::units::{Length, Mass};

use crate::support::{sheet, tyre};

fn machine(name: &str, layout: Layout) -> Machine {
    Machine::new(MachineId(name.into()), name, layout)
}

fn sized(mut machine: Machine, wheelbase: f64, sizes: &[&str]) -> Machine {
    machine.wheelbase = Some(Length::mm(wheelbase));
    for (wheel, size) in machine.wheels.iter_mut().zip(sizes) {
        wheel.tyre = Some(tyre(size, RollingArrow::One));
    }
    machine
}

pub fn garage() -> Vec<Machine> {
    let standard = sized(machine("standard", Layout::Solo), 1435.0, &["120/70 ZR17", "180/55 ZR17"]);
    let mut tourer = sized(machine("tourer", Layout::Solo), 1640.0, &["130/70 R18", "180/60 R16"]);
    (tourer.capacity_cc, tourer.maximum_mass) = (Some(1600), Some(Mass::kg(560.0)));
    tourer.final_drive = FinalDrive::Belt;
    let mut moped = sized(machine("moped", Layout::Solo), 1180.0, &["2.50-17", "2.50-17"]);
    (moped.category, moped.capacity_cc) = (Category::L1e, Some(49));
    let mut right = sized(machine("outfit", Layout::Sidecar(Side::Right)), 1450.0, &["4.00-19", "4.00-18", "4.00-18"]);
    (right.track, right.final_drive) = (Some(Length::mm(1180.0)), FinalDrive::Shaft);
    let left = machine("outfit at the left, nothing known", Layout::Sidecar(Side::Left));
    let trike = machine("trike", Layout::Trike);
    let mut two_front = machine("two front wheels", Layout::TwoFront);
    two_front.final_drive = FinalDrive::Belt;
    let mut electric = machine("hub motor", Layout::Solo);
    electric.final_drive = FinalDrive::Hub;
    vec![standard, tourer, moped, right, left, trike, two_front, electric]
}

fn view(machine: &Machine, width: f32, height: f32) -> PlanView {
    let state = |i: usize| PlaceState {
        worst: [None, Some(Severity::Minor), None, Some(Severity::Dangerous), None, Some(Severity::Major)][i % 6],
        findings: [0, 1, 0, 2, 0, 3][i % 6],
        unchecked: [0, 0, 4, 0, 0, 1][i % 6],
        unasked: false,
    };
    PlanView {
        width,
        height,
        wheels: machine.layout.positions().iter().enumerate().map(|(i, p)| (*p, state(i + 2))).collect(),
        stations: plan::stations_of(machine).into_iter().enumerate().map(|(i, s)| (s, state(i))).collect(),
        selected_wheel: machine.layout.positions().first().copied(),
        selected_station: Some(Station::Bars),
        viewer: Some(Side::Right),
    }
}

#[test]
fn every_kind_of_machine_is_drawn() {
    let plans: Vec<Plan> = garage().iter().map(|m| plan::draw(m, &view(m, 440.0, 460.0))).collect();
    for (plan, machine) in plans.iter().zip(garage()) {
        assert_eq!(plan.wheels.len(), machine.wheels.len());
        assert_eq!(plan.stations.len(), plan::stations_of(&machine).len());
        for shape in &plan.drawing.shapes {
            if let Shape::Path { points, .. } = shape {
                assert!(points.iter().all(|p| p.x.is_finite() && p.y.is_finite()), "{}", machine.name);
            }
        }
    }
    let inked = sheet("plan", plans.into_iter().map(|p| p.drawing).collect());
    assert!((0.01..0.6).contains(&inked), "{inked} of the pixels are inked");
    let machines = garage();
    let small = machines
        .iter()
        .map(|m| plan::draw(m, &PlanView { width: 150.0, height: 220.0, ..PlanView::default() }).drawing);
    assert!(sheet("plan-small", small.collect()) > 0.001);
}

#[test]
fn every_filled_form_is_convex() {
    for machine in garage() {
        for shape in plan::draw(&machine, &view(&machine, 440.0, 460.0)).drawing.shapes {
            let Shape::Path { points, closed: true, fill: Some(_), .. } = shape else { continue };
            let n = points.len();
            let turns: Vec<f32> = (0..n)
                .map(|i| {
                    let (a, b, c) = (points[i], points[(i + 1) % n], points[(i + 2) % n]);
                    (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x)
                })
                .collect();
            let (left, right) = (turns.iter().any(|t| *t > 1e-2), turns.iter().any(|t| *t < -1e-2));
            assert!(!(left && right), "{}: a form turns both ways: {points:?}", machine.name);
        }
    }
}

/// What the window would press at a point: whatever has an area there.
fn under<T: Copy>(areas: &[(T, [f32; 4])], [x, y]: [f32; 2]) -> Vec<T> {
    let holds = |[left, top, right, bottom]: [f32; 4]| (left..=right).contains(&x) && (top..=bottom).contains(&y);
    areas.iter().filter(|(_, area)| holds(*area)).map(|(of, _)| *of).collect()
}

#[test]
fn a_click_finds_one_wheel_or_one_station() {
    for machine in garage() {
        let plan = plan::draw(&machine, &view(&machine, 440.0, 460.0));
        for (wheel, [left, top, right, bottom]) in &plan.wheels {
            assert_eq!(under(&plan.wheels, [(left + right) / 2.0, (top + bottom) / 2.0]), [*wheel], "{}", machine.name);
            assert!(*left >= 0.0 && *top >= 0.0 && *right <= 440.0 && *bottom <= 460.0, "{}", machine.name);
        }
        for (station, at) in &plan.stations {
            assert_eq!(under(&plan.station_areas, [at.x, at.y]), [*station], "{}", machine.name);
        }
    }
}

#[test]
fn the_plan_is_to_scale_and_says_what_it_assumed() {
    let machine = garage().remove(0);
    let plan = plan::draw(&machine, &view(&machine, 440.0, 460.0));
    let middle = |p: WheelPosition| {
        let (_, [_, top, _, bottom]) = plan.wheels.iter().find(|(w, _)| *w == p).unwrap();
        ((top + bottom) / 2.0, bottom - top)
    };
    let ((front, length), (rear, _)) = (middle(WheelPosition::Front), middle(WheelPosition::Rear));
    // 1435 mm between the axles, and a 120/70-17 is 599.8 mm across.
    assert!(((rear - front) / length - 1435.0 / 599.8).abs() < 0.01);
    assert!(plan.drawing.summary.contains("To scale."), "{}", plan.drawing.summary);
    let bare = Machine::new(MachineId("x".into()), "bare", Layout::Sidecar(Side::Left));
    let words = plan::draw(&bare, &view(&bare, 440.0, 460.0)).drawing.summary;
    assert!(words.contains("drawn by usual figures: wheelbase, track, tyre sizes"), "{words}");
}

#[test]
fn a_left_sidecar_is_at_the_left() {
    for (side, is_left) in [(Side::Left, true), (Side::Right, false)] {
        let machine = Machine::new(MachineId("x".into()), "outfit", Layout::Sidecar(side));
        let plan = plan::draw(&machine, &view(&machine, 440.0, 460.0));
        let x = |p| plan.wheels.iter().find(|(w, _)| *w == p).unwrap().1[0];
        assert_eq!(x(WheelPosition::Sidecar) < x(WheelPosition::Rear), is_left);
    }
}
