//! Speed symbol against the machine's top speed.

use super::proof::marking;
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::units::Speed;

/// Above this speed in km/h a Z in the size has no upper figure of its own.
const Z_KMH: f64 = 240.0;

/// See the module.
pub(super) struct TyreSpeed;

impl Rule for TyreSpeed {
    fn id(&self) -> &'static str {
        "tyre-speed"
    }
    fn explain(&self) -> &'static str {
        "The speed of the symbol (UN R75) reaches the machine's top speed by its papers. Less is major, Directive \
         2014/45/EU item 5.2.3. A Z in the size or a symbol in brackets has no upper figure: the tyre maker's counts."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["tyre-marking"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, _: Option<&Answer>) -> Vec<Judgement> {
        // A wheel without a tyre in the data is already said by the rule on loads.
        let Some(marking) = marking(case, check) else { return vec![] };
        let noted = |sentence: String| vec![Judgement::new(self.id(), check, Outcome::Noted, sentence)];
        let (kmh, open_ended, name) = match marking.speed_symbol {
            Some(symbol) => {
                (symbol.kmh(), symbol.is_open_ended() || marking.bracketed, format!("speed symbol {symbol}"))
            }
            None if marking.size.z_rated => (Z_KMH, true, "ZR in the size".into()),
            None => {
                return noted(format!(
                    "{marking}: the speed symbol is not known, so the speed is not judged. Enter the letter after the load index."
                ));
            }
        };
        let Some(top) = case.machine.top_speed else {
            return noted(
                "The machine's top speed is not known, so the speed symbol is not judged. Enter it from the papers."
                    .into(),
            );
        };
        let (limit, wanted) = (Speed::kmh(kmh), case.units.show(top));
        let reading = format!("{name} stands for {}{}", if open_ended { "over " } else { "" }, case.units.show(limit));
        let apart = case.units.show(Speed::kmh((kmh - top.as_kmh()).abs()));
        let (outcome, sentence, margin) = if limit >= top {
            (
                Outcome::Sound,
                format!("The {reading}, enough for the machine's top speed, {wanted}."),
                format!("{apart} above"),
            )
        } else if open_ended {
            (
                Outcome::Noted,
                format!(
                    "The {reading}, with no upper figure; the machine reaches {wanted}. Ask the tyre maker for the figure."
                ),
                String::new(),
            )
        } else {
            (
                Outcome::Fault(Severity::Major),
                format!(
                    "The {reading}, less than the machine's top speed, {wanted}: major. Fit a tyre that the papers name."
                ),
                format!("{apart} below"),
            )
        };
        vec![
            Judgement::new(self.id(), check, outcome, sentence)
                .read(reading)
                .against(format!("at least {wanted}"), Source::Machine("top speed from its papers".into()))
                .with_margin(margin)
                .graded(case.directive("5.2.3")),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::Bench;
    use super::*;
    use crate::inspection::Subject;
    use crate::machine::WheelPosition;

    #[test]
    fn the_symbol_must_reach_the_top_speed() {
        let check = CheckRef::new("tyre-marking", Subject::Wheel(WheelPosition::Front));
        let mut bench = Bench::new("gb");
        // H 210, W 270 km/h, Z over 240 (UN R75).
        for (marking, top, expected) in [
            ("110/80 R17 54H", 210.0, Outcome::Sound),
            ("110/80 R17 54H", 211.0, Outcome::Fault(Severity::Major)),
            ("120/70 ZR17 58W", 270.0, Outcome::Sound),
            ("120/70 ZR17 (58W)", 290.0, Outcome::Noted),
            ("120/70 ZR17", 240.0, Outcome::Sound),
            ("120/70 ZR17", 250.0, Outcome::Noted),
            ("120/70 R17", 100.0, Outcome::Noted),
        ] {
            bench.fit_tyre(0, marking);
            bench.machine.top_speed = Some(Speed::kmh(top));
            let judgement = bench.judgements(&TyreSpeed, &check).remove(0);
            assert_eq!(judgement.outcome, expected, "{marking} at {top}: {}", judgement.sentence);
        }
    }
}
