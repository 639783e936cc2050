//! The program behind the window: it opens a garage, draws the panels, carries their actions out and saves.
//!
//! ```text
//! window    the native window and its options         shell    what is open, and how it is started
//! frame     one frame: take in, draw, apply            selection  what is in hand, and what follows from it
//! closing   what closing would give up                 notes    what is said to the user
//! opening   which garage, first run, other folders     apply    actions -> changes -> history -> disk
//! saving    the queue: one change at a time            saving_thread  writes them, reads again what others wrote
//! printing  reports, on a thread of their own          dialogs  the system's file dialogs (the only rfd)
//! settings  what is remembered between runs            clock    the only now
//! frames    --frames: timings                          wake     threads wake the window
//! keeping   where a walk under way is, after a crash too
//! paths     what a typed path means                    calendar  what falls due, to a file
//! watching  changes on disk, heard on a thread         outside   what others changed, taken in
//! meeting   a record changed here and on disk: the choice
//! agreed    what a typed path would write over        class    files of a class exercise
//! pictures  threads for pictures                       photos    what came of them
//! shelf     the machines of a large garage stay on disk until they are in hand
//! ```
//!
//! Panels never change a garage: they return actions, and [`Shell`] applies them after drawing.

mod agreed;
mod apply;
mod calendar;
mod class;
mod clock;
mod closing;
mod dialogs;
mod disk;
mod frame;
mod frames;
mod keeping;
mod meeting;
mod notes;
mod opening;
mod outside;
mod paths;
mod photos;
mod pictures;
mod printing;
mod reports;
mod saving;
mod saving_thread;
mod selection;
mod settings;
mod shelf;
mod shell;
mod wake;
mod watching;
mod window;

pub use crate::store::RealDisk;
pub use clock::{Clock, StoppedClock, WallClock};
pub use dialogs::{Dialogs, Question, SystemDialogs};
pub use disk::{Disk, Found};
pub use settings::{Homes, Look, Settings};
pub use shell::{Shell, Start};
pub use wake::Waker;
pub use window::{AppError, WindowOptions, run};
