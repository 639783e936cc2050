//! A photo as pixels for the window, no larger than it is shown.

use super::{Refusal, open};

/// A photo in pixels, upright, from the top left, four bytes a pixel.
#[derive(Clone, PartialEq, Eq)]
pub struct Screen {
    /// Width in pixels.
    pub width: usize,
    /// Height in pixels.
    pub height: usize,
    /// `width × height × 4` bytes: red, green, blue, full opacity.
    pub rgba: Vec<u8>,
    /// Width and height of the photo itself.
    pub whole: (u32, u32),
}

impl std::fmt::Debug for Screen {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Screen({} × {} of {:?})", self.width, self.height, self.whole)
    }
}

/// A photo scaled down so that no side is longer than `longest` pixels.
///
/// # Errors
/// When it cannot be opened.
pub fn for_screen(bytes: &[u8], longest: u32) -> Result<Screen, Refusal> {
    let head = open::head(bytes)?;
    let whole = head.upright();
    let picture = open::fitted(open::on_white(head.decode()?), (longest, longest));
    let rgba = picture.pixels().flat_map(|p| [p.0[0], p.0[1], p.0[2], 255]).collect();
    Ok(Screen { width: picture.width() as usize, height: picture.height() as usize, rgba, whole })
}
