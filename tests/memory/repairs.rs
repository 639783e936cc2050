//! The repair list: one strip-down serves several findings, and the machine's own figures stand beside it.

use stemclock::catalogue::Catalogue;
use stemclock::clock::Side;
use stemclock::inspection::{CheckRef, Finding, Subject, Zone};
use stemclock::machine::{Brake, LimitSource, TorqueFigure, WheelPosition};
use stemclock::repair::{RepairList, Wrench, repairs};
use stemclock::units::{Length, Torque};

use super::bench::*;

fn list(findings: Vec<Finding>, wrench: Option<&Wrench>) -> RepairList {
    let mut bay = bay();
    bay.machine.wheels[0].brakes = vec![Brake::Disc(Side::Left), Brake::Disc(Side::Right)];
    bay.machine.torques = [("front axle nut", 62.0), ("rear axle nut", 98.0), ("caliper bolts", 45.0)]
        .into_iter()
        .map(|(fastener, torque)| TorqueFigure {
            fastener: fastener.into(),
            torque: Torque::newton_metres(torque),
            source: LimitSource::Manual("page 9".into()),
        })
        .collect();
    let mut first = all_sound(&bay, look("a", "2026-04-01", "season"));
    first.findings = findings;
    bay.inspections.push(first);
    repairs(&bay, &stands(&bay, "2026-04-01"), Catalogue::builtin(), wrench)
}

fn at(id: &str, check: &str, fault: &str, subject: Subject) -> Finding {
    let zone = if let Subject::Disc(_, side) = subject { Zone::Disc(side) } else { Zone::Hub };
    let wheel = subject.wheel().unwrap_or(WheelPosition::Front);
    Finding { check: CheckRef::new(check, subject), ..on_tyre(id, fault, wheel, "3:00", zone, None) }
}

#[test]
fn one_strip_down_serves_tyre_bearing_and_disc_of_one_wheel_and_not_the_other_wheel() {
    let front = Subject::Wheel(WheelPosition::Front);
    let list = list(
        vec![
            on_tyre("tyre", "cut-cord", WheelPosition::Front, "3:00", Zone::Centre, None),
            at("bearing", "wheel-bearing", "rock", front),
            at("disc", "disc", "worn", Subject::Disc(WheelPosition::Front, Side::Left)),
            at("pads", "brake-lining", "at-mark", front),
            on_tyre("rear", "cut-cord", WheelPosition::Rear, "3:00", Zone::Centre, None),
            elsewhere("lamp", "horn", "dead", "horn"),
        ],
        None,
    );
    let sizes: Vec<usize> = list.groups.iter().map(|g| g.items.len()).collect();
    assert_eq!(sizes.iter().sum::<usize>(), 6);
    let group = list.groups.iter().find(|g| g.items.len() == 4).unwrap();
    assert!(group.title.starts_with("Wheel out and in, front"), "{}", group.title);
    let jobs: Vec<String> = group.jobs.iter().map(ToString::to_string).collect();
    assert_eq!(jobs.iter().filter(|j| *j == "wheel-out@front").count(), 1, "taken out once: {jobs:?}");
    let place = |job: &str| jobs.iter().position(|j| j == job).unwrap();
    assert!(
        place("wheel-out@front") < place("tyre-change@front")
            && place("caliper-off@front.left") < place("disc@front.left")
    );
    // The steps of house rule 21, each once, with the cautions.
    for step in [
        "Lever and pedal pumped until firm",
        "Raised wheel turned by hand",
        "Walking pace",
        "at speed",
        "Each fastener torqued again and marked",
        "Pads bedded",
        "scrubbed in",
    ] {
        assert_eq!(group.all_steps().filter(|s| s.contains(step)).count(), 1, "{step}");
    }
    assert!(
        group.cautions.iter().any(|c| c.id == "brake-dust") && group.cautions.iter().any(|c| c.id == "raised-machine")
    );
    let fasteners: Vec<&str> = group.fasteners.iter().map(|f| f.figure.fastener.as_str()).collect();
    assert_eq!(fasteners, ["front axle nut", "caliper bolts"], "the rear axle is not at the front wheel");
    assert!(list.unplaced.is_empty() && list.waiting.is_empty());
}

#[test]
fn the_extension_changes_what_the_wrench_is_set_to_and_not_the_figure() {
    // 62 N·m, wrench 300 mm, extension 100 mm in line: 62 × 300 / 400 = 46.5 N·m, by hand.
    let wrench = Wrench { length: Length::mm(300.0), extension: Length::mm(100.0), angle: 0.0 };
    let list = list(vec![at("bearing", "wheel-bearing", "rock", Subject::Wheel(WheelPosition::Front))], Some(&wrench));
    let axle = &list.groups[0].fasteners[0];
    assert_eq!(axle.figure.torque, Torque::newton_metres(62.0));
    assert_eq!(axle.set_to.clone().unwrap().unwrap(), Torque::newton_metres(46.5));
}
