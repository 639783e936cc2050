//! Slabs to pages: what fits, what stays together, what is repeated, and the head and foot of each page.
//!
//! It must not know what a slab holds.

use super::blocks::end_aligned;
use super::page::{OutlineEntry, Page, Placed};
use super::shape::Typesetter;
use super::slab::{Slab, cut};
use super::style::{FURNITURE, Frame};
use crate::report::block::{Align, DocumentSpec, Ends};

/// Rounding may add up over a page; a slab that is too tall by less than this still fits.
const SLACK: f32 = 0.01;

/// Sets slabs on pages, with heads and feet, and gives the bookmarks.
pub fn paginate(
    typesetter: &mut Typesetter,
    spec: &DocumentSpec,
    frame: &Frame,
    slabs: Vec<Slab>,
) -> (Vec<Page>, Vec<OutlineEntry>) {
    let mut flow = Flow { frame: *frame, pages: vec![Vec::new()], y: 0.0, gap: None, outline: Vec::new() };
    let chains = chain_heights(&slabs, frame.body_size().1);
    for (slab, chain) in slabs.into_iter().zip(chains) {
        flow.add(slab, chain);
    }
    let count = flow.pages.len();
    let pages = flow
        .pages
        .into_iter()
        .enumerate()
        .map(|(i, body)| {
            let label = spec.page_label.replace("{page}", &(i + 1).to_string()).replace("{pages}", &count.to_string());
            let foot_right =
                if spec.foot.right.is_empty() { label } else { format!("{}  ·  {label}", spec.foot.right) };
            let foot = Ends { left: spec.foot.left.clone(), right: foot_right };
            let mut items = furniture(typesetter, frame, &spec.head, frame.head_baseline);
            items.extend(body);
            items.append(&mut furniture(typesetter, frame, &foot, frame.foot_baseline));
            Page { width: frame.width, height: frame.height, items }
        })
        .collect();
    (pages, flow.outline)
}

/// For each slab, the height that must be free for it to be placed: its own, and of all that it keeps with it.
///
/// A chain taller than a page cannot be kept together; each slab of it then only counts for itself and its neighbour.
fn chain_heights(slabs: &[Slab], page: f32) -> Vec<f32> {
    let mut heights: Vec<f32> = vec![0.0; slabs.len()];
    for i in (0..slabs.len()).rev() {
        let slab = &slabs[i];
        heights[i] = slab.height;
        if let (true, Some(next)) = (slab.keep_with_next, slabs.get(i + 1))
            && !next.page_break
        {
            let gap = slab.gap_below.max(next.gap_above);
            let with_all = slab.height + gap + heights[i + 1];
            let with_next = slab.height + gap + next.height;
            if with_all <= page {
                heights[i] = with_all;
            } else if with_next <= page {
                heights[i] = with_next;
            }
        }
    }
    heights
}

struct Flow {
    frame: Frame,
    pages: Vec<Vec<Placed>>,
    /// How much of the body is used, from its top.
    y: f32,
    /// The gap wished for below the last slab; none at the top of a page.
    gap: Option<f32>,
    outline: Vec<OutlineEntry>,
}

impl Flow {
    fn room(&self) -> f32 {
        self.frame.body_size().1
    }

    fn new_page(&mut self) {
        self.pages.push(Vec::new());
        self.y = 0.0;
        self.gap = None;
    }

    fn add(&mut self, slab: Slab, chain: f32) {
        let at_top = self.gap.is_none();
        let gap = self.gap.map_or(0.0, |gap| gap.max(slab.gap_above));
        let fits = self.y + gap + chain <= self.room() + SLACK;
        if (slab.page_break || !fits) && !at_top {
            self.new_page();
        }
        let gap = self.gap.map_or(0.0, |gap| gap.max(slab.gap_above));
        if self.gap.is_none()
            && let Some(head) = slab.repeated.clone()
        {
            self.put(Slab::clone(&head), 0.0);
        }
        let free = self.room() - self.y - gap;
        if slab.height <= free + SLACK {
            self.put(slab, gap);
        } else if let Some((above, below)) = cut(&slab, free) {
            self.put(above, gap);
            self.new_page();
            let height = below.height;
            self.add(below, height);
        } else if self.y > 0.0 && slab.repeated.is_none() {
            // Nothing of it fits below what is there already: it gets a page of its own.
            self.new_page();
            let height = slab.height;
            self.add(slab, height);
        } else {
            // A single item taller than a page: it runs over the margin rather than being lost.
            self.put(slab, gap);
        }
    }

    fn put(&mut self, mut slab: Slab, gap: f32) {
        self.y += gap;
        let top = self.frame.top + self.y;
        slab.shift(self.frame.side, top);
        let page = self.pages.len() - 1;
        for heading in slab.headings.drain(..) {
            self.outline.push(OutlineEntry { level: heading.level, text: heading.text, page, y: heading.y });
        }
        if let Some(page) = self.pages.last_mut() {
            page.append(&mut slab.items);
        }
        self.y += slab.height;
        self.gap = Some(slab.gap_below);
    }
}

fn furniture(typesetter: &mut Typesetter, frame: &Frame, ends: &Ends, baseline: f32) -> Vec<Placed> {
    let width = frame.body_size().0;
    let mut items = end_aligned(typesetter, &ends.left, FURNITURE, frame.side, width, Align::Left);
    items.append(&mut end_aligned(typesetter, &ends.right, FURNITURE, frame.side, width, Align::Right));
    for item in &mut items {
        item.shift(0.0, baseline);
    }
    items
}
