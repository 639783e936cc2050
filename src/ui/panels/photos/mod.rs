//! Photos in the window: those of a finding and of a machine, where new ones come from, and one seen large with marks.
//!
//! ```text
//! shelf     what was brought for the window, and what is still wanted      strip    the photos of one thing, small
//! viewer    one photo large, with its marks                                canvas   zoom, pan and drawing in it
//! arrivals  pictures dropped on the window or pasted                       overlay  marks painted over a photo
//! ```
//!
//! Nothing here opens a file or decodes a picture: it is asked for, and comes when a thread has it.

mod arrivals;
mod canvas;
mod overlay;
mod shelf;
mod strip;
mod viewer;

use crate::edit::PhotoHome;
use crate::machine::MachineId;
use crate::photo::Keep;
use crate::ui::{Place, UiState, ViewCtx};

pub use arrivals::ui as arrivals;
pub use shelf::{PictureKey, Shelf};
pub use strip::ui as strip;
pub use viewer::ui as viewer;

/// What is kept between frames.
#[derive(Clone, Debug, Default)]
pub struct PhotosState {
    /// Photos in pixels.
    pub shelf: Shelf,
    /// What becomes of the metadata of the next photos.
    keep: Keep,
    /// A path that is being typed.
    path: String,
    /// The photo that is seen large.
    viewing: Option<viewer::Viewing>,
    /// How many pictures of the batch at work have been looked at, and of how many.
    pub at_work: Option<(usize, usize)>,
}

impl PhotosState {
    /// Whether a photo is seen large.
    pub fn is_viewing(&self) -> bool {
        self.viewing.is_some()
    }
}

/// What a new picture is of: the photo that is seen large tells, else the finding in hand, else the machine.
fn home(cx: &ViewCtx<'_>, state: &UiState) -> Option<(MachineId, PhotoHome)> {
    if let Some(viewing) = &state.photos.viewing {
        return Some((viewing.machine.clone(), viewing.home.clone()));
    }
    let bay = cx.bay(state)?;
    let in_hand = state.finding.as_ref().filter(|_| state.place == Place::Walk).and_then(|id| bay.finding(id));
    let home = match in_hand {
        Some((inspection, finding)) => PhotoHome::Finding(inspection.id.clone(), finding.id.clone()),
        None => PhotoHome::Machine,
    };
    Some((bay.machine.id.clone(), home))
}

/// What a photo is of, in words: `the finding in hand`.
fn home_words(cx: &ViewCtx<'_>, machine: &MachineId, home: &PhotoHome) -> String {
    let bay = cx.garage.bay(machine);
    match home {
        PhotoHome::Machine => bay.map_or_else(String::new, |bay| bay.machine.name.clone()),
        PhotoHome::Finding(_, id) => bay.and_then(|bay| bay.finding(id)).map_or_else(String::new, |(_, finding)| {
            format!("“{}”", super::walk::words::capital(cx.catalogue.fault_words(finding)))
        }),
    }
}
