//! A paper sheet typed in by keyboard alone, and a walk that is taken up after the program was killed: in the whole
//! program, with files.

use egui::{Key, accesskit::Role};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use stemclock::app::Shell;
use stemclock::edit::Command;
use stemclock::guide::{Wanted, sheet};
use stemclock::inspection::{CheckState, Inspection, InspectionId};
use stemclock::machine::MachineId;
use stemclock::ui::Action;
use stemclock::ui::panels::walk::{Kept, KeptWalk, Phase};

use crate::keys::{key, type_in};
use crate::support::{Bench, rest, window};

type Window = Harness<'static, Shell>;

fn walk(window: &Window) -> KeptWalk {
    Kept::of(window.state().state()).walks.last().cloned().expect("a walk was begun")
}

fn told(window: &Window, words: &str) -> bool {
    window.query_all_by_label_contains(words).count() > 0
}

/// The sample garage with a look before a ride begun on its first machine.
fn begun(bench: &Bench) -> (Window, MachineId, InspectionId) {
    let mut shell = bench.sample();
    let machine = shell.garage().bays[0].machine.id.clone();
    let day = chrono::DateTime::parse_from_rfc3339(crate::support::NOW).expect("a moment").date_naive();
    let id = InspectionId(format!("{day}-ride-testtest"));
    let inspection = Inspection::new(id.clone(), "ride", day);
    shell.state_mut().machine = Some(machine.clone());
    shell.apply(Action::Edit(Command::StartInspection(machine.clone(), inspection)));
    let mut window = window(shell, [1600.0, 1000.0]);
    rest(&mut window);
    (window, machine, id)
}

#[test]
fn a_sheet_is_typed_in_by_keyboard_alone_in_its_own_order() {
    let bench = Bench::new();
    let (mut window, machine, id) = begun(&bench);
    let number = {
        let shell = window.state();
        let bay = shell.garage().bay(&machine).expect("the machine");
        let catalogue = stemclock::catalogue::Catalogue::builtin();
        let mut printed = bay.clone();
        printed.inspections.retain(|i| i.id != id);
        let day = bay.inspection(&id).expect("begun").date;
        let kind = catalogue.kind("ride").expect("a kind");
        let wanted = Wanted { kind, asks: &[], minutes: Some(40), part: false, day };
        sheet(&printed, catalogue, &shell.garage().info.units, &wanted)
    };
    key(&mut window, Key::G);
    type_in(&mut window, "ride-40-261125-zzzz");
    key(&mut window, Key::Enter);
    assert!(told(&window, "found none with the number"), "another number is not taken for this sheet");
    assert_eq!(window.get_all_by_role(Role::TextInput).filter(|n| n.is_focused()).count(), 1, "to be mended there");
    window.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    window.run();
    type_in(&mut window, &number.number.to_string());
    key(&mut window, Key::Enter);
    assert_eq!(walk(&window).phase, Phase::Entry);
    let order: Vec<_> = walk(&window).legs.iter().map(|l| l.check.clone()).collect();
    let printed: Vec<_> = number.plan.steps.iter().map(|s| s.check.clone()).collect();
    assert_eq!(order, printed, "the rows come in the sheet's own order");
    let mut rows = 0;
    while walk(&window).phase == Phase::Entry {
        let at = walk(&window).at;
        let leg = walk(&window).leg().cloned().expect("a row");
        match leg.check.check.as_str() {
            "tyre-pressure" => {
                type_in(&mut window, "38 psi");
                key(&mut window, Key::Enter);
                assert_eq!(walk(&window).at, at, "whether the tyre is cold is asked next");
                type_in(&mut window, "1");
                key(&mut window, Key::Enter);
            }
            "indicators" => {
                key(&mut window, Key::N);
                type_in(&mut window, "no battery in it");
                key(&mut window, Key::Enter);
            }
            _ => key(&mut window, Key::S),
        }
        rows += 1;
        assert!(rows < 100);
        assert!(walk(&window).phase == Phase::Done || walk(&window).at == at + 1, "one row on: {}", leg.key());
    }
    let shell = window.state();
    let inspection = shell.garage().bay(&machine).and_then(|b| b.inspection(&id)).expect("the inspection");
    for check in &order {
        let answer = inspection.answer(check).unwrap_or_else(|| panic!("{check} is answered"));
        match check.check.as_str() {
            "tyre-pressure" => assert!(format!("{:?}", answer.readings).contains("38"), "{check}"),
            "indicators" => assert_eq!(answer.state, CheckState::CouldNot("no battery in it".into())),
            _ => assert_eq!(answer.state, CheckState::Sound, "{check}"),
        }
    }
}

#[test]
fn after_a_crash_the_walk_is_at_the_same_step_with_the_half_typed_figure() {
    let bench = Bench::new();
    let (mut window, machine, id) = begun(&bench);
    key(&mut window, Key::G);
    type_in(&mut window, "35");
    key(&mut window, Key::Enter);
    key(&mut window, Key::Enter);
    for _ in 0..60 {
        if walk(&window).leg().is_some_and(|l| l.key() == "tyre-pressure@rear") {
            break;
        }
        key(&mut window, Key::K);
    }
    type_in(&mut window, "2");
    type_in(&mut window, "9");
    let before = walk(&window);
    rest(&mut window);
    // Nothing is closed or read to the end: the process is gone, and its lock with it.
    drop(window);
    let folder = bench.homes().sample_garage();
    let shell = bench.shell(Some(&folder));
    let mut window = crate::support::window(shell, [1600.0, 1000.0]);
    window.run();
    let state = window.state().state();
    assert!(state.walk.is_guided(), "the guided mode has the window again");
    assert_eq!((state.machine.clone(), state.inspection.clone()), (Some(machine), Some(id)));
    assert_eq!(walk(&window), before);
    assert_eq!(before.minutes, Some(35));
    assert!(!before.skipped.is_empty());
    assert_eq!(crate::support::value(&window, "Cold pressure"), "29", "what was half typed is still there");
    // And it goes on from there.
    key(&mut window, Key::Enter);
    // 29 bar is no pressure of a tyre: it is asked about, and taken on a second Enter.
    assert!(told(&window, "Enter once more takes it"));
    key(&mut window, Key::Enter);
    let shell = window.state();
    let bay = shell.garage().bay(shell.state().machine.as_ref().expect("a machine")).expect("it is there");
    let inspection = bay.inspection(shell.state().inspection.as_ref().expect("an inspection")).expect("it is there");
    let read = inspection.answers.iter().find(|(c, _)| c.to_string() == "tyre-pressure@rear").expect("read").1;
    assert!(format!("{:?}", read.readings).contains("29"), "{read:?}");
}
