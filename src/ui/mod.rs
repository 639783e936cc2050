//! The window's content. Panels take `&ViewCtx` and their own state, draw, and return actions; they change nothing.
//!
//! Must not know the store, the PDF writer, the file dialog or the app. Only [`theme`] makes colours.

pub mod action;
pub mod chrome;
pub mod commands;
pub mod derived;
pub mod panels;
pub mod state;
pub mod theme;
pub mod view;
pub mod widgets;

pub use action::{Action, ClassItem, PhotoSource, Where};
pub use derived::{Derived, Fetch, MachineRow, OnDisk, Stale};
pub use state::{Place, UiState};
pub use view::{Ids, Note, ViewCtx};
