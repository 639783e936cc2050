//! Defects over time: findings that are one and the same, what was seen of them since, and whether they are still open.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::garage::Bay;
use crate::inspection::{Event, EventKind, Finding, FindingId, FindingRef, Inspection, Place, Revisit, Seen, Until};
use crate::units::{Distance, Length};

/// One defect: a finding, or several that a person said are one, with the later looks at it.
#[derive(Clone, Debug)]
pub struct Defect<'a> {
    /// The findings that are one, oldest first; never empty.
    pub findings: Vec<(&'a Inspection, &'a Finding)>,
    /// Later looks in inspections that carried it, oldest first; those that nobody did are left out.
    pub looks: Vec<(&'a Inspection, &'a Revisit)>,
    /// The event that closed it; none while any of its findings is open.
    pub closed: Option<&'a Event>,
    /// The jobs done for it that nobody has closed by a second look, oldest first.
    pub jobs: Vec<&'a Event>,
    /// The event by which it is watched, if it is.
    pub watched: Option<&'a Event>,
}

impl<'a> Defect<'a> {
    /// The finding it was first seen by.
    pub fn first(&self) -> (&'a Inspection, &'a Finding) {
        self.findings[0]
    }
    /// The finding it was last seen by.
    pub fn latest(&self) -> (&'a Inspection, &'a Finding) {
        self.findings[self.findings.len() - 1]
    }
    /// The finding it was last seen by, as a reference.
    pub fn reference(&self) -> FindingRef {
        let (inspection, finding) = self.latest();
        FindingRef { inspection: inspection.id.clone(), finding: finding.id.clone() }
    }
    /// Whether a finding is one of it.
    pub fn holds(&self, finding: &FindingId) -> bool {
        self.findings.iter().any(|(_, f)| &f.id == finding)
    }
    /// Every size that was measured, oldest first, each with its inspection.
    pub fn sizes(&self) -> Vec<(&'a Inspection, Length)> {
        let found = self.findings.iter().filter_map(|(i, f)| Some((*i, f.size?)));
        let looked = self.looks.iter().filter_map(|(i, r)| Some((*i, r.size?)));
        let mut sizes: Vec<_> = found.chain(looked).collect();
        sizes.sort_by_key(|(i, _)| (i.date, i.started));
        sizes
    }
    /// Its size when it was measured last.
    pub fn size(&self) -> Option<Length> {
        self.sizes().last().map(|(_, size)| *size)
    }
    /// The first and the last size, where it was measured on two days at least and they differ.
    pub fn growth(&self) -> Option<(Length, Length)> {
        let sizes = self.sizes();
        let ((_, first), (_, last)) = sizes.first().zip(sizes.last())?;
        (first != last).then_some((*first, *last))
    }
    /// The last look at it in an inspection that carried it.
    pub fn last_look(&self) -> Option<(&'a Inspection, &'a Revisit)> {
        self.looks.last().copied()
    }
    /// Whether it was looked for and was no longer to be seen. It is open all the same until somebody closes it.
    pub fn is_gone(&self) -> bool {
        let last_found = self.latest().0.date;
        self.last_look().is_some_and(|(i, r)| r.seen == Seen::Gone && i.date >= last_found)
    }
}

/// How far the watch on a minor finding has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Watch {
    /// It may still wait.
    Waiting,
    /// The day or the distance is over.
    Over,
    /// It has no end, which a person must set.
    Endless,
}

impl Until {
    /// How far the watch has come on a day at an odometer reading.
    pub fn watch(&self, today: NaiveDate, odometer: Option<Distance>) -> Watch {
        if self.date.is_none() && self.odometer.is_none() {
            return Watch::Endless;
        }
        let by_date = self.date.is_some_and(|d| today > d);
        let by_distance = self.odometer.zip(odometer).is_some_and(|(end, now)| now > end);
        if by_date || by_distance { Watch::Over } else { Watch::Waiting }
    }
}

/// Every defect of a machine, in the order in which they were first seen.
///
/// A link holds between two findings of this machine at one wheel, or both elsewhere; it is undone by a later event
/// that says that they are two, or by taking it back. A closing closes what was found up to its day: what is seen
/// again later is open.
pub fn defects(bay: &Bay) -> Vec<Defect<'_>> {
    let all: Vec<(&Inspection, &Finding)> =
        bay.inspections.iter().flat_map(|i| i.findings.iter().map(move |f| (i, f))).collect();
    let mut group: Vec<usize> = (0..all.len()).collect();
    for (earlier, later) in links(bay) {
        let at = |r: &FindingRef| all.iter().position(|(i, f)| i.id == r.inspection && f.id == r.finding);
        if let (Some(a), Some(b)) = (at(earlier), at(later))
            && may_be_one(all[a].1, all[b].1)
        {
            let (from, to) = (group[a].max(group[b]), group[a].min(group[b]));
            group.iter_mut().filter(|g| **g == from).for_each(|g| *g = to);
        }
    }
    let mut groups: BTreeMap<usize, Vec<(&Inspection, &Finding)>> = BTreeMap::new();
    for (root, found) in group.into_iter().zip(all) {
        groups.entry(root).or_default().push(found);
    }
    let told = Told::of(bay);
    groups.into_values().map(|findings| one(bay, &told, findings)).collect()
}

/// The findings that any event or later look names. A garage may hold thousands that none does, and for those nothing
/// is searched.
struct Told<'a> {
    closed: BTreeSet<&'a FindingId>,
    worked_on: BTreeSet<&'a FindingId>,
    watched: BTreeSet<&'a FindingId>,
    looks: BTreeMap<&'a FindingId, Vec<(usize, &'a Inspection, &'a Revisit)>>,
}

impl<'a> Told<'a> {
    fn of(bay: &'a Bay) -> Self {
        let (mut closed, mut worked_on, mut watched) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
        for event in &bay.events {
            match &event.kind {
                EventKind::FindingClosed { finding, .. } => drop(closed.insert(finding)),
                EventKind::Job(job) => worked_on.extend(job.findings.iter().map(|f| &f.finding)),
                EventKind::Watched { of, .. } => drop(watched.insert(&of.finding)),
                _ => {}
            }
        }
        let mut looks: BTreeMap<_, Vec<_>> = BTreeMap::new();
        let all = bay.inspections.iter().flat_map(|i| i.carried.iter().map(move |(id, look)| (i, id, look)));
        for (place, (inspection, id, look)) in all.enumerate().filter(|(_, (_, _, look))| !look.seen.is_open()) {
            looks.entry(id).or_default().push((place, inspection, look));
        }
        Self { closed, worked_on, watched, looks }
    }
    fn closing(&self, bay: &'a Bay, finding: &FindingId) -> Option<&'a Event> {
        self.closed.contains(finding).then(|| bay.closing(finding)).flatten()
    }
}

/// The open defects of a machine.
pub fn open_defects(bay: &Bay) -> Vec<Defect<'_>> {
    defects(bay).into_iter().filter(|d| d.closed.is_none()).collect()
}

fn one<'a>(bay: &'a Bay, told: &Told<'a>, findings: Vec<(&'a Inspection, &'a Finding)>) -> Defect<'a> {
    let closings: Vec<&Event> = findings.iter().filter_map(|(_, f)| told.closing(bay, &f.id)).collect();
    let own = |f: &Finding| told.closing(bay, &f.id).is_some();
    let is_closed = |i: &Inspection, f: &Finding| own(f) || closings.iter().any(|e| e.date >= i.date);
    let closed =
        findings.iter().all(|(i, f)| is_closed(i, f)).then(|| closings.iter().max_by_key(|e| e.date)).flatten();
    let mut looks: Vec<_> = findings.iter().filter_map(|(_, f)| told.looks.get(&f.id)).flatten().copied().collect();
    looks.sort_by_key(|(place, ..)| *place);
    looks.dedup_by_key(|(place, ..)| *place);
    let looks = looks.into_iter().map(|(_, inspection, look)| (inspection, look)).collect();
    let worked_on = findings.iter().filter(|(_, f)| told.worked_on.contains(&f.id));
    let mut jobs: Vec<&Event> = worked_on.flat_map(|(_, f)| bay.jobs_for(&f.id)).collect();
    jobs.sort_by_key(|e| (e.date, &e.id));
    jobs.dedup_by_key(|e| &e.id);
    let is_watched = findings.iter().any(|(_, f)| told.watched.contains(&f.id));
    let watched = is_watched
        .then(|| {
            bay.in_force().rev().find(|e| match &e.kind {
                EventKind::Watched { of, .. } => findings.iter().any(|(_, f)| f.id == of.finding),
                _ => false,
            })
        })
        .flatten();
    Defect { findings, looks, closed: closed.copied(), jobs, watched }
}

/// The pairs that were said to be one and not, later, to be two.
fn links(bay: &Bay) -> Vec<(&FindingRef, &FindingRef)> {
    let mut pairs: Vec<(&FindingRef, &FindingRef)> = Vec::new();
    for event in bay.in_force() {
        match &event.kind {
            EventKind::SameDefect { earlier, later } => pairs.push((earlier, later)),
            EventKind::Apart { earlier, later } => pairs.retain(|p| *p != (earlier, later) && *p != (later, earlier)),
            _ => {}
        }
    }
    pairs
}

/// Whether two findings can be one defect at all: at one wheel, or neither at a wheel.
pub fn may_be_one(a: &Finding, b: &Finding) -> bool {
    match (&a.place, &b.place) {
        (Place::Wheel { position: p, zone: z, .. }, Place::Wheel { position: q, zone: y, .. }) => {
            p == q && z.is_tyre() == y.is_tyre()
        }
        (Place::Part { .. }, Place::Part { .. }) => true,
        _ => false,
    }
}
