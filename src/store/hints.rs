//! Words for what RON could not read: the place, what was expected, what was found, and the way out. Must not know
//! what the records mean.

use ron::error::SpannedError;

use super::problem::Problem;

/// Turns an error of the reader into a problem with the line and a way out.
pub(super) fn explain(path: &str, text: &str, error: &SpannedError) -> Problem {
    // A name that is not known is blamed where it begins; anything else where the reader stopped.
    let mark = match &error.code {
        ron::Error::NoSuchStructField { .. } | ron::Error::NoSuchEnumVariant { .. } => error.span.start,
        _ => error.span.end,
    };
    let (line, column) = (mark.line, mark.col);
    let around = Around::new(text, line, column);
    let message = around.number_hint().unwrap_or_else(|| words(&error.code, &around));
    Problem::at(path, text, line, column, message)
}

/// The line of an error, split at its column.
struct Around {
    before: String,
    after: String,
}

impl Around {
    fn new(text: &str, line: usize, column: usize) -> Self {
        let source = text.lines().nth(line.saturating_sub(1)).unwrap_or("");
        let at = column.saturating_sub(1);
        Self { before: source.chars().take(at).collect(), after: source.chars().skip(at).collect() }
    }
    /// A decimal comma, or a decimal where a whole number is wanted.
    fn number_hint(&self) -> Option<String> {
        let digits_end = |s: &str| s.ends_with(|c: char| c.is_ascii_digit());
        let digit_start = |s: &str| s.starts_with(|c: char| c.is_ascii_digit());
        // The reader may stop before, after or beyond the comma; look at the whole number round the place.
        let number = |c: char| c.is_ascii_digit() || matches!(c, ',' | '.' | '-' | '+' | '_');
        let left: String = self.before.chars().rev().take_while(|&c| number(c)).collect();
        let left: String = left.chars().rev().collect();
        let right: String = self.after.chars().take_while(|&c| number(c)).collect();
        let whole = format!("{left}{right}");
        let found = whole.trim_end_matches(',');
        if let Some((head, tail)) = found.split_once(',')
            && digits_end(head)
            && digit_start(tail)
        {
            let point = format!("{head}.{}", tail.trim_end_matches(','));
            return Some(format!("expected a decimal point, found a decimal comma in {found}: write {point}"));
        }
        if let Some((head, tail)) = found.split_once('.')
            && digits_end(head)
            && digit_start(tail)
            && right.starts_with('.')
        {
            return Some(format!("expected a whole number, found {found}: write {head}, or round it"));
        }
        None
    }
    fn found(&self) -> String {
        let word: String =
            self.after.trim_start().chars().take_while(|c| !matches!(c, ',' | ')' | ']' | '}')).collect();
        let word: String = word.trim_end().chars().take(40).collect();
        if !word.is_empty() {
            return word;
        }
        self.after.trim_start().chars().next().map_or_else(|| "the end of the line".into(), |c| format!("\"{c}\""))
    }
}

fn words(code: &ron::Error, around: &Around) -> String {
    use ron::Error as E;
    match code {
        E::Message(message) => custom(message),
        E::NoSuchStructField { expected, found, .. } => {
            format!("expected {}, found the name \"{found}\": {}", one_of(expected), suggestion(expected, found))
        }
        E::NoSuchEnumVariant { expected, found, .. } => {
            format!("expected {}, found \"{found}\": {}", one_of(expected), suggestion(expected, found))
        }
        E::MissingStructField { field, .. } => {
            format!("expected \"{field}\" in the part that ends here, found none: add a line {field}: …")
        }
        E::DuplicateStructField { field, .. } => {
            format!("expected \"{field}\" once, found it twice: keep one of the two")
        }
        E::ExpectedString => format!(
            "expected text in quotes, found {}: put it in quotes, as in \"36 psi\"",
            around.found()
        ),
        E::Eof | E::ExpectedStringEnd | E::UnclosedBlockComment => {
            "expected more, found the end of the file: a bracket or a quote is not closed, or the file was cut short; restore the end from a backup".into()
        }
        E::TrailingCharacters => format!(
            "expected the end of the record, found {}: remove what follows the last bracket",
            around.found()
        ),
        E::ExceededRecursionLimit => {
            "expected brackets within brackets to a moderate depth, found more than a record ever has: restore the file from a backup".into()
        }
        E::ExpectedComma => format!(
            "expected a comma, found {}: end the line before with a comma",
            around.found()
        ),
        E::ExpectedInteger | E::ExpectedFloat | E::InvalidIntegerDigit { .. } | E::IntegerOutOfBounds => {
            format!("expected a number, found {}: write digits only, with a decimal point where needed", around.found())
        }
        E::ExpectedBoolean => format!("expected true or false, found {}: write one of the two", around.found()),
        E::SuggestRawIdentifier(_) | E::InvalidIdentifier(_) => {
            format!("expected a name made of letters, digits and _, found {}: mend this line in a text editor, or restore the file from a backup", around.found())
        }
        other => {
            let text = other.to_string();
            let mut chars = text.chars();
            let lower: String = chars.next().map(|c| c.to_lowercase().collect::<String>()).unwrap_or_default() + chars.as_str();
            let lower = if lower.starts_with("expected") { lower } else { format!("expected a record, but {lower}") };
            format!(
                "{lower}, found {}: mend this line in a text editor, or restore the file from a backup",
                around.found()
            )
        }
    }
}

/// A message of our own types says expected, found and the way out already; another gets the way out.
fn custom(message: &str) -> String {
    if message.contains("expected") && message.contains("found") {
        message.to_owned()
    } else {
        format!("{message}: mend this line in a text editor, or restore the file from a backup")
    }
}

fn one_of(expected: &[&str]) -> String {
    match expected {
        [] => "no name at all here".into(),
        [only] => format!("\"{only}\""),
        many => format!("one of {}", many.iter().map(|e| format!("\"{e}\"")).collect::<Vec<_>>().join(", ")),
    }
}

fn suggestion(expected: &[&str], found: &str) -> String {
    let near = expected
        .iter()
        .map(|e| (distance(&e.to_lowercase(), &found.to_lowercase()), *e))
        .min_by_key(|(d, _)| *d)
        .filter(|(d, e)| *d <= 1 + e.chars().count() / 4);
    match near {
        Some((_, e)) => format!("write \"{e}\""),
        None => "write one of these, or remove it".into(),
    }
}

/// How many letters must be put in, taken out or changed to make one word of the other.
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().take(64).collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().take(64).enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let change = corner + usize::from(x != *y);
            corner = row[j + 1];
            row[j + 1] = change.min(row[j] + 1).min(corner + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_name_is_offered() {
        assert_eq!(distance("wheels", "wheles"), 2);
        assert_eq!(suggestion(&["name", "layout", "wheels"], "whels"), "write \"wheels\"");
        assert_eq!(suggestion(&["name", "layout"], "colour"), "write one of these, or remove it");
    }
}
