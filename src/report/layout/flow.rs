//! Slabs to pages: what fits, what stays together, what is repeated, and the head and foot of each page.
//!
//! It must not know what a slab holds.

use super::blocks::end_aligned;
use super::page::{OutlineEntry, Page, Placed};
use super::shape::Typesetter;
use super::slab::{Slab, Tall};
use super::style::{FURNITURE, Frame};
use crate::guard::limits::PDF_PAGES;
use crate::report::block::{Align, DocumentSpec, Ends};

/// Rounding may add up over a page; a slab that is too tall by less than this still fits.
const SLACK: f32 = 0.01;

/// Sets slabs on pages, with heads and feet, and gives the bookmarks. `None` where they would be too many pages.
pub fn paginate(
    typesetter: &mut Typesetter,
    spec: &DocumentSpec,
    frame: &Frame,
    slabs: Vec<Slab>,
) -> Option<(Vec<Page>, Vec<OutlineEntry>)> {
    let mut flow = Flow { frame: *frame, pages: vec![Vec::new()], y: 0.0, gap: None, outline: Vec::new() };
    let chains = chain_heights(&slabs, frame.body_size().1);
    for (slab, chain) in slabs.into_iter().zip(chains) {
        flow.add(slab, chain);
        if flow.is_full() {
            return None;
        }
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
    Some((pages, flow.outline))
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

    /// Whether there are more pages than are laid out.
    fn is_full(&self) -> bool {
        self.pages.len() > PDF_PAGES.size()
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
        let gap = self.begin(&slab);
        if slab.height <= self.free(gap) + SLACK {
            self.put(slab, gap);
        } else {
            self.add_tall(Tall::new(slab), gap);
        }
    }

    /// The gap above a slab, once the head of its table is set where it is the first on its page.
    fn begin(&mut self, slab: &Slab) -> f32 {
        let gap = self.gap.map_or(0.0, |gap| gap.max(slab.gap_above));
        if self.gap.is_none()
            && let Some(head) = &slab.repeated
        {
            self.put(Slab::clone(head), 0.0);
        }
        gap
    }

    /// The height that is free for a slab below a gap.
    fn free(&self, gap: f32) -> f32 {
        self.room() - self.y - gap
    }

    /// Sets a slab that is taller than what is free, part by part.
    fn add_tall(&mut self, mut tall: Tall, mut gap: f32) {
        while tall.rest().height > self.free(gap) + SLACK && !self.is_full() {
            if let Some(above) = tall.cut(self.free(gap)) {
                self.put(above, gap);
            } else if self.y == 0.0 || tall.rest().repeated.is_some() {
                // A single item taller than a page: it runs over the margin rather than being lost.
                break;
            }
            // Where nothing of it fits below what is there already, it gets a page of its own.
            self.new_page();
            gap = self.begin(tall.rest());
        }
        self.put(tall.into_slab(), gap);
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
