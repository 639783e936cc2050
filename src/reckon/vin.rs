//! `reckon vin`: the form, the check digit and the model year of a vehicle identification number.

use chrono::{Datelike, NaiveDate};
use clap::Args;
use serde_json::json;

use super::{Reckon, ReckonError, Reckoning};

/// Weights of the seventeen positions (49 CFR 565.15, table IV). The ninth is the check digit itself.
const WEIGHTS: [u32; 17] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
/// Model-year codes from 1980 on, in a cycle of thirty years (49 CFR 565.15, table VII; from memory, high).
const YEAR_CODES: &str = "ABCDEFGHJKLMNPRSTVWXY123456789";
const FIRST_YEAR: i32 = 1980;
const CYCLE: i32 = 30;

/// The entries of the identification-number calculator.
#[derive(Clone, Debug, Args)]
pub struct Vin {
    /// The seventeen characters as stamped; blanks and dashes between them are left out
    #[arg(value_name = "VIN")]
    pub vin: String,
    /// The machine was made for North America, where the check digit is compulsory
    #[arg(long)]
    pub north_america: bool,
}

/// The value of a character (49 CFR 565.15, table III). None for I, O, Q and what is neither letter nor figure.
fn value(c: char) -> Option<u32> {
    match c {
        '0'..='9' => c.to_digit(10),
        'A'..='H' => Some(u32::from(c) - u32::from('A') + 1),
        'J'..='N' => Some(u32::from(c) - u32::from('J') + 1),
        'P' => Some(7),
        'R' => Some(9),
        'S'..='Z' => Some(u32::from(c) - u32::from('S') + 2),
        _ => None,
    }
}

/// The characters in their normal form. Errors: not seventeen of them, or one that is not used.
fn characters(text: &str) -> Result<Vec<char>, ReckonError> {
    let found: Vec<char> =
        text.to_uppercase().chars().filter(|c| !c.is_whitespace() && !matches!(c, '-' | '*')).collect();
    if let Some((at, c)) = found.iter().take(17).enumerate().find(|(_, c)| value(**c).is_none()) {
        return Err(ReckonError::expected(
            "letters without I, O and Q, and figures",
            format!("\"{c}\" at place {}", at + 1),
            "look at the stamping again: I is read for 1, O and Q for 0",
        ));
    }
    if found.len() != 17 {
        return Err(ReckonError::expected(
            "seventeen characters",
            found.len(),
            "read them from the frame; machines of before 1981 may carry a shorter number of their own form",
        ));
    }
    Ok(found)
}

/// What is to be remarked on a number as it stands in a machine's papers; none where there is nothing. It is kept
/// whatever this says: machines of before 1981 may carry a number of their own form.
pub fn vin_remark(text: &str) -> Option<String> {
    let plain: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    if plain.is_empty() {
        return None;
    }
    let found = match characters(&plain) {
        Ok(found) => found,
        Err(error) => return Some(format!("Is it right? {error}.")),
    };
    let wanted = check_digit(&found);
    (found[8] != wanted).then(|| {
        format!(
            "By the check digit of North America the ninth character would be {wanted}, and it is {}. Elsewhere any \
             character may stand there.",
            found[8]
        )
    })
}

/// The sum of value times weight.
fn weighted_sum(found: &[char]) -> u32 {
    found.iter().zip(WEIGHTS).map(|(c, weight)| value(*c).unwrap_or(0) * weight).sum()
}

/// The character that the ninth place would have.
fn check_digit(found: &[char]) -> char {
    match weighted_sum(found) % 11 {
        10 => 'X',
        rest => char::from_digit(rest, 10).unwrap_or('X'),
    }
}

/// The years that a model-year code may mean; none if it is no such code.
fn model_years(code: char) -> Vec<i32> {
    YEAR_CODES.find(code).map_or_else(Vec::new, |at| {
        let first = FIRST_YEAR + at as i32;
        vec![first, first + CYCLE]
    })
}

impl Reckon for Vin {
    const ID: &'static str = "vin";
    const ABOUT: &'static str = "A vehicle identification number: its form, check digit and model years";
    const EXAMPLE: &'static str = "vin 1M8GDM9AXKP042788";

    fn reckon(&self, today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let found = characters(&self.vin)?;
        let vin: String = found.iter().collect();
        let (sum, wanted) = (weighted_sum(&found), check_digit(&found));
        let (stands, year_code) = (found[8], found[9]);
        let agrees = stands == wanted;
        let years = model_years(year_code);
        let low_volume = found[2] == '9';
        let part = |from: usize, to: usize| found[from..to].iter().collect::<String>();
        let mut answer = Reckoning::new(
            format!("Identification number {vin}"),
            json!({
                "vin": vin,
                "form_is_sound": true,
                "weighted_sum": sum,
                "check_digit_expected": wanted.to_string(),
                "check_digit_found": stands.to_string(),
                "check_digit_agrees": agrees,
                "check_digit_is_binding": self.north_america,
                "model_year_code": year_code.to_string(),
                "model_years": years,
                "maker": part(0, 3),
                "low_volume_maker": low_volume,
                "descriptor": part(3, 8),
                "plant": part(10, 11),
                "sequence": part(11, 17),
            }),
        );
        answer.line(match (agrees, self.north_america) {
            (true, _) => format!("Check digit {stands} agrees."),
            (false, true) => format!(
                "Check digit {stands} does not agree: {wanted} is asked for. Read the number again; if it stands so on \
                 the frame, compare the papers and ask the registration office."
            ),
            (false, false) => format!(
                "Check digit: {wanted} would agree, {stands} stands there. Outside North America this is only a hint, \
                 for any character may stand in the ninth place."
            ),
        });
        let year_words: Vec<String> = years
            .iter()
            .map(|y| if *y > today.year() + 1 { format!("{y} (still to come)") } else { y.to_string() })
            .collect();
        answer.line(if years.is_empty() {
            format!("{year_code} in the tenth place is no model-year code.")
        } else {
            format!("Model year by the code {year_code}: {}.", year_words.join(" or "))
        });
        answer.line(format!(
            "Maker {}{}, descriptor {}, plant {}, sequence {}.",
            part(0, 3),
            if low_volume { " with the twelfth to fourteenth places (a maker of few machines)" } else { "" },
            part(3, 8),
            part(10, 11),
            part(11, 17)
        ));
        answer
            .formula(format!("sum of value × weight = {sum}; {sum} mod 11 = {}, which is written {wanted}", sum % 11));
        answer.source(
            "49 CFR 565.13 and 565.15, tables III to VII; ISO 3779 leaves the check digit open (from memory, high)",
        );
        answer.caution("The number says nothing of who owns the machine: compare frame and papers.");
        answer.caution("On motorcycles the thirty-year cycle of the model year cannot be told from the number alone.");
        Ok(answer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn characters_have_the_values_of_the_table() {
        // 49 CFR 565.15, table III.
        for (letters, values) in [
            ("ABCDEFGH", [1, 2, 3, 4, 5, 6, 7, 8].as_slice()),
            ("JKLMN", &[1, 2, 3, 4, 5]),
            ("PR", &[7, 9]),
            ("STUVWXYZ", &[2, 3, 4, 5, 6, 7, 8, 9]),
            ("0159", &[0, 1, 5, 9]),
        ] {
            assert_eq!(letters.chars().filter_map(value).collect::<Vec<_>>(), values);
        }
        assert!("IOQ-é".chars().all(|c| value(c).is_none()));
        assert_eq!(WEIGHTS.iter().sum::<u32>(), 89);
    }

    #[test]
    fn a_number_in_the_papers_is_remarked_on_and_never_refused() {
        assert_eq!(vin_remark("1M8GDM9AXKP042788"), None);
        assert_eq!(vin_remark("  "), None);
        for (vin, words) in [
            ("1M8GDM9AXKP04278", "seventeen characters, found 16"),
            ("1M8GDM9AOKP042788", "\"O\" at place 9"),
            ("1M8GDM9A4KP042788", "would be X"),
        ] {
            assert!(vin_remark(vin).expect(vin).contains(words), "{vin}: {:?}", vin_remark(vin));
        }
    }

    #[test]
    fn model_years_follow_the_cycle() {
        // 49 CFR 565.15, table VII
        assert_eq!(model_years('1'), [2001, 2031]);
        assert_eq!(model_years('A'), [1980, 2010]);
        assert_eq!(model_years('Y'), [2000, 2030]);
        assert!("0UZ".chars().all(|c| model_years(c).is_empty()));
    }
}
