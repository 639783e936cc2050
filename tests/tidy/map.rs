//! DEVELOPERS.md names every room, rule, calculator and limit, as they are.

use std::fs;

use super::root;
use crate::rooms::rooms;

#[test]
fn the_map_for_contributors_names_every_room() {
    let map = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let missing: Vec<&str> = rooms()
        .map(|name| name.split("::").next().unwrap())
        .filter(|name| !map.contains(&format!("`{name}`")))
        .collect();
    assert!(missing.is_empty(), "DEVELOPERS.md does not name {missing:?}");
}

/// The table of rules as DEVELOPERS.md must hold it, made of the rules themselves.
fn table_of_rules() -> String {
    let mut table = String::from("| rule | checks | what it judges, and by which sources |\n|---|---|---|\n");
    for rule in stemclock::rules::RULES {
        let checks = match rule.checks() {
            [] => "every check".to_owned(),
            some => some.iter().map(|c| format!("`{c}`")).collect::<Vec<_>>().join(", "),
        };
        table.push_str(&format!("| `{}` | {checks} | {} |\n", rule.id(), rule.explain()));
    }
    table
}

#[test]
fn the_map_for_contributors_holds_the_table_of_rules_as_they_are() {
    let map = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let table = table_of_rules();
    assert!(
        map.contains(&table),
        "the table of rules in DEVELOPERS.md is not that of RULES; put this there:\n\n{table}"
    );
    let missing: Vec<&str> =
        stemclock::reckon::CALCULATORS.iter().map(|c| c.id).filter(|id| !map.contains(&format!("`{id}`"))).collect();
    assert!(missing.is_empty(), "DEVELOPERS.md does not name the calculators {missing:?}");
}

#[test]
fn the_map_for_contributors_holds_the_table_of_limits_as_they_are() {
    let map = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let mut table = String::from("| limit | at most | why this number |\n|---|---|---|\n");
    for limit in stemclock::guard::LIMITS {
        let most = match limit.most {
            bytes if limit.unit == "bytes" && bytes % (1 << 20) == 0 => format!("{} MiB", bytes >> 20),
            most => format!("{most} {}", limit.unit),
        };
        table.push_str(&format!("| {} | {most} | {} |\n", limit.what, limit.why));
    }
    assert!(map.contains(&table), "the table of limits in DEVELOPERS.md is not LIMITS; put this there:\n\n{table}");
}
