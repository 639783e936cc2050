//! The preview's pixels against poppler's rendering of the PDF.

use stemclock::report::block::{DocumentSpec, Paper};
use stemclock::report::layout::lay_out;
use stemclock::report::raster::{self, Bitmap};

use crate::pdf::{save, tool};
use crate::pixels::{difference, grey};
use crate::sample;

/// Pixels a point at which pages are compared.
const SCALE: u16 = 4;

#[test]
fn a_page_looks_like_what_poppler_draws() {
    // US Letter is a whole number of points, so both renderers have the same pixel grid.
    let spec = DocumentSpec { paper: Paper::Letter, ..sample::rich() };
    let (layout, file) = save(&spec, "rich-raster.pdf");
    let file = file.to_str().expect("the build folder's path is plain text");
    let resolution = (72 * SCALE).to_string();
    for page in 0..layout.pages.len() {
        let number = (page + 1).to_string();
        let stem = file.replace(".pdf", &format!("-{number}"));
        tool("pdftoppm", &["-png", "-r", &resolution, "-f", &number, "-l", &number, "-singlefile", file, &stem]);
        let theirs = image::open(format!("{stem}.png")).expect("poppler's picture can be read").to_rgba8();
        let ours = raster::page(&layout, page, SCALE.into()).expect("the page is painted");
        assert_eq!((theirs.width(), theirs.height()), (ours.width, ours.height));
        let own = image::RgbaImage::from_raw(ours.width, ours.height, ours.rgba.clone()).expect("whole rows");
        own.save(format!("{stem}-own.png")).expect("the build folder can be written to");

        let theirs = Bitmap { width: theirs.width(), height: theirs.height(), rgba: theirs.into_raw() };
        let (mean, far) = difference(&grey(&ours), &grey(&theirs));
        assert!(mean < 2.5, "page {number}: mean difference {mean} of 255");
        assert!(far < 0.001, "page {number}: {far} of the blocks differ by more than half");
    }
}

#[test]
fn a_shifted_page_is_told_from_the_right_one() {
    // Guards the measure itself: a page that is half a point lower must exceed the limit that the test above sets.
    let layout = lay_out(&sample::rich());
    let mut lower = layout.clone();
    for item in &mut lower.pages[1].items {
        item.shift(0.0, 0.5);
    }
    let [a, b] = [&layout, &lower].map(|layout| raster::page(layout, 1, SCALE.into()).expect("the page is painted"));
    let (mean, _) = difference(&grey(&a), &grey(&b));
    assert!(mean > 2.5, "{mean}");
}

#[test]
fn what_cannot_be_painted_is_refused_with_the_way_out() {
    let layout = lay_out(&sample::rich());
    let said = raster::page(&layout, 99, 1.0).expect_err("no such page").to_string();
    assert!(said.contains("found page 100"), "{said}");
    for scale in [0.0, -1.0, f32::NAN, f32::INFINITY, 1.0e6] {
        let said = raster::page(&layout, 0, scale).expect_err("no such scale").to_string();
        assert!(said.contains("choose another zoom"), "{scale}: {said}");
    }
}
