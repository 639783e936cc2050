//! The rings of a wheel seen from one side: which zone is at which radius, both ways.

use crate::clock::Side;
use crate::inspection::Zone;
use crate::machine::{RimKind, Wheel};

/// Radii in points, from the crown inward. Tyre and rim follow the size; a band too thin to click is drawn wider.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bands {
    /// The side in view.
    pub side: Side,
    /// The outermost line of the tread.
    pub crown: f32,
    /// Where the tread's near edge is.
    pub tread_edge: f32,
    /// Where the sidewall ends and the bead begins.
    pub bead: f32,
    /// The edge of the rim.
    pub flange: f32,
    /// Where the flange ends and the well begins.
    pub well: f32,
    /// The inner edge of the rim, where the spokes begin.
    pub spokes: f32,
    /// Outer and inner edge of the disc on this side, where there is one.
    pub disc: Option<(f32, f32)>,
    /// The hub, or the drum.
    pub hub: f32,
    /// Whether there are spokes between rim and hub.
    pub is_open: bool,
}

/// How far beside the crown, as a share of the radius, a click still means the tread's centre.
const REACH: f32 = 0.07;

impl Bands {
    /// The bands of a wheel seen from a side, for a crown of the given radius.
    pub fn of(wheel: &Wheel, side: Side, crown: f32) -> Self {
        let size = wheel.tyre.as_ref().map(|tyre| &tyre.marking.size);
        // Without a size the wheel is drawn with the proportions of a 120/70-17.
        let outer = size.map_or(599.8, |s| s.outer_diameter_mm());
        let rim_share = (size.map_or(431.8, |s| s.rim_diameter_mm()) / outer).clamp(0.56, 0.70) as f32;
        let section = crown * (1.0 - rim_share);
        let flange = crown * rim_share;
        let spokes = flange - crown * 0.11;
        let hub = crown * if wheel.has_drum() { 0.23 } else { 0.13 };
        let disc = wheel.disc_sides().contains(&side).then(|| {
            let share = wheel.disc_diameter.map_or(0.5, |d| d.as_mm() / outer) as f32;
            let edge = (crown * share).clamp(hub + crown * 0.13, spokes - crown * 0.05);
            (edge, hub + (edge - hub) * 0.5)
        });
        Self {
            side,
            crown,
            tread_edge: crown - section * 0.42,
            bead: crown - section * 0.84,
            flange,
            well: flange - crown * 0.05,
            spokes,
            disc,
            hub,
            is_open: wheel.rim.kind != RimKind::Pressed,
        }
    }

    /// The zone at a radius; none beside the wheel. The tread runs from its near edge at the inside to its centre at
    /// the crown, for that is what one sees.
    pub fn zone_at(&self, radius: f32) -> Option<Zone> {
        if !radius.is_finite() || radius > self.crown * (1.0 + REACH) {
            return None;
        }
        if radius >= self.tread_edge {
            let toward_centre = ((radius - self.tread_edge) / (self.crown - self.tread_edge)).clamp(0.0, 1.0);
            let from_near_edge = 50.0 * f64::from(toward_centre);
            return Some(Zone::at_breadth(match self.side {
                Side::Left => from_near_edge,
                // A hair inside the edge, so that both sides share their borders alike.
                Side::Right => 100.0 - from_near_edge - 1e-6,
            }));
        }
        Some(match radius {
            r if r >= self.bead => Zone::Sidewall(self.side),
            r if r >= self.flange => Zone::Bead(self.side),
            r if r >= self.well => Zone::RimFlange(self.side),
            r if r >= self.spokes => Zone::RimWell,
            r if r < self.hub => Zone::Hub,
            r if self.disc.is_some_and(|(outer, inner)| r <= outer && r >= inner) => Zone::Disc(self.side),
            _ if self.is_open => Zone::Spoke,
            _ => Zone::RimWell,
        })
    }

    /// The radius at the middle of a zone.
    pub fn radius_of(&self, zone: Zone) -> f32 {
        let between = |a: f32, b: f32| (a + b) / 2.0;
        let tread = |share: f32| self.tread_edge + (self.crown - self.tread_edge) * share;
        match zone {
            // The middles of 0–12.5, 12.5–37.5 and 37.5–50 per cent over half a breadth of 50.
            Zone::Shoulder(_) => tread(0.125),
            Zone::Intermediate(_) => tread(0.5),
            Zone::Centre => tread(0.875),
            Zone::Sidewall(_) => between(self.tread_edge, self.bead),
            Zone::Bead(_) => between(self.bead, self.flange),
            Zone::RimFlange(_) => between(self.flange, self.well),
            Zone::RimWell => between(self.well, self.spokes),
            // At the nipple.
            Zone::Spoke => self.spokes - (self.spokes - self.disc.map_or(self.hub, |(outer, _)| outer)) * 0.3,
            Zone::Hub => self.hub * 0.6,
            Zone::Disc(_) => self.disc.map_or(between(self.hub, self.spokes), |(outer, inner)| between(outer, inner)),
        }
    }
}
