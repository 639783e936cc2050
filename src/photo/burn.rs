//! Marks into pixels.
//!
//! A blur box becomes one flat colour. A light blur, or a mosaic with several tiles, can be undone for what has few
//! possible values: whoever draws every number plate and blurs it in the same way finds the one that looks alike. One
//! colour, the mean of the box in coarse steps, leaves nothing to compare.

use image::{Rgb, RgbImage};
use tiny_skia::{Color, LineCap, LineJoin, Paint, PathBuilder, Pixmap, PremultipliedColorU8, Stroke, Transform};

use super::mark::{PhotoMark, line_width};

/// Vermilion of the Okabe and Ito palette, on a rim of white so that it is seen on every ground.
const INK: [u8; 3] = [0xd5, 0x5e, 0x00];

/// Fills the boxes of a picture that hide something.
pub(super) fn hide(picture: &mut RgbImage, marks: &[PhotoMark]) {
    let (width, height) = picture.dimensions();
    let size = (width as f32, height as f32);
    for mark in marks.iter().filter(|mark| mark.hides()) {
        let [a, b] = mark.places().map(|at| at.on(size));
        // A pixel that is covered by half is covered.
        let (left, right) = (a.0.min(b.0).floor() as u32, (a.0.max(b.0).ceil() as u32).min(width));
        let (top, bottom) = (a.1.min(b.1).floor() as u32, (a.1.max(b.1).ceil() as u32).min(height));
        let inside = || (top..bottom).flat_map(move |y| (left..right).map(move |x| (x, y)));
        let count = u64::from(right.saturating_sub(left)) * u64::from(bottom.saturating_sub(top));
        if count == 0 {
            continue;
        }
        let mut sum = [0_u64; 3];
        for (x, y) in inside() {
            for (sum, channel) in sum.iter_mut().zip(picture.get_pixel(x, y).0) {
                *sum += u64::from(channel);
            }
        }
        // Steps of 32: what was under the box shifts its colour by too little to be told.
        let flat = Rgb(sum.map(|sum| ((sum / count) as u8 & 0xe0) | 0x10));
        for (x, y) in inside() {
            picture.put_pixel(x, y, flat);
        }
    }
}

/// Draws arrows and circles; none where there is no memory for it.
pub(super) fn draw(picture: &mut RgbImage, marks: &[PhotoMark]) -> Option<()> {
    if marks.iter().all(|mark| mark.hides()) {
        return Some(());
    }
    let (width, height) = picture.dimensions();
    let size = (width as f32, height as f32);
    let mut pixmap = Pixmap::new(width, height)?;
    for (to, from) in pixmap.pixels_mut().iter_mut().zip(picture.pixels()) {
        let [r, g, b] = from.0;
        *to = PremultipliedColorU8::from_rgba(r, g, b, 255)?;
    }
    for mark in marks.iter().filter(|mark| !mark.hides()) {
        let lines = mark.lines(size);
        let mut path = PathBuilder::new();
        for run in &lines.runs {
            for (i, (x, y)) in run.iter().enumerate() {
                if i == 0 { path.move_to(*x, *y) } else { path.line_to(*x, *y) }
            }
            if lines.is_closed {
                path.close();
            }
        }
        let Some(path) = path.finish() else { continue };
        for (rgb, factor) in [([255, 255, 255], 2.0), (INK, 1.0)] {
            let mut paint = Paint::default();
            paint.set_color(Color::from_rgba8(rgb[0], rgb[1], rgb[2], 255));
            let width = line_width(size) * factor;
            let stroke = Stroke { width, line_cap: LineCap::Round, line_join: LineJoin::Round, ..Stroke::default() };
            pixmap.stroke_path(&path, &paint, &stroke, Transform::identity(), None);
        }
    }
    for (to, from) in picture.pixels_mut().zip(pixmap.pixels()) {
        to.0 = [from.red(), from.green(), from.blue()];
    }
    Some(())
}
