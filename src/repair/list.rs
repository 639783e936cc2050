//! Findings and readings that speak against riding, each with the job that puts it right, in groups that share a
//! strip-down.

use std::collections::{BTreeMap, BTreeSet};

use super::Wrench;
use crate::catalogue::{Catalogue, Caution, JobEntry, part_of};
use crate::garage::Bay;
use crate::history::Watch;
use crate::inspection::{CheckRef, FindingId, FindingRef, JobRef, Severity, Subject};
use crate::machine::{Machine, TorqueFigure, WheelPosition};
use crate::rules::{Because, Standing};
use crate::units::Torque;

/// Something to be put right.
#[derive(Clone, Debug)]
pub struct RepairItem {
    /// Its class.
    pub severity: Severity,
    /// The check it was found or read by.
    pub check: CheckRef,
    /// The finding; none where a reading is outside its limit.
    pub finding: Option<FindingRef>,
    /// Where it is and what it is.
    pub words: String,
    /// The jobs that put it right, each on its part; empty where the catalogue knows none.
    pub jobs: Vec<JobRef>,
    /// How far the watch on it has come, where it is watched.
    pub watch: Option<Watch>,
}

/// A fastener with its figure.
#[derive(Clone, Debug)]
pub struct Fastener {
    /// The machine's own figure with its source.
    pub figure: TorqueFigure,
    /// What the wrench is set to with the extension in hand; why not, where it cannot be.
    pub set_to: Option<Result<Torque, String>>,
}

/// One strip-down with everything it serves.
#[derive(Clone, Debug)]
pub struct RepairGroup {
    /// What it is called: `Rear wheel out and in`.
    pub title: String,
    /// What it serves, worst first.
    pub items: Vec<RepairItem>,
    /// The jobs in the order in which they are begun: what is taken apart first.
    pub jobs: Vec<JobRef>,
    /// What is seen to before it begins.
    pub before: Vec<String>,
    /// What matters while it is done.
    pub steps: Vec<String>,
    /// What closes it: torques, single-use parts, marks.
    pub close: Vec<String>,
    /// How it is tried, from the stand to the road.
    pub trial: Vec<String>,
    /// What goes in.
    pub parts: Vec<String>,
    /// What it is done with.
    pub tools: Vec<String>,
    /// The machine's torque figures for it. Empty where its record holds none: then they are looked up.
    pub fasteners: Vec<Fastener>,
    /// The cautions.
    pub cautions: Vec<Caution>,
    /// The checks that are asked again after it.
    pub asks: Vec<CheckRef>,
}

impl RepairGroup {
    /// Every step in order: before, while, closing, trial.
    pub fn all_steps(&self) -> impl Iterator<Item = &String> {
        self.before.iter().chain(&self.steps).chain(&self.close).chain(&self.trial)
    }
    /// The worst class that it serves.
    pub fn severity(&self) -> Severity {
        self.items.iter().map(|i| i.severity).max().unwrap_or(Severity::Minor)
    }
    /// A name that stays the same while the list changes elsewhere, for what is ticked.
    pub fn key(&self) -> String {
        self.jobs.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
    }
}

/// What is to be put right on a machine.
#[derive(Clone, Debug, Default)]
pub struct RepairList {
    /// The strip-downs, the worst first.
    pub groups: Vec<RepairGroup>,
    /// What may wait: minor, and watched up to a day or a distance that has not come yet.
    pub watched: Vec<RepairItem>,
    /// What was repaired and waits for the second look.
    pub waiting: Vec<RepairItem>,
    /// What no job of the catalogue puts right.
    pub unplaced: Vec<RepairItem>,
}

/// The repair list of a machine, from where it stands. `wrench` is the extension in hand, if there is one.
pub fn repairs(bay: &Bay, standing: &Standing<'_>, catalogue: &Catalogue, wrench: Option<&Wrench>) -> RepairList {
    let machine = &bay.machine;
    let mut list = RepairList::default();
    let mut sorted = Vec::new();
    let waiting = standing.open.iter().filter(|o| o.waits_for_second_look());
    let waiting: BTreeSet<&FindingId> = waiting.flat_map(|o| o.defect.findings.iter().map(|(_, f)| &f.id)).collect();
    for item in items(standing, catalogue, machine) {
        let waits = item.finding.as_ref().is_some_and(|f| waiting.contains(&f.finding));
        if waits {
            list.waiting.push(item);
        } else if item.watch == Some(Watch::Waiting) {
            list.watched.push(item);
        } else if item.jobs.is_empty() {
            list.unplaced.push(item);
        } else {
            sorted.push(item);
        }
    }
    for items in together(sorted, catalogue, machine) {
        list.groups.push(group(items, catalogue, machine, wrench));
    }
    list.groups.sort_by_key(|g| std::cmp::Reverse(g.severity()));
    list
}

/// Every open defect and every reading outside its limit, once.
fn items(standing: &Standing<'_>, catalogue: &Catalogue, machine: &Machine) -> Vec<RepairItem> {
    let because = standing.verdict.as_ref().map_or(&[][..], |v| v.because.as_slice());
    let words = |b: &&Because| b.words.clone();
    let mut told: BTreeMap<&FindingId, &Because> = BTreeMap::new();
    for reason in because {
        if let Some(finding) = &reason.finding {
            told.entry(finding).or_insert(reason);
        }
    }
    let found = standing.open.iter().map(|open| {
        let told = told.get(&open.finding.id);
        let jobs = catalogue.job_for(machine, &open.finding.check, &open.finding.fault, part_of(open.finding));
        RepairItem {
            severity: open.severity,
            check: open.finding.check.clone(),
            finding: Some(open.defect.reference()),
            words: told.map_or_else(|| open.because.words.clone(), words),
            jobs: jobs.unwrap_or_default(),
            watch: open.watch,
        }
    });
    let read = because.iter().filter(|b| b.finding.is_none()).map(|b| RepairItem {
        severity: b.severity,
        check: b.check.clone(),
        finding: None,
        words: b.words.clone(),
        jobs: catalogue.job_for(machine, &b.check, "", b.check.subject).unwrap_or_default(),
        watch: None,
    });
    let mut all: Vec<RepairItem> = found.chain(read).collect();
    all.sort_by_key(|i| std::cmp::Reverse(i.severity));
    all
}

/// The items in groups: two belong together where their jobs are the same or share something that is taken apart.
fn together(items: Vec<RepairItem>, catalogue: &Catalogue, machine: &Machine) -> Vec<Vec<RepairItem>> {
    let mut groups: Vec<(Vec<JobRef>, Vec<RepairItem>)> = Vec::new();
    for item in items {
        let mut needs: Vec<JobRef> = Vec::new();
        let put = |needs: &mut Vec<JobRef>, jobs: Vec<JobRef>| {
            for job in jobs {
                if !needs.contains(&job) {
                    needs.push(job);
                }
            }
        };
        item.jobs.iter().for_each(|job| put(&mut needs, catalogue.with_strips(machine, job)));
        let (shared, other): (Vec<_>, Vec<_>) =
            groups.into_iter().partition(|(jobs, _)| jobs.iter().any(|j| needs.contains(j)));
        // What was there first stays in front: the list is sorted by class.
        let mut mine = Vec::new();
        for (jobs, mut items) in shared.into_iter().rev() {
            put(&mut needs, jobs);
            if mine.is_empty() { mine = items } else { mine.append(&mut items) }
        }
        mine.push(item);
        groups = other;
        groups.push((needs, mine));
    }
    groups.into_iter().map(|(_, items)| items).collect()
}

fn group(mut items: Vec<RepairItem>, catalogue: &Catalogue, machine: &Machine, wrench: Option<&Wrench>) -> RepairGroup {
    items.sort_by_key(|i| std::cmp::Reverse(i.severity));
    let mut jobs: Vec<JobRef> = Vec::new();
    for job in items.iter().flat_map(|i| &i.jobs).flat_map(|j| catalogue.with_strips(machine, j)) {
        if !jobs.contains(&job) {
            jobs.push(job);
        }
    }
    // What is taken apart for others goes before what is done once it is apart.
    let depth = |job: &JobRef| catalogue.job(&job.job).map_or(0, |j| usize::from(!j.strips.is_empty()));
    jobs.sort_by_key(depth);
    let entries: Vec<(&JobEntry, Subject)> = jobs.iter().filter_map(|j| Some((catalogue.job(&j.job)?, j.at))).collect();
    let lines = |of: fn(&JobEntry) -> &Vec<String>| {
        let mut lines: Vec<String> = Vec::new();
        for line in entries.iter().flat_map(|(entry, _)| of(entry)) {
            if !lines.contains(line) {
                lines.push(line.clone());
            }
        }
        lines
    };
    let mut cautions: Vec<Caution> = Vec::new();
    for caution in entries.iter().flat_map(|(entry, _)| &entry.cautions).filter_map(|id| catalogue.caution(id)) {
        if !cautions.contains(caution) {
            cautions.push(caution.clone());
        }
    }
    let mut asks: Vec<CheckRef> = jobs.iter().flat_map(|j| catalogue.disturbed(machine, j)).collect();
    asks.sort();
    asks.dedup();
    RepairGroup {
        title: title(&jobs, catalogue),
        before: lines(|j| &j.before),
        steps: lines(|j| &j.steps),
        close: lines(|j| &j.close),
        trial: lines(|j| &j.trial),
        parts: lines(|j| &j.parts),
        tools: lines(|j| &j.tools),
        fasteners: fasteners(machine, &entries, wrench),
        cautions,
        asks,
        jobs,
        items,
    }
}

/// What is taken apart first, with its part; where nothing is, the job itself.
fn title(jobs: &[JobRef], catalogue: &Catalogue) -> String {
    let wheel = jobs.iter().find(|j| j.job == "wheel-out");
    let Some(first) = wheel.or(jobs.first()) else { return "Repair".into() };
    let name = catalogue.job(&first.job).map_or(first.job.as_str(), |j| j.title.as_str());
    let part = first.at.words();
    if part.is_empty() { name.to_owned() } else { format!("{name}, {part}") }
}

/// The machine's torque figures that the jobs' words name, those of the other end left out.
fn fasteners(machine: &Machine, entries: &[(&JobEntry, Subject)], wrench: Option<&Wrench>) -> Vec<Fastener> {
    let named = |figure: &TorqueFigure| {
        let text = figure.fastener.to_lowercase();
        entries
            .iter()
            .any(|(entry, at)| entry.fasteners.iter().any(|word| text.contains(word.as_str())) && is_at(&text, *at))
    };
    let own = machine.torques.iter().filter(|figure| named(figure)).cloned();
    own.map(|figure| Fastener { set_to: wrench.map(|w| w.setting(figure.torque)), figure }).collect()
}

/// Whether a fastener named in the owner's words can be at a part: `front axle nut` is not at the rear wheel.
fn is_at(text: &str, at: Subject) -> bool {
    let Some(wheel) = at.wheel() else { return true };
    let names = |word: &str| text.split(|c: char| !c.is_alphanumeric()).any(|w| w == word);
    let ends = [("front", wheel.is_front()), ("rear", wheel.is_driven()), ("sidecar", wheel == WheelPosition::Sidecar)];
    let named: Vec<_> = ends.iter().filter(|(word, _)| names(word)).collect();
    named.is_empty() || named.iter().any(|(_, is_here)| *is_here)
}
