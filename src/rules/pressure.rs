//! Cold pressure against the placard. Cold means at whatever the air is: weather excuses nothing (house rule 1).

use super::proof::{choice, pressure, source, wheel};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::Placard;
use crate::physics::gas::{Air, reads};
use crate::units::{Pressure, Unit, day};

/// Below this share of the placard a tyre is major by practice (house rule 4: more than 25 % below).
const MAJOR_BELOW: f64 = 0.75;
/// Below this gauge pressure a tyre is flat: tyre gauges rest on their stop there (about 3 psi), and the air no longer
/// carries the wheel. A house figure; the directive has none.
const FLAT_KPA: f64 = 20.0;
/// Above this share of the placard it is let down: common practice, no published figure.
const MUCH_ABOVE: f64 = 1.10;
/// A reading on an edge (27 of 36 psi, 2.2 of 2.0 bar) is not judged by its last binary digit.
const EDGE: f64 = 1e-9;
/// Hours at rest that make a tyre cold (NHTSA's wording, as published).
const COLD_HOURS: f64 = 3.0;

/// See the module.
pub(super) struct ColdPressure;

impl Rule for ColdPressure {
    fn id(&self) -> &'static str {
        "cold-pressure"
    }
    fn explain(&self) -> &'static str {
        "Cold pressure against the machine's placard, solo or loaded: below it minor (Directive 2014/45/EU item \
         5.2.3 h), more than 25 % below major and flat dangerous by common practice; above the figure on the sidewall \
         major. A hot reading is refused. Cold weather excuses nothing."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["tyre-pressure"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(read) = pressure(answer, "cold") else { return vec![] };
        let shown = case.units.show(read);
        if let Some(why) = hot(case, answer) {
            return vec![
                Judgement::new(
                    self.id(),
                    check,
                    Outcome::Refused,
                    format!(
                        "{shown} was read on a hot tyre ({why}); only a cold reading is judged. Never let air out of a \
                         hot tyre: read it again after three hours at rest."
                    ),
                )
                .of("cold")
                .read(shown)
                .graded(Source::Practice("a tyre is cold after three hours at rest or less than 1.6 km".into())),
            ];
        }
        let mut judged = vec![self.cold(case, check, read).of("cold").read(shown)];
        judged.extend(self.since_last_time(case, check, read));
        judged
    }
}

/// Why a reading counts as hot, if it does. What the person says goes before the hours noted for the whole machine.
fn hot(case: &Case<'_>, answer: Option<&Answer>) -> Option<String> {
    match (choice(answer, "hot").as_deref(), case.inspection.conditions.standing_hours) {
        (Some("yes"), _) => Some("ridden within three hours".into()),
        (None, Some(hours)) if hours < COLD_HOURS => Some(format!("it stood for {hours} hours")),
        _ => None,
    }
}

/// Half the step of a usual tyre gauge in that unit, in kPa: 1 psi, 0.05 bar (and kgf/cm², atm), 5 kPa. A placard that
/// prints 36 psi and 2.5 bar beside each other must read sound on either gauge.
fn half_step_kpa(unit: &Unit) -> f64 {
    match unit.symbol {
        "psi" => 0.5 * unit.factor,
        "bar" | "kgf/cm²" | "atm" => 0.025 * unit.factor,
        _ => 2.5,
    }
}

impl ColdPressure {
    fn cold(&self, case: &Case<'_>, check: &CheckRef, read: Pressure) -> Judgement {
        let shown = case.units.show(read);
        let Some(wheel) = wheel(case, check) else {
            return Judgement::new(self.id(), check, Outcome::Noted, "The machine has no wheel in this position.");
        };
        let placard = wheel.placard.as_ref().map(|p| wanted(p, case.inspection.conditions.loaded));
        let sidewall = wheel.tyre.as_ref().and_then(|t| t.sidewall_maximum);
        let fault = |severity, sentence: String| Judgement::new(self.id(), check, Outcome::Fault(severity), sentence);
        let soft = case.directive("5.2.3 h");
        let judgement = if read.as_kpa() < FLAT_KPA {
            let to =
                placard.as_ref().map_or(String::new(), |w| format!(" The placard asks for {}.", case.units.show(w.0)));
            fault(
                Severity::Dangerous,
                format!(
                    "{shown}: the tyre is flat, dangerous by common practice.{to} Find the leak before it is used."
                ),
            )
            .graded(soft)
            .graded(Source::Practice("raised to dangerous: a flat tyre cannot carry or steer the machine".into()))
        } else if let Some(most) = sidewall.filter(|most| read > *most) {
            fault(
                Severity::Major,
                format!(
                    "{shown} cold is above the {} moulded on the sidewall, the most this tyre may hold cold. Let it \
                     down to the placard.",
                    case.units.show(most)
                ),
            )
            .with_margin(apart(case, read, most))
            .graded(Source::Practice("the sidewall's figure is the cold pressure for the greatest load".into()))
        } else if let Some((wanted, _, which)) = &placard {
            self.against_placard(case, check, read, *wanted, which)
        } else {
            Judgement::new(
                self.id(),
                check,
                Outcome::Noted,
                format!(
                    "{shown} cannot be judged: the placard pressure of this wheel is not known. Enter it from the \
                     placard or the handbook; the figure on the sidewall is not a setting."
                ),
            )
        };
        let judgement = match placard {
            Some((wanted, from, which)) => judgement.against(format!("{} {which}", case.units.show(wanted)), from),
            None => judgement,
        };
        match sidewall {
            Some(most) => judgement.also(
                format!("at most {} cold", case.units.show(most)),
                Source::Machine("moulded on the sidewall, for the greatest load".into()),
            ),
            None => judgement,
        }
    }

    fn against_placard(
        &self,
        case: &Case<'_>,
        check: &CheckRef,
        read: Pressure,
        wanted: Pressure,
        which: &str,
    ) -> Judgement {
        let (shown, asked) = (case.units.show(read), case.units.show(wanted));
        let ratio = read.as_kpa() / wanted.as_kpa().max(f64::MIN_POSITIVE);
        let below = wanted.as_kpa() - read.as_kpa();
        let soft = case.directive("5.2.3 h");
        let by = format!("{} below the placard's {asked} {which}", per_cent(case, 1.0 - ratio));
        let judgement = if read != wanted && below > half_step_kpa(read.unit()) + EDGE {
            if ratio < MAJOR_BELOW - EDGE {
                Judgement::new(
                    self.id(),
                    check,
                    Outcome::Fault(Severity::Major),
                    format!("{shown} is {by}: major by common practice. Look for the leak, then pump it to {asked}."),
                )
                .graded(soft)
                .graded(Source::Practice("raised to major: more than 25 % below the placard".into()))
            } else {
                Judgement::new(
                    self.id(),
                    check,
                    Outcome::Fault(Severity::Minor),
                    format!("{shown} is {by}: pump it to {asked} while it is cold."),
                )
                .graded(soft)
            }
        } else if ratio > MUCH_ABOVE + EDGE {
            Judgement::new(
                self.id(),
                check,
                Outcome::Fault(Severity::Minor),
                format!(
                    "{shown} is {} above the placard's {asked} {which}: let it down to {asked}.",
                    per_cent(case, ratio - 1.0)
                ),
            )
            .graded(Source::Practice("more than a tenth above the placard costs grip".into()))
        } else {
            Judgement::new(self.id(), check, Outcome::Sound, format!("{shown} meets the placard's {asked} {which}."))
                .graded(soft)
        };
        judgement.with_margin(apart(case, read, wanted))
    }

    /// Tells a leak from the weather: what the tyre read last time would read in today's air.
    fn since_last_time(&self, case: &Case<'_>, check: &CheckRef, read: Pressure) -> Option<Judgement> {
        let now = case.inspection.conditions.ambient?;
        let (earlier, was, then) = case.earlier.iter().rev().find_map(|i| {
            let answer = i.answer(check);
            let was = pressure(answer, "cold").filter(|_| choice(answer, "hot").as_deref() != Some("yes"))?;
            Some((i, was, i.conditions.ambient?))
        })?;
        let same_air = reads(was, Air::at_sea_level(then), Air::at_sea_level(now)).ok()?;
        let lost = same_air.as_kpa() - read.as_kpa();
        let comparison = if lost > half_step_kpa(read.unit()) {
            format!("{} less than that has been lost since", case.units.show(Pressure::kpa(lost)))
        } else {
            "nothing beyond that has been lost since".into()
        };
        let mut note = Judgement::new(
            self.id(),
            check,
            Outcome::Noted,
            format!(
                "On {} it read {} at {}; the same air reads {} at {}, and {comparison}. Whatever the weather, it is \
                 pumped to the placard.",
                day::words(earlier.date),
                case.units.show(was),
                case.units.show(then),
                case.units.show(same_air),
                case.units.show(now),
            ),
        )
        .of("cold");
        note.graded_by.push(Source::Practice("the gas law on absolute pressure, at constant volume".into()));
        Some(note)
    }
}

/// The pressure that counts, its source and its words.
fn wanted(placard: &Placard, loaded: bool) -> (Pressure, Source, String) {
    let from = source(&placard.source);
    match placard.loaded {
        Some(pressure) if loaded => (pressure, from, "loaded".into()),
        None if loaded => (placard.solo, from, "solo (no loaded figure is known)".into()),
        _ => (placard.solo, from, "solo".into()),
    }
}

fn per_cent(case: &Case<'_>, share: f64) -> String {
    format!("{} %", super::proof::figure(case, share * 100.0, if share < 0.1 { 1 } else { 0 }))
}

fn apart(case: &Case<'_>, read: Pressure, limit: Pressure) -> String {
    if read == limit {
        return "exactly at it".into();
    }
    let by = case.units.show(Pressure::kpa((read.as_kpa() - limit.as_kpa()).abs()));
    format!("{by} {}", if read > limit { "above" } else { "below" })
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Subject, Value};
    use crate::machine::{LimitSource, WheelPosition};
    use crate::units::Temperature;

    fn bench(solo: &str, loaded: Option<&str>) -> Bench {
        let mut bench = Bench::new("gb");
        bench.machine.wheels[0].placard = Some(Placard {
            solo: solo.parse().expect("pressure"),
            loaded: loaded.map(|l| l.parse().expect("pressure")),
            source: LimitSource::Placard,
        });
        bench
    }

    fn front() -> CheckRef {
        CheckRef::new("tyre-pressure", Subject::Wheel(WheelPosition::Front))
    }

    fn judged(bench: &mut Bench, reading: &str) -> Judgement {
        bench.read(&front(), "cold", Value::Pressure(reading.parse().expect("pressure")));
        bench.judgements(&ColdPressure, &front()).remove(0)
    }

    #[test]
    fn the_placard_is_the_cold_pressure_and_below_it_is_a_fault() {
        use Severity::{Dangerous, Major, Minor};
        // House rules 1 and 4; item 5.2.3 h of Directive 2014/45/EU.
        for (reading, expected) in [
            ("36 psi", None),
            ("37 psi", None),
            ("35 psi", Some(Minor)),
            ("27 psi", Some(Minor)), // exactly 25 % below is not more than 25 %
            ("26.9 psi", Some(Major)),
            ("3 psi", Some(Major)), // 20.7 kPa
            ("2 psi", Some(Dangerous)),
            ("0 psi", Some(Dangerous)),
            ("2.48 bar", None), // 36 psi = 2.482 bar, within half a step of a bar gauge
            ("2.4 bar", Some(Minor)),
            ("40 psi", Some(Minor)), // 11 % above
        ] {
            let judgement = judged(&mut bench("36 psi", None), reading);
            assert_eq!(outcome_of(&judgement), expected, "{reading}: {}", judgement.sentence);
            assert!(judgement.limit.is_some() && !judgement.graded_by.is_empty(), "{reading} lacks its proof");
        }
    }

    #[test]
    fn a_reading_on_an_edge_falls_on_its_better_side_in_every_unit() {
        use Severity::{Major, Minor};
        // Exactly 25 % below is not more than 25 % (house rule 4); exactly a tenth above is not more than a tenth.
        for (placard, reading, expected) in [
            ("42 psi", "31.5 psi", Some(Minor)),
            ("2.4 bar", "1.8 bar", Some(Minor)),
            ("290 kPa", "217.5 kPa", Some(Minor)),
            ("290 kPa", "217.4 kPa", Some(Major)),
            ("2.0 bar", "2.2 bar", None),
            ("30 psi", "33 psi", None),
            ("30 psi", "33.1 psi", Some(Minor)),
            ("36 psi", "35.5 psi", None), // half a step of the gauge
            ("36 psi", "35.4 psi", Some(Minor)),
        ] {
            let judgement = judged(&mut bench(placard, None), reading);
            assert_eq!(outcome_of(&judgement), expected, "{reading} of {placard}: {}", judgement.sentence);
        }
    }

    #[test]
    fn the_two_figures_of_one_placard_are_both_sound() {
        // A placard that prints 36 psi | 2.5 bar: 2.5 bar is 36.26 psi.
        assert_eq!(judged(&mut bench("2.5 bar", None), "36 psi").outcome, Outcome::Sound);
        assert_eq!(judged(&mut bench("36 psi", None), "2.5 bar").outcome, Outcome::Sound);
    }

    #[test]
    fn a_loaded_machine_wants_the_loaded_figure() {
        let mut bench = bench("36 psi", Some("42 psi"));
        assert_eq!(judged(&mut bench, "36 psi").outcome, Outcome::Sound);
        bench.inspection.conditions.loaded = true;
        let judgement = judged(&mut bench, "36 psi");
        assert_eq!(outcome_of(&judgement), Some(Severity::Minor));
        assert!(judgement.limit.expect("limit").value.contains("loaded"));
    }

    #[test]
    fn cold_weather_excuses_nothing() {
        let mut bench = bench("36 psi", None);
        bench.inspection.conditions.ambient = Some(Temperature::fahrenheit(41.0));
        assert_eq!(outcome_of(&judged(&mut bench, "33.4 psi")), Some(Severity::Minor));
    }

    #[test]
    fn a_hot_reading_is_refused_and_never_bled() {
        let mut bench = bench("36 psi", None);
        bench.read(&front(), "hot", Value::Choice("yes".into()));
        let judgement = judged(&mut bench, "40 psi");
        assert_eq!(judgement.outcome, Outcome::Refused);
        assert!(judgement.sentence.contains("Never let air out"), "{}", judgement.sentence);
        let mut bench = self::bench("36 psi", None);
        bench.inspection.conditions.standing_hours = Some(1.0);
        assert_eq!(judged(&mut bench, "36 psi").outcome, Outcome::Refused);
        bench.read(&front(), "hot", Value::Choice("no".into()));
        assert_eq!(judged(&mut bench, "36 psi").outcome, Outcome::Sound, "what the person says goes before the hours");
    }

    #[test]
    fn above_the_sidewall_is_major_and_without_a_placard_nothing_is_sound() {
        let mut bench = Bench::new("gb");
        bench.fit_tyre(0, "120/70 ZR17 M/C 58W");
        if let Some(tyre) = &mut bench.machine.wheels[0].tyre {
            tyre.sidewall_maximum = Some(Pressure::psi(42.0));
        }
        assert_eq!(outcome_of(&judged(&mut bench, "43 psi")), Some(Severity::Major));
        let judgement = judged(&mut bench, "36 psi");
        assert_eq!(judgement.outcome, Outcome::Noted);
        assert!(judgement.sentence.contains("Enter it from the placard"), "{}", judgement.sentence);
        assert_eq!(outcome_of(&judged(&mut bench, "1 psi")), Some(Severity::Dangerous), "flat needs no placard");
    }

    #[test]
    fn the_weather_is_told_from_a_leak() {
        // House rule 1: 36 psi set at 68 °F reads 33.4 at 41 °F.
        let mut bench = bench("36 psi", None);
        bench.units.pressure = "psi".into();
        bench.units.temperature = "°F".into();
        bench.inspection.conditions.ambient = Some(Temperature::fahrenheit(68.0));
        bench.read(&front(), "cold", Value::Pressure(Pressure::psi(36.0)));
        bench.earlier.push(bench.inspection.clone());
        bench.inspection.conditions.ambient = Some(Temperature::fahrenheit(41.0));
        bench.read(&front(), "cold", Value::Pressure(Pressure::psi(30.0)));
        let judged = bench.judgements(&ColdPressure, &front());
        let note = &judged[1];
        assert_eq!(note.outcome, Outcome::Noted);
        assert!(
            note.sentence.contains("33.4 psi at 41 °F") && note.sentence.contains("3.4 psi less"),
            "{}",
            note.sentence
        );
    }
}
