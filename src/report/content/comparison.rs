//! Two inspections of one machine side by side: what is new, what is still there, what is gone, and how each reading has
//! changed. Nothing that was looked at on one day only is compared.

use std::collections::BTreeSet;

use super::case::RecordCase;
use super::words::{self, capital, count, day, or_not_recorded};
use super::{RecordInput, checks, closing, findings, head};
use crate::catalogue::FieldKind;
use crate::drawing::notch::{self, Mark};
use crate::drawing::shape::Ink;
use crate::history::{Again, Lives, OdometerLog, defects, on_both_days};
use crate::inspection::{CheckRef, Finding, FindingId, Inspection, Seen, Station, Value};
use crate::report::block::{Block, Cell, Column, DocumentSpec, Ends, Span, Table};
use crate::rules::{CheckResult, Decision, Status, Verdict};
use crate::units::{Distance, Length, Preferences, Quantity, Shows, print_number};

/// The comparison of an inspection with an earlier one.
pub fn comparison(input: &RecordInput<'_>, earlier: &Inspection) -> DocumentSpec {
    let before = RecordInput { inspection: earlier, ..*input };
    let both = Both { then: RecordCase::new(&before), now: RecordCase::new(input) };
    let machine = &input.bay.machine;
    let days = format!("{} and {}", day(earlier.date), day(input.inspection.date));
    let mut spec = DocumentSpec::new(format!("Comparison: {}", machine.name), input.now);
    spec.author.clone_from(&input.inspection.inspector);
    spec.subject = format!("Two inspections of {}, {days}", machine.name);
    spec.paper = input.paper;
    spec.head = Ends { left: machine.name.clone(), right: days.clone() };
    spec.foot = crate::report::content::foot();
    spec.blocks = vec![
        Block::heading(1, machine.name.clone()),
        Block::spans(vec![Span::text(format!("Comparison of two inspections · {days}")).ink(Ink::Faint)]),
    ];
    spec.blocks.extend(Verdict::planted_today(input.bay, input.today).map(|today| {
        let mark = notch::drawing(head::decision_mark(Decision::DoNotRide), 28.0);
        Block::banner(mark, "Planted for a class", today, Ink::Dangerous)
    }));
    spec.blocks.extend(both.days());
    spec.blocks.extend(both.findings());
    spec.blocks.extend(both.readings());
    spec.blocks.extend(both.one_sided());
    spec.blocks.extend(closing::blocks(&both.now));
    spec
}

struct Both<'a> {
    then: RecordCase<'a>,
    now: RecordCase<'a>,
}

/// A check with one field, and what was read then and now.
type Pair<'a> = (&'a CheckRef, &'a str, Option<&'a Value>, Option<&'a Value>);

impl<'a> Both<'a> {
    fn sides(&self) -> [&RecordCase<'a>; 2] {
        [&self.then, &self.now]
    }

    /// The two days, and what lies between them.
    fn days(&self) -> Vec<Block> {
        let row = |label: &str, words: &dyn Fn(&RecordCase<'_>) -> String| {
            let cells = self.sides().map(|case| Cell::text(words(case)));
            let [then, now] = cells;
            vec![Cell::Text(vec![Span::text(label).ink(Ink::Faint)]), then, now]
        };
        let mut rows = vec![
            row("Kind", &|case| case.kind_name()),
            row("By", &|case| or_not_recorded(&case.input.inspection.inspector)),
            row("Odometer", &|case| {
                let read = case.input.inspection.odometer;
                read.map_or_else(|| "not recorded".into(), |o| case.input.units.show(o))
            }),
            row("Air", &|case| {
                let ambient = case.input.inspection.conditions.ambient;
                ambient.map_or_else(|| "not recorded".into(), |t| case.input.units.show(t))
            }),
            row("Looked at", &|case| {
                let verdict = &case.assessment.verdict;
                format!("{} of {}", verdict.looked_at, count(verdict.asked, "check"))
            }),
        ];
        let verdicts = self.sides().map(|case| {
            let mark = notch::drawing(head::decision_mark(case.verdict.decision), 10.0);
            Cell::Marked(mark, vec![Span::text(case.verdict.words()).strong()])
        });
        let [then, now] = verdicts;
        rows.push(vec![Cell::Text(vec![Span::text("Verdict of the day").ink(Ink::Faint)]), then, now]);
        let dates = self.sides().map(|case| case.input.inspection.date);
        let mut between = count(usize::try_from((dates[1] - dates[0]).num_days().abs()).unwrap_or_default(), "day");
        if let [Some(a), Some(b)] = self.sides().map(|case| case.input.inspection.odometer)
            && b >= a
        {
            let units = self.now.input.units;
            between.push_str(&format!(" and {}", units.show(Distance::from_base(b.base() - a.base()))));
        }
        vec![
            Block::table(Table {
                columns: vec![Column::left(1.2), Column::left(2.4), Column::left(2.4)],
                head: vec![Cell::text(""), Cell::strong(day(dates[0])), Cell::strong(day(dates[1]))],
                rows,
            }),
            Block::paragraph(format!("Between them lie {between}.")),
        ]
    }

    /// New, still there, and gone. What is one defect on both days is for the history to say.
    fn findings(&self) -> Vec<Block> {
        let (bay, units) = (self.now.input.bay, self.now.input.units);
        let (then, now) = (self.then.input.inspection, self.now.input.inspection);
        let lives = Lives::of(bay, &OdometerLog::of(bay, now.date), now.date);
        let pairs = on_both_days(bay, then, now, &lives);
        let defects = defects(bay);
        let looked = |finding: &Finding| {
            let of_defect = |id: &FindingId| defects.iter().any(|d| d.holds(&finding.id) && d.holds(id));
            now.carried.iter().find(|(id, _)| **id == finding.id || of_defect(id)).map(|(_, revisit)| revisit)
        };
        let (mut new, mut still, mut gone) = (Vec::new(), Vec::new(), Vec::new());
        for finding in &now.findings {
            let pair = pairs.iter().find(|pair| pair.later.finding == finding.id);
            let before = pair.and_then(|pair| then.findings.iter().find(|f| f.id == pair.earlier.finding));
            match pair.zip(before) {
                Some((pair, before)) => still.push(row(&self.now, finding, self.since(pair, before))),
                None => new.push(row(&self.now, finding, String::new())),
            }
        }
        for finding in then.findings.iter().filter(|f| pairs.iter().all(|pair| pair.earlier.finding != f.id)) {
            let closed = super::history::closed_words(bay, &finding.id).map(|words| capital(&words));
            let left = || "not closed on record, so still open".to_owned();
            match looked(finding).filter(|revisit| revisit.seen != Seen::NotYet) {
                Some(revisit) => {
                    let mut words = capital(&revisit.seen.words());
                    if let Some((old, new)) = finding.size.zip(revisit.size) {
                        words.push_str(&format!(": {}", then_and_now(old, new, units)));
                    }
                    for more in [revisit.note.trim(), closed.as_deref().unwrap_or_default()] {
                        words.push_str(&if more.is_empty() { String::new() } else { format!(". {more}") });
                    }
                    let is_there = matches!(revisit.seen, Seen::Still | Seen::Grown);
                    let part = if is_there { &mut still } else { &mut gone };
                    part.push(row(&self.then, finding, words));
                }
                None => gone.push(row(&self.then, finding, closed.unwrap_or_else(left))),
            }
        }
        let mut blocks = vec![Block::heading(2, "Findings")];
        let parts: [(&str, Vec<Vec<Cell>>); 3] =
            [("New", new), ("Seen on both days", still), ("Found on the earlier day only", gone)];
        if parts.iter().all(|(_, rows)| rows.is_empty()) {
            blocks.push(Block::paragraph("No finding was recorded on either day."));
        }
        for (title, rows) in parts {
            if !rows.is_empty() {
                blocks.push(Block::heading(3, title));
                blocks.push(Block::table(Table {
                    columns: vec![Column::left(1.15), Column::left(3.6), Column::left(3.0)],
                    head: ["Class", "What and where", "Since then"].map(Cell::strong).into(),
                    rows,
                }));
            }
        }
        blocks
    }

    /// What became of a finding from the one day to the other.
    fn since(&self, pair: &Again, before: &Finding) -> String {
        let units = self.now.input.units;
        let mut words = Vec::new();
        words.extend(pair.sizes.map(|(old, new)| then_and_now(old, new, units)));
        if !pair.is_same_fault {
            words.push(format!("then: {}", findings::what(&self.then, before)));
        }
        // Nearer than this is the same place: a position is read from a clock face by eye.
        if let Some(mm) = pair.apart_mm.filter(|mm| *mm >= NEAR_MM) {
            words.push(format!("{} from where it was noted then", words::size(Length::mm(mm), units)));
        }
        words.extend(super::history::closed_words(self.now.input.bay, &before.id).map(|w| format!("{w}; found again")));
        words.join("\n")
    }

    /// Every reading that was taken on both days.
    fn readings(&self) -> Vec<Block> {
        let units = self.now.input.units;
        let mut blocks = vec![Block::heading(2, "Readings on both days")];
        let rows: Vec<Vec<Cell>> = self
            .pairs()
            .into_iter()
            .filter_map(|(check, field, then, now)| Some((check, field, then?, now?)))
            .map(|(check, field, then, now)| {
                let shown = |value: &Value| {
                    let field = self.now.input.catalogue.check(&check.check).and_then(|c| c.field(field));
                    words::value(value, field, units)
                };
                let change = change(then, now, units);
                let change = Cell::Text(vec![Span::text(change).strong()]);
                vec![Cell::text(self.name(check, field)), Cell::text(shown(then)), Cell::text(shown(now)), change]
            })
            .collect();
        if rows.is_empty() {
            blocks.push(Block::paragraph("Nothing was measured on both days."));
            return blocks;
        }
        let days = self.sides().map(|case| Cell::strong(day(case.input.inspection.date)));
        let [then, now] = days;
        blocks.push(Block::table(Table {
            columns: vec![Column::left(2.6), Column::left(2.2), Column::left(2.2), Column::left(1.3)],
            head: vec![Cell::strong("Reading"), then, now, Cell::strong("Change")],
            rows,
        }));
        blocks
    }

    /// What was looked at or measured on one of the days only, place by place.
    fn one_sided(&self) -> Vec<Block> {
        let is_looked = |r: &&CheckResult| !r.status.is_open() && r.status != Status::NotApplicable;
        let looked = |case: &RecordCase<'_>| -> BTreeSet<CheckRef> {
            case.assessment.results.iter().filter(is_looked).map(|r| r.check.clone()).collect()
        };
        let [then, now] = self.sides().map(looked);
        let mut blocks = Vec::new();
        for (case, other) in [(&self.then, &now), (&self.now, &then)] {
            let mut pairs = Vec::new();
            for station in Station::ALL {
                let only = case.at(station).filter(is_looked).filter(|r| !other.contains(&r.check));
                let titles: Vec<String> = only.map(words::title_here).collect();
                if !titles.is_empty() {
                    pairs.push((words::place(station), titles.join("; ")));
                }
            }
            if !pairs.is_empty() {
                blocks.push(Block::heading(3, format!("Only on {}", day(case.input.inspection.date))));
                blocks.push(checks::fine(pairs));
            }
        }
        if blocks.is_empty() {
            return blocks;
        }
        let words = Block::paragraph("These say nothing about a change.").keep_with_next();
        blocks.splice(0..0, [Block::heading(2, "Looked at on one day only"), words]);
        blocks
    }

    fn pairs(&self) -> Vec<Pair<'_>> {
        let [then, now] = self.sides().map(|case| &case.input.inspection.answers);
        let mut pairs: Vec<Pair<'_>> = Vec::new();
        for result in &self.now.assessment.results {
            let check = &result.check;
            let readings = |answers: &'_ std::collections::BTreeMap<CheckRef, crate::inspection::Answer>| {
                answers.get(check).map(|answer| answer.readings.keys().cloned().collect::<BTreeSet<_>>())
            };
            let fields: BTreeSet<String> = readings(then).into_iter().chain(readings(now)).flatten().collect();
            for field in fields {
                let of = |answers: &'a std::collections::BTreeMap<CheckRef, crate::inspection::Answer>| {
                    answers.get(check).and_then(|answer| answer.readings.get_key_value(&field))
                };
                let (a, b) = (of(then), of(now));
                let Some((name, _)) = a.or(b) else { continue };
                pairs.push((check, name.as_str(), a.map(|(_, v)| v), b.map(|(_, v)| v)));
            }
        }
        pairs
    }

    /// `Cold pressure, front`, with the field's label where the check has several.
    fn name(&self, check: &CheckRef, field: &str) -> String {
        let title = self.now.assessment.result(check).map_or_else(|| check.to_string(), |r| r.title.clone());
        let entry = self.now.input.catalogue.check(&check.check);
        match entry.and_then(|c| c.field(field)) {
            // A bare number has its unit in its label.
            Some(known) if matches!(known.kind, FieldKind::Number) || entry.is_some_and(|c| c.fields.len() > 1) => {
                format!("{title}: {}", known.label)
            }
            _ => title,
        }
    }
}

/// Two spots nearer than this are not told apart, in mm.
const NEAR_MM: f64 = 10.0;

fn then_and_now(then: Length, now: Length, units: &Preferences) -> String {
    format!("{} then, {} now", words::size(then, units), words::size(now, units))
}

fn row(case: &RecordCase<'_>, finding: &Finding, since: String) -> Vec<Cell> {
    let class = case.class_of(&finding.id);
    let mark = notch::drawing(Mark::Found(class), 10.0);
    let mut what = format!("{}\n{}", findings::what(case, finding), findings::place(case, finding));
    if !finding.note.trim().is_empty() {
        what.push_str(&format!("\n{}", finding.note.trim()));
    }
    vec![
        Cell::Marked(mark, vec![Span::text(class.word()).strong()]),
        Cell::text(what),
        Cell::text(if since.is_empty() { "–".to_owned() } else { since }),
    ]
}

/// The change from one reading to the other, with its sign.
fn change(then: &Value, now: &Value, units: &Preferences) -> String {
    fn by<D: Shows>(then: Quantity<D>, now: Quantity<D>, units: &Preferences) -> String {
        let unit = units.unit::<D>();
        signed(now.amount_in(unit) - then.amount_in(unit), unit.decimals.max(1), unit.symbol, units)
    }
    match (then, now) {
        (Value::Pressure(a), Value::Pressure(b)) => by(*a, *b, units),
        (Value::Length(a), Value::Length(b)) => depth(b.as_mm() - a.as_mm(), units),
        (Value::Temperature(a), Value::Temperature(b)) => by(*a, *b, units),
        (Value::Voltage(a), Value::Voltage(b)) => by(*a, *b, units),
        (Value::Torque(a), Value::Torque(b)) => by(*a, *b, units),
        (Value::Distance(a), Value::Distance(b)) => by(*a, *b, units),
        (Value::Force(a), Value::Force(b)) => by(*a, *b, units),
        (Value::Number(a), Value::Number(b)) => signed(b - a, 1, "", units),
        (Value::Tread(a), Value::Tread(b)) => {
            let least = |points: &[crate::inspection::TreadPoint]| {
                points.iter().flat_map(|p| &p.depths).map(|(_, depth)| depth.as_mm()).reduce(f64::min)
            };
            least(a).zip(least(b)).map_or_else(|| "–".into(), |(a, b)| format!("least {}", depth(b - a, units)))
        }
        (Value::Dial(_, a), Value::Dial(_, b)) => {
            let total = |points: &[crate::inspection::DialPoint]| {
                let all = || points.iter().map(|p| p.reading.as_mm());
                all().reduce(f64::max).zip(all().reduce(f64::min)).map(|(most, least)| most - least)
            };
            total(a).zip(total(b)).map_or_else(|| "–".into(), |(a, b)| format!("total {}", depth(b - a, units)))
        }
        (a, b) if a == b => "the same".into(),
        _ => "changed".into(),
    }
}

/// A difference of depths in the user's unit for depths.
fn depth(mm: f64, units: &Preferences) -> String {
    let unit = units.depth_unit();
    let decimals = if unit.symbol == "mm" { 2 } else { unit.decimals.max(1) };
    signed(mm / unit.factor, decimals, unit.symbol, units)
}

fn signed(value: f64, decimals: usize, symbol: &str, units: &Preferences) -> String {
    let number = print_number(value, decimals, units.decimal_comma);
    let is_nought = number.chars().all(|c| matches!(c, '0' | '.' | ','));
    if is_nought {
        return "no change".into();
    }
    let sign = if value > 0.0 { "+" } else { "" };
    let joined = if symbol.starts_with('/') || symbol.is_empty() { "" } else { "\u{a0}" };
    format!("{sign}{number}{joined}{symbol}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Pressure;

    #[test]
    fn a_change_has_its_sign_and_the_users_unit() {
        let units = Preferences { pressure: "psi".into(), ..Preferences::default() };
        let psi = |v| Value::Pressure(Pressure::psi(v));
        assert_eq!(change(&psi(36.0), &psi(33.5), &units), "−2.5\u{a0}psi");
        assert_eq!(change(&psi(33.5), &psi(36.0), &units), "+2.5\u{a0}psi");
        let mm = |v| Value::Length(Length::mm(v));
        assert_eq!(change(&mm(4.2), &mm(3.55), &units), "−0.65\u{a0}mm");
        assert_eq!(change(&mm(4.2), &mm(4.2), &units), "no change");
        let choice = |id: &str| Value::Choice(id.into());
        assert_eq!(change(&choice("a"), &choice("a"), &units), "the same");
        assert_eq!(change(&choice("a"), &choice("b"), &units), "changed");
    }
}
