//! Paints a [`Drawing`] with egui: the same shapes that the report places on its pages.

use egui::{Align2, FontFamily, FontId, Painter, Pos2, Shape as EguiShape, Stroke as EguiStroke, pos2, vec2};

use crate::drawing::shape::{Anchor, Drawing, Pt, Shape, Stroke};
use crate::ui::theme::{Tokens, strong_family};

/// The scale at which a drawing fits a space, never above `most`.
pub fn scale_to_fit(drawing: &Drawing, space: egui::Vec2, most: f32) -> f32 {
    let fit = (space.x / drawing.width.max(1.0)).min(space.y / drawing.height.max(1.0));
    fit.clamp(0.05, most)
}

/// Paints a drawing with its top left corner at `origin`, `scale` screen points to one of its own.
pub fn paint(painter: &Painter, drawing: &Drawing, origin: Pos2, scale: f32, tokens: &Tokens) {
    let at = |p: Pt| pos2(origin.x, origin.y) + vec2(p.x, p.y) * scale;
    for shape in &drawing.shapes {
        match shape {
            Shape::Path { points, closed, fill, stroke } => {
                let points: Vec<Pos2> = points.iter().map(|p| at(*p)).collect();
                if let (true, Some(ink)) = (*closed, fill) {
                    painter.add(EguiShape::convex_polygon(points.clone(), tokens.ink(*ink), EguiStroke::NONE));
                }
                if let Some(stroke) = stroke {
                    outline(painter, points, *closed, *stroke, scale, tokens);
                }
            }
            Shape::Circle { centre, radius, fill, stroke } => {
                if let Some(ink) = fill {
                    painter.circle_filled(at(*centre), radius * scale, tokens.ink(*ink));
                }
                match stroke {
                    Some(stroke) if stroke.dash.is_some() => {
                        let n = 64;
                        let points = (0..n)
                            .map(|i| {
                                let a = std::f32::consts::TAU * i as f32 / n as f32;
                                at(*centre) + vec2(a.cos(), a.sin()) * *radius * scale
                            })
                            .collect();
                        outline(painter, points, true, *stroke, scale, tokens);
                    }
                    Some(stroke) => {
                        let line = EguiStroke::new(stroke.width * scale, tokens.ink(stroke.ink));
                        painter.circle_stroke(at(*centre), radius * scale, line);
                    }
                    None => {}
                }
            }
            Shape::Words { at: place, text, size, anchor, strong, ink } => {
                let align = match anchor {
                    Anchor::Start => Align2::LEFT_CENTER,
                    Anchor::Middle => Align2::CENTER_CENTER,
                    Anchor::End => Align2::RIGHT_CENTER,
                };
                let family = if *strong { strong_family() } else { FontFamily::Proportional };
                painter.text(at(*place), align, text, FontId::new(size * scale, family), tokens.ink(*ink));
            }
        }
    }
}

fn outline(painter: &Painter, mut points: Vec<Pos2>, closed: bool, stroke: Stroke, scale: f32, tokens: &Tokens) {
    let line = EguiStroke::new((stroke.width * scale).max(0.6), tokens.ink(stroke.ink));
    match stroke.dash {
        Some([dash, gap]) => {
            if closed && let Some(first) = points.first().copied() {
                points.push(first);
            }
            painter.extend(EguiShape::dashed_line(&points, line, dash * scale, gap * scale));
        }
        None if closed => {
            painter.add(EguiShape::closed_line(points, line));
        }
        None => {
            painter.add(EguiShape::line(points, line));
        }
    }
}
