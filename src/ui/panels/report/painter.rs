//! Pages into pixels on a thread of its own, so that the window never waits for one. The frame says which pages it wants
//! now, the first of them first; the thread takes them one by one, and what is no longer wanted is never painted.

use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use egui::ColorImage;

use crate::report::layout::Layout;
use crate::report::raster;

/// A page at a scale, of one making of the pages.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// Which making of the pages: they are counted.
    pub making: u64,
    /// The page from 0.
    pub index: usize,
    /// Pixels a point.
    pub scale: f32,
}

/// What came of it.
pub type Painted = Result<ColorImage, String>;

#[derive(Default)]
struct Desk {
    layout: Option<Arc<Layout>>,
    wanted: Vec<Wanted>,
    painting: Option<Wanted>,
    done: Vec<(Wanted, Painted)>,
    is_closed: bool,
}

struct Shared {
    desk: Mutex<Desk>,
    changed: Condvar,
}

impl Shared {
    /// The desk; a thread that gave up while it held it has left nothing half-done on it.
    fn desk(&self) -> MutexGuard<'_, Desk> {
        self.desk.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The thread and what lies on its desk. It ends when this is dropped.
pub struct Painter {
    shared: Arc<Shared>,
}

impl Painter {
    /// Starts the thread. It wakes the window when a page is done.
    pub fn start(ctx: egui::Context) -> Self {
        let shared = Arc::new(Shared { desk: Mutex::default(), changed: Condvar::new() });
        let own = Arc::clone(&shared);
        let run = move || {
            while let Some((wanted, layout)) = next(&own) {
                let painted = paint(&layout, wanted);
                drop(layout);
                let mut desk = own.desk();
                desk.painting = None;
                desk.done.push((wanted, painted));
                drop(desk);
                own.changed.notify_all();
                ctx.request_repaint();
            }
        };
        if let Err(error) = std::thread::Builder::new().name("pages".into()).spawn(run) {
            log::error!("the thread that paints pages could not be started: {error}");
        }
        Self { shared }
    }

    /// Says which pages are wanted now, in place of those said before; those that are done or at work are left out.
    pub fn want(&self, layout: &Arc<Layout>, wanted: Vec<Wanted>) {
        let mut desk = self.shared.desk();
        let is_known = |w: &Wanted| desk.painting == Some(*w) || desk.done.iter().any(|(done, _)| done == w);
        let wanted: Vec<Wanted> = wanted.into_iter().filter(|w| !is_known(w)).collect();
        desk.wanted = wanted;
        desk.layout = Some(Arc::clone(layout));
        drop(desk);
        self.shared.changed.notify_all();
    }

    /// Takes one page that is done, so that no frame hands more than one to the graphics; and whether more are.
    pub fn take(&self) -> (Option<(Wanted, Painted)>, bool) {
        let mut desk = self.shared.desk();
        let one = (!desk.done.is_empty()).then(|| desk.done.remove(0));
        (one, !desk.done.is_empty())
    }

    /// Waits until nothing is wanted, at most for a while.
    pub fn settle(&self, most: Duration) {
        let until = Instant::now() + most;
        let mut desk = self.shared.desk();
        while (desk.painting.is_some() || !desk.wanted.is_empty())
            && let Some(left) = until.checked_duration_since(Instant::now())
        {
            desk = match self.shared.changed.wait_timeout(desk, left) {
                Ok((desk, _)) => desk,
                Err(poisoned) => poisoned.into_inner().0,
            };
        }
    }
}

impl Drop for Painter {
    fn drop(&mut self) {
        self.shared.desk().is_closed = true;
        self.shared.changed.notify_all();
    }
}

/// Waits for the next page that is wanted; none at the end.
fn next(shared: &Shared) -> Option<(Wanted, Arc<Layout>)> {
    let mut desk = shared.desk();
    loop {
        if desk.is_closed {
            return None;
        }
        if let Some(layout) = desk.layout.clone().filter(|_| !desk.wanted.is_empty()) {
            let wanted = desk.wanted.remove(0);
            desk.painting = Some(wanted);
            return Some((wanted, layout));
        }
        desk = shared.changed.wait(desk).unwrap_or_else(PoisonError::into_inner);
    }
}

/// Put together here, so that the window only hands it to its graphics.
fn paint(layout: &Layout, wanted: Wanted) -> Painted {
    let bitmap = raster::page(layout, wanted.index, wanted.scale).map_err(|error| error.to_string())?;
    let size = [bitmap.width as usize, bitmap.height as usize];
    // The paper is opaque, so either kind of alpha serves.
    Ok(ColorImage::from_rgba_premultiplied(size, &bitmap.rgba))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::block::{Block, DocumentSpec};
    use crate::report::layout::lay_out;

    fn layout(pages: usize) -> Arc<Layout> {
        let made = chrono::DateTime::parse_from_rfc3339("2026-11-25T10:00:00+01:00").expect("a moment");
        let mut spec = DocumentSpec::new("t", made);
        spec.blocks = (0..pages).flat_map(|n| [Block::page_break(), Block::heading(1, format!("{n}"))]).collect();
        Arc::new(lay_out(&spec))
    }

    fn wanted(making: u64, index: usize) -> Wanted {
        Wanted { making, index, scale: 0.5 }
    }

    #[test]
    fn every_page_that_is_wanted_comes_and_only_once() {
        let painter = Painter::start(egui::Context::default());
        let pages = layout(3);
        painter.want(&pages, (0..3).map(|i| wanted(1, i)).collect());
        painter.settle(Duration::from_secs(60));
        // Asked for again before they were taken, they are not painted again.
        painter.want(&pages, (0..3).map(|i| wanted(1, i)).collect());
        painter.settle(Duration::from_secs(60));
        let mut came = Vec::new();
        while let (Some((page, painted)), _) = painter.take() {
            // ISO 216: 595.28 by 841.89 points, at half a pixel a point.
            assert_eq!(painted.expect("painted").size, [298, 421]);
            came.push(page.index);
        }
        assert_eq!(came, [0, 1, 2]);
    }

    #[test]
    fn what_cannot_be_painted_is_said_and_the_others_come() {
        let painter = Painter::start(egui::Context::default());
        painter.want(&layout(1), vec![wanted(1, 7), wanted(1, 0)]);
        painter.settle(Duration::from_secs(60));
        let (first, more) = painter.take();
        let (_, painted) = first.expect("an answer");
        assert!(painted.expect_err("no such page").contains("found page 8") && more);
        assert!(painter.take().0.expect("the other").1.is_ok());
    }
}
