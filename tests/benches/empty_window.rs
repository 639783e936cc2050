//! An eframe window with nothing in it: what the window's start is measured against.
//!
//! Draws as many frames as the first argument says (default 3), prints the time from the start of the process to the
//! end of the first frame, and closes.

use std::time::Instant;

struct Empty {
    started: Instant,
    left: u32,
    first: bool,
}

impl eframe::App for Empty {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        if self.first {
            self.first = false;
            println!("first frame: {:.1} ms", self.started.elapsed().as_secs_f64() * 1000.0);
        }
        self.left = self.left.saturating_sub(1);
        if self.left == 0 {
            ui.ctx().send_viewport_cmd(egui::ViewportCommand::Close);
        }
        ui.ctx().request_repaint();
    }
}

fn main() -> Result<(), eframe::Error> {
    let started = Instant::now();
    let left = std::env::args().nth(1).and_then(|n| n.parse().ok()).unwrap_or(3);
    let options = eframe::NativeOptions {
        renderer: eframe::Renderer::Glow,
        viewport: egui::ViewportBuilder::default().with_inner_size([1280.0, 800.0]),
        ..Default::default()
    };
    eframe::run_native("empty", options, Box::new(move |_| Ok(Box::new(Empty { started, left, first: true }))))
}
