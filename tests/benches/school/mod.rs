//! A school's garage of any size, the same for the same seed: machines, inspections and findings after those of the
//! sample garage, made by the library's own commands and written by its own store, so that the files are the garage's own.

use std::collections::BTreeMap;
use std::error::Error;
use std::io::Cursor;
use std::path::Path;

use chrono::{Days, NaiveDate, NaiveTime};
use stemclock::catalogue::Catalogue;
use stemclock::edit::{Command, PhotoHome, decide};
use stemclock::garage::{Bay, Garage, GarageInfo};
use stemclock::inspection::{
    Answer, Closing, Event, EventId, EventKind, FindingId, Inspection, InspectionId, TreadPoint, Value,
};
use stemclock::machine::{MachineId, SCHEMA};
use stemclock::photo::{Kind, PhotoRef};
use stemclock::store;
use stemclock::units::Distance;

/// How large the garage is to be.
#[derive(Clone, Copy, Debug)]
pub struct Size {
    /// Machines.
    pub machines: usize,
    /// Inspections over all machines.
    pub inspections: usize,
    /// Readings over all inspections: every number, choice and level that was taken down counts as one.
    pub readings: usize,
    /// Photos, each a file of its own.
    pub photos: usize,
    /// What the rest follows from.
    pub seed: u64,
}

impl Size {
    /// The size that the largest garage is measured at.
    pub const FULL: Self = Self { machines: 500, inspections: 20_000, readings: 2_000_000, photos: 5_000, seed: 8 };
    /// The same garage with fewer machines: forty inspections, four thousand readings and ten photos for each.
    #[allow(dead_code, reason = "the bench of growth asks for it, the generator does not")]
    pub fn of(machines: usize) -> Self {
        let part = |whole: usize| whole * machines / Self::FULL.machines;
        Self {
            machines,
            inspections: part(Self::FULL.inspections),
            readings: part(Self::FULL.readings),
            photos: part(Self::FULL.photos),
            ..Self::FULL
        }
    }
}

/// What was made.
#[derive(Clone, Copy, Debug, Default)]
pub struct Made {
    /// Machines.
    pub machines: usize,
    /// Inspections.
    pub inspections: usize,
    /// Readings.
    pub readings: usize,
    /// Events.
    pub events: usize,
    /// Photos.
    pub photos: usize,
}

type Outcome<T> = Result<T, Box<dyn Error>>;

/// The last day of the school's records.
const LAST_DAY: &str = "2026-11-24";
const NAMES: [&str; 6] = ["Ana Bell", "Ivo Kranz", "Mina Sorel", "Tom Ashdown", "Lea Wirth", "Per Holm"];

/// Makes the garage in a new or empty folder.
pub fn build(folder: &Path, size: &Size) -> Outcome<Made> {
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-garage");
    let patterns = store::read(&sample)?.garage.bays;
    store::create(folder, &GarageInfo { name: "School".into(), ..GarageInfo::default() })?;
    let mut rng = fastrand::Rng::with_seed(size.seed);
    let mut made = Made::default();
    for number in 0..size.machines {
        let pattern = &patterns[number % patterns.len()];
        let share = |whole: usize| whole * (number + 1) / size.machines.max(1);
        machine(folder, pattern, number, &mut rng, &mut made, &|made| {
            (share(size.inspections), share(size.photos), share(size.readings) > made.readings)
        })?;
    }
    Ok(made)
}

/// One machine after a pattern; `until` says how many inspections and photos there are to be in the whole garage when
/// it is done, and whether readings are still wanting.
fn machine(
    folder: &Path,
    pattern: &Bay,
    number: usize,
    rng: &mut fastrand::Rng,
    made: &mut Made,
    until: &dyn Fn(&Made) -> (usize, usize, bool),
) -> Outcome<()> {
    let mut desk = Desk { folder, garage: Garage::default() };
    let mut machine = pattern.machine.clone();
    let word = pattern.machine.id.0.split('-').next().unwrap_or("machine");
    machine.id = MachineId(format!("{word}-{number:03}-{:04x}", rng.u16(..)));
    machine.name = format!("{} {}", pattern.machine.name, number + 1);
    machine.photos.clear();
    machine.vin = None;
    machine.registration = None;
    // The pattern's tyres were fitted in the middle of what are this machine's years.
    for tyre in machine.wheels.iter_mut().filter_map(|w| w.tyre.as_mut()) {
        (tyre.fitted_on, tyre.fitted_at) = (None, None);
    }
    let id = machine.id.clone();
    desk.make(Command::AddMachine(machine))?;
    made.machines += 1;

    let (long, short): (Vec<&Inspection>, Vec<&Inspection>) =
        pattern.inspections.iter().filter(|i| i.asks.is_empty()).partition(|i| readings(i) > 100);
    let count = until(made).0.saturating_sub(made.inspections);
    let last: NaiveDate = LAST_DAY.parse()?;
    let apart = 5 * 365 / count.max(1) as u64;
    let mut photos = until(made).1.saturating_sub(made.photos);
    for nth in 0..count {
        let from = if until(made).2 { &long } else { &short };
        let mut inspection = from[rng.usize(..from.len())].clone();
        let day = last - Days::new((count - nth) as u64 * apart.max(1) - rng.u64(..apart.max(1)));
        let end: String = (0..4).map(|_| char::from(b"abcdefghjkmnpqrstuvwxyz23456789"[rng.usize(..31)])).collect();
        inspection.id = InspectionId(format!("{day}-{}-{nth:02}{end}", inspection.kind));
        inspection.date = day;
        inspection.started = NaiveTime::from_hms_opt(8 + rng.u32(..9), rng.u32(..60), 0);
        inspection.inspector = NAMES[rng.usize(..NAMES.len())].into();
        inspection.odometer = Some(Distance::km(1_000.0 * f64::from(number as u32 % 30) + 310.0 * nth as f64));
        inspection.carried = BTreeMap::new();
        wear(&mut inspection, nth as f64 / count as f64);
        for (at, finding) in inspection.findings.iter_mut().enumerate() {
            finding.id = FindingId(format!("{day}-{nth:02}{end}-{at}"));
            finding.photos.clear();
            if photos > 0 {
                finding.photos.push(desk.photo(&id, rng)?);
                (photos, made.photos) = (photos - 1, made.photos + 1);
            }
        }
        made.readings += readings(&inspection);
        made.inspections += 1;
        let found = inspection.findings.clone();
        let key = inspection.id.clone();
        desk.make(Command::StartInspection(id.clone(), inspection))?;
        // What was found is put right within the week, but for the last two looks.
        if nth + 2 < count {
            for finding in found {
                let closing = Closing::Repaired { work: "put right".into(), second_look: "sound".into() };
                let kind = EventKind::FindingClosed { inspection: key.clone(), finding: finding.id.clone(), closing };
                let event = Event {
                    schema: SCHEMA,
                    id: EventId(format!("{}-closed-{}", day + Days::new(1), finding.id)),
                    date: day + Days::new(1),
                    by: NAMES[rng.usize(..NAMES.len())].into(),
                    kind,
                };
                desk.make(Command::Record(id.clone(), event))?;
                made.events += 1;
            }
        }
    }
    for _ in 0..photos {
        let photo = desk.photo(&id, rng)?;
        desk.make(Command::PutPhoto(id.clone(), PhotoHome::Machine, photo))?;
        made.photos += 1;
    }
    Ok(())
}

/// Tyres wear from one look to the next, so that the histories have slopes.
fn wear(inspection: &mut Inspection, share: f64) {
    let lower = |points: &mut Vec<TreadPoint>| {
        for (_, depth) in points.iter_mut().flat_map(|p| p.depths.iter_mut()) {
            let amount = ((depth.amount() * (1.2 - 0.4 * share)) * 4.0).round() / 4.0;
            if let Ok(worn) = stemclock::units::Length::new(amount, depth.unit()) {
                *depth = worn;
            }
        }
    };
    let values = inspection.answers.values_mut().flat_map(|a| a.readings.values_mut());
    for value in values {
        if let Value::Tread(points) = value {
            lower(points);
        }
    }
}

/// How many readings an inspection holds.
pub fn readings(inspection: &Inspection) -> usize {
    inspection.answers.values().flat_map(|Answer { readings, .. }| readings.values()).map(count).sum()
}

fn count(value: &Value) -> usize {
    match value {
        Value::Tread(points) => points.iter().map(|p| p.depths.len()).sum(),
        Value::Dial(_, points) | Value::Round(points) => points.len(),
        Value::Numbers(points) => points.len(),
        Value::Torques(applied) => applied.len(),
        _ => 1,
    }
}

/// Where one machine's records are made.
struct Desk<'a> {
    folder: &'a Path,
    garage: Garage,
}

impl Desk<'_> {
    fn make(&mut self, command: Command) -> Outcome<()> {
        let change = decide(&self.garage, Catalogue::builtin(), command)?;
        self.garage.evolve(&change);
        store::save(self.folder, &change)?;
        Ok(())
    }

    /// A picture of its own, two pixels of which tell it from all others.
    fn photo(&self, machine: &MachineId, rng: &mut fastrand::Rng) -> Outcome<PhotoRef> {
        let (tint, shift) = (rng.u8(..), rng.u32(..));
        let picture = image::RgbImage::from_fn(320, 240, |x, y| {
            image::Rgb([(x.wrapping_add(shift) % 256) as u8, (y.wrapping_add(shift >> 8) % 256) as u8, tint])
        });
        let mut bytes = Vec::new();
        picture.write_to(&mut Cursor::new(&mut bytes), image::ImageFormat::Jpeg)?;
        Ok(PhotoRef::new(store::keep_photo(self.folder, machine, &bytes, Kind::Jpeg)?))
    }
}
