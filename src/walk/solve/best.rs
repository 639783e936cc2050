//! The greatest value within a time: a quick look along few courses for a good plan and a good price, then along all
//! that may lead to a better one.
//!
//! The better the plan that is known and the price, the fewer courses are left, so each pass makes the next one smaller.
//! A pass asks for a target above what is known: where it leaves nothing out for lack of room and finds nothing, no plan
//! is worth the target (destructive bounds, after Klein and Scholl, European Journal of Operational Research 112 (1999)
//! 322-346).

use super::bound::Bound;
use super::field::Field;
use super::gains::NEVER;
use super::graph::{Ask, Graph, Room, build};
use super::labels::{Found, SLACK, search};

/// What is known so far.
pub(super) struct Known {
    pub found: Found,
    /// No plan is worth more.
    pub ceiling: u64,
    /// The price of a second with the least bound.
    pub price: f64,
}

/// How a pass looks.
pub(super) struct Pass {
    pub room: Room,
    /// Plans in part that one search may make.
    pub labels: usize,
    /// How far below the bound to look for a plan, one after the other, as shares of it.
    pub depths: &'static [f64],
    /// How far above the known plan the courses are to lead, as a share of its value.
    pub above: f64,
    /// Whether so few courses are looked along that the pass only looks for a better plan and price.
    pub is_quick: bool,
}

impl Known {
    /// A value in whole grains.
    fn in_grains(ask: &Ask<'_>, value: f64) -> f64 {
        ((value + SLACK).max(0.0) / ask.grain).floor() * ask.grain
    }
    /// Learns that no plan is worth more.
    fn lower(&mut self, ask: &Ask<'_>, top: f64) {
        self.ceiling = self.ceiling.min(Self::in_grains(ask, top) as u64).max(self.found.value);
    }
    /// What a better plan is worth at the least.
    fn enough(&self, ask: &Ask<'_>) -> f64 {
        self.found.value as f64 + ask.grain - SLACK
    }
    /// Whether no better plan is left.
    pub fn is_best(&self) -> bool {
        self.ceiling <= self.found.value
    }
    /// How far the ceiling is above the plan, as a share.
    pub fn gap(&self) -> f64 {
        (self.ceiling - self.found.value) as f64 / self.ceiling.max(1) as f64
    }
}

/// Prices tried in one pass at the most.
const PRICES: usize = 7;

/// One pass at the bound's price. `required` bounds the time of what is required and still to come.
pub(super) fn look(ask: &Ask<'_>, known: &mut Known, pass: &Pass, bound: &mut Bound<'_>, required: &mut Bound<'_>) {
    let price = bound.price;
    known.lower(ask, bound.ahead(0, ask.problem.start.0).gain + price * ask.seconds);
    if known.is_best() {
        return;
    }
    let aim = known.enough(ask) + Known::in_grains(ask, known.found.value as f64 * pass.above);
    let (mut graph, field) = build(ask, aim - price * ask.seconds, pass.room, bound, Some(required));
    let is_whole = graph.dropped == NEVER;
    let top = (graph.dropped + price * ask.seconds).max(aim - ask.grain);
    let (mut fields, pick, low) = at_prices(ask, known, pass, &mut graph, (field, aim));
    // What was left out for lack of room would have had a say in the price.
    if pass.is_quick || is_whole {
        known.price = fields[pick].price;
    }
    let floor = known.enough(ask).max(aim);
    let mut open = NEVER;
    if !graph.arcs.is_empty() && low >= floor {
        if pick + 1 < fields.len() {
            // Some courses were left out since.
            fields[pick] = Field::of(&graph, ask, fields[pick].price);
        }
        let mut list: Vec<&Field> = vec![&fields[pick]];
        list.extend(fields.iter().enumerate().filter(|(i, _)| *i != pick).map(|(_, f)| f));
        open = low;
        for depth in pass.depths {
            let target = (Known::in_grains(ask, low * (1.0 - depth)) - SLACK).max(floor);
            let outcome = search(ask, &graph, &list, target, pass.labels);
            open = open.min(outcome.dropped.max(target - ask.grain));
            if let Some(found) = outcome.found {
                known.found = found;
                open = outcome.dropped.max(known.found.value as f64);
                break;
            }
            if target <= floor {
                break;
            }
        }
    }
    known.lower(ask, top.max(open).max(known.found.value as f64));
}

/// The values of the graph at several prices, which of them gives the least bound, and that bound. What no better plan
/// needs is left out of the graph, and a plan that turns out better than the known one takes its place.
fn at_prices(
    ask: &Ask<'_>,
    known: &mut Known,
    pass: &Pass,
    graph: &mut Graph,
    (first, aim): (Field, f64),
) -> (Vec<Field>, usize, f64) {
    let mut fields = vec![first];
    let mut lines: Vec<(f64, f64)> = Vec::new();
    let (mut low, mut pick, mut work) = (f64::INFINITY, 0, 0);
    while let Some(field) = fields.last() {
        let height = field.back[ask.problem.start.1] + field.price * ask.seconds;
        if height < low - SLACK {
            (low, pick) = (height, fields.len() - 1);
        }
        if let Some(plan) = field.best(graph, ask).and_then(|order| ask.plan(order)) {
            lines.push((plan.value as f64, f64::from(plan.seconds)));
            if f64::from(plan.seconds) <= ask.seconds && plan.value > known.found.value {
                known.found = plan;
            }
        }
        work += graph.arcs.len();
        let floor = known.enough(ask).max(aim);
        field.prune(graph, floor - field.price * ask.seconds);
        if graph.arcs.is_empty() || low < floor || fields.len() >= PRICES || work > pass.room.work {
            break;
        }
        let price = next_price(&lines, &fields, (pick, low), ask.seconds);
        fields.push(Field::of(graph, ask, price));
    }
    (fields, pick, low)
}

/// Shares of the best price that bound what takes much less or much more time.
const SHARES: [f64; 8] = [1.5, 0.6, 2.5, 0.3, 0.0, 5.0, 0.8, 1.2];

/// The next price to try: where the lines of the plans found meet lowest, as long as that promises a lower bound; else
/// a share of the best, so that what takes much less or much more time is bounded too. A plan's line is its value at
/// the price: value + price * (seconds given - its seconds).
fn next_price(lines: &[(f64, f64)], fields: &[Field], (pick, low): (usize, f64), seconds: f64) -> f64 {
    let is_fresh = |price: &f64| fields.iter().all(|f| (f.price - price).abs() > 0.02 * f.price.max(1e-9));
    let height = |price: f64| lines.iter().map(|l| l.0 + price * (seconds - l.1)).fold(NEVER, f64::max);
    let mut meeting: Option<(f64, f64)> = None;
    for over in lines.iter().filter(|l| l.1 > seconds) {
        for under in lines.iter().filter(|l| l.1 <= seconds) {
            let price = (over.0 - under.0) / (over.1 - under.1);
            if price >= 0.0 && meeting.is_none_or(|m| height(price) < m.0) {
                meeting = Some((height(price), price));
            }
        }
    }
    let best = fields[pick].price;
    let tried = fields.len() as i32;
    match meeting {
        Some((height, price)) if height < low - 0.5 && is_fresh(&price) => price,
        None if lines.iter().all(|l| l.1 > seconds) => fields[0].price * 2.0_f64.powi(tried) + 0.001,
        None if best > 0.0 => fields[0].price * 0.5_f64.powi(tried),
        _ => SHARES.iter().map(|share| share * best).find(is_fresh).unwrap_or(0.9 * best),
    }
}
