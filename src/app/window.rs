//! The native window: its options, its geometry, and the bridge from eframe to the shell.

use std::error::Error;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};

use thiserror::Error;

use super::clock::WallClock;
use super::dialogs::SystemDialogs;
use super::frames::FrameCount;
use super::settings::Homes;
use super::shell::{Shell, Start};
use crate::store::RealDisk;
use crate::ui::Ids;

/// How the window is opened.
#[derive(Clone, Debug, Default)]
pub struct WindowOptions {
    /// The garage; none for the last one, or the sample.
    pub folder: Option<PathBuf>,
    /// Draw this many frames, print timings and quit.
    pub frames: Option<u32>,
}

/// Why there is no window.
#[derive(Debug, Error)]
pub enum AppError {
    /// The desktop gives no window.
    #[error(
        "expected a display to open a window on, found none ({0}); without one, use the command line, for example \
         `stemclock status FOLDER` or `stemclock report FOLDER --machine NAME --kind record --out FILE.pdf`"
    )]
    NoWindow(String),
    /// The system names no home folder.
    #[error("expected a home folder for settings, found none: set HOME and start again")]
    NoHome,
}

/// Opens the window and stays until it is closed.
pub fn run(options: WindowOptions) -> Result<(), AppError> {
    let homes = Homes::of_user().ok_or(AppError::NoHome)?;
    let frames = options.frames.map(|n| Arc::new(Mutex::new(FrameCount::new(n))));
    open(&homes, options.folder, frames.clone())?;
    if let Some(Ok(frames)) = frames.as_ref().map(|f| f.lock()) {
        println!("{}", frames.report());
    }
    Ok(())
}

fn open(homes: &Homes, folder: Option<PathBuf>, frames: Option<Arc<Mutex<FrameCount>>>) -> Result<(), AppError> {
    let is_timed = frames.is_some();
    let native = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Stemclock")
            .with_app_id("stemclock")
            .with_inner_size([1280.0, 860.0])
            .with_min_inner_size([720.0, 520.0])
            .with_icon(egui::IconData::default()),
        // Named, because a test build turns the other renderer on for every crate in the tree.
        renderer: eframe::Renderer::Glow,
        // With the geometry the toolkit keeps the zoom, by which the geometry is counted.
        persist_window: !is_timed,
        persistence_path: Some(homes.data.join("window.ron")),
        system_font_fallback: false,
        ..Default::default()
    };
    let start = Start {
        homes: homes.clone(),
        folder,
        disk: Arc::new(RealDisk),
        clock: Box::new(WallClock),
        ids: Ids::random(),
        dialogs: Box::new(SystemDialogs),
    };
    // The garage is read while the system makes the window, which takes as long.
    let opening = std::thread::Builder::new()
        .name("opening".into())
        .spawn(move || Shell::start(start))
        .map_err(|e| AppError::NoWindow(format!("no thread could be started: {e}")))?;
    let make = move |cc: &eframe::CreationContext<'_>| -> Result<Box<dyn eframe::App>, Box<dyn Error + Send + Sync>> {
        let mut shell = opening.join().map_err(|_| "the garage could not be opened: see the message above")?;
        shell.dress(&cc.egui_ctx);
        Ok(Box::new(Window { shell, frames }))
    };
    eframe::run_native("stemclock", native, Box::new(make)).map_err(|e| AppError::NoWindow(e.to_string()))
}

/// What eframe calls.
struct Window {
    shell: Shell,
    frames: Option<Arc<Mutex<FrameCount>>>,
}

impl Window {
    fn count(&self, note: impl FnOnce(&mut FrameCount)) {
        if let Some(Ok(mut frames)) = self.frames.as_ref().map(|f| f.lock()) {
            note(&mut frames);
        }
    }
}

impl eframe::App for Window {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.count(FrameCount::begin);
        self.shell.logic(ctx);
    }
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.shell.ui(ui);
        self.count(|f| f.end(ui.ctx()));
    }
    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.shell.settle();
        self.shell.remember_machine();
    }
}
