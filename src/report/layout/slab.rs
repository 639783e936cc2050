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

/// Cuts a slab that is taller than a page so that the first part is no taller than `room`.
///
/// The cut runs between lines; backgrounds and upright rules are cut through. `None` when there is no place for a cut,
/// because a single item is taller than the room.
pub fn cut(slab: &Slab, room: f32) -> Option<(Slab, Slab)> {
    // Extents of words overlap the neighbouring line a little; items count as cut only by more than this.
    const SLACK: f32 = 0.5;
    let mut at = room;
    while let Some(top) = slab
        .items
        .iter()
        .filter(|item| !can_be_cut(item))
        .map(Placed::extent)
        .filter(|(top, bottom)| *top < at - SLACK && at < bottom - SLACK)
        .map(|(top, _)| top)
        .reduce(f32::min)
    {
        at = top;
    }
    let whole_items_above = |item: &Placed| !can_be_cut(item) && item.extent().1 <= at + SLACK;
    if at < 1.0 || !slab.items.iter().any(whole_items_above) {
        return None;
    }
    let mut above = Slab::new(at, Vec::new());
    let mut below = Slab { height: slab.height - at, ..slab.clone() };
    above.gap_above = slab.gap_above;
    above.repeated.clone_from(&slab.repeated);
    below.items.clear();
    (above.headings, below.headings) = slab.headings.iter().cloned().partition(|heading| heading.y < at - SLACK);
    for item in &slab.items {
        let (top, bottom) = item.extent();
        if bottom <= at + SLACK {
            above.items.push(item.clone());
        } else if top >= at - SLACK {
            below.items.push(item.clone());
        } else if let Some((first, second)) = cut_item(item, at) {
            above.items.push(first);
            below.items.push(second);
        } else {
            below.items.push(item.clone());
        }
    }
    below.shift(0.0, -at);
    Some((above, below))
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
        let (above, below) = cut(&slab, 28.0).expect("there is a gap above the second line");
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
        assert!(cut(&slab, 8.0).is_none());
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
