//! `--frames N`: draws N frames, prints how long the first took and how long each took, and quits.

use std::time::{Duration, Instant};

/// Counts frames against the clock.
#[derive(Debug)]
pub struct FrameCount {
    wanted: u32,
    began: Instant,
    first: Option<Duration>,
    last: Instant,
    drawn: Vec<Duration>,
}

impl FrameCount {
    /// Counts up to a number of frames from now.
    pub fn new(wanted: u32) -> Self {
        let now = Instant::now();
        Self { wanted: wanted.max(1), began: now, first: None, last: now, drawn: Vec::new() }
    }
    /// Notes the beginning of a frame.
    pub fn begin(&mut self) {
        self.last = Instant::now();
    }
    /// Notes the end of a frame; asks for the next one, or for the end.
    pub fn end(&mut self, ctx: &egui::Context) {
        self.first.get_or_insert_with(|| self.began.elapsed());
        // The system draws one more while the window is being closed; it was not asked for and is not counted.
        if self.drawn.len() < self.wanted as usize {
            self.drawn.push(self.last.elapsed());
        }
        if self.drawn.len() >= self.wanted as usize {
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        } else {
            ctx.request_repaint();
        }
    }
    /// The timings in words.
    pub fn report(&self) -> String {
        let ms = |d: Duration| d.as_secs_f64() * 1000.0;
        let mut sorted = self.drawn.clone();
        sorted.sort_unstable();
        let at =
            |share: f64| sorted.get(((sorted.len().max(1) - 1) as f64 * share) as usize).copied().unwrap_or_default();
        let each: Vec<String> = self.drawn.iter().map(|d| format!("{:.2}", ms(*d))).collect();
        format!(
            "first frame: {:.1} ms\nframes: {} drawn, median {:.2} ms, slowest {:.2} ms\neach, in ms: {}",
            self.first.map_or(0.0, ms),
            self.drawn.len(),
            ms(at(0.5)),
            ms(at(1.0)),
            each.join(" ")
        )
    }
}
