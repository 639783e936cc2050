//! The wear parts as a buyer reads them: since when each is in, how far it has run, how far it may still go, and what
//! was renewed before. Lives are the history's, distances the forecast's; nothing is worked out here.

use super::case::RecordCase;
use super::words::{capital, day};
use crate::drawing::curve::{self, Curve};
use crate::forecast::wear::NoWear;
use crate::forecast::{Outlook, Trust, outlooks, two_figures};
use crate::history::{Life, Lives, OdometerLog};
use crate::inspection::{Condition, PartRef};
use crate::report::block::{Block, Cell, Column, Picture, Span, Table};
use crate::rules::Status;
use crate::units::{Distance, Preferences};

/// A curve of fewer readings says nothing that the table does not.
const LEAST_READINGS: usize = 3;

/// The parts that are in, how each has worn, and those before them, as known on the day of printing.
pub(super) fn blocks(case: &RecordCase<'_>) -> Vec<Block> {
    let input = case.input;
    let log = OdometerLog::of(input.bay, input.today);
    let lives = Lives::of(input.bay, &log, input.today);
    let ahead = outlooks(input.bay, input.catalogue, input.units, input.off_road, input.today);
    let parts = parts(case, &lives, &ahead);
    if parts.is_empty() {
        return Vec::new();
    }
    let known = Known { units: input.units, run: log.run_on(input.today), lives: &lives, ahead: &ahead };
    let mut blocks = vec![Block::heading(2, "Wear parts: since when, and how far still")];
    blocks.push(Block::paragraph(
        "How far a part may still go is worked out from the readings on record, as if it went on wearing as it did; four \
         times in five the true distance lies between the two figures. It is an estimate and no promise: another rider \
         wears it in another way.",
    ));
    blocks.push(Block::table(Table {
        columns: vec![Column::left(1.7), Column::left(2.9), Column::right(1.2), Column::left(3.2)],
        head: ["Part", "Fitted", "Has run", "Still to go, about"].map(Cell::strong).into(),
        rows: parts.iter().map(|part| known.in_now(part)).collect(),
    }));
    blocks.extend(known.curves(&parts));
    blocks.extend(known.before(&parts));
    let doubts: Vec<String> = lives.notes.iter().filter(|note| note.is_problem).map(|n| n.message.clone()).collect();
    if !doubts.is_empty() {
        blocks.push(Block::bullets(doubts));
    }
    blocks
}

/// Every part that wears: what the checks of this inspection read, and what the records tell of beside it.
fn parts(case: &RecordCase<'_>, lives: &Lives, ahead: &[Outlook]) -> Vec<PartRef> {
    let drive = case.machine().final_drive;
    let asked = case.assessment.results.iter().filter(|r| r.status != Status::NotApplicable);
    let read = asked.filter_map(|r| PartRef::read_by(&r.check, drive));
    let told = lives.lives.iter().map(|l| l.part.clone()).chain(ahead.iter().map(|o| o.series.part.clone()));
    let mut parts: Vec<PartRef> = read.chain(told).filter(|part| !matches!(part, PartRef::Fluid(_))).collect();
    parts.sort();
    parts.dedup();
    parts
}

/// Why there is no line, for who cannot mend the records: no task of the owner's stands in it.
fn to_a_buyer(none: &NoWear) -> &'static str {
    match none {
        NoWear::TooFew(0) => "no reading of its wear on record",
        NoWear::TooFew(_) => "not known: it was read once only",
        NoWear::OneDistance => "not known: all its readings are of one distance",
        NoWear::Questioned | NoWear::NewestQuestioned => {
            "not known: the readings do not agree; perhaps renewed, and not on record"
        }
        NoWear::NothingToSee => "not known: no wear to be seen beyond the error of the gauge yet",
    }
}

/// What is known on the day.
struct Known<'a> {
    units: &'a Preferences,
    /// The distance of the machine in km.
    run: Option<f64>,
    lives: &'a Lives,
    ahead: &'a [Outlook],
}

impl Known<'_> {
    fn in_now(&self, part: &PartRef) -> Vec<Cell> {
        let life = self.lives.current(part);
        let fitted = life.filter(|life| life.fitted_on.is_some());
        let has_run = fitted.and_then(|life| life.run_km(self.run)).map_or_else(|| "–".into(), |km| self.km(km));
        vec![
            Cell::text(capital(&part.words())),
            Cell::Text(fitted.map_or_else(|| vec![Span::text("not on record")], |life| self.fitted(life))),
            Cell::text(has_run),
            Cell::text(self.still(part)),
        ]
    }

    /// When, at which odometer, and what: `8 March 2025 at 12 300 km; sintered pads, new, 4.5 mm`.
    fn fitted(&self, life: &Life) -> Vec<Span> {
        let mut when = life.fitted_on.map_or_else(|| "before the records began".into(), day);
        match (life.fitted_at, life.fitted_km) {
            (Some(shown), _) => when.push_str(&format!(" at {}", self.units.show(shown))),
            (None, Some(km)) => when.push_str(&format!(" at about {}", self.km(km))),
            (None, None) => {}
        }
        let mut what: Vec<String> = Vec::new();
        what.extend(Some(life.what.clone()).filter(|what| !what.is_empty()));
        match life.condition {
            _ if life.fitted_on.is_none() => {}
            Condition::New => what.push("new".into()),
            Condition::Used(None) => what.push("used".into()),
            Condition::Used(Some(run)) => what.push(format!("used for {}", self.units.show(run))),
        }
        what.extend(life.measured.map(|length| format!("{} when fitted", self.units.show_depth(length))));
        let mut spans = vec![Span::text(when)];
        if !what.is_empty() {
            spans.push(Span::text(format!("\n{}", what.join(", "))).small());
        }
        spans
    }

    /// How far a part may still go, by the series that reaches its limit first.
    fn still(&self, part: &PartRef) -> String {
        let Some(outlook) = self.nearest(part) else { return "no reading of its wear on record".into() };
        let Some(ahead) = outlook.next() else {
            return match &outlook.series.wear {
                Ok(_) => "no limit is known".into(),
                Err(none) => to_a_buyer(none).to_owned(),
            };
        };
        let figure = outlook.series.figure.show(ahead.limit.value, self.units);
        let limit = match ahead.limit.trust {
            Trust::Own => format!("{figure}, its own limit"),
            Trust::Law => format!("{figure}, the limit of the law"),
            Trust::Practice | Trust::Comparison => format!("{figure}, the usual limit"),
        };
        if ahead.km <= 0.0 {
            return format!("nothing: by its wear so far it has reached {limit}. Measure it");
        }
        let far = match ahead.km_latest {
            Some(km) => format!("and {}", self.about(km)),
            None => "and farther than can be said yet".into(),
        };
        let near = if ahead.km_earliest <= 0.0 { "nothing".to_owned() } else { self.about(ahead.km_earliest) };
        let readings = match &outlook.series.wear {
            Ok(wear) if wear.cautious => "; by two readings only",
            _ => "",
        };
        format!("{} to {limit}; between {near} {far}{readings}", self.about(ahead.km))
    }

    /// The series of a part that reaches its limit first; where none has a line, the one with most readings.
    fn nearest(&self, part: &PartRef) -> Option<&Outlook> {
        let mine = || self.ahead.iter().filter(|o| o.series.part == *part);
        let by_line = mine().filter_map(|o| Some((o, o.next()?.km))).min_by(|a, b| a.1.total_cmp(&b.1));
        by_line.map(|(outlook, _)| outlook).or_else(|| mine().max_by_key(|o| o.series.readings.len()))
    }

    /// How each part has worn, reading by reading.
    fn curves(&self, parts: &[PartRef]) -> Vec<Block> {
        let mut pictures = Vec::new();
        for outlook in parts.iter().filter_map(|part| self.nearest(part)) {
            let series = &outlook.series;
            // Those in question too: they are printed elsewhere on the sheet, and a curve without them would hide that.
            let points: Vec<(f64, f64)> = series.readings.iter().map(|r| (r.km, r.value)).collect();
            if points.len() < LEAST_READINGS {
                continue;
            }
            let first = || series.limits.iter().find(|l| l.trust != Trust::Comparison);
            let limit = outlook.next().map(|a| a.limit.value).or_else(|| first().map(|l| l.value));
            let value = |v: f64| series.figure.show(v, self.units);
            let along = |km: f64| self.km(km);
            let title = &series.title;
            let curve = Curve { title, points: &points, limit, value: &value, along: &along, size: (218.0, 96.0) };
            let since = if series.fitted_on.is_some() { "since it was fitted" } else { "over the odometer" };
            let agree =
                if series.readings.iter().any(|r| r.is_questioned) { "; the readings do not agree" } else { "" };
            pictures.push((Picture::Drawing(curve::draw(&curve)), format!("{title}, {since}{agree}")));
        }
        if pictures.is_empty() {
            return Vec::new();
        }
        vec![Block::heading(3, "How they have worn"), Block::gallery(pictures, 2)]
    }

    /// The parts that were renewed.
    fn before(&self, parts: &[PartRef]) -> Vec<Block> {
        let ended = parts.iter().flat_map(|part| self.lives.of_part(part)).filter(|life| life.ended_on.is_some());
        let rows: Vec<Vec<Cell>> = ended
            .map(|life| {
                let mut renewed = life.ended_on.map(day).unwrap_or_default();
                renewed.push_str(&life.ended_km.map_or_else(String::new, |km| format!(" at {}", self.km(km))));
                let ran = life.run_km(None).map_or_else(|| "–".into(), |km| self.km(km));
                vec![
                    Cell::text(capital(&life.part.words())),
                    Cell::Text(self.fitted(life)),
                    Cell::text(renewed),
                    Cell::text(ran),
                ]
            })
            .collect();
        if rows.is_empty() {
            return Vec::new();
        }
        vec![
            Block::heading(3, "Those before them"),
            Block::table(Table {
                columns: vec![Column::left(1.7), Column::left(2.9), Column::left(2.4), Column::right(1.2)],
                head: ["Part", "Fitted", "Renewed", "Had run"].map(Cell::strong).into(),
                rows,
            }),
        ]
    }

    fn km(&self, km: f64) -> String {
        self.units.show(Distance::km(km.round()))
    }

    /// Two figures, for an estimate.
    fn about(&self, km: f64) -> String {
        self.units.show(Distance::km(two_figures(km)))
    }
}
