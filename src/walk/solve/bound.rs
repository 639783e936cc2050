//! No plan is worth more than this: the bound that the search is pruned with, and the price of time it uses.
//!
//! The time is paid for at a price a second instead of being limited (Lagrangian relaxation; Geoffrion, Mathematical
//! Programming Study 2 (1974) 82-114), and walks between rounds are left out, while walks inside a round, changes of
//! state, precedence and what is required stay exact. What remains is a dynamic program over the sets of rounds done
//! (Held and Karp 1962), and the price with the least bound is found by cutting planes (Kelley, J. SIAM 8 (1960)
//! 703-712), since the bound is convex in it.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use super::rounds::{Rounds, Set};

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

/// What one round gives at the price: its gain and seconds, whole and in part. A round that cannot be done has none.
#[derive(Clone, Copy, Debug)]
pub(super) struct Gains {
    pub whole: Option<(f64, u32)>,
    pub part: Option<(f64, u32)>,
}

/// The bound at one price.
pub(super) struct Bound<'a> {
    rounds: &'a Rounds,
    gains: Vec<Gains>,
    price: f64,
    table: HashMap<(Set, Set, u32), ToCome, BuildHasherDefault<Mix>>,
    limit: usize,
}

impl<'a> Bound<'a> {
    pub fn new(rounds: &'a Rounds, gains: Vec<Gains>, price: f64, limit: usize) -> Self {
        Self { rounds, gains, price, table: HashMap::default(), limit }
    }
    /// Whether the table was large enough for the bound to be as tight as it can be.
    pub fn is_full(&self) -> bool {
        self.table.len() >= self.limit
    }

    /// The best that can come after some rounds, some of them whole, from a state.
    pub fn ahead(&mut self, done: Set, whole: Set, state: usize) -> ToCome {
        let rounds = self.rounds;
        let (done, whole) = self.plain(done, whole, state);
        let key = (done, whole, state as u32);
        if let Some(known) = self.table.get(&key) {
            return *known;
        }
        if rounds.required & !done & !rounds.reach[state] != 0 {
            return ToCome::NEVER;
        }
        if self.is_full() {
            return self.rough(done, state);
        }
        let mut best = if rounds.required & !done == 0 { ToCome::NOTHING } else { ToCome::NEVER };
        let open = (0..rounds.all.len()).filter(|&r| self.can_follow(r, done, whole, state));
        match open.clone().find_map(|r| self.at_once(r, done, state)) {
            // Staying in the state costs nothing, so a round that is worth it is done at once.
            Some((r, is_whole, gain, seconds)) => {
                let whole = if is_whole { whole | 1 << r } else { whole };
                let next = self.ahead(done | 1 << r, whole, state);
                best = ToCome { gain: gain + next.gain, seconds: u64::from(seconds) + next.seconds };
            }
            None => {
                for r in open.collect::<Vec<_>>() {
                    let Gains { whole: all, part } = self.gains[r];
                    for (to, change) in &rounds.enter[state][r] {
                        for (gain, is_whole) in [(all, true), (part, false)] {
                            let Some((gain, seconds)) = gain else { continue };
                            let marked = if is_whole { whole | 1 << r } else { whole };
                            let next = self.ahead(done | 1 << r, marked, *to);
                            let gain = gain - self.price * f64::from(*change) + next.gain;
                            if gain > best.gain {
                                best = ToCome { gain, seconds: u64::from(seconds + change) + next.seconds };
                            }
                        }
                    }
                }
            }
        }
        self.table.insert(key, best);
        best
    }

    /// Whether a round can be done next.
    fn can_follow(&self, r: usize, done: Set, whole: Set, state: usize) -> bool {
        let round = &self.rounds.all[r];
        done & 1 << r == 0
            && done & round.later == 0
            && round.needs & !whole == 0
            && !self.rounds.enter[state][r].is_empty()
    }

    /// A round that is best done at once: in the same state, worth it, and in nobody's way.
    fn at_once(&self, r: usize, done: Set, state: usize) -> Option<(usize, bool, f64, u32)> {
        let rounds = self.rounds;
        let blocks_nobody = rounds.earlier[r] & !done & rounds.reach[state] == 0;
        if !rounds.is_metric || !blocks_nobody || !rounds.all[r].states.contains(&state) {
            return None;
        }
        let Gains { whole, part } = self.gains[r];
        let best = whole
            .map(|(gain, seconds)| (gain, seconds, true))
            .into_iter()
            .chain(part.map(|(gain, seconds)| (gain, seconds, false)));
        let (gain, seconds, is_whole) = best.reduce(|a, b| if b.0 > a.0 + 1e-9 { b } else { a })?;
        let is_free_choice = rounds.needed_by[r] == 0 || is_whole;
        let is_worth_it = gain >= 0.0 || rounds.all[r].required;
        (is_free_choice && is_worth_it).then_some((r, is_whole, gain, seconds))
    }

    /// The same situation with all that no longer matters taken away, so that equal situations are looked up once.
    fn plain(&self, done: Set, whole: Set, state: usize) -> (Set, Set) {
        let rounds = self.rounds;
        let open = rounds.reach[state] & !done;
        let mut kept = done;
        let mut marks = whole;
        let mut rest = done & !rounds.reach[state];
        while rest != 0 {
            let r = rest.trailing_zeros() as usize;
            rest &= rest - 1;
            // Required rounds stay marked, or they would seem to be missing.
            if rounds.earlier[r] & open == 0 && rounds.required & 1 << r == 0 {
                kept &= !(1 << r);
            }
        }
        let mut rest = whole;
        while rest != 0 {
            let r = rest.trailing_zeros() as usize;
            rest &= rest - 1;
            if rounds.needed_by[r] & open == 0 {
                marks &= !(1 << r);
            }
        }
        (kept, marks)
    }

    /// A bound without the table: every round that can still be done gives its best, and changes cost nothing.
    fn rough(&self, done: Set, state: usize) -> ToCome {
        let mut sum = ToCome::NOTHING;
        let mut open = self.rounds.reach[state] & !done;
        while open != 0 {
            let r = open.trailing_zeros() as usize;
            open &= open - 1;
            let Gains { whole, part } = self.gains[r];
            let best = whole.into_iter().chain(part).reduce(|a, b| if b.0 > a.0 { b } else { a });
            let is_required = self.rounds.required & 1 << r != 0;
            match best {
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
