//! The repair list for the command line, as text and as data.

use serde_json::{Value, json};

use crate::garage::Bay;
use crate::repair::{RepairItem, RepairList, repairs};
use crate::rules::Standing;
use crate::units::Preferences;

/// The list of a machine from where it stands.
pub fn list(bay: &Bay, standing: &Standing<'_>, catalogue: &crate::catalogue::Catalogue) -> RepairList {
    repairs(bay, standing, catalogue, None)
}

/// In a few words: `2 strip-downs for 3 findings; 1 watched`; empty where nothing is open.
pub fn summary(list: &RepairList) -> String {
    let served: usize = list.groups.iter().map(|g| g.items.len()).sum();
    let mut parts = Vec::new();
    if served > 0 {
        parts.push(format!("{} for {}", count(list.groups.len(), "job"), count(served, "finding")));
    }
    for (n, words) in [
        (list.waiting.len(), "repaired, second look to come"),
        (list.watched.len(), "watched"),
        (list.unplaced.len(), "for a workshop"),
    ] {
        if n > 0 {
            parts.push(format!("{n} {words}"));
        }
    }
    parts.join("; ")
}

fn count(n: usize, noun: &str) -> String {
    format!("{n} {noun}{}", if n == 1 { "" } else { "s" })
}

/// As text, one strip-down below the other.
pub fn text(list: &RepairList, units: &Preferences) -> String {
    let mut text = String::new();
    for group in &list.groups {
        text.push_str(&format!("\n  {}\n", group.title));
        for item in &group.items {
            text.push_str(&format!("    {:<9}  {}\n", item.severity.word(), item.words));
        }
        for fastener in &group.fasteners {
            let figure = &fastener.figure;
            text.push_str(&format!(
                "    torque     {} {} ({})\n",
                figure.fastener,
                units.show(figure.torque),
                figure.source
            ));
        }
    }
    text
}

/// As data.
pub fn data(list: &RepairList) -> Value {
    let items = |items: &[RepairItem]| -> Vec<Value> {
        items
            .iter()
            .map(|i| {
                json!({
                    "severity": i.severity.word(),
                    "words": i.words,
                    "check": i.check.to_string(),
                    "finding": i.finding.as_ref().map(|f| f.finding.0.clone()),
                    "jobs": i.jobs.iter().map(ToString::to_string).collect::<Vec<_>>(),
                })
            })
            .collect()
    };
    json!({
        "jobs": list.groups.iter().map(|g| json!({
            "title": g.title,
            "severity": g.severity().word(),
            "jobs": g.jobs.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "findings": items(&g.items),
            "parts": g.parts,
            "tools": g.tools,
            "fasteners": g.fasteners.iter().map(|f| json!({
                "fastener": f.figure.fastener,
                "torque": f.figure.torque.to_string(),
                "source": f.figure.source.to_string(),
            })).collect::<Vec<_>>(),
            "steps": g.all_steps().collect::<Vec<_>>(),
            "cautions": g.cautions.iter().map(|c| c.text.clone()).collect::<Vec<_>>(),
            "asked_again": g.asks.iter().map(ToString::to_string).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "waiting_for_second_look": items(&list.waiting),
        "watched": items(&list.watched),
        "no_job_known": items(&list.unplaced),
    })
}
