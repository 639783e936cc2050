//! A day as people write it and as it is printed. Every field, argument and calculator that takes a day reads it here.

use chrono::{Datelike, NaiveDate};

/// The years that a day of a machine can be of: the first motorcycles are little older, and a slip of the pen or a year
/// of two figures falls outside.
const YEARS: std::ops::RangeInclusive<i32> = 1900..=2200;

/// The forms that are read. Slashes are not among them: they are read two ways.
const FORMS: [&str; 4] = ["%Y-%m-%d", "%d.%m.%Y", "%d %B %Y", "%d %b %Y"];

/// Reads `2024-05-17`, `17.5.2024`, `17 May 2024` or `3 Apr 2026`. Errors: no day, or a year before 1900 or after 2200
/// (`24-05-17` would otherwise be a day of the year 24).
pub fn parse(text: &str) -> Result<NaiveDate, String> {
    let text = text.trim();
    let day = FORMS.iter().find_map(|form| NaiveDate::parse_from_str(text, form).ok()).ok_or_else(|| {
        format!("expected a day that exists, found \"{text}\": write it as year-month-day, as in 2026-11-25")
    })?;
    if !YEARS.contains(&day.year()) {
        return Err(format!(
            "expected a day from {} to {}, found the year {}: write the year in full, as in 2026-11-25",
            YEARS.start(),
            YEARS.end(),
            day.year()
        ));
    }
    Ok(day)
}

/// A day in words: `3 April 2026`.
pub fn words(day: NaiveDate) -> String {
    day.format("%-d %B %Y").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_read_as_people_write_it_and_comes_back_in_words() {
        for text in ["2026-04-03", "3.4.2026", "03.04.2026", "3 April 2026", " 3 Apr 2026 "] {
            assert_eq!(parse(text).map(words), Ok("3 April 2026".into()), "{text}");
        }
    }

    #[test]
    fn a_year_of_two_figures_and_a_day_that_is_none_are_refused_with_the_way_out() {
        for (text, found) in [("24-05-17", "the year 24"), ("17.5.24", "the year 24"), ("2926-05-17", "the year 2926")]
        {
            let error = parse(text).expect_err(text);
            assert!(error.contains(found) && error.contains("write the year in full"), "{error}");
        }
        for text in ["2026-02-30", "3/4/2026", "soon", ""] {
            let error = parse(text).expect_err(text);
            assert!(error.contains("expected a day that exists") && error.contains("as in 2026-11-25"), "{error}");
        }
    }
}
