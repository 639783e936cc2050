//! The readings of each part since it was fitted, as figures over distance, and what is wrong with any of them.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::fitted::{Fitted, fitted};
use super::gauge::Gauge;
use super::limits::{self, LimitLine};
use super::wear::{NoWear, Way, Wear, questioned};
use crate::catalogue::Catalogue;
use crate::garage::Bay;
use crate::history::OdometerLog;
use crate::history::odometer::Source;
use crate::inspection::{Answer, Inspection, InspectionId, PartRef, Subject, Value, Zone};
use crate::machine::{FinalDrive, LimitKind};
use crate::rules::chain::{elongation_percent, pitch_mm};
use crate::units::{Length, Preferences, print_number};

/// What the figures of a series are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figure {
    /// A depth or thickness in mm.
    Depth,
    /// Elongation in per cent.
    Percent,
}

impl Figure {
    /// A figure in the user's units.
    pub fn show(self, value: f64, units: &Preferences) -> String {
        match self {
            Self::Depth => units.show_depth(Length::mm((value * 1000.0).round() / 1000.0)),
            Self::Percent => format!("{} %", print_number(value, 2, units.decimal_comma)),
        }
    }
    /// A figure as a plain number in the unit of [`Self::unit`], for an axis.
    pub fn number(self, value: f64, units: &Preferences) -> f64 {
        match self {
            Self::Depth => Length::mm(value).amount_in(units.depth_unit()),
            Self::Percent => value,
        }
    }
    /// The unit on an axis.
    pub fn unit(self, units: &Preferences) -> &'static str {
        match self {
            Self::Depth => units.depth_unit().symbol,
            Self::Percent => "%",
        }
    }
}

/// One reading of a series.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The day.
    pub date: NaiveDate,
    /// km since the part was fitted; of the machine where no fitting was taken down.
    pub km: f64,
    /// The figure, in mm or per cent.
    pub value: f64,
    /// The inspection; none for what was measured at fitting.
    pub inspection: Option<InspectionId>,
    /// Whether it goes the wrong way and is left out of the line until it is settled.
    pub is_questioned: bool,
}

/// The readings of one part.
#[derive(Clone, Debug)]
pub struct Series {
    /// Stable, for links and calendars: `tread-rear-centre`.
    pub id: String,
    /// `Tread, rear, centre`.
    pub title: String,
    /// The part.
    pub part: PartRef,
    /// What the figures are.
    pub figure: Figure,
    /// Which way it wears.
    pub way: Way,
    /// The stated errors.
    pub gauge: Gauge,
    /// Since when it is in.
    pub fitted_on: Option<NaiveDate>,
    /// The distance of the machine in km when it was fitted; nought where that is not known.
    pub fitted_km: f64,
    /// The readings, in order of distance.
    pub readings: Vec<Reading>,
    /// The limits it runs towards.
    pub limits: Vec<LimitLine>,
    /// What is to be said of readings: expected, found, way out.
    pub notes: Vec<String>,
    /// The line, or why there is none.
    pub wear: Result<Wear, NoWear>,
}

/// Raw readings of one key, as they are gathered.
struct Gathered {
    title: String,
    part: PartRef,
    figure: Figure,
    way: Way,
    gauge: Gauge,
    limits: Vec<LimitLine>,
    taken: Vec<(usize, f64, &'static str)>,
}

/// Every series of a machine, as known on a day.
pub fn series(
    bay: &Bay,
    log: &OdometerLog,
    catalogue: &Catalogue,
    units: &Preferences,
    today: NaiveDate,
) -> Vec<Series> {
    let mut gathered: BTreeMap<String, Gathered> = BTreeMap::new();
    for (index, inspection) in bay.inspections.iter().enumerate() {
        for (check, answer) in &inspection.answers {
            let mut take = |id: String, value: f64, unit: &'static str, make: &dyn Fn() -> Gathered| {
                gathered.entry(id).or_insert_with(make).taken.push((index, value, unit));
            };
            read(bay, catalogue, today, check.check.as_str(), check.subject, answer, &mut take);
        }
    }
    gathered.into_iter().map(|(id, g)| build(id, g, bay, log, units, today)).collect()
}

type Take<'a> = dyn FnMut(String, f64, &'static str, &dyn Fn() -> Gathered) + 'a;

/// Takes the figures of one answer.
fn read(
    bay: &Bay,
    catalogue: &Catalogue,
    today: NaiveDate,
    check: &str,
    subject: Subject,
    answer: &Answer,
    take: &mut Take<'_>,
) {
    let machine = &bay.machine;
    let length = |field: &str| match answer.readings.get(field) {
        Some(Value::Length(l)) => Some((l.as_mm(), l.unit().symbol)),
        _ => None,
    };
    let number = |field: &str| match answer.readings.get(field) {
        Some(Value::Number(n)) => Some(*n),
        _ => None,
    };
    let new = |title: String, part, gauge, way, limits| Gathered {
        title,
        part,
        figure: Figure::Depth,
        way,
        gauge,
        limits,
        taken: Vec::new(),
    };
    match (check, subject) {
        ("tyre-tread", Subject::Wheel(w)) => {
            let Some(Value::Tread(points)) = answer.readings.get("depths") else { return };
            for zone in Zone::TREAD {
                // The thinnest place of the zone: it is what a limit is about.
                let depths = points.iter().flat_map(|p| &p.depths).filter(|(z, _)| *z == zone).map(|(_, d)| *d);
                let Some(least) = depths.min_by(|a, b| a.base().total_cmp(&b.base())) else { continue };
                let id = format!("tread-{}-{}", w.id(), zone.words().replace(' ', "-"));
                take(id, least.as_mm(), least.unit().symbol, &|| {
                    let limits = limits::tread(machine, catalogue, w, zone, today);
                    let title = format!("Tread, {}, {}", w.word(), zone.words());
                    new(title, PartRef::Tyre(w), Gauge::TREAD_TENTHS, Way::Falls, limits)
                });
            }
        }
        ("brake-lining", Subject::Wheel(w)) => {
            let Some((mm, unit)) = length("thickness") else { return };
            take(format!("lining-{}", w.id()), mm, unit, &|| {
                let title = format!("Lining, {}", w.word());
                new(title, PartRef::Lining(w, None), Gauge::LINING, Way::Falls, limits::lining(machine, w))
            });
        }
        ("disc", Subject::Disc(w, side)) => {
            let Some((mm, unit)) = length("thickness") else { return };
            take(format!("disc-{}-{}", w.id(), side.word()), mm, unit, &|| {
                let title = format!("Disc, {}, {}", w.word(), side.word());
                let limits = limits::own_only(machine, LimitKind::DiscMinimum(w, side));
                new(title, PartRef::Disc(w, side), Gauge::DISC, Way::Falls, limits)
            });
        }
        ("drum", Subject::Wheel(w)) => {
            let Some((mm, unit)) = length("diameter") else { return };
            take(format!("drum-{}", w.id()), mm, unit, &|| {
                let limits = limits::own_only(machine, LimitKind::DrumMaximum(w));
                let part = PartRef::Other(format!("{} drum", w.word()));
                new(format!("Drum, {}", w.word()), part, Gauge::DISC, Way::Grows, limits)
            });
        }
        ("drive-wear", _) if machine.final_drive == FinalDrive::Chain => {
            let pitch = match answer.readings.get("pitch") {
                Some(Value::Choice(id)) => pitch_mm(id),
                _ => None,
            };
            let (Some((mm, unit)), Some(pitches), Some(pitch)) = (length("length"), number("pitches"), pitch) else {
                return;
            };
            if !(pitches.is_finite() && pitches > 0.0) {
                return;
            }
            take("chain".into(), elongation_percent(mm, pitches, pitch), unit, &|| {
                let limits = limits::chain(machine, pitches * pitch, number("teeth"));
                Gathered {
                    figure: Figure::Percent,
                    ..new("Chain, elongation".into(), PartRef::Chain, Gauge::CHAIN, Way::Grows, limits)
                }
            });
        }
        _ => {}
    }
}

fn build(id: String, g: Gathered, bay: &Bay, log: &OdometerLog, units: &Preferences, today: NaiveDate) -> Series {
    let since = fitted(bay, log, &g.part, today);
    let fitted_km = since.and_then(|f| f.km).unwrap_or(0.0);
    let mut notes = Vec::new();
    let mut readings: Vec<Reading> = Vec::new();
    let mut used_units: Vec<&'static str> = Vec::new();
    if let Some(Fitted { on, measured: Some(measured), .. }) = since {
        readings.push(Reading { date: on, km: 0.0, value: measured.as_mm(), inspection: None, is_questioned: false });
    }
    for (index, value, unit) in &g.taken {
        let inspection = &bay.inspections[*index];
        match place(inspection, log, since, fitted_km, today) {
            Ok(Some(km)) => {
                if !used_units.contains(unit) {
                    used_units.push(unit);
                }
                readings.push(Reading {
                    date: inspection.date,
                    km,
                    value: *value,
                    inspection: Some(inspection.id.clone()),
                    is_questioned: false,
                });
            }
            Ok(None) => {}
            Err(note) => notes.push(format!("{}: {note}", g.figure.show(*value, units))),
        }
    }
    readings.sort_by(|a, b| (a.km, a.date).partial_cmp(&(b.km, b.date)).unwrap_or(std::cmp::Ordering::Equal));
    if used_units.len() > 1 {
        notes.push(format!("read in {}; each is kept as it was read and reckoned in one", used_units.join(" and in ")));
    }
    let is_tread = matches!(g.part, PartRef::Tyre(_));
    let gauge = if is_tread && used_units.contains(&"/32 in") { Gauge::TREAD } else { g.gauge };
    let figures: Vec<f64> = readings.iter().map(|r| r.value).collect();
    let wrong = questioned(&figures, g.way, gauge);
    for index in &wrong {
        readings[*index].is_questioned = true;
        let reading = &readings[*index];
        let way = if g.way == Way::Falls { "only grows less" } else { "only grows" };
        notes.push(format!(
            "expected a figure that {way}, found {} on {}: measure again, or record that a new part was fitted. It is left out of the line",
            g.figure.show(reading.value, units),
            reading.date
        ));
    }
    let believed: Vec<(f64, f64)> = readings.iter().filter(|r| !r.is_questioned).map(|r| (r.km, r.value)).collect();
    let wear = if readings.last().is_some_and(|r| r.is_questioned) {
        Err(NoWear::NewestQuestioned)
    } else if wrong.len() * 3 > readings.len() {
        Err(NoWear::Questioned)
    } else {
        Wear::fit(&believed, g.way, gauge)
    };
    Series {
        id,
        title: g.title,
        part: g.part,
        figure: g.figure,
        way: g.way,
        gauge,
        fitted_on: since.map(|f| f.on),
        fitted_km,
        readings,
        limits: g.limits,
        notes,
        wear,
    }
}

/// The km of a reading since the part was fitted; none where it is of an earlier part.
fn place(
    inspection: &Inspection,
    log: &OdometerLog,
    since: Option<Fitted>,
    fitted_km: f64,
    today: NaiveDate,
) -> Result<Option<f64>, String> {
    let date = inspection.date;
    if date > today {
        return Err(format!("expected a day up to today ({today}), found {date}: correct the day. It is left out"));
    }
    if let Some(since) = since {
        let after_work = inspection.kind == "work";
        if date < since.on || (date == since.on && !after_work && since.measured.is_some()) {
            return Ok(None);
        }
    }
    let believed = match inspection.odometer {
        Some(_) => log.run_of(&inspection.id),
        None => log.run_between(date),
    };
    let Some(run) = believed else {
        // What the log says of that odometer is the better word.
        let source = Source::Inspection(inspection.id.clone());
        let said = log.problems().find(|n| n.source == source).map(|n| n.message.clone());
        let said = said.unwrap_or_else(|| {
            format!("no distance is known on {date}: enter the odometer of that inspection, or a reading after it")
        });
        return Err(format!("{said}. It is left out of the line"));
    };
    if run < fitted_km - 0.5 {
        return Err(format!(
            "the odometer on {date} is below that at which the part was fitted: correct one of the two. The reading is left out"
        ));
    }
    Ok(Some(run - fitted_km))
}
