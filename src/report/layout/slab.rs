//! A slab: a piece of content of known height that moves onto a page as one.
//!
//! Items in a slab have their x on the page and their y from the slab's top. This file must not know blocks, fonts or
//! pages; it only stacks and cuts.

use std::rc::Rc;

use super::page::Placed;
use crate::drawing::shape::{Pt, pt};

/// A piece of content that moves as one.
#[derive(Clone, Debug, Default)]
pub struct Slab {
    /// Its height in points.
    pub height: f32,
    /// What it holds.
    pub items: Vec<Placed>,
    /// The least gap to what stands above on the same page.
    pub gap_above: f32,
    /// The least gap to what stands below on the same page. Of two gaps that meet, the larger counts.
    pub gap_below: f32,
    /// Whether the next slab must begin on the same page.
    pub keep_with_next: bool,
    /// Whether it begins a new page.
    pub page_break: bool,
    /// What is set above it when it is the first on its page: the head of its table.
    pub repeated: Option<Rc<Slab>>,
    /// The headings that it holds.
    pub headings: Vec<Heading>,
}

/// A heading inside a slab.
#[derive(Clone, Debug)]
pub struct Heading {
    /// 1, 2 or 3.
    pub level: u8,
    /// The words.
    pub text: String,
    /// Its top, from the slab's top.
    pub y: f32,
}

impl Slab {
    /// A slab of the given height with its items.
    pub fn new(height: f32, items: Vec<Placed>) -> Self {
        Self { height, items, ..Self::default() }
    }

    /// Moves all items.
    pub fn shift(&mut self, dx: f32, dy: f32) {
        for item in &mut self.items {
            item.shift(dx, dy);
        }
        for heading in &mut self.headings {
            heading.y += dy;
        }
    }
}

/// Keeps the rows of a list together where a page would part one from the rest: the first two, the last two, and all of
/// them where they are no higher than `short`.
pub fn keep_ends(rows: &mut [Slab], short: f32) {
    let count = rows.len();
    let is_short = rows.iter().map(|row| row.height).sum::<f32>() <= short;
    for (i, row) in rows.iter_mut().enumerate() {
        row.keep_with_next |= i + 1 < count && (is_short || i == 0 || i + 2 == count);
    }
}

/// Stacks slabs into one, with the gaps between them; page breaks inside have no meaning and are left out.
pub fn stack(slabs: Vec<Slab>) -> Slab {
    let mut whole = Slab::default();
    let mut gap_below: Option<f32> = None;
    for mut slab in slabs {
        if let Some(gap) = gap_below {
            whole.height += gap.max(slab.gap_above);
        }
        slab.shift(0.0, whole.height);
        whole.items.append(&mut slab.items);
        whole.headings.append(&mut slab.headings);
        whole.height += slab.height;
        gap_below = Some(slab.gap_below);
    }
    whole
}

/// Extents of words overlap the neighbouring line a little; items count as cut only by more than this.
const SLACK: f32 = 0.5;
/// How many cuts an item far below is moved by one after the other, as if it had been there at each; those after them
/// are added up, so that the work for an item has an end.
const CUTS_APART: usize = 32;

/// A slab that is taller than its room, taken off from its top part by part.
///
/// An item is looked at only once its part is near, and it is moved and never copied: a slab of a thousand pages costs a
/// thousand times what one of a page costs, and no more.
#[derive(Debug)]
pub struct Tall {
    /// What is left, without its items and headings; its height is that of the rest.
    rest: Slab,
    /// Items and headings far below, the highest last, where they stood in the whole slab; items with their number in
    /// painting order.
    far: Vec<(usize, Placed)>,
    far_headings: Vec<Heading>,
    /// Items that the next cut may touch, from the top of the rest.
    near: Vec<(usize, Placed)>,
    /// How far the rest's top has moved with each cut.
    moved: Vec<f32>,
    /// How often an item was looked at.
    #[cfg(test)]
    looked: usize,
}

impl Tall {
    /// Makes a slab ready for cutting.
    pub fn new(mut slab: Slab) -> Self {
        let mut far: Vec<_> = std::mem::take(&mut slab.items).into_iter().enumerate().collect();
        far.sort_by(|(_, a), (_, b)| upper(b).total_cmp(&upper(a)));
        let mut far_headings = std::mem::take(&mut slab.headings);
        far_headings.reverse();
        far_headings.sort_by(|a, b| b.y.total_cmp(&a.y));
        Self {
            rest: slab,
            far,
            far_headings,
            near: Vec::new(),
            moved: Vec::new(),
            #[cfg(test)]
            looked: 0,
        }
    }

    /// What is left, without its items.
    pub fn rest(&self) -> &Slab {
        &self.rest
    }

    /// Takes off the first part, no taller than `room`.
    ///
    /// The cut runs between lines; backgrounds and upright rules are cut through. `None` when there is no place for a
    /// cut, because a single item is taller than the room.
    pub fn cut(&mut self, room: f32) -> Option<Slab> {
        self.come_near(room);
        let mut at = room;
        while let Some(top) = self.highest_cut_through(at) {
            at = top;
        }
        let is_whole_above = |item: &Placed| !can_be_cut(item) && item.extent().1 <= at + SLACK;
        if at < 1.0 || !self.near.iter().any(|(_, item)| is_whole_above(item)) {
            return None;
        }
        let mut above = Slab { gap_above: self.rest.gap_above, ..Slab::new(at, Vec::new()) };
        while let Some(heading) = self.far_headings.pop_if(|heading| after(&self.moved, heading.y) < at - SLACK) {
            above.headings.push(Heading { y: after(&self.moved, heading.y), ..heading });
        }
        for (number, item) in std::mem::take(&mut self.near) {
            let (top, bottom) = item.extent();
            if bottom <= at + SLACK {
                above.items.push(item);
            } else if let Some((first, second)) = (top < at - SLACK).then(|| cut_item(&item, at)).flatten() {
                above.items.push(first);
                self.near.push((number, second));
            } else {
                self.near.push((number, item));
            }
        }
        for (_, item) in &mut self.near {
            item.shift(0.0, -at);
        }
        self.rest.height -= at;
        let is_full = self.moved.len() > CUTS_APART;
        match self.moved.last_mut().filter(|_| is_full) {
            Some(last) => *last += at,
            None => self.moved.push(at),
        }
        Some(above)
    }

    /// What is left, as a slab.
    pub fn into_slab(mut self) -> Slab {
        self.come_near(f32::INFINITY);
        self.rest.items = self.near.into_iter().map(|(_, item)| item).collect();
        self.rest.headings = self.far_headings;
        self.rest.headings.reverse();
        for heading in &mut self.rest.headings {
            heading.y = after(&self.moved, heading.y);
        }
        self.rest
    }

    /// Brings near whatever a cut above `room` may touch.
    fn come_near(&mut self, room: f32) {
        while let Some((number, mut item)) =
            self.far.pop_if(|(_, item)| after(&self.moved, upper(item)) <= room + 2.0 * SLACK)
        {
            for at in &self.moved {
                item.shift(0.0, -at);
            }
            self.near.push((number, item));
            #[cfg(test)]
            {
                self.looked += 1;
            }
        }
        self.near.sort_unstable_by_key(|(number, _)| *number);
    }

    /// The top of the highest item that a cut would run through and that must not be cut.
    fn highest_cut_through(&mut self, at: f32) -> Option<f32> {
        #[cfg(test)]
        {
            self.looked += self.near.len();
        }
        self.near
            .iter()
            .filter(|(_, item)| !can_be_cut(item))
            .map(|(_, item)| item.extent())
            .filter(|(top, bottom)| *top < at - SLACK && at < bottom - SLACK)
            .map(|(top, _)| top)
            .reduce(f32::min)
    }
}

/// A height after these moves.
fn after(moved: &[f32], y: f32) -> f32 {
    moved.iter().fold(y, |y, at| y - at)
}

/// The upper end of an item; of one without extent, above everything.
fn upper(item: &Placed) -> f32 {
    let (top, bottom) = item.extent();
    top.min(bottom)
}

fn can_be_cut(item: &Placed) -> bool {
    matches!(item, Placed::Rect { .. } | Placed::Rule { .. })
}

fn cut_item(item: &Placed, at: f32) -> Option<(Placed, Placed)> {
    match item {
        Placed::Rect { area, ink } => {
            let (mut first, mut second) = (*area, *area);
            first.height = at - area.y;
            second.y = at;
            second.height = area.y + area.height - at;
            Some((Placed::Rect { area: first, ink: *ink }, Placed::Rect { area: second, ink: *ink }))
        }
        Placed::Rule { from, to, width, ink } => {
            let middle: Pt = pt(from.x, at);
            let rule = |from, to| Placed::Rule { from, to, width: *width, ink: *ink };
            Some((rule(*from, middle), rule(middle, *to)))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::shape::Ink;
    use crate::report::layout::page::{Area, Face, TextRun};

    fn words(text: &str, baseline: f32) -> Placed {
        Placed::Text(TextRun {
            x: 0.0,
            y: baseline,
            face: Face::Regular,
            size: 10.0,
            ink: Ink::Line,
            text: text.to_owned(),
            glyphs: Vec::new(),
            link: None,
            width: 10.0,
        })
    }

    fn box_of(height: f32) -> Placed {
        Placed::Rect { area: Area { x: 0.0, y: 0.0, width: 50.0, height }, ink: Ink::Wash }
    }

    fn texts(slab: &Slab) -> Vec<(&str, f32)> {
        slab.items
            .iter()
            .filter_map(|item| match item {
                Placed::Text(run) => Some((run.text.as_str(), run.y)),
                _ => None,
            })
            .collect()
    }

    #[test]
    fn a_cut_runs_between_lines_and_through_the_background() {
        let slab = Slab::new(60.0, vec![box_of(60.0), words("a", 12.0), words("b", 26.0), words("c", 40.0)]);
        // 30 would run through the third line, which reaches from 30 to 43; 28 lies in the second, from 16 to 29.
        let mut tall = Tall::new(slab);
        let above = tall.cut(28.0).expect("there is a gap above the second line");
        let below = tall.into_slab();
        assert_eq!(texts(&above), [("a", 12.0)]);
        assert_eq!(texts(&below), [("b", 10.0), ("c", 24.0)]);
        assert!((above.height - 16.0).abs() < 1e-3 && (below.height - 44.0).abs() < 1e-3);
        let backgrounds: Vec<_> = [&above, &below].map(|part| part.items[0].extent()).into();
        assert_eq!(backgrounds, [(0.0, 16.0), (0.0, 44.0)]);
    }

    #[test]
    fn no_row_of_a_list_is_left_alone() {
        let rows = || (0..5).map(|_| Slab::new(20.0, vec![words("a", 12.0)])).collect::<Vec<_>>();
        let kept = |short: f32| {
            let mut rows = rows();
            keep_ends(&mut rows, short);
            rows.iter().map(|row| row.keep_with_next).collect::<Vec<_>>()
        };
        assert_eq!(kept(50.0), [true, false, false, true, false]);
        assert_eq!(kept(100.0), [true, true, true, true, false]);
    }

    #[test]
    fn a_single_line_is_not_cut() {
        let slab = Slab::new(14.0, vec![box_of(14.0), words("a", 12.0)]);
        let mut tall = Tall::new(slab);
        assert!(tall.cut(8.0).is_none());
        assert_eq!(texts(&tall.into_slab()), [("a", 12.0)]);
    }

    /// Lines 14 points apart on a background, each with its number.
    fn lines(count: usize) -> Slab {
        let height = count as f32 * 14.0;
        let lines = (0..count).map(|n| words(&n.to_string(), n as f32 * 14.0 + 12.0));
        Slab::new(height, std::iter::once(box_of(height)).chain(lines).collect())
    }

    #[test]
    fn every_part_holds_what_follows_and_nothing_is_lost() {
        let mut tall = Tall::new(lines(10));
        let mut parts = Vec::new();
        while tall.rest().height > 50.0 {
            parts.push(tall.cut(50.0).expect("three lines fit"));
        }
        parts.push(tall.into_slab());
        let found: Vec<Vec<(&str, f32)>> = parts.iter().map(texts).collect();
        let part = |names: &[&'static str]| -> Vec<(&'static str, f32)> {
            names.iter().zip([12.0, 26.0, 40.0]).map(|(name, y)| (*name, y)).collect()
        };
        // A cut runs above the fourth line, whose letters begin 2 points below its top, and each part after it begins
        // where the letters do.
        assert_eq!(found[0], part(&["0", "1", "2"]));
        assert_eq!(found.iter().flatten().map(|(name, _)| *name).collect::<Vec<_>>().concat(), "0123456789");
        for (part, found) in parts.iter().zip(&found).skip(1) {
            assert_eq!(found[0].1, 10.0, "{found:?}");
            assert_eq!(part.items[0].extent(), (0.0, part.height));
        }
    }

    #[test]
    fn headings_go_with_their_part() {
        let heading = |text: &str, y| Heading { level: 2, text: text.to_owned(), y };
        let headings = vec![heading("a", 0.0), heading("b", 28.0), heading("c", 98.0)];
        let mut tall = Tall::new(Slab { headings, ..lines(10) });
        let above = tall.cut(50.0).expect("three lines fit");
        let of = |slab: &Slab| slab.headings.iter().map(|h| (h.text.clone(), h.y)).collect::<Vec<_>>();
        assert_eq!(of(&above), [("a".to_owned(), 0.0), ("b".to_owned(), 28.0)]);
        assert_eq!(of(&tall.into_slab()), [("c".to_owned(), 98.0 - above.height)]);
    }

    #[test]
    fn twice_the_lines_are_twice_the_work() {
        let work = |count: usize| {
            let mut tall = Tall::new(lines(count));
            while tall.rest().height > 700.0 {
                tall.cut(700.0).expect("fifty lines fit");
            }
            tall.looked
        };
        let (once, twice) = (work(10_000), work(20_000));
        // Copying the rest at each cut would make it four times, and a hundred looks at an item.
        assert!(twice <= once * 21 / 10, "{once}, then {twice}");
        assert!(once <= 10_000 * 4, "{once}");
    }

    #[test]
    fn stacking_takes_the_larger_of_two_gaps() {
        let first = Slab { gap_below: 7.0, ..Slab::new(10.0, vec![words("a", 8.0)]) };
        let second = Slab { gap_above: 22.0, gap_below: 9.0, ..Slab::new(20.0, vec![words("b", 8.0)]) };
        let whole = stack(vec![first, second]);
        assert!((whole.height - 52.0).abs() < 1e-4);
        assert_eq!(texts(&whole), [("a", 8.0), ("b", 40.0)]);
    }
}
