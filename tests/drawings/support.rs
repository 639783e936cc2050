//! Wheels and machines for the drawings' tests, and a sheet of drawings as PNG files to look at.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};
use stemclock::clock::{ClockTime, Side, Spot};
use stemclock::drawing::shape::Drawing;
use stemclock::machine::{Brake, RimKind, RollingArrow, Tyre, Wheel, WheelPosition};
use stemclock::report::block::{Block, DocumentSpec};
use stemclock::report::{layout, raster};
use stemclock::tyre::TyreMarking;
use stemclock::units::Length;

pub fn at(time: &str, side: Side) -> Spot {
    Spot::at(ClockTime::parse(time).unwrap(), side)
}

pub fn tyre(size: &str, arrow: RollingArrow) -> Tyre {
    Tyre {
        marking: TyreMarking::parse(size).unwrap(),
        tin: None,
        fitted_on: None,
        fitted_at: None,
        arrow,
        sidewall_maximum: None,
        tube: false,
    }
}

pub fn cast_front() -> Wheel {
    let mut wheel = Wheel::bare(WheelPosition::Front);
    wheel.tyre = Some(tyre("120/70 ZR17 58W", RollingArrow::One));
    wheel.brakes = vec![Brake::Disc(Side::Left), Brake::Disc(Side::Right)];
    wheel.disc_diameter = Some(Length::mm(310.0));
    wheel
}

pub fn wire_rear(spokes: u16) -> Wheel {
    let mut wheel = Wheel::bare(WheelPosition::Rear);
    wheel.tyre = Some(tyre("4.00-18 64S", RollingArrow::FrontAndRear));
    wheel.rim.kind = RimKind::WireSpoked { spokes, first_flange: Some(Side::Left) };
    wheel.brakes = vec![Brake::Drum];
    wheel
}

/// Writes drawings below each other on pages and gives the share of pixels that are not paper.
pub fn sheet(name: &str, drawings: Vec<Drawing>) -> f64 {
    let created: DateTime<FixedOffset> = DateTime::parse_from_rfc3339("2026-04-01T10:00:00+02:00").unwrap();
    let mut spec = DocumentSpec::new(name, created);
    spec.blocks = drawings.into_iter().map(|d| Block::figure(d, "")).collect();
    write_pages(name, &spec)
}

/// Writes the pages of a document as PNG files and gives the share of pixels that are not paper.
pub fn write_pages(name: &str, spec: &DocumentSpec) -> f64 {
    let laid = layout::lay_out(spec);
    assert!(laid.missing.is_empty(), "{:?}", laid.missing);
    let (mut inked, mut all) = (0usize, 0usize);
    for index in 0..laid.pages.len() {
        let bitmap = raster::page(&laid, index, 2.0).unwrap();
        inked += bitmap.rgba.chunks(4).filter(|p| p[..3] != [255, 255, 255]).count();
        all += bitmap.rgba.len() / 4;
        let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}-{}.png", index + 1));
        image::save_buffer(&path, &bitmap.rgba, bitmap.width, bitmap.height, image::ColorType::Rgba8).unwrap();
    }
    inked as f64 / all as f64
}
