//! `reckon headlamp`: how far the dipped beam falls, in per cent, from its edge on a wall.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::{above_zero, figure, number};
use super::{Reckon, ReckonError, Reckoning};
use crate::rules::headlamp_aim::drop_percent;
use crate::units::Length;

/// Where the window comes from.
const SOURCE: &str = "UN R53: dipped beam inclined 0.5 to 2.5 % downwards (from memory, medium-high)";
/// How the machine stands, and what goes before.
const CAUTION: &str =
    "Upright, rider aboard, tyres at the placard, level floor. A figure on the lamp or in the manual goes first.";

/// Inclination of the dipped beam in per cent downwards (UN R53; from memory, medium-high).
const WINDOW: (f64, f64) = (0.5, 2.5);

/// The entries of the headlamp calculator.
#[derive(Clone, Debug, Args)]
pub struct Headlamp {
    /// The middle of the lamp above the ground, as in "900 mm"
    #[arg(long, value_name = "HEIGHT", requires = "edge", allow_hyphen_values = true)]
    pub lamp: Option<Length>,
    /// The edge of the dipped beam on the wall above the ground, as in "850 mm"; or --percent
    #[arg(long, value_name = "HEIGHT", requires = "lamp", allow_hyphen_values = true)]
    pub edge: Option<Length>,
    /// The inclination wanted, as in 1: how far below the lamp the edge then belongs
    #[arg(long, value_name = "PERCENT", conflicts_with_all = ["lamp", "edge"], value_parser = number, allow_hyphen_values = true)]
    pub percent: Option<f64>,
    /// From the lamp to the wall, as in "5 m"
    #[arg(long, value_name = "DISTANCE", allow_hyphen_values = true)]
    pub distance: Length,
}

impl Headlamp {
    /// How far below the middle of the lamp the edge belongs on a wall.
    fn drop_for(&self, distance: f64) -> Result<Reckoning, ReckonError> {
        let (low, high) = WINDOW;
        if let Some(percent) = self.percent.filter(|p| !(0.0..=20.0).contains(p)) {
            return Err(ReckonError::expected("an inclination from 0 to 20 %", figure(percent, 2), "1 is usual"));
        }
        let mut answer = Reckoning::new(
            "Headlamp aim",
            json!({
                "distance_mm": distance,
                "percent": self.percent,
                "drop_mm": self.percent.map(|p| p * distance / 100.0),
                "window_from_percent": low,
                "window_to_percent": high,
                "window_from_mm": low * distance / 100.0,
                "window_to_mm": high * distance / 100.0,
            }),
        );
        let metres = figure(distance / 1000.0, 2);
        if let Some(percent) = self.percent {
            let drop = percent * distance / 100.0;
            answer.line(format!(
                "{} % at {metres} m: the edge belongs {} mm below the middle of the lamp.",
                figure(percent, 2),
                figure(drop, 1)
            ));
            answer.formula(format!(
                "drop = percent × distance / 100 = {} × {} / 100 = {} mm",
                figure(percent, 2),
                figure(distance, 1),
                figure(drop, 1)
            ));
        }
        answer.line(format!(
            "The window of {low} to {high} % is {} to {} mm below it at {metres} m.",
            figure(low * distance / 100.0, 0),
            figure(high * distance / 100.0, 0)
        ));
        answer.formula(format!("{low} × {0} / 100 to {high} × {0} / 100 mm", figure(distance, 1)));
        answer.source(SOURCE);
        answer.caution(CAUTION);
        Ok(answer)
    }
}

impl Reckon for Headlamp {
    const ID: &'static str = "headlamp";
    const ABOUT: &'static str = "How far the dipped beam falls, in per cent, from its edge on a wall";
    const EXAMPLE: &'static str = "headlamp --lamp \"900 mm\" --edge \"850 mm\" --distance \"5 m\"";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let distance = above_zero("a distance to the wall", self.distance)?;
        let (Some(lamp), Some(edge_read)) = (self.lamp, self.edge) else { return self.drop_for(distance) };
        let lamp = above_zero("a lamp height", lamp)?;
        let edge = edge_read.as_mm();
        if edge < 0.0 {
            return Err(ReckonError::expected(
                "a height of the edge above the ground",
                edge_read,
                "if the edge falls on the floor, stand nearer to the wall",
            ));
        }
        let drop = lamp - edge;
        let Some(percent) = drop_percent(lamp, edge, distance) else {
            return Err(ReckonError::expected("a distance to the wall", "none", "write it as in \"5 m\""));
        };
        let (low, high) = WINDOW;
        // A hair outside by the last binary digit is inside.
        let place = match percent {
            p if p < low - 1e-9 => "too-high",
            p if p > high + 1e-9 => "too-low",
            _ => "within",
        };
        let (from, to) = (low * distance / 100.0, high * distance / 100.0);
        let mut answer = Reckoning::new(
            "Headlamp aim",
            json!({
                "lamp_mm": lamp,
                "edge_mm": edge,
                "distance_mm": distance,
                "drop_mm": drop,
                "drop_percent": percent,
                "window_from_percent": low,
                "window_to_percent": high,
                "window_from_mm": from,
                "window_to_mm": to,
                "aim": place,
            }),
        );
        answer.line(format!(
            "The beam falls {} mm over {} m: {} %, {}.",
            figure(drop, 1),
            figure(distance / 1000.0, 2),
            figure(percent, 2),
            match place {
                "too-high" => "too high, it dazzles",
                "too-low" => "too low",
                _ => "within the window",
            }
        ));
        answer.line(format!(
            "At this distance the edge belongs {} to {} mm below the middle of the lamp.",
            figure(from, 0),
            figure(to, 0)
        ));
        answer.formula(format!(
            "100 × (lamp − edge) / distance = 100 × ({} − {}) / {} = {} %",
            figure(lamp, 1),
            figure(edge, 1),
            figure(distance, 1),
            figure(percent, 2)
        ));
        answer.source(SOURCE);
        answer.caution(CAUTION);
        Ok(answer)
    }
}
