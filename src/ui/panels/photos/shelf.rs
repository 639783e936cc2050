//! Photos in pixels, brought by a thread when they come into view and kept while there is room. Must not draw.

use std::collections::BTreeMap;
use std::fmt;

use egui::{ColorImage, TextureHandle, TextureOptions};

use crate::machine::MachineId;

/// The longest side of a small picture, in pixels: twice its size in points, for fine screens.
pub(super) const SMALL: u32 = 208;
/// The longest side of the picture that is seen large.
pub(super) const LARGE: u32 = 2000;
/// How many small pictures are kept: 208 × 156 pixels are 130 kB, so all of them are 26 MB.
const MOST_SMALL: usize = 200;
/// How many large ones: 12 MB each.
const MOST_LARGE: usize = 3;

/// Which picture, at which size.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PictureKey {
    /// Whose photo it is.
    pub machine: MachineId,
    /// Its file.
    pub file: String,
    /// The longest side in pixels.
    pub longest: u32,
}

/// What is known of a picture.
#[derive(Clone)]
pub(super) enum Picture {
    /// It has been asked for.
    Asked,
    /// It is there.
    There(TextureHandle),
    /// It cannot be shown: why.
    Refused(String),
}

/// The pictures that are kept.
#[derive(Clone, Default)]
pub struct Shelf {
    pictures: BTreeMap<PictureKey, (Picture, u64)>,
    wanted: Vec<PictureKey>,
    uses: u64,
}

impl fmt::Debug for Shelf {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Shelf").field("pictures", &self.pictures.len()).field("wanted", &self.wanted).finish()
    }
}

impl Shelf {
    /// A picture; one that nobody has asked for yet is asked for.
    pub(super) fn get(&mut self, machine: &MachineId, file: &str, longest: u32) -> Picture {
        let key = PictureKey { machine: machine.clone(), file: file.to_owned(), longest };
        self.uses += 1;
        if let Some((picture, used)) = self.pictures.get_mut(&key) {
            *used = self.uses;
            return picture.clone();
        }
        self.pictures.insert(key.clone(), (Picture::Asked, self.uses));
        self.wanted.push(key);
        Picture::Asked
    }
    /// The pictures that were asked for since the last time.
    pub fn wanted(&mut self) -> Vec<PictureKey> {
        std::mem::take(&mut self.wanted)
    }
    /// Puts a picture in, or why there is none. The one that was not looked at for longest makes room.
    pub fn put(&mut self, ctx: &egui::Context, key: PictureKey, result: Result<ColorImage, String>) {
        let picture = match result {
            Ok(image) => Picture::There(ctx.load_texture(key.file.clone(), image, TextureOptions::LINEAR)),
            Err(why) => Picture::Refused(why),
        };
        self.uses += 1;
        let longest = key.longest;
        self.pictures.insert(key, (picture, self.uses));
        let most = if longest > SMALL { MOST_LARGE } else { MOST_SMALL };
        let there = |(key, (picture, _)): &(&PictureKey, &(Picture, u64))| {
            key.longest == longest && !matches!(picture, Picture::Asked)
        };
        if self.pictures.iter().filter(there).count() > most {
            let oldest = self.pictures.iter().filter(there).min_by_key(|(_, (_, used))| *used);
            if let Some(key) = oldest.map(|(key, _)| key.clone()) {
                self.pictures.remove(&key);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn screen() -> Result<ColorImage, String> {
        Ok(ColorImage::from_rgba_premultiplied([1, 1], &[1, 2, 3, 255]))
    }

    #[test]
    fn a_picture_is_asked_for_once_and_the_one_out_of_use_makes_room() {
        let ctx = egui::Context::default();
        let mut shelf = Shelf::default();
        let machine = MachineId("m".into());
        for _ in 0..3 {
            assert!(matches!(shelf.get(&machine, "a", LARGE), Picture::Asked));
        }
        let wanted = shelf.wanted();
        assert_eq!(wanted.len(), 1);
        assert!(shelf.wanted().is_empty());
        shelf.put(&ctx, wanted[0].clone(), screen());
        for file in ["b", "c"] {
            shelf.get(&machine, file, LARGE);
            shelf.put(&ctx, PictureKey { machine: machine.clone(), file: file.into(), longest: LARGE }, screen());
        }
        // The first is looked at again, so the second makes room for a fourth.
        assert!(matches!(shelf.get(&machine, "a", LARGE), Picture::There(_)));
        shelf.put(&ctx, PictureKey { machine: machine.clone(), file: "d".into(), longest: LARGE }, Err("why".into()));
        assert!(matches!(shelf.get(&machine, "d", LARGE), Picture::Refused(_)));
        assert!(matches!(shelf.get(&machine, "a", LARGE), Picture::There(_)));
        assert!(matches!(shelf.get(&machine, "b", LARGE), Picture::Asked), "it was put away and is asked for anew");
    }
}
