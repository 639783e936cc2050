//! Drawings and photos to placed items: scaled to the room they have, their words shaped.
//!
//! It must not know blocks or pages.

use std::sync::Arc;

use super::lines::{Line, one_line};
use super::page::{Area, Face, Placed};
use super::shape::{Style, Typesetter};
use crate::drawing::shape::{Anchor, Drawing, Pt, Shape, Stroke, pt};
use crate::report::block::{Photo, Picture};

/// Pixels an inch at which a photo is set when no width is wished for: fine enough for a laser printer's screen.
const PHOTO_RESOLUTION: f32 = 150.0;

/// Width and height at which a drawing is set in the given room. It is scaled down, never up.
pub fn drawing_size(drawing: &Drawing, room: (f32, f32)) -> (f32, f32) {
    fit((drawing.width, drawing.height), room)
}

/// Width and height at which a photo is set in the given room.
pub fn photo_size(photo: &Photo, room: (f32, f32)) -> (f32, f32) {
    let (wide, high) = (photo.pixel_width as f32, photo.pixel_height as f32);
    let wished = photo.width.filter(|width| width.is_finite() && *width > 0.0);
    let width = wished.unwrap_or(wide / PHOTO_RESOLUTION * 72.0);
    fit((width, if wide > 0.0 { width * high / wide } else { 0.0 }), room)
}

/// Width and height of either kind of picture in the given room.
pub fn picture_size(picture: &Picture, room: (f32, f32)) -> (f32, f32) {
    match picture {
        Picture::Drawing(drawing) => drawing_size(drawing, room),
        Picture::Photo(photo) => photo_size(photo, room),
    }
}

fn fit((width, height): (f32, f32), room: (f32, f32)) -> (f32, f32) {
    if !(width.is_finite() && height.is_finite() && width > 0.0 && height > 0.0) {
        return (0.0, 0.0);
    }
    let scale = (room.0.max(0.0) / width).min(room.1.max(0.0) / height).min(1.0);
    (width * scale, height * scale)
}

/// A picture with its top left corner at the given place and the size that [`picture_size`] gave.
pub fn place_picture(typesetter: &mut Typesetter, picture: &Picture, at: Pt, size: (f32, f32)) -> Placed {
    match picture {
        Picture::Drawing(drawing) => place_drawing(typesetter, drawing, at, size),
        Picture::Photo(photo) => place_photo(photo, at, size),
    }
}

/// A photo with its top left corner at the given place.
pub fn place_photo(photo: &Photo, at: Pt, (width, height): (f32, f32)) -> Placed {
    Placed::Photo {
        area: Area { x: at.x, y: at.y, width, height },
        jpeg: Arc::clone(&photo.jpeg),
        summary: photo.summary.clone(),
    }
}

/// A drawing with its top left corner at the given place. A piece with a coordinate that is no number is left out.
pub fn place_drawing(typesetter: &mut Typesetter, drawing: &Drawing, at: Pt, (width, height): (f32, f32)) -> Placed {
    let scale = if drawing.width > 0.0 && width.is_finite() { width / drawing.width } else { 0.0 };
    let scaling = Scaling { at, scale };
    let corners = |shape: &Shape| if let Shape::Path { points, .. } = shape { points.len() } else { 1 };
    let shapes: &[Shape] =
        if typesetter.take(drawing.shapes.iter().map(corners).sum()) { &drawing.shapes } else { &[] };
    let items = shapes.iter().flat_map(|shape| scaling.place(typesetter, shape)).collect();
    Placed::Drawing { area: Area { x: at.x, y: at.y, width, height }, summary: drawing.summary.clone(), items }
}

struct Scaling {
    at: Pt,
    scale: f32,
}

impl Scaling {
    fn pt(&self, p: Pt) -> Pt {
        pt(self.at.x + p.x * self.scale, self.at.y + p.y * self.scale)
    }

    fn stroke(&self, stroke: Option<Stroke>) -> Option<Stroke> {
        stroke.map(|stroke| Stroke {
            width: stroke.width * self.scale,
            dash: stroke.dash.map(|dash| dash.map(|length| length * self.scale)),
            ..stroke
        })
    }

    fn place(&self, typesetter: &mut Typesetter, shape: &Shape) -> Vec<Placed> {
        let item = match shape {
            Shape::Path { points, closed, fill, stroke } => {
                let points: Vec<Pt> = points.iter().map(|p| self.pt(*p)).collect();
                let numbers = points.iter().all(|p| p.x.is_finite() && p.y.is_finite());
                (numbers && points.len() > 1).then(|| Placed::Path {
                    points,
                    closed: *closed,
                    fill: *fill,
                    stroke: self.stroke(*stroke),
                })
            }
            Shape::Circle { centre, radius, fill, stroke } => {
                let (centre, radius) = (self.pt(*centre), radius * self.scale);
                (centre.x.is_finite() && centre.y.is_finite() && radius.is_finite() && radius > 0.0)
                    .then(|| Placed::Circle { centre, radius, fill: *fill, stroke: self.stroke(*stroke) })
            }
            Shape::Words { at, text, size, anchor, strong, ink } => {
                let face = if *strong { Face::Bold } else { Face::Regular };
                let size = size * self.scale;
                let place = self.pt(*at);
                if !(size.is_finite() && size > 0.0 && place.x.is_finite() && place.y.is_finite()) {
                    return Vec::new();
                }
                let line = one_line(typesetter, text, Style { face, size, ink: *ink, link: 0 });
                return anchored(line, size, place, *anchor);
            }
        };
        item.into_iter().collect()
    }
}

/// Words whose anchor stands at the place, vertically in the middle of their capitals.
fn anchored(line: Line, size: f32, place: Pt, anchor: Anchor) -> Vec<Placed> {
    let left = match anchor {
        Anchor::Start => place.x,
        Anchor::Middle => place.x - line.width / 2.0,
        Anchor::End => place.x - line.width,
    };
    // Half the height of the capitals, 0.714 em; see style::Type::baseline.
    line.place(left, place.y + size * 0.714 / 2.0).collect()
}
