//! `reckon bolt`: stress area, preload and tightening torque of a metric bolt. The manual goes first.

use std::f64::consts::PI;

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::{figure, number};
use super::{Reckon, ReckonError, Reckoning};
use crate::units::Pressure;

/// Coarse pitches in mm by nominal diameter (ISO 261; M5 to M14 looked up, the rest from memory, high).
const COARSE: [(f64, f64); 9] =
    [(4.0, 0.7), (5.0, 0.8), (6.0, 1.0), (8.0, 1.25), (10.0, 1.5), (12.0, 1.75), (14.0, 2.0), (16.0, 2.0), (20.0, 2.5)];

/// The entries of the bolt calculator.
#[derive(Clone, Debug, Args)]
pub struct Bolt {
    /// The thread, as in M8 (coarse) or M10x1.25
    #[arg(long, value_name = "SIZE", value_parser = read_size)]
    pub size: Size,
    /// The class stamped on the head: 8.8, 10.9 or 12.9
    #[arg(long, value_name = "CLASS", value_parser = read_class)]
    pub class: Class,
    /// The friction factor K: about 0.20 plain and dry, 0.15 to 0.18 lubricated
    #[arg(long, value_name = "K", default_value = "0.2", value_parser = number, allow_hyphen_values = true)]
    pub k: f64,
    /// How much of the proof stress is used, in per cent
    #[arg(long, value_name = "PERCENT", default_value = "75", value_parser = number, allow_hyphen_values = true)]
    pub share: f64,
    /// Another proof stress than that of the class, as in "600 MPa"
    #[arg(long, value_name = "STRESS", allow_hyphen_values = true)]
    pub proof: Option<Pressure>,
}

/// A metric thread: nominal diameter and pitch in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Nominal diameter in mm.
    pub diameter_mm: f64,
    /// Pitch in mm.
    pub pitch_mm: f64,
}

/// A property class of ISO 898-1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Class {
    /// 8.8.
    C88,
    /// 10.9.
    C109,
    /// 12.9.
    C129,
}

impl Class {
    fn word(self) -> &'static str {
        match self {
            Self::C88 => "8.8",
            Self::C109 => "10.9",
            Self::C129 => "12.9",
        }
    }
    /// Proof stress in MPa (ISO 898-1; 580 from memory, high).
    fn proof_mpa(self, diameter_mm: f64) -> f64 {
        match self {
            Self::C88 if diameter_mm <= 16.0 => 580.0,
            Self::C88 => 600.0,
            Self::C109 => 830.0,
            Self::C129 => 970.0,
        }
    }
}

fn read_class(text: &str) -> Result<Class, String> {
    [Class::C88, Class::C109, Class::C129].into_iter().find(|c| c.word() == text.trim().replace(',', ".")).ok_or_else(
        || format!("expected a class, 8.8, 10.9 or 12.9, found \"{}\": read it on the head of the bolt", text.trim()),
    )
}

fn read_size(text: &str) -> Result<Size, String> {
    let error = |why: &str| {
        format!(
            "expected a metric thread from M4 to M20, found \"{}\"{why}: write it as in M8 or M10x1.25",
            text.trim().chars().take(40).collect::<String>()
        )
    };
    let plain = text.trim().to_ascii_uppercase().replace('×', "X");
    let (diameter, pitch) = match plain.strip_prefix('M').ok_or_else(|| error(""))?.split_once('X') {
        Some((diameter, pitch)) => (diameter.to_owned(), Some(pitch.to_owned())),
        None => (plain[1..].to_owned(), None),
    };
    let diameter_mm = number(&diameter).map_err(|_| error(""))?;
    let coarse = COARSE.iter().find(|(d, _)| *d == diameter_mm).map(|(_, pitch)| *pitch).ok_or_else(|| error(""))?;
    let pitch_mm = match pitch {
        None => coarse,
        Some(pitch) => number(&pitch).map_err(|_| error(""))?,
    };
    if pitch_mm >= 0.2 && pitch_mm <= coarse {
        Ok(Size { diameter_mm, pitch_mm })
    } else {
        Err(error(&format!(", whose pitch is not between 0.2 and the coarse {coarse} mm")))
    }
}

impl Reckon for Bolt {
    const ID: &'static str = "bolt";
    const ABOUT: &'static str = "A metric bolt: stress area, preload and torque where the manual gives none";
    const EXAMPLE: &'static str = "bolt --size M8 --class 8.8";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        for (what, value, low, high, way_out) in [
            ("a friction factor", self.k, 0.05, 0.5, "0.20 is plain and dry, 0.15 to 0.18 lubricated"),
            (
                "a share of the proof stress in per cent",
                self.share,
                1.0,
                100.0,
                "75 is usual for a joint that is opened again",
            ),
        ] {
            if !(low..=high).contains(&value) {
                let wanted = format!("{what} from {} to {}", figure(low, 2), figure(high, 2));
                return Err(ReckonError::expected(&wanted, figure(value, 3), way_out));
            }
        }
        let Size { diameter_mm: d, pitch_mm: p } = self.size;
        let proof = self.proof.map_or_else(|| self.class.proof_mpa(d), |own| own.as_kpa() / 1000.0);
        if !(50.0..=2000.0).contains(&proof) {
            return Err(ReckonError::expected(
                "a proof stress from 50 to 2000 MPa",
                format!("{} MPa", figure(proof, 1)),
                "leave --proof out to use that of the class",
            ));
        }
        let area = PI / 4.0 * (d - 0.938_194 * p).powi(2);
        let proof_load = area * proof;
        let preload = proof_load * self.share / 100.0;
        let torque = self.k * d / 1000.0 * preload;
        let mut answer = Reckoning::new(
            format!("Bolt M{} × {}, class {}", figure(d, 1), figure(p, 2), self.class.word()),
            json!({
                "diameter_mm": d,
                "pitch_mm": p,
                "class": self.class.word(),
                "stress_area_mm2": area,
                "proof_stress_mpa": proof,
                "proof_load_n": proof_load,
                "share_percent": self.share,
                "preload_n": preload,
                "k": self.k,
                "torque_nm": torque,
            }),
        );
        answer.line(format!("Torque {} N·m for a preload of {} N.", figure(torque, 1), figure(preload, 0)));
        answer.line(format!("Stress area {} mm², proof load {} N.", figure(area, 2), figure(proof_load, 0)));
        answer.formula(format!(
            "As = π/4 × (d − 0.938194 × P)² = π/4 × ({} − 0.938194 × {})² = {} mm²",
            figure(d, 1),
            figure(p, 2),
            figure(area, 2)
        ));
        answer.formula(format!(
            "F = {} % × {} MPa × {} mm² = {} N",
            figure(self.share, 1),
            figure(proof, 0),
            figure(area, 2),
            figure(preload, 0)
        ));
        answer.formula(format!(
            "T = K × d × F = {} × {} mm × {} N / 1000 = {} N·m",
            figure(self.k, 3),
            figure(d, 1),
            figure(preload, 0),
            figure(torque, 2)
        ));
        answer.source("ISO 898-1 and ISO 724 (stress area, proof stress); Shigley (75 % of the proof load for a joint that is opened again)");
        answer.caution("The service manual's figure goes first. This is a guide for a steel bolt in steel.");
        answer.caution("Into aluminium less is used, or the thread tears out.");
        answer
            .caution("Oil on a joint that is specified dry over-tightens it: K changes, not the figure on the wrench.");
        Ok(answer)
    }
}
