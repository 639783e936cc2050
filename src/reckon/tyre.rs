//! `reckon tyre`: what a marking says, the sizes that follow from it, and a comparison with another tyre.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::figure;
use super::{Reckon, ReckonError, Reckoning};
use crate::tyre::{Construction, SizeFormat, TyreMarking};

/// The entries of the tyre calculator.
#[derive(Clone, Debug, Args)]
pub struct TyreFigures {
    /// The marking as on the sidewall, as in "120/70 ZR17 M/C 58W", "MT90B16" or "3.25-19"
    #[arg(value_name = "SIZE", value_parser = TyreMarking::parse)]
    pub size: TyreMarking,
    /// Another tyre to compare it with
    #[arg(long, value_name = "SIZE", value_parser = TyreMarking::parse)]
    pub compare: Option<TyreMarking>,
}

fn construction(marking: &TyreMarking) -> &'static str {
    match marking.size.construction {
        Construction::Radial => "radial",
        Construction::BiasBelted => "bias-belted",
        Construction::Diagonal => "diagonal",
    }
}

/// Revolutions over one kilometre of an unloaded tyre.
fn turns_per_km(marking: &TyreMarking) -> f64 {
    1e6 / marking.size.circumference_mm()
}

/// A V inside the size with no service description stands for "over 210 km/h" on older tyres (UN R75 practice, from
/// memory, medium), not for the 240 km/h of the symbol.
fn is_old_v(marking: &TyreMarking) -> bool {
    marking.load_index.is_none() && marking.speed_symbol.is_some_and(|s| s.symbol() == "V")
}

/// The speed in km/h as data: the symbol's, or the figure above which an open-ended marking stands.
fn speed_kmh(marking: &TyreMarking) -> Option<f64> {
    match marking.speed_symbol {
        Some(_) if is_old_v(marking) => Some(210.0),
        Some(symbol) => Some(symbol.kmh()),
        None => marking.size.z_rated.then_some(240.0),
    }
}

fn speed_words(marking: &TyreMarking) -> Option<String> {
    let Some(symbol) = marking.speed_symbol else {
        return marking
            .size
            .z_rated
            .then(|| "Z in the size: over 240 km/h, no upper figure; ask the tyre maker".into());
    };
    let kmh = figure(symbol.kmh(), 0);
    if is_old_v(marking) {
        return Some(
            "V in the size, without a load index: over 210 km/h (an older marking; UN R75 practice, from memory)"
                .into(),
        );
    }
    Some(match (symbol.is_open_ended(), marking.bracketed) {
        (true, _) => format!("speed symbol {symbol}: over {kmh} km/h, no upper figure in the symbol"),
        (false, true) => {
            format!("speed symbol ({symbol}) in brackets: above {kmh} km/h, by the tyre maker's own figure")
        }
        (false, false) => format!("speed symbol {symbol}: up to {kmh} km/h"),
    })
}

impl Reckon for TyreFigures {
    const ID: &'static str = "tyre";
    const ABOUT: &'static str = "Read a tyre marking: width, rim, load, speed, diameter, circumference";
    const EXAMPLE: &'static str = "tyre \"120/70 ZR17 M/C 58W\"";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let (marking, size) = (&self.size, &self.size.size);
        let (diameter, circumference) = (size.outer_diameter_mm(), size.circumference_mm());
        let mut data = json!({
            "marking": marking.to_string(),
            "width_mm": size.width_mm,
            "aspect_percent": size.aspect_percent,
            "section_height_mm": size.section_height_mm(),
            "construction": construction(marking),
            "rim_in": size.rim_inch,
            "rim_diameter_mm": size.rim_diameter_mm(),
            "motorcycle_mark": size.motorcycle_mark,
            "load_index": marking.load_index.map(|i| i.get()),
            "load_kg": marking.load_index.map(|i| i.kg()),
            "speed_symbol": marking.speed_symbol.map(|s| s.symbol()),
            "speed_kmh": speed_kmh(marking),
            "speed_is_open_ended": marking.speed_symbol.is_none_or(|s| s.is_open_ended()) && speed_kmh(marking).is_some() || marking.bracketed || is_old_v(marking),
            "outer_diameter_mm": diameter,
            "circumference_mm": circumference,
            "revolutions_per_km": turns_per_km(marking),
        });
        let mut lines = vec![
            format!(
                "Outer diameter {} mm, circumference {} mm, {} turns a kilometre.",
                figure(diameter, 1),
                figure(circumference, 1),
                figure(turns_per_km(marking), 1)
            ),
            format!(
                "Section {} mm wide and {} mm high ({} %), {}, on a rim of {} in.",
                figure(size.width_mm, 1),
                figure(size.section_height_mm(), 1),
                figure(size.aspect_percent, 0),
                construction(marking),
                figure(size.rim_inch, 1)
            ),
        ];
        lines.extend(marking.load_index.map(|i| format!("Load index {}: up to {} kg.", i.get(), figure(i.kg(), 1))));
        lines.extend(speed_words(marking).map(|words| format!("{}{}.", words[..1].to_uppercase(), &words[1..])));
        let mut formula = vec![
            format!(
                "outer diameter = rim × 25.4 + 2 × width × aspect / 100 = {} × 25.4 + 2 × {} × {} / 100 = {} mm",
                figure(size.rim_inch, 1),
                figure(size.width_mm, 2),
                figure(size.aspect_percent, 1),
                figure(diameter, 2)
            ),
            format!("circumference = π × {} = {} mm", figure(diameter, 2), figure(circumference, 1)),
        ];
        let mut cautions = vec![
            "These are nominal figures of an unloaded tyre; a tyre under load rolls a little less far.".to_owned(),
        ];
        if let Some(other) = &self.compare {
            let (other_diameter, other_turn) = (other.size.outer_diameter_mm(), other.size.circumference_mm());
            let percent = 100.0 * (other_turn - circumference) / circumference;
            data["compare_marking"] = other.to_string().into();
            data["compare_outer_diameter_mm"] = other_diameter.into();
            data["compare_circumference_mm"] = other_turn.into();
            data["compare_circumference_percent"] = percent.into();
            let sign = if percent < 0.0 { "" } else { "+" };
            lines.push(format!(
                "{other}: outer diameter {} mm, circumference {} mm, {sign}{} % of the first; at a true 100 km/h a \
                 speedometer set for the first would count {} km/h.",
                figure(other_diameter, 1),
                figure(other_turn, 1),
                figure(percent, 2),
                figure(100.0 * circumference / other_turn, 1)
            ));
            formula.push(format!(
                "difference = 100 × ({} − {}) / {} = {} %",
                figure(other_turn, 1),
                figure(circumference, 1),
                figure(circumference, 1),
                figure(percent, 2)
            ));
            cautions.push(
                "A tyre of like diameter need not fit: rim width, clearance, load and speed must suit the machine, and \
                 the machine's papers go first."
                    .to_owned(),
            );
        }
        let formats = [Some(&self.size), self.compare.as_ref()];
        if formats.iter().flatten().any(|m| m.size.format == SizeFormat::Inch) {
            cautions
                .push("An inch size names no height; 100 % of the width is taken, which is indicative only.".into());
        }
        if formats.iter().flatten().any(|m| m.size.format == SizeFormat::Alpha) {
            cautions.push("The width letter of an alpha size is read from trade tables and is indicative.".into());
        }
        let mut answer = Reckoning::new(format!("Tyre {marking}"), data);
        (answer.lines, answer.formula, answer.cautions) = (lines, formula, cautions);
        answer.source("size formula: geometry of the marking (trade tables agree)");
        if marking.load_index.is_some() {
            answer.source("load index: ISO 4000-1, UN R75 annex 4 series");
        }
        if marking.speed_symbol.is_some() {
            answer.source("speed symbol: UN R75 series and trade tables that agree");
        }
        Ok(answer)
    }
}
