//! What falls due as an iCalendar file (RFC 5545), to be read by any calendar.
//!
//! Written here and not by a library: the ones at hand draw random ids and read the clock, and both must come from the
//! record, so that a file made again replaces the entries of the one before.

use chrono::{Days, NaiveDate};

use super::due::{Due, When};
use crate::guard;
use crate::units::Preferences;

/// Octets of a line before it is folded, without its end (RFC 5545 section 3.1).
const LINE_OCTETS: usize = 75;

/// A calendar with an all-day entry for each item that has a day; what is overdue stands on today. Answers with the
/// file and with how many items had no day and are left out.
pub fn calendar(items: &[Due], garage: &str, units: &Preferences, today: NaiveDate) -> (String, usize) {
    let mut file = String::new();
    let mut left_out = 0;
    let stamp = format!("{}T000000Z", today.format("%Y%m%d"));
    for line in ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Stemclock//what falls due//EN", "CALSCALE:GREGORIAN"] {
        put(&mut file, line);
    }
    put(&mut file, &format!("X-WR-CALNAME:{}", escaped(&format!("{garage}: what falls due"))));
    for item in items {
        let day = if item.when == When::Overdue { Some(today) } else { item.date };
        let Some((day, next)) = day.and_then(|d| Some((d, d.checked_add_days(Days::new(1))?))) else {
            left_out += 1;
            continue;
        };
        let late = if item.when == When::Overdue { "Overdue: " } else { "" };
        put(&mut file, "BEGIN:VEVENT");
        put(&mut file, &format!("UID:{}", escaped(&format!("{}.{}@stemclock", item.machine, item.id))));
        put(&mut file, &format!("DTSTAMP:{stamp}"));
        put(&mut file, &format!("DTSTART;VALUE=DATE:{}", day.format("%Y%m%d")));
        put(&mut file, &format!("DTEND;VALUE=DATE:{}", next.format("%Y%m%d")));
        put(&mut file, &format!("SUMMARY:{}", escaped(&format!("{late}{}: {}", item.name, item.what))));
        let words = format!("{}\n{}\nSource: {}", item.by_words(units), item.why, item.source);
        put(&mut file, &format!("DESCRIPTION:{}", escaped(&words)));
        put(&mut file, &format!("CATEGORIES:{}", escaped(item.kind.word())));
        put(&mut file, "TRANSP:TRANSPARENT");
        put(&mut file, "END:VEVENT");
    }
    put(&mut file, "END:VCALENDAR");
    (file, left_out)
}

/// Text as a value (RFC 5545 section 3.3.11): backslash, semicolon, comma and new line are escaped; other control
/// characters have no place in it.
fn escaped(text: &str) -> String {
    let mut value = String::with_capacity(text.len());
    for c in text.replace("\r\n", "\n").chars() {
        match c {
            '\\' | ';' | ',' => value.extend(['\\', c]),
            '\n' | '\r' => value.push_str("\\n"),
            '\t' => value.push(' '),
            c if guard::is_hidden(c) => {}
            c => value.push(c),
        }
    }
    value
}

/// Adds a line, folded so that none is longer than 75 octets and no character is cut in two.
fn put(file: &mut String, line: &str) {
    let mut octets = 0;
    for c in line.chars() {
        if octets + c.len_utf8() > LINE_OCTETS {
            file.push_str("\r\n ");
            octets = 1;
        }
        file.push(c);
        octets += c.len_utf8();
    }
    file.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_folded_at_75_octets_between_characters() {
        // RFC 5545 section 3.1: lines of at most 75 octets without the break, a break followed by one blank.
        for text in ["short", &"x".repeat(75), &"x".repeat(76), &"é".repeat(200), &"🏍".repeat(40)] {
            let mut file = String::new();
            put(&mut file, text);
            assert!(file.split("\r\n").all(|l| l.len() <= 75), "{file:?}");
            assert_eq!(file.replace("\r\n ", "").trim_end_matches("\r\n"), text);
        }
        let mut exact = String::new();
        put(&mut exact, &"x".repeat(75));
        assert_eq!(exact.matches("\r\n").count(), 1);
    }

    #[test]
    fn values_are_escaped() {
        // RFC 5545 section 3.3.11.
        assert_eq!(escaped("a,b;c\\d\ne:f\r\ng\u{7}"), "a\\,b\\;c\\\\d\\ne:f\\ng");
    }
}
