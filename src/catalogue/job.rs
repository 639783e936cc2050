//! A job of the workshop: what it takes apart, which findings it serves, what it disturbs, and how it is closed.

use serde::Deserialize;

use super::{Condition, On};
use crate::inspection::{CheckRef, Finding, JobRef, PartRef, Place, Subject};
use crate::machine::{FluidKind, Machine, WheelPosition};

/// A job of the catalogue.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobEntry {
    /// Its id, used once.
    pub id: String,
    /// What it is called, a few words.
    pub title: String,
    /// What it is done on.
    pub on: On,
    /// Which machines it can be done on; all conditions must hold.
    #[serde(default)]
    pub when: Vec<Condition>,
    /// The jobs that take apart what it needs apart. Findings that share one are served by one strip-down.
    #[serde(default)]
    pub strips: Vec<Strip>,
    /// The parts whose fitting means that it was done.
    #[serde(default)]
    pub fits: Vec<Fits>,
    /// The findings that it puts right.
    #[serde(default)]
    pub serves: Vec<Serves>,
    /// The checks that are asked again after it, on the part it was done on and on the machine as a whole.
    pub asks: Vec<String>,
    /// Checks of the machine as a whole that are asked again after it was done at the front.
    #[serde(default)]
    pub asks_front: Vec<String>,
    /// The same for the rear.
    #[serde(default)]
    pub asks_rear: Vec<String>,
    /// What is seen to before it begins.
    #[serde(default)]
    pub before: Vec<String>,
    /// What matters while it is done.
    #[serde(default)]
    pub steps: Vec<String>,
    /// What closes it: torques, single-use parts, marks.
    #[serde(default)]
    pub close: Vec<String>,
    /// How it is tried, from the stand to the road, and what follows after some distance.
    #[serde(default)]
    pub trial: Vec<String>,
    /// What goes in.
    #[serde(default)]
    pub parts: Vec<String>,
    /// What it is done with.
    #[serde(default)]
    pub tools: Vec<String>,
    /// Words by which its fasteners are found among the machine's torque figures.
    #[serde(default)]
    pub fasteners: Vec<String>,
    /// Ids of the cautions to show with it.
    #[serde(default)]
    pub cautions: Vec<String>,
}

/// A job that takes apart what another needs apart.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Strip {
    /// Its id.
    pub job: String,
    /// Where it is done.
    #[serde(default)]
    pub at: Where,
}

/// Where a strip-down is done, seen from the job that needs it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
pub enum Where {
    /// On the same part, or the wheel that the part is at.
    #[default]
    Same,
    /// At every front wheel.
    Front,
    /// At every wheel that is none of the front.
    Rear,
    /// At the wheels that the engine drives.
    Driven,
}

/// What a job puts right.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Serves {
    /// The check.
    pub check: String,
    /// The faults; empty for all that no other job serves by name.
    #[serde(default)]
    pub faults: Vec<String>,
}

/// A kind of part, for [`JobEntry::fits`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Fits {
    /// A tyre.
    Tyre,
    /// Pads or shoes.
    Lining,
    /// A disc.
    Disc,
    /// A chain.
    Chain,
    /// A belt.
    Belt,
    /// A battery.
    Battery,
    /// A fluid.
    Fluid,
}

impl JobEntry {
    /// Whether it can be done on a machine.
    pub fn applies(&self, machine: &Machine) -> bool {
        self.when.iter().all(|c| c.holds(machine)) && !self.on.subjects(machine).is_empty()
    }
    /// How well it serves a fault of a check: 2 by name, 1 for the check as a whole, 0 not at all.
    pub fn serves(&self, check: &str, fault: &str) -> u8 {
        let of_check = self.serves.iter().filter(|s| s.check == check);
        of_check
            .map(|s| if s.faults.is_empty() { 1 } else { u8::from(s.faults.iter().any(|f| f == fault)) * 2 })
            .max()
            .unwrap_or(0)
    }
    /// The parts of a machine it is done on when a part stands for it: the part itself, the wheel it is at, or what is
    /// at that wheel.
    pub fn at(&self, machine: &Machine, part: Subject) -> Vec<Subject> {
        let own = self.on.subjects(machine);
        if own.contains(&part) {
            return vec![part];
        }
        if own == [Subject::Machine] {
            return own;
        }
        match part.wheel() {
            Some(wheel) => own.into_iter().filter(|s| s.wheel() == Some(wheel)).collect(),
            None => own.into_iter().filter(|s| touches(part, *s)).collect(),
        }
    }
    /// The parts at which one of its strip-downs is done, for the part that the job itself is done on.
    pub fn strip_at(&self, strip: &JobEntry, at: Where, machine: &Machine, part: Subject) -> Vec<Subject> {
        let wheels = |keep: &dyn Fn(WheelPosition) -> bool| {
            let wheels = machine.wheels.iter().map(|w| w.position).filter(|w| keep(*w));
            wheels.flat_map(|w| strip.at(machine, Subject::Wheel(w))).collect()
        };
        match at {
            Where::Same => strip.at(machine, part),
            Where::Front => wheels(&|w| w.is_front()),
            Where::Rear => wheels(&|w| !w.is_front()),
            Where::Driven => wheels(&|w| w.is_driven()),
        }
    }
    /// Whether it disturbs a check when it is done on a part.
    pub fn disturbs(&self, part: Subject, check: &CheckRef) -> bool {
        let named = |ids: &[String]| ids.contains(&check.check);
        let end = |is_front: bool| match end_of(part) {
            Some(front) => front == is_front,
            None => part == Subject::Machine,
        };
        let asked =
            named(&self.asks) || (named(&self.asks_front) && end(true)) || (named(&self.asks_rear) && end(false));
        asked && touches(part, check.subject)
    }
    /// Whether fitting a part means that it was done.
    pub fn is_of(&self, part: &PartRef) -> bool {
        self.fits.iter().any(|kind| {
            matches!(
                (kind, part),
                (Fits::Tyre, PartRef::Tyre(_))
                    | (Fits::Lining, PartRef::Lining(..))
                    | (Fits::Disc, PartRef::Disc(..))
                    | (Fits::Chain, PartRef::Chain)
                    | (Fits::Belt, PartRef::Belt)
                    | (Fits::Battery, PartRef::Battery)
                    | (Fits::Fluid, PartRef::Fluid(_))
            )
        })
    }
}

/// Whether a part is at the front; none where it is at neither end.
fn end_of(part: Subject) -> Option<bool> {
    match part {
        Subject::Wheel(w) | Subject::Disc(w, _) => Some(w.is_front()),
        Subject::Fluid(FluidKind::FrontBrakeFluid) => Some(true),
        Subject::Fluid(FluidKind::RearBrakeFluid) => Some(false),
        Subject::Machine | Subject::Fluid(_) => None,
    }
}

/// Whether work on one part can touch another: the same wheel, the brake fluid of the same end, and the machine as a
/// whole always.
fn touches(work: Subject, part: Subject) -> bool {
    match (work, part) {
        (Subject::Machine, _) | (_, Subject::Machine) => true,
        (Subject::Fluid(a), Subject::Fluid(b)) => a == b,
        (Subject::Fluid(_), _) | (_, Subject::Fluid(_)) => {
            // Engine oil has no end, and a wheel's work does not touch it.
            end_of(work).zip(end_of(part)).is_some_and(|(a, b)| a == b)
        }
        _ => work.wheel() == part.wheel(),
    }
}

/// The part of a machine that a finding is on: that of its check, else the wheel it was seen at.
pub fn part_of(finding: &Finding) -> Subject {
    match (finding.check.subject, &finding.place) {
        (Subject::Machine, Place::Wheel { position, .. }) => Subject::Wheel(*position),
        (subject, _) => subject,
    }
}

/// The part that a fitting was done on.
pub fn part_fitted(part: &PartRef) -> Subject {
    match part {
        PartRef::Tyre(w) | PartRef::Lining(w, None) => Subject::Wheel(*w),
        PartRef::Lining(w, Some(side)) => Subject::Disc(*w, *side),
        PartRef::Disc(w, side) => Subject::Disc(*w, *side),
        PartRef::Fluid(kind) => Subject::Fluid(*kind),
        PartRef::Chain | PartRef::Belt | PartRef::Battery | PartRef::Other(_) => Subject::Machine,
    }
}

impl super::Catalogue {
    /// The job with an id.
    pub fn job(&self, id: &str) -> Option<&JobEntry> {
        self.jobs.iter().find(|j| j.id == id)
    }
    /// The job that puts a finding right on a machine, and the parts it is done on; none where no job serves it.
    pub fn job_for(&self, machine: &Machine, check: &CheckRef, fault: &str, part: Subject) -> Option<Vec<JobRef>> {
        let serving = self.jobs.iter().filter(|j| j.applies(machine)).map(|j| (j.serves(&check.check, fault), j));
        let mut best: Option<(u8, &JobEntry, Vec<Subject>)> = None;
        for (how_well, job) in serving.filter(|(how_well, _)| *how_well > 0) {
            let at = job.at(machine, part);
            if !at.is_empty() && best.as_ref().is_none_or(|(most, _, _)| how_well > *most) {
                best = Some((how_well, job, at));
            }
        }
        best.map(|(_, job, at)| at.into_iter().map(|s| JobRef::new(job.id.clone(), s)).collect())
    }
    /// A job with every strip-down that it needs, each on its part, the strip-downs first. A job that nobody knows
    /// stands alone.
    pub fn with_strips(&self, machine: &Machine, job: &JobRef) -> Vec<JobRef> {
        let mut all = Vec::new();
        self.strip_into(machine, job, &mut all, self.jobs.len());
        all
    }
    fn strip_into(&self, machine: &Machine, job: &JobRef, into: &mut Vec<JobRef>, depth: usize) {
        if let (Some(entry), Some(depth)) = (self.job(&job.job), depth.checked_sub(1)) {
            for strip in &entry.strips {
                let Some(other) = self.job(&strip.job) else { continue };
                for at in entry.strip_at(other, strip.at, machine, job.at) {
                    self.strip_into(machine, &JobRef::new(other.id.clone(), at), into, depth);
                }
            }
        }
        if !into.contains(job) {
            into.push(job.clone());
        }
    }
    /// The jobs that fitting a part means, each on its part. A part in the owner's own words means none.
    pub fn jobs_of_fitting(&self, machine: &Machine, part: &PartRef) -> Vec<JobRef> {
        let on = part_fitted(part);
        let fitting = self.jobs.iter().filter(|j| j.is_of(part) && j.applies(machine));
        let refs = fitting.flat_map(|j| j.at(machine, on).into_iter().map(|at| JobRef::new(j.id.clone(), at)));
        refs.collect()
    }
    /// The checks of a machine that a job disturbs, its strip-downs with it, in the order of the catalogue. Where the catalogue
    /// does not know the job, nobody can say, and all of them are.
    pub fn disturbed(&self, machine: &Machine, job: &JobRef) -> Vec<CheckRef> {
        let jobs = self.with_strips(machine, job);
        let touched =
            |check: &CheckRef| jobs.iter().any(|j| self.job(&j.job).is_none_or(|entry| entry.disturbs(j.at, check)));
        let asked = self.checks.iter().filter(|c| c.when.iter().all(|w| w.holds(machine)));
        let each = asked.flat_map(|c| c.on.subjects(machine).into_iter().map(|s| CheckRef::new(c.id.clone(), s)));
        each.filter(touched).collect()
    }

    /// What is wrong with a job: a check, fault, caution or strip-down that is not there, or a strip-down that needs
    /// the job itself.
    pub(super) fn wrong_job(&self, job: &JobEntry) -> Option<String> {
        let id = &job.id;
        let named = job.asks.iter().chain(&job.asks_front).chain(&job.asks_rear);
        if let Some(check) = named.chain(job.serves.iter().map(|s| &s.check)).find(|c| self.check(c).is_none()) {
            return Some(format!("the job {id} names the check {check}, which is not there"));
        }
        for serves in &job.serves {
            let check = self.check(&serves.check);
            if let Some(fault) = serves.faults.iter().find(|f| check.is_some_and(|c| c.fault(f).is_none())) {
                return Some(format!("the job {id} serves the fault {fault} of {}, which is not there", serves.check));
            }
        }
        if let Some(strip) = job.strips.iter().find(|s| self.job(&s.job).is_none()) {
            return Some(format!("the job {id} needs the job {}, which is not there", strip.job));
        }
        if job.strips.iter().any(|s| self.needs(&s.job, id, self.jobs.len())) {
            return Some(format!("the job {id} needs itself to be taken apart first"));
        }
        let caution = job.cautions.iter().find(|c| self.caution(c).is_none())?;
        Some(format!("the job {id} names the caution {caution}, which is not there"))
    }
    /// Whether a job is, or needs, another one.
    fn needs(&self, job: &str, other: &str, depth: usize) -> bool {
        let Some(depth) = depth.checked_sub(1) else { return true };
        job == other || self.job(job).is_some_and(|j| j.strips.iter().any(|s| self.needs(&s.job, other, depth)))
    }
}
