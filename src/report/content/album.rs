//! The photos of a report, each ready for its page before the report is made, so that only one is open at a time.

use std::collections::BTreeMap;

use crate::garage::Bay;
use crate::photo::{PhotoMark, PhotoRef, Printed, Refusal, for_print};

/// The width at which a photo is set on paper, in points.
pub(super) const WIDTH: f32 = 190.0;
/// Pixels an inch on paper; a laser printer's screen shows no more.
const RESOLUTION: f32 = 200.0;
/// The height of a page's body in points, which no photo is higher than.
const HEIGHT: f32 = 720.0;

/// The most pixels that a photo on a page needs, width and height.
pub const PHOTO_PIXELS: (u32, u32) = ((WIDTH / 72.0 * RESOLUTION) as u32, (HEIGHT / 72.0 * RESOLUTION) as u32);

/// Why a photo is not shown whose file could not be read. What the disk says of it may name a folder of the owner's, and
/// a page goes to strangers.
pub const UNREAD: &str = "its file is missing or cannot be read";

/// Photos by the names of their files; one that cannot be shown with the reason.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Album(BTreeMap<String, Result<Printed, String>>);

impl Album {
    /// Makes a photo ready and puts it in. What cannot be opened is put in with the reason, for its page to say.
    pub fn add(&mut self, name: impl Into<String>, bytes: &[u8], marks: &[PhotoMark]) {
        self.put(name, for_print(bytes, marks, PHOTO_PIXELS).map_err(|e| e.to_string()));
    }
    /// Puts in a photo that is ready, or the reason why there is none.
    pub fn put(&mut self, name: impl Into<String>, photo: Result<Printed, String>) {
        self.0.insert(name.into(), photo);
    }
    /// Photos that were taken from the pages of a report, to lay them out again.
    ///
    /// # Errors
    /// When one is no JPEG that a page could hold.
    pub fn from_pages(photos: &BTreeMap<String, Vec<u8>>) -> Result<Self, Refusal> {
        let read = |(name, jpeg): (&String, &Vec<u8>)| Ok((name.clone(), Ok(Printed::from_page(jpeg)?)));
        photos.iter().map(read).collect::<Result<_, _>>().map(Self)
    }
    /// A photo, or the reason why there is none; none where nobody has looked for it.
    pub fn get(&self, name: &str) -> Option<&Result<Printed, String>> {
        self.0.get(name)
    }
    /// The photos that cannot be shown, each with the reason.
    pub fn refused(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().filter_map(|(name, photo)| Some((name.as_str(), photo.as_ref().err()?.as_str())))
    }
    /// How many photos were looked for.
    pub fn len(&self) -> usize {
        self.0.len()
    }
    /// Whether none was.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

/// The photos that a machine's records name, each with every mark that is on it. What is hidden in one place of the
/// records is hidden in every one.
pub fn photos_of(bay: &Bay) -> BTreeMap<String, Vec<PhotoMark>> {
    let of_findings = bay.inspections.iter().flat_map(|i| &i.findings).flat_map(|f| &f.photos);
    let mut all: BTreeMap<String, Vec<PhotoMark>> = BTreeMap::new();
    for PhotoRef { file, marks, .. } in bay.machine.photos.iter().chain(of_findings) {
        let known = all.entry(file.clone()).or_default();
        for mark in marks {
            if !known.contains(mark) {
                known.push(*mark);
            }
        }
    }
    all
}
