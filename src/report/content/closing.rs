//! The end of a record: the cautions of what was done, and what the record is and is not.

use std::collections::BTreeSet;

use super::case::RecordCase;
use super::words::{capital, day, or_not_recorded};
use crate::catalogue::{Catalogue, Caution};
use crate::drawing::shape::Ink;
use crate::inspection::Inspection;
use crate::machine::{BatteryKind, FluidKind, Machine, Power};
use crate::report::block::{Block, BlockKind, Span};

pub(super) fn blocks(case: &RecordCase<'_>) -> Vec<Block> {
    let mut blocks = Vec::new();
    let cautions = cautions(case.input.catalogue, case.machine(), case.input.inspection);
    if !cautions.is_empty() {
        blocks.push(Block::heading(2, "Cautions for work on this machine"));
        let items = cautions
            .into_iter()
            .map(|caution| {
                let source = match caution.source.as_str() {
                    "common practice" => "(common practice)".to_owned(),
                    published => case.sources.number(published),
                };
                vec![
                    Span::text(format!("{}. ", caution.title)).strong().small(),
                    Span::text(format!("{} ", caution.text)).small(),
                    Span::text(source).small().ink(Ink::Faint),
                ]
            })
            .collect();
        blocks.push(Block::from(BlockKind::Bullets { items }));
    }
    blocks.push(Block::heading(2, "About this record"));
    blocks.push(Block::paragraph(
        "This record says what one person saw, felt and measured on one day. It is not a statement of legal \
         roadworthiness and takes the place of no test that the law asks for. The machine's service manual, the law of \
         the place, and a licensed mechanic or test station go before it.",
    ));
    blocks.push(Block::paragraph(
        "A finding is minor, major or dangerous. The classes follow Directive 2014/45/EU, annex I, as far as the \
         directive has an item; common practice may raise a class and never lowers it. The mark says the same as the \
         word: one notch for minor, two notches and half filled for major, three notches and filled for dangerous.",
    ));
    blocks.push(Block::paragraph(
        "Figures are worked out first and rounded for print afterwards, so a margin may differ by one in its last place \
         from the difference of the two figures beside it.",
    ));
    blocks.push(Block::key_values(about(case), false));
    blocks.extend(case.sources.blocks());
    blocks
}

fn about(case: &RecordCase<'_>) -> Vec<(&'static str, String)> {
    let (input, inspection) = (case.input, case.input.inspection);
    let mut pairs = vec![
        ("Looked at by", or_not_recorded(&inspection.inspector)),
        ("Judged as on", day(inspection.date)),
        ("Printed", format!("{} at {}", day(input.now.date_naive()), input.now.format("%H:%M %:z"))),
        ("Rules applied", capital(&format!("{}. {}", case.region.0, case.region.1))),
        ("Record", format!("{} of {}, schema {}", inspection.id, case.machine().id, inspection.schema)),
        ("Made with", format!("Stemclock {}", env!("CARGO_PKG_VERSION"))),
    ];
    if input.catalogue.region(&case.machine().region).is_none() {
        pairs.push((
            "Region",
            format!(
                "\"{}\" is not among the regions at hand, so no law was applied; choose a region for the machine",
                case.machine().region
            ),
        ));
    }
    pairs
}

/// Whether the machine has what a caution is about.
fn concerns(machine: &Machine, caution: &str) -> bool {
    match caution {
        "lithium-cold" => machine.battery == BatteryKind::LithiumIronPhosphate,
        "traction-battery" => machine.power == Power::Electric,
        "coolant-cap" => machine.fluid(FluidKind::Coolant).is_some(),
        "battery" | "swollen-cell" => machine.battery != BatteryKind::None || machine.power == Power::Electric,
        "carbon-monoxide" | "fuel" => machine.power == Power::Combustion,
        _ => true,
    }
}

/// The cautions of the checks that were done or found something, each once, without those for parts that the machine
/// does not have.
pub(super) fn cautions<'c>(catalogue: &'c Catalogue, machine: &Machine, inspection: &Inspection) -> Vec<&'c Caution> {
    let done = inspection.answers.keys().chain(inspection.findings.iter().map(|f| &f.check));
    let mut seen = BTreeSet::new();
    done.filter_map(|check| catalogue.check(&check.check))
        .flat_map(|check| &check.cautions)
        .filter(|id| seen.insert(id.as_str()) && concerns(machine, id))
        .filter_map(|id| catalogue.caution(id))
        .collect()
}
