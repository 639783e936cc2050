//! `stemclock verify FILE.pdf`: whether the pages of a report show the record inside it, and where they do not; and the
//! way of that record into a garage.

use std::path::Path;

use chrono::NaiveDate;
use serde_json::json;

use super::answer::{Answer, Exit, Failure};
use super::args::VerifyArgs;
use crate::report::content::{self, Packet, Verification, Verified, VerifyError};
use crate::store;

/// What is always said: a hash beside what it is of proves nothing by itself.
const NO_SIGNATURE: &str = "A hash in the same file is no signature: whoever changes the record can print another one. \
                            Compare it with the hash that was sent to you another way (--sha256).";

/// Reads a report back.
pub fn verify(args: &VerifyArgs, today: NaiveDate) -> Result<Answer, Failure> {
    let shown = args.file.display();
    let bytes = store::read_file(&args.file).map_err(|e| Failure(e.to_string()))?;
    let found = match content::verify(&bytes) {
        Ok(found) => found,
        Err(why @ VerifyError::Unreadable(_)) if args.import.is_none() => return Ok(unreadable(args, &why)),
        Err(why) => return Err(Failure(format!("{shown}: {why}"))),
    };
    let compared = args.sha256.as_deref().map(|sent| sent_hash(sent).map(|sent| sent == found.sha256)).transpose()?;
    let is_intact = found.verified == Verified::Intact && compared != Some(false);
    let imported = match &args.import {
        Some(folder) if is_intact => Some(super::import::import(folder, &found, today)?),
        Some(_) => {
            return Err(Failure::expected(
                "an intact report to take into a garage",
                format!("an altered one ({})", first_difference(&found, compared)),
                "ask whoever sent it for the file as it was saved",
            ));
        }
        None => None,
    };
    let rules = found.packet.catalogue().map_err(|e| Failure(format!("{shown}: {e}")))?;
    let own = rules.own_words();
    let mut text = words(&args.file, &found, compared, (&own, rules.is_changed()));
    for line in imported.iter().flatten() {
        text.push_str(&format!("{line}\n"));
    }
    if imported.is_some() && !own.is_empty() {
        text.push_str("Those rules were not taken in: here the machine is judged by the rules of this garage.\n");
    }
    let packet = &found.packet;
    Ok(Answer {
        text,
        json: json!({
            "file": shown.to_string(),
            "intact": is_intact,
            "differences": found.differences.iter().map(|d| json!({"page": d.page, "what": d.what})).collect::<Vec<_>>(),
            "sha256": found.sha256,
            "sha256_as_sent": compared,
            "signature": false,
            "kind": packet.kind,
            "machine": packet.machine.as_ref().map(|id| id.0.as_str()),
            "inspection": packet.inspection.as_ref().map(|id| id.0.as_str()),
            "printed": packet.printed.to_rfc3339(),
            "made_with": packet.made_with,
            "schema": packet.schema,
            "pages": found.pages,
            "own_rules": own,
            "notes": found.notes,
            "imported": imported,
        }),
        warnings: found.notes.clone(),
        exit: if is_intact { Exit::Done } else { Exit::AskedAbout },
    })
}

/// A file that carries a record which nobody can read: something in it was changed since it was saved.
fn unreadable(args: &VerifyArgs, why: &VerifyError) -> Answer {
    let shown = args.file.display();
    let what = format!("the attached record cannot be read: {why}");
    Answer {
        text: format!("{shown}\nAltered: {what}.\n"),
        json: json!({
            "file": shown.to_string(),
            "intact": false,
            "differences": [{"page": null, "what": what}],
            "signature": false,
        }),
        exit: Exit::AskedAbout,
        ..Answer::default()
    }
}

fn first_difference(found: &Verification, compared: Option<bool>) -> String {
    match found.differences.first() {
        Some(difference) => difference.to_string(),
        None if compared == Some(false) => "its record is not the one whose hash was sent".into(),
        None => "nothing differs".into(),
    }
}

fn words(file: &Path, found: &Verification, compared: Option<bool>, (own, is_changed): (&[String], bool)) -> String {
    let packet = &found.packet;
    let mut text = format!("{}: {}, {} pages.\n", file.display(), what(packet), found.pages);
    match found.verified {
        Verified::Intact => {
            text.push_str("Intact: every page shows what the record inside the file gives");
            text.push_str(&match (own, is_changed) {
                ([], _) => ".\n".to_owned(),
                (own, true) => format!(", by rules changed by the garage: {}.\n", own.join("; ")),
                (own, false) => format!(", by rules of the garage's own: {}.\n", own.join("; ")),
            });
        }
        Verified::Altered => {
            text.push_str("Altered: the pages do not show what the record inside the file gives.\n");
            for difference in &found.differences {
                text.push_str(&format!("  {difference}\n"));
            }
        }
    }
    text.push_str(&format!("SHA-256 of the record: {}\n", content::grouped(&found.sha256)));
    match compared {
        Some(true) => text.push_str("It is the hash that was sent to you.\n"),
        Some(false) => text.push_str("It is NOT the hash that was sent to you: this is another record.\n"),
        None => text.push_str(&format!("{NO_SIGNATURE}\n")),
    }
    text
}

/// `sale sheet of heron-7c1e, printed 25 November 2026 with Stemclock 0.1.0`.
fn what(packet: &Packet) -> String {
    let kind = content::kind(&packet.kind).map_or(packet.kind.as_str(), |kind| kind.title).to_lowercase();
    let of = packet.machines.first().filter(|_| packet.machine.is_some());
    let of = of.map_or_else(String::new, |held| format!(" of {}", held.machine.name));
    format!("{kind}{of}, printed {} with Stemclock {}", packet.printed.format("%-d %B %Y at %H:%M"), packet.made_with)
}

/// A hash as a person copies it: blanks and case forgiven.
fn sent_hash(sent: &str) -> Result<String, Failure> {
    let hash: String = sent.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect();
    if hash.len() == 64 && hash.chars().all(|c| c.is_ascii_hexdigit()) {
        return Ok(hash);
    }
    Err(Failure::expected(
        "a SHA-256 of 64 figures 0 to 9 and a to f",
        format!("\"{sent}\""),
        "copy it whole, as it stands on the last page of the report",
    ))
}
