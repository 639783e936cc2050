//! The catalogue held against the annex row by row, and the contributors' table made of both.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use stemclock::catalogue::{Catalogue, Check, Engine, Fault, FieldKind};
use stemclock::inspection::Severity;
use stemclock::machine::Stance;
use stemclock::rules::RULES;

use crate::annex::{RIDERS, ROWS, TESTS, items};

fn fault(name: &str) -> (&'static Check, &'static Fault) {
    let (check, fault) = name.split_once('/').unwrap();
    let check = Catalogue::builtin().check(check).unwrap_or_else(|| panic!("{name}: the check is not there"));
    (check, check.fault(fault).unwrap_or_else(|| panic!("{name}: the fault is not there")))
}

/// The number of an item without the letter of its row.
fn number(item: &str) -> &str {
    item.split_once(' ').map_or(item, |(number, _)| number)
}

#[test]
fn every_row_of_the_annex_is_covered_and_no_class_is_milder() {
    for (item, what, steps) in ROWS {
        for (class, name) in *steps {
            let (_, fault) = fault(name);
            let by = fault.item.as_deref().map(number);
            assert_eq!(by, Some(*item), "{item} {what}: {name} is not graded under this item");
            // The class by the directive is the directive's, neither milder nor hidden in a stricter one.
            assert_eq!(fault.severity, *class, "{item} {what}: {name}");
            // Where practice raises, it raises above the directive's class, which stays beside it.
            if let Some((raised, reason)) = &fault.practice {
                assert!(*raised > fault.severity && !reason.trim().is_empty(), "{name}");
            }
        }
        let classes: Vec<Severity> = steps.iter().map(|(class, _)| *class).collect();
        assert!(classes.windows(2).all(|w| w[0] < w[1]), "{item} {what}: its steps do not rise");
    }
}

#[test]
fn the_annex_is_whole_and_every_item_named_by_the_catalogue_is_in_it() {
    // 73 items that a look meets, and 1.2.2, 1.4.2 and 5.1.2 that are measured or belong to stub axles.
    let items = items();
    let unique: BTreeSet<_> = items.iter().collect();
    assert_eq!((items.len(), unique.len()), (76, 76), "{items:?}");
    let known = |item: &str| items.contains(&number(item));
    for check in &Catalogue::builtin().checks {
        for item in check.item.iter().chain(check.faults.iter().filter_map(|f| f.item.as_ref())) {
            assert!(known(item), "{} names the item {item}, which the annex does not have", check.id);
        }
    }
}

#[test]
fn what_riders_look_at_and_the_directive_does_not_is_there() {
    for (what, name) in RIDERS {
        let (_, fault) = fault(name);
        assert!(!fault.words.is_empty(), "{what}");
    }
}

#[test]
fn no_check_leaves_a_question_blank() {
    for check in &Catalogue::builtin().checks {
        let id = &check.id;
        for (what, words) in [
            ("title", &check.title),
            ("why", &check.why),
            ("how", &check.how),
            ("tool", &check.tool),
            ("signs", &check.signs),
        ] {
            assert!(words.trim().len() > 2, "{id}: {what} is blank");
        }
        assert!(check.minutes > 0.0, "{id}: minutes");
        for limit in &check.limits {
            assert!(
                !limit.words.trim().is_empty() && !limit.source.trim().is_empty(),
                "{id}: a limit without a source"
            );
        }
        // A figure that is read has a limit for any machine beside it, or the check says that there is none.
        let measured = check.fields.iter().any(|f| !matches!(f.kind, FieldKind::Choice(_) | FieldKind::Level));
        let no_limit = ["odometer", "fasteners"].contains(&id.as_str());
        assert!(!measured || no_limit || !check.limits.is_empty(), "{id} reads a figure and names no limit");
        for field in &check.fields {
            assert!(!field.label.trim().is_empty(), "{id}/{}: label", field.id);
        }
        // A step with a danger in it names the caution; the general one stands at the end of every record.
        let lifted = matches!(check.stance, Stance::FrontRaised | Stance::RearRaised);
        let dangerous = lifted || matches!(check.engine, Engine::Running | Engine::Ridden);
        assert!(!dangerous || !check.cautions.is_empty(), "{id}: a caution");
    }
}

/// What the trade calls a lock that a solo machine lacks is not asked; the record says what was built without.
#[test]
fn a_machine_built_without_a_part_is_not_asked_about_it() {
    use stemclock::machine::{Equipment, Layout, Machine, MachineId};
    let catalogue = Catalogue::builtin();
    let asked = |machine: &Machine| -> BTreeSet<String> {
        let kind = catalogue.kind("periodic").unwrap();
        catalogue.checks_for(machine, kind).into_iter().map(|(r, _)| r.check).collect()
    };
    for equipment in Equipment::ALL {
        let mut with = Machine::new(MachineId("w".into()), "W", Layout::Solo);
        with.fitted_with.insert(*equipment);
        let mut without = with.clone();
        without.built_without.insert(*equipment);
        let fewer: Vec<_> = asked(&with).difference(&asked(&without)).cloned().collect();
        assert!(!fewer.is_empty(), "{equipment:?} decides about no check");
        assert!(asked(&without).is_subset(&asked(&with)), "{equipment:?}");
    }
    let plain = Machine::new(MachineId("p".into()), "P", Layout::Solo);
    assert!(!asked(&plain).contains("parking-brake"), "a solo machine seldom has one");
    assert!(asked(&Machine::new(MachineId("t".into()), "T", Layout::Trike)).contains("parking-brake"));
}

/// One line an item: its checks, the rules that judge readings there, the test beside that of this file.
fn table() -> String {
    let mut checks: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (item, _, steps) in ROWS {
        for (_, name) in *steps {
            let list = checks.entry(item).or_default();
            let (check, _) = name.split_once('/').unwrap();
            if !list.contains(&check) {
                list.push(check);
            }
        }
    }
    let mut table = String::from("| item | checks | judged by | tests |\n|---|---|---|---|\n");
    for item in items() {
        let named = &checks[item];
        let mut rules: Vec<String> = Vec::new();
        for rule in RULES.iter().filter(|r| r.checks().iter().any(|c| named.contains(c))) {
            rules.push(format!("`{}`", rule.id()));
        }
        let chosen = named.iter().any(|c| {
            let check = Catalogue::builtin().check(c).unwrap();
            let faults = check.fields.iter().filter_map(|f| match &f.kind {
                FieldKind::Choice(choices) => Some(choices.iter().filter_map(|c| c.fault.as_deref())),
                _ => None,
            });
            let of_item = |id: &str| check.fault(id).and_then(|f| f.item.as_deref()).map(number) == Some(item);
            faults.flatten().any(of_item)
        });
        if chosen {
            rules.push("`choice`".into());
        }
        rules.push("graded".into());
        let tests = TESTS.iter().filter(|(i, _)| *i == item).map(|(_, file)| format!("`{file}`"));
        let tests: Vec<String> = std::iter::once("`annex`".to_owned()).chain(tests).collect();
        let checks: Vec<String> = named.iter().map(|c| format!("`{c}`")).collect();
        table.push_str(&format!("| {item} | {} | {} | {} |\n", checks.join(", "), rules.join(", "), tests.join(", ")));
    }
    table
}

#[test]
fn the_map_for_contributors_holds_the_table_of_the_directive() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let map = std::fs::read_to_string(root.join("DEVELOPERS.md")).unwrap();
    let missing: Vec<_> = table().lines().filter(|row| !map.contains(row)).map(str::to_owned).collect();
    assert!(missing.is_empty(), "DEVELOPERS.md lacks these rows of the directive's table:\n{}", missing.join("\n"));
    for (item, file) in TESTS {
        let text = std::fs::read_to_string(root.join(file)).unwrap();
        let tested = text.contains("#[test]") && (text.contains(number(item)) || text.contains("tests"));
        assert!(tested, "{file} holds no test for {item}");
    }
}
