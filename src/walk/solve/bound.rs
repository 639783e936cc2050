//! No plan is worth more than this: the bound that the search is pruned with, and the price of time it uses.
//!
//! The time is paid for at a price a second instead of being limited (Lagrangian relaxation; Geoffrion, Mathematical
//! Programming Study 2 (1974) 82-114), and walks between rounds are left out, while walks inside a round, changes of
//! state, precedence and what is required stay exact. What remains is a dynamic program over the sets of rounds done
//! (Held and Karp 1962), and the price with the least bound is found by cutting planes (Kelley, J. SIAM 8 (1960)
//! 703-712), since the bound is convex in it.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use super::coarse::Coarse;
use super::rounds::{Set, members};

/// The best that is still to come: value less price, and the seconds of the plan that gives it.
#[derive(Clone, Copy, Debug)]
pub(super) struct ToCome {
    pub gain: f64,
    pub seconds: u64,
}

impl ToCome {
    const NOTHING: Self = Self { gain: 0.0, seconds: 0 };
    const NEVER: Self = Self { gain: f64::NEG_INFINITY, seconds: 0 };
}

/// What one round gives at the price: its gain and its seconds. A round that cannot be done has none.
pub(super) type Gain = Option<(f64, u32)>;

/// The bound at one price.
pub(super) struct Bound<'a> {
    coarse: &'a Coarse,
    gains: Vec<Gain>,
    /// The price of a second.
    pub price: f64,
    table: HashMap<(Set, u32), ToCome, BuildHasherDefault<Mix>>,
    /// The most states it may hold.
    pub limit: usize,
    /// The rounds that a best plan may hold: worth their price, required, or needed by one of these.
    useful: Set,
    /// A bound seen from farther off, for when the table is full.
    far: Option<Box<Bound<'a>>>,
}

impl<'a> Bound<'a> {
    pub fn new(coarse: &'a Coarse, gains: Vec<Gain>, price: f64, limit: usize, far: Option<Box<Self>>) -> Self {
        let rounds = &coarse.rounds;
        let is_worth = |r: usize| gains[r].is_some_and(|(gain, _)| gain > 0.0 || rounds.required & 1 << r != 0);
        // Where a detour can be shorter than the direct way, a round may pay that is worth nothing.
        let is_first = |r: usize| gains[r].is_some() && (!rounds.is_metric || is_worth(r));
        let mut useful = (0..gains.len()).filter(|&r| is_first(r)).fold(0, |set: Set, r| set | 1 << r);
        loop {
            let needs = members(useful).fold(useful, |set, r| set | rounds.all[r].needs);
            if needs == useful {
                break;
            }
            useful = needs;
        }
        Self { coarse, gains, price, table: HashMap::default(), limit, useful, far }
    }

    /// The best that can come after some rounds from a state.
    pub fn ahead(&mut self, done: Set, state: usize) -> ToCome {
        let mut best = self.still_open(done, (self.coarse.class[state], state));
        best.gain += self.price * f64::from(self.coarse.rebate[state]);
        best
    }

    /// The same from a class of states; `at` is one of them.
    fn still_open(&mut self, done: Set, (state, at): (usize, usize)) -> ToCome {
        let coarse = self.coarse;
        let rounds = &coarse.rounds;
        let done = self.plain(done, state);
        let key = (done, state as u32);
        if let Some(known) = self.table.get(&key) {
            return *known;
        }
        if rounds.required & !done & !rounds.reach[state] != 0 {
            return ToCome::NEVER;
        }
        if self.is_full() {
            return match &mut self.far {
                Some(far) => far.ahead(done, at),
                None => self.rough(done, state),
            };
        }
        let mut best = if rounds.required & !done == 0 { ToCome::NOTHING } else { ToCome::NEVER };
        let may_follow = |r: &usize| {
            let round = &rounds.all[*r];
            done & round.later == 0 && round.needs & !done == 0 && !rounds.enter[state][*r].is_empty()
        };
        let open = self.useful & rounds.reach[state] & !done;
        match members(open).filter(may_follow).find_map(|r| self.at_once(r, done, state)) {
            // Staying in the state costs nothing, so a round that is worth it is done at once.
            Some((r, gain, seconds)) => {
                let next = self.still_open(done | 1 << r, (state, at));
                best = ToCome { gain: gain + next.gain, seconds: u64::from(seconds) + next.seconds };
            }
            None => {
                for r in members(open).filter(may_follow) {
                    let Some((gain, seconds)) = self.gains[r] else { continue };
                    let entry = self.entry(r, done);
                    for &(to, change) in &rounds.enter[state][r] {
                        let next = self.still_open(done | 1 << r, (to, coarse.some[to]));
                        let change = change + entry;
                        let gain = gain - self.price * f64::from(change) + next.gain;
                        if gain > best.gain {
                            best = ToCome { gain, seconds: u64::from(seconds + change) + next.seconds };
                        }
                    }
                }
            }
        }
        self.table.insert(key, best);
        best
    }

    /// The same as [`Self::ahead`], but no less and quicker: seen from farther off, where there is such a view.
    pub fn at_most_from(&mut self, done: Set, state: usize) -> f64 {
        self.far.as_mut().map_or(f64::INFINITY, |far| far.ahead(done, state).gain)
    }

    /// Whether the table has no room left.
    pub fn is_full(&self) -> bool {
        self.table.len() >= self.limit
    }

    /// Seconds for coming into the group of a round, where none of the group was done.
    fn entry(&self, r: usize, done: Set) -> u32 {
        let (group, seconds) = self.coarse.groups[r];
        if group & done == 0 { seconds } else { 0 }
    }

    /// A round that is best done at once, with its gain and seconds: in the same state, worth it, in nobody's way.
    fn at_once(&self, r: usize, done: Set, state: usize) -> Option<(usize, f64, u32)> {
        let rounds = &self.coarse.rounds;
        let blocks_nobody = rounds.earlier[r] & self.useful & !done & rounds.reach[state] == 0;
        if !rounds.is_metric || !blocks_nobody || !rounds.all[r].states.contains(&state) {
            return None;
        }
        let (gain, seconds) = self.gains[r]?;
        let entry = self.entry(r, done);
        let gain = gain - self.price * f64::from(entry);
        (gain >= 0.0 || rounds.all[r].required).then_some((r, gain, seconds + entry))
    }

    /// The rounds done that still matter, so that equal situations are looked up once: those that could be done again,
    /// are required, bar or allow another one, or have paid for their group.
    fn plain(&self, done: Set, state: usize) -> Set {
        let rounds = &self.coarse.rounds;
        let open = self.useful & rounds.reach[state] & !done;
        let again = self.useful & rounds.reach[state] | rounds.required;
        members(done & !again).fold(done, |kept, r| {
            let without = kept & !(1 << r);
            let group = self.coarse.groups[r].0;
            // That its group was come into is enough to know once.
            let is_first = group & open != 0 && group & without == 0;
            let matters = (rounds.earlier[r] | rounds.needed_by[r]) & open != 0 || is_first;
            if matters { kept } else { without }
        })
    }

    /// A bound without the table: every round that can still be done gives its best, and changes cost nothing.
    fn rough(&self, done: Set, state: usize) -> ToCome {
        let mut sum = ToCome::NOTHING;
        for r in members(self.useful & self.coarse.rounds.reach[state] & !done) {
            let is_required = self.coarse.rounds.required & 1 << r != 0;
            match self.gains[r] {
                Some((gain, seconds)) if gain > 0.0 || is_required => {
                    sum.gain += gain;
                    sum.seconds += u64::from(seconds);
                }
                None if is_required => return ToCome::NEVER,
                _ => {}
            }
        }
        sum
    }
}

/// A quick hash of the few numbers of a key; the table is never fed by strangers.
#[derive(Default)]
pub(super) struct Mix(u64);

impl Hasher for Mix {
    fn write(&mut self, bytes: &[u8]) {
        bytes.iter().for_each(|b| self.write_u64(u64::from(*b)));
    }
    fn write_u64(&mut self, n: u64) {
        self.0 = (self.0.rotate_left(26) ^ n).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }
    fn write_u32(&mut self, n: u32) {
        self.write_u64(u64::from(n));
    }
    fn write_usize(&mut self, n: usize) {
        self.write_u64(n as u64);
    }
    fn finish(&self) -> u64 {
        self.0 ^ self.0 >> 29
    }
}
