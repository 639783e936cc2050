//! `reckon headlamp`: how far the dipped beam falls, in per cent, from its edge on a wall.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::{above_zero, figure};
use super::{Reckon, ReckonError, Reckoning};
use crate::rules::headlamp_aim::drop_percent;
use crate::units::Length;

/// Inclination of the dipped beam in per cent downwards (UN R53; from memory, medium-high).
const WINDOW: (f64, f64) = (0.5, 2.5);

/// The entries of the headlamp calculator.
#[derive(Clone, Debug, Args)]
pub struct Headlamp {
    /// The middle of the lamp above the ground, as in "900 mm"
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    pub lamp: Length,
    /// The edge of the dipped beam on the wall above the ground, as in "850 mm"
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    pub edge: Length,
    /// From the lamp to the wall, as in "5 m"
    #[arg(long, value_name = "DISTANCE", allow_hyphen_values = true)]
    pub distance: Length,
}

impl Reckon for Headlamp {
    const ID: &'static str = "headlamp";
    const ABOUT: &'static str = "How far the dipped beam falls, in per cent, from its edge on a wall";
    const EXAMPLE: &'static str = "headlamp --lamp \"900 mm\" --edge \"850 mm\" --distance \"5 m\"";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let lamp = above_zero("a lamp height", self.lamp)?;
        let distance = above_zero("a distance to the wall", self.distance)?;
        let edge = self.edge.as_mm();
        if edge < 0.0 {
            return Err(ReckonError::expected(
                "a height of the edge above the ground",
                self.edge,
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
        answer.source("UN R53: dipped beam inclined 0.5 to 2.5 % downwards (from memory, medium-high)");
        answer.caution("Upright, rider aboard, tyres at the placard, level floor. A figure on the lamp or in the manual goes first.");
        Ok(answer)
    }
}
