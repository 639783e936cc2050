//! The lives of parts: when each was fitted and at which distance, when the next one took its place, and which of them
//! an inspection looked at.

use chrono::NaiveDate;

use super::OdometerLog;
use crate::garage::Bay;
use crate::inspection::{CheckRef, Condition, EventId, EventKind, Fitting, Inspection, PartRef, Subject};
use crate::machine::{FinalDrive, Machine};
use crate::units::{Distance, Length};

/// One part from the day it was fitted to the day the next one was.
#[derive(Clone, Debug, PartialEq)]
pub struct Life {
    /// The part. Pads and shoes are one set a wheel here; see [`Lives::of`].
    pub part: PartRef,
    /// When it was fitted; none for a part that was there before anybody took down a fitting.
    pub fitted_on: Option<NaiveDate>,
    /// What the odometer showed then, as it was written down.
    pub fitted_at: Option<Distance>,
    /// The distance of the machine in km then, by the odometer log: read, else drawn straight between two readings.
    pub fitted_km: Option<f64>,
    /// New or used.
    pub condition: Condition,
    /// What it is, in the owner's words.
    pub what: String,
    /// Its tread, lining or thickness when it was fitted, where it was measured.
    pub measured: Option<Length>,
    /// The event that tells it; none where only the machine's record does.
    pub event: Option<EventId>,
    /// When the next one took its place; none for the part that is in now.
    pub ended_on: Option<NaiveDate>,
    /// The distance of the machine in km then.
    pub ended_km: Option<f64>,
}

impl Life {
    /// How far it has run in km up to its end, or up to a distance of the machine.
    pub fn run_km(&self, machine_km: Option<f64>) -> Option<f64> {
        Some((self.ended_km.or(machine_km)? - self.fitted_km?).max(0.0))
    }
}

/// Something to be said of the lives.
#[derive(Clone, Debug, PartialEq)]
pub struct LifeNote {
    /// The part.
    pub part: PartRef,
    /// The event it is about, where it is one.
    pub event: Option<EventId>,
    /// Whether somebody has to put it right.
    pub is_problem: bool,
    /// Expected, found, way out; or what was taken for granted.
    pub message: String,
}

/// The lives of all parts of a machine, part by part, oldest first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lives {
    /// The lives.
    pub lives: Vec<Life>,
    /// What is to be said.
    pub notes: Vec<LifeNote>,
}

impl PartRef {
    /// The part whose wear or age a check reads, if it reads one.
    pub fn read_by(check: &CheckRef, drive: FinalDrive) -> Option<Self> {
        Some(match (check.check.as_str(), check.subject) {
            ("tyre-tread" | "tyre-age" | "tyre-look" | "tyre-mounting", Subject::Wheel(w)) => Self::Tyre(w),
            ("brake-lining", Subject::Wheel(w)) => Self::Lining(w, None),
            ("disc", Subject::Disc(w, side)) => Self::Disc(w, side),
            ("drive-wear" | "drive-slack", _) if drive == FinalDrive::Chain => Self::Chain,
            ("drive-wear" | "drive-slack", _) if drive == FinalDrive::Belt => Self::Belt,
            ("battery-rest" | "battery-charging", _) => Self::Battery,
            (
                "fluid-level" | "brake-fluid-level" | "brake-fluid-age" | "brake-fluid-condition",
                Subject::Fluid(kind),
            ) => Self::Fluid(kind),
            _ => return None,
        })
    }
    /// The part by which lives are kept: the pads or shoes of a wheel are one set.
    fn kept_as(&self) -> Self {
        match self {
            Self::Lining(w, _) => Self::Lining(*w, None),
            Self::Other(what) => Self::Other(what.trim().to_lowercase()),
            other => other.clone(),
        }
    }
}

/// A fitting with its day and the event that tells it.
struct Told {
    date: NaiveDate,
    event: Option<EventId>,
    fitting: Fitting,
}

impl Lives {
    /// The lives by the events and the machine's record, as they are known on a day.
    ///
    /// The pads of a wheel are one set, whose thinnest is read: it begins anew only when every side has been renewed
    /// since it began, however many events that took.
    pub fn of(bay: &Bay, log: &OdometerLog, today: NaiveDate) -> Self {
        let mut told: Vec<Told> = bay
            .in_force()
            .filter_map(|e| match &e.kind {
                EventKind::PartFitted(fitting) => {
                    Some(Told { date: e.date, event: Some(e.id.clone()), fitting: (**fitting).clone() })
                }
                _ => None,
            })
            .filter(|t| t.date <= today)
            .collect();
        told.extend(by_record(&bay.machine, &told).into_iter().filter(|t| t.date <= today));
        told.sort_by_key(|t| t.date);
        let mut parts: Vec<PartRef> = told.iter().map(|t| t.fitting.part.kept_as()).collect();
        parts.sort();
        parts.dedup();
        let mut lives = Self::default();
        for part in parts {
            let mine: Vec<&Told> = told.iter().filter(|t| t.fitting.part.kept_as() == part).collect();
            lives.one_part(&part, &mine, bay, log);
        }
        lives
    }

    fn one_part(&mut self, part: &PartRef, told: &[&Told], bay: &Bay, log: &OdometerLog) {
        let mut own = vec![Life {
            part: part.clone(),
            fitted_on: None,
            fitted_at: None,
            fitted_km: None,
            condition: Condition::Used(None),
            what: String::new(),
            measured: None,
            event: None,
            ended_on: None,
            ended_km: None,
        }];
        let mut renewed = Vec::new();
        for (index, told) in told.iter().enumerate() {
            self.doubts(told, index == 0, bay, log);
            if !completes(&mut renewed, told, &bay.machine) {
                self.notes.push(LifeNote {
                    part: part.clone(),
                    event: told.event.clone(),
                    is_problem: false,
                    message: format!(
                        "only one side was renewed on {}: the thinnest pad of the wheel goes on as before",
                        told.date
                    ),
                });
                continue;
            }
            renewed.clear();
            let km = told.fitting.odometer.map(|o| log.run_at(told.date, o)).or_else(|| log.run_between(told.date));
            if let Some(before) = own.last_mut() {
                (before.ended_on, before.ended_km) = (Some(told.date), km);
            }
            own.push(Life {
                part: part.clone(),
                fitted_on: Some(told.date),
                fitted_at: told.fitting.odometer,
                fitted_km: km,
                condition: told.fitting.condition,
                what: described(&told.fitting),
                measured: told.fitting.measured,
                event: told.event.clone(),
                ended_on: None,
                ended_km: None,
            });
        }
        self.lives.append(&mut own);
    }

    /// What cannot be right about a fitting.
    fn doubts(&mut self, told: &Told, is_first: bool, bay: &Bay, log: &OdometerLog) {
        let part = told.fitting.part.clone();
        let mut say = |is_problem, message| {
            self.notes.push(LifeNote { part: part.clone(), event: told.event.clone(), is_problem, message });
        };
        if let Some(shown) = told.fitting.odometer {
            let km = log.run_at(told.date, shown);
            let later = log.sound().find(|(day, run)| *day > told.date && *run < km - 0.5);
            if let Some((day, _)) = later {
                say(
                    true,
                    format!(
                        "expected the {} to be fitted at an odometer below that of {day}, found {shown} on {}: take the event back and record it again, or correct the reading",
                        part.words(),
                        told.date
                    ),
                );
            }
        }
        let made = told.fitting.tyre.as_ref().and_then(|t| t.tin).and_then(|tin| tin.made());
        if let Some(made) = made.filter(|made| *made > told.date) {
            say(
                true,
                format!(
                    "expected a tyre made before it was fitted on {}, found the week of {made} in its date code: read the code again",
                    told.date
                ),
            );
        }
        let first = bay.inspections.iter().find(|i| i.date < told.date && measures(i, &part, bay.machine.final_drive));
        if let Some(read) = first.filter(|_| is_first && told.event.is_some()) {
            say(
                false,
                format!(
                    "the {} was read on {}, before this one was fitted on {}: that reading is of the one before",
                    part.words(),
                    read.date,
                    told.date
                ),
            );
        }
    }

    /// The lives of one part, oldest first; the first of them is what was there before.
    pub fn of_part(&self, part: &PartRef) -> impl DoubleEndedIterator<Item = &Life> {
        let part = part.kept_as();
        self.lives.iter().filter(move |l| l.part == part)
    }
    /// The part that is in now; none where no fitting was ever taken down.
    pub fn current(&self, part: &PartRef) -> Option<&Life> {
        self.of_part(part).next_back()
    }
    /// The life that an inspection looked at: on the day of a fitting the one before, unless it is a look after work.
    pub fn seen_in(&self, part: &PartRef, inspection: &Inspection) -> Option<&Life> {
        let after_work = inspection.kind == "work";
        let began =
            |l: &&Life| l.fitted_on.is_none_or(|day| day < inspection.date || (day == inspection.date && after_work));
        self.of_part(part).rfind(began)
    }
    /// Whether two inspections looked at one and the same part. Where no fitting was taken down it is taken to be.
    pub fn is_same(&self, part: &PartRef, one: &Inspection, other: &Inspection) -> bool {
        match (self.seen_in(part, one), self.seen_in(part, other)) {
            (Some(a), Some(b)) => std::ptr::eq(a, b),
            _ => true,
        }
    }
}

/// What the machine's record says of fittings that no event tells: its tyres and its fluids.
fn by_record(machine: &Machine, told: &[Told]) -> Vec<Told> {
    let tyres = machine.wheels.iter().filter_map(|w| {
        let tyre = w.tyre.as_ref()?;
        let fitting = Fitting {
            odometer: tyre.fitted_at,
            tyre: Some(Box::new(tyre.clone())),
            ..Fitting::new(PartRef::Tyre(w.position))
        };
        Some(Told { date: tyre.fitted_on?, event: None, fitting })
    });
    let fluids = machine.fluids.iter().filter_map(|f| {
        let fitting = Fitting { what: f.grade.clone(), ..Fitting::new(PartRef::Fluid(f.kind)) };
        Some(Told { date: f.changed_on?, event: None, fitting })
    });
    let known = |t: &Told| told.iter().any(|e| e.fitting.part == t.fitting.part && e.date >= t.date);
    tyres.chain(fluids).filter(|t| !known(t)).collect()
}

/// Notes the sides that a fitting renews; true when every side of a set of pads has been renewed, and for other parts.
fn completes(renewed: &mut Vec<crate::clock::Side>, told: &Told, machine: &Machine) -> bool {
    let PartRef::Lining(wheel, Some(side)) = told.fitting.part else { return true };
    renewed.push(side);
    let sides = machine.wheel(wheel).map(crate::machine::Wheel::disc_sides).unwrap_or_default();
    sides.iter().all(|s| renewed.contains(s))
}

fn described(fitting: &Fitting) -> String {
    let marking = fitting.tyre.as_ref().map(|t| t.marking.to_string());
    let what = Some(fitting.what.trim().to_owned()).filter(|w| !w.is_empty());
    marking.into_iter().chain(what).collect::<Vec<_>>().join(", ")
}

/// Whether an inspection holds a reading of a part.
fn measures(inspection: &Inspection, part: &PartRef, drive: FinalDrive) -> bool {
    let part = part.kept_as();
    inspection.answers.iter().any(|(check, answer)| {
        !answer.readings.is_empty() && PartRef::read_by(check, drive).is_some_and(|read| read == part)
    })
}
