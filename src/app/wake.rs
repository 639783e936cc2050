//! Wakes the window from another thread, so that it draws what came in and otherwise draws nothing.

use std::sync::{Arc, OnceLock};

/// A handle for threads. Before the window is there, waking does nothing: its first frame looks anyway.
#[derive(Clone, Default)]
pub struct Waker(Arc<OnceLock<egui::Context>>);

impl Waker {
    /// Names the window to wake.
    pub fn attach(&self, ctx: &egui::Context) {
        let _ = self.0.get_or_init(|| ctx.clone());
    }
    /// Wakes it.
    pub fn wake(&self) {
        if let Some(ctx) = self.0.get() {
            ctx.request_repaint();
        }
    }
}
