//! The odometer log: every reading of a machine in order, as one distance that only grows, and what is wrong with it.
//!
//! Nothing is thrown away: a reading that cannot be right stays in the log, is said, and is left out of the distances.

mod typed;

pub use typed::doubt_of;

use chrono::{NaiveDate, NaiveTime};

use crate::garage::Bay;
use crate::inspection::{EventId, EventKind, InspectionId};
use crate::units::Distance;

/// Where a reading was taken down.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// In an inspection.
    Inspection(InspectionId),
    /// By an event.
    Event(EventId),
}

/// A reading of the odometer.
#[derive(Clone, Debug, PartialEq)]
pub struct OdometerEntry {
    /// The day.
    pub date: NaiveDate,
    /// The time, where it is known.
    pub time: Option<NaiveTime>,
    /// What was read, in the unit it was typed in.
    pub shown: Distance,
    /// Where it was taken down.
    pub source: Source,
    /// The distance of the machine in km, going on over a replaced instrument and past its last figure; none for a
    /// reading that cannot be right.
    pub run_km: Option<f64>,
}

/// What is to be said of the log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubt {
    /// Lower than an earlier reading: left out.
    GoesBack,
    /// The day has not come yet: left out.
    ToCome,
    /// Lower than before and staying so: taken for a replaced instrument that nobody recorded.
    LooksReplaced,
    /// From the last figure back to nought: taken for run round.
    RolledOver,
    /// Two readings of one day, their order not known: the smaller is taken for the earlier.
    SameDay,
    /// Farther than anyone rides in the time.
    TooFast,
    /// Miles and kilometres in one log.
    MixedUnits,
}

impl Doubt {
    /// Whether somebody has to put it right. The others are only said.
    pub fn is_problem(self) -> bool {
        matches!(self, Self::GoesBack | Self::ToCome | Self::LooksReplaced)
    }
}

/// Something to be said of one reading.
#[derive(Clone, Debug, PartialEq)]
pub struct OdometerNote {
    /// What.
    pub doubt: Doubt,
    /// The reading.
    pub source: Source,
    /// Its day.
    pub date: NaiveDate,
    /// What it shows.
    pub shown: Distance,
    /// Expected, found, way out.
    pub message: String,
}

/// The log of one machine.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OdometerLog {
    /// Every reading, oldest first.
    pub entries: Vec<OdometerEntry>,
    /// What is to be said of them.
    pub notes: Vec<OdometerNote>,
    /// From which day each instrument counts, with the km to be added to what it shows.
    offsets: Vec<(NaiveDate, f64)>,
}

/// A distance a day that nobody rides, in km: 2500 is more than a day and a night at motorway speed. House rule.
const FASTEST_DAY_KM: f64 = 2500.0;

/// An instrument that was replaced: its day, its last figure, the first of the new one.
struct Replaced {
    date: NaiveDate,
    last: Option<Distance>,
    first: Distance,
}

impl OdometerLog {
    /// The log of a machine as it is known on a day.
    pub fn of(bay: &Bay, today: NaiveDate) -> Self {
        let mut log = Self::default();
        let (entries, mut replaced) = gather(bay);
        for entry in entries {
            if entry.date > today {
                log.note(
                    Doubt::ToCome,
                    &entry,
                    format!(
                        "expected a day up to today ({today}), found {} on {}: correct the day",
                        entry.shown, entry.date
                    ),
                );
            }
            log.entries.push(entry);
        }
        replaced.retain(|r| r.date <= today);
        log.order();
        log.reckon(&replaced, today);
        log.say_units();
        log
    }

    fn note(&mut self, doubt: Doubt, entry: &OdometerEntry, message: String) {
        self.notes.push(OdometerNote {
            doubt,
            source: entry.source.clone(),
            date: entry.date,
            shown: entry.shown,
            message,
        });
    }

    /// By day; within a day by time, or by figure where a time is not known.
    fn order(&mut self) {
        self.entries.sort_by_key(|a| a.date);
        let mut start = 0;
        let mut said = Vec::new();
        while start < self.entries.len() {
            let date = self.entries[start].date;
            let end = start + self.entries[start..].iter().take_while(|e| e.date == date).count();
            let day = &mut self.entries[start..end];
            if day.iter().all(|e| e.time.is_some()) {
                day.sort_by_key(|e| e.time);
            } else {
                day.sort_by(|a, b| a.shown.base().total_cmp(&b.shown.base()));
                if let [first, .., last] = &*day
                    && first.shown != last.shown
                {
                    let message = format!(
                        "{} and {} were both read on {date}; the smaller is taken for the earlier",
                        first.shown, last.shown
                    );
                    said.push((last.clone(), message));
                }
            }
            start = end;
        }
        for (entry, message) in said {
            self.note(Doubt::SameDay, &entry, message);
        }
    }

    /// Gives each reading its distance, instrument by instrument.
    fn reckon(&mut self, replaced: &[Replaced], today: NaiveDate) {
        let past = self.entries.iter().take_while(|e| e.date <= today).count();
        let mut at = 0;
        let mut offset = 0.0;
        let mut highest: Option<(f64, usize)> = None;
        let mut begins = NaiveDate::MIN;
        for (n, change) in replaced.iter().map(Some).chain([None]).enumerate() {
            let end = match change {
                None => past,
                Some(change) => at + self.entries[at..past].iter().take_while(|e| is_before(e, change)).count(),
            };
            self.offsets.push((begins, offset));
            self.one_instrument(at..end, &mut offset, &mut highest);
            let Some(change) = change else { break };
            let last = change.last.map(|l| offset + km(l)).or(highest.map(|(run, _)| run));
            if let (Some(last), Some((most, index))) = (last, highest)
                && last < most
            {
                let entry = self.entries[index].clone();
                let message = format!(
                    "expected at least {} as the last figure of the instrument replaced on {}, found {}: correct the reading, or take that event back and record it again",
                    entry.shown,
                    change.date,
                    change.last.map_or_else(|| "none".into(), |l| l.to_string()),
                );
                self.note(Doubt::GoesBack, &entry, message);
            }
            let last = last.map(|l| highest.map_or(l, |(most, _)| l.max(most)));
            offset = last.unwrap_or(offset) - km(change.first);
            begins = change.date;
            at = end;
            debug_assert!(n <= replaced.len());
        }
    }

    /// The readings of one instrument: breaks where it ran round or was replaced unsaid, and what goes back between.
    fn one_instrument(&mut self, range: std::ops::Range<usize>, offset: &mut f64, highest: &mut Option<(f64, usize)>) {
        let mut start = range.start;
        while start < range.end {
            let stop = (start + 1..range.end).find(|&k| self.break_at(k, range.end).is_some()).unwrap_or(range.end);
            self.one_run(start..stop, *offset, highest);
            if stop < range.end
                && let Some((doubt, added)) = self.break_at(stop, range.end)
            {
                let (before, entry) = (self.entries[stop - 1].clone(), self.entries[stop].clone());
                let message = match doubt {
                    Doubt::RolledOver => format!(
                        "{} on {} after {} on {} is taken for an odometer that ran round past its last figure; if it was replaced, record that",
                        entry.shown, entry.date, before.shown, before.date
                    ),
                    _ => format!(
                        "expected at least {}, as read on {}, found {} on {} and no more since: if the odometer was replaced, record that; until then it is taken to go on from there",
                        before.shown, before.date, entry.shown, entry.date
                    ),
                };
                self.note(doubt, &entry, message);
                *offset = match added {
                    Some(round) => *offset + round,
                    None => highest.map_or(*offset, |(run, _)| run) - km(entry.shown),
                };
                self.offsets.push((entry.date, *offset));
            }
            start = stop;
        }
    }

    /// Whether the instrument began anew at an index: run round (with the km of a round), or replaced unsaid.
    fn break_at(&self, k: usize, end: usize) -> Option<(Doubt, Option<f64>)> {
        let (before, now) = (&self.entries[k - 1].shown, &self.entries[k].shown);
        if now >= before {
            return None;
        }
        let (earlier, later) = (&self.entries[..k], &self.entries[k..end]);
        let stays = later.iter().all(|e| e.shown < *before);
        for round in [100_000.0, 1_000_000.0] {
            let same_unit = before.unit() == now.unit();
            if same_unit && before.amount() >= 0.9 * round && before.amount() < round && now.amount() <= 0.1 * round {
                return stays.then_some((Doubt::RolledOver, Some(round * km(*before) / before.amount())));
            }
        }
        // One high figure among low ones is a slip of the pen; two of them were an instrument.
        let above = earlier.iter().rev().take(2).filter(|e| later.iter().all(|l| l.shown < e.shown)).count();
        let is_new = stays && above == 2 && later.len() > 1 && now.base() < 0.5 * before.base();
        is_new.then_some((Doubt::LooksReplaced, None))
    }

    /// Readings of one instrument without a break: the most of them that only grow are believed, the others are said.
    fn one_run(&mut self, range: std::ops::Range<usize>, offset: f64, highest: &mut Option<(f64, usize)>) {
        let figures: Vec<f64> = self.entries[range.clone()].iter().map(|e| offset + km(e.shown)).collect();
        // What the machine had run already when this instrument went in is a floor for it.
        let floor = highest.map_or(f64::NEG_INFINITY, |(run, _)| run - 1e-6);
        let open: Vec<usize> = (0..figures.len()).filter(|&i| figures[i] >= floor).collect();
        let believed: Vec<usize> =
            growing(&open.iter().map(|&i| figures[i]).collect::<Vec<_>>()).into_iter().map(|i| open[i]).collect();
        let mut last = highest.map(|(_, index)| index);
        for (i, &figure) in figures.iter().enumerate() {
            let index = range.start + i;
            if believed.contains(&i) {
                self.entries[index].run_km = Some(figure);
                if let Some(before) = last {
                    self.say_fast(before, index);
                }
                last = Some(index);
                *highest = Some((figure, index));
            }
        }
        for i in (0..figures.len()).filter(|i| !believed.contains(i)) {
            self.say_back(range.start + i);
        }
    }

    fn say_fast(&mut self, before: usize, index: usize) {
        let (a, b) = (self.entries[before].clone(), self.entries[index].clone());
        let (Some(from), Some(to)) = (a.run_km, b.run_km) else { return };
        let days = (b.date - a.date).num_days().max(0) as f64 + 1.0;
        if (to - from) / days > FASTEST_DAY_KM {
            let message = format!(
                "{} on {} after {} on {} is more than {FASTEST_DAY_KM} km a day: look at the figure and its unit again",
                b.shown, b.date, a.shown, a.date
            );
            self.note(Doubt::TooFast, &b, message);
        }
    }

    fn say_back(&mut self, index: usize) {
        let entry = self.entries[index].clone();
        let figure = km(entry.shown);
        let before = self.entries[..index].iter().rev().find(|e| e.run_km.is_some() && km(e.shown) > figure);
        let after = self.entries[index + 1..].iter().find(|e| e.run_km.is_some() && km(e.shown) < figure);
        let mut message = match (before, after) {
            (Some(before), _) => format!(
                "expected an odometer of at least {}, as read on {}, found {} on {}",
                before.shown, before.date, entry.shown, entry.date
            ),
            (None, Some(after)) => format!(
                "expected an odometer of at most {}, as read later on {}, found {} on {}",
                after.shown, after.date, entry.shown, entry.date
            ),
            (None, None) => format!("expected an odometer that only grows, found {} on {}", entry.shown, entry.date),
        };
        message.push_str(match self.other_unit_fits(index) {
            true => ": in the other unit, miles or kilometres, it would fit; look at the unit again",
            false => ": correct the reading or the day, or record that the odometer was replaced",
        });
        self.note(Doubt::GoesBack, &entry, message);
    }

    /// Whether the same figure in the other unit would stand between its neighbours.
    fn other_unit_fits(&self, index: usize) -> bool {
        let entry = &self.entries[index];
        let miles = Distance::miles(1.0).unit();
        let other = if entry.shown.unit() == miles {
            Distance::km(entry.shown.amount())
        } else {
            Distance::miles(entry.shown.amount())
        };
        let believed = |e: &&OdometerEntry| e.run_km.is_some();
        let below = self.entries[..index].iter().rev().find(believed).is_none_or(|e| e.shown <= other);
        let above = self.entries[index + 1..].iter().find(believed).is_none_or(|e| e.shown >= other);
        below && above
    }

    fn say_units(&mut self) {
        let Some(first) = self.entries.first().map(|e| e.shown.unit()) else { return };
        if let Some(other) = self.entries.iter().find(|e| e.shown.unit() != first).cloned() {
            let message = format!(
                "the odometer was read in {} and in {}; each is kept as it was read and reckoned in one",
                first.symbol,
                other.shown.unit().symbol
            );
            self.note(Doubt::MixedUnits, &other, message);
        }
    }

    /// The readings that are believed, oldest first: day and distance of the machine in km.
    pub fn sound(&self) -> impl DoubleEndedIterator<Item = (NaiveDate, f64)> {
        self.entries.iter().filter_map(|e| Some((e.date, e.run_km?)))
    }
    /// The distance of the machine in km at the last believed reading on or before a day.
    pub fn run_on(&self, day: NaiveDate) -> Option<f64> {
        self.sound().take_while(|(d, _)| *d <= day).last().map(|(_, run)| run)
    }
    /// The distance of the machine in km on a day, drawn straight between the readings round it; none outside them.
    pub fn run_between(&self, day: NaiveDate) -> Option<f64> {
        let before = self.sound().take_while(|(d, _)| *d <= day).last();
        let after = self.sound().find(|(d, _)| *d >= day);
        let ((from, low), (to, high)) = before.zip(after)?;
        let days = (to - from).num_days();
        if days == 0 {
            return Some(low);
        }
        Some(low + (high - low) * (day - from).num_days() as f64 / days as f64)
    }
    /// The distance of the machine in km when its odometer showed a figure on a day.
    pub fn run_at(&self, day: NaiveDate, shown: Distance) -> f64 {
        let offset = self.offsets.iter().rev().find(|(from, _)| *from <= day).map_or(0.0, |(_, offset)| *offset);
        offset + km(shown)
    }
    /// The distance of the machine in km at the reading of an inspection, where that is believed.
    pub fn run_of(&self, inspection: &InspectionId) -> Option<f64> {
        let source = Source::Inspection(inspection.clone());
        self.entries.iter().find(|e| e.source == source).and_then(|e| e.run_km)
    }
    /// What somebody has to put right.
    pub fn problems(&self) -> impl Iterator<Item = &OdometerNote> {
        self.notes.iter().filter(|n| n.doubt.is_problem())
    }
}

fn km(distance: Distance) -> f64 {
    distance.as_km()
}

/// The readings of a bay, and the instruments that were replaced, each in order of day.
fn gather(bay: &Bay) -> (Vec<OdometerEntry>, Vec<Replaced>) {
    let inspected = bay.inspections.iter().filter_map(|i| {
        let source = Source::Inspection(i.id.clone());
        Some(OdometerEntry { date: i.date, time: i.started, shown: i.odometer?, source, run_km: None })
    });
    let told = bay.in_force().filter_map(|e| {
        let source = Source::Event(e.id.clone());
        Some(OdometerEntry { date: e.date, time: None, shown: e.kind.odometer()?, source, run_km: None })
    });
    let mut replaced: Vec<Replaced> = bay
        .in_force()
        .filter_map(|e| match &e.kind {
            EventKind::OdometerReplaced { last, first, .. } => {
                Some(Replaced { date: e.date, last: *last, first: *first })
            }
            _ => None,
        })
        .collect();
    replaced.sort_by_key(|r| r.date);
    (inspected.chain(told).collect(), replaced)
}

/// Whether a reading was taken before an instrument was replaced; on the day itself, by the figure it is nearer to.
fn is_before(entry: &OdometerEntry, change: &Replaced) -> bool {
    if entry.date != change.date {
        return entry.date < change.date;
    }
    let to_first = (km(entry.shown) - km(change.first)).abs();
    change.last.map_or(to_first > 1000.0, |last| (km(entry.shown) - km(last)).abs() < to_first)
}

/// The indices of the longest part that never falls; of two equally long ones, that which ends higher.
fn growing(figures: &[f64]) -> Vec<usize> {
    // From the back, where it never rises: a later figure gives way to an earlier, higher one.
    let mut tails: Vec<usize> = Vec::new();
    let mut next = vec![None; figures.len()];
    for i in (0..figures.len()).rev() {
        let place = tails.partition_point(|&t| figures[t] >= figures[i]);
        next[i] = place.checked_sub(1).map(|p| tails[p]);
        if place == tails.len() {
            tails.push(i);
        } else {
            tails[place] = i;
        }
    }
    let mut chain = Vec::new();
    let mut at = tails.last().copied();
    while let Some(i) = at {
        chain.push(i);
        at = next[i];
    }
    chain
}

#[cfg(test)]
mod tests;
