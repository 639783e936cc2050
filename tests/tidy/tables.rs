//! Each rule and each calculator is one file and one line in one table.

use std::collections::BTreeMap;
use std::fs;

use super::{root, sources};

#[test]
fn rules_and_calculators_are_each_one_file_and_one_line_in_one_table() {
    // A rule file that is not in the table would judge nothing, and nobody would notice.
    let table = fs::read_to_string(root().join("src/rules/mod.rs")).unwrap();
    let mut seen = BTreeMap::new();
    for source in sources().iter().filter(|s| s.path.starts_with("src/rules/") && s.code.contains("impl Rule for")) {
        let file = source
            .path
            .trim_start_matches("src/rules/")
            .trim_end_matches(".rs")
            .trim_end_matches("/mod")
            .replace('/', "::");
        let module = file.split("::").last().unwrap().to_owned();
        let lines = table
            .lines()
            .filter(|l| l.contains(&format!("&{module}::")) || l.contains(&format!("::{module}::")))
            .count();
        assert!(lines >= 1, "{} is in no line of RULES", source.path);
        *seen.entry(module).or_insert(0) += 1;
    }
    assert!(!seen.is_empty(), "no rule was found at all");
    let table = fs::read_to_string(root().join("src/reckon/mod.rs")).unwrap();
    let mut count = 0;
    for source in sources().iter().filter(|s| s.path.starts_with("src/reckon/")) {
        let Some((_, name)) = source.code.split_once("impl Reckon for ") else { continue };
        let name: String = name.chars().take_while(|c| c.is_alphanumeric()).collect();
        assert!(table.contains(&format!("of::<{name}>()")), "{} is in no line of CALCULATORS", source.path);
        count += 1;
    }
    assert_eq!(count, stemclock::reckon::CALCULATORS.len(), "every calculator is a file of its own");
}
