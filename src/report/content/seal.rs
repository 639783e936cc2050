//! The last words of a report: how it can be checked. It attaches the record and prints its SHA-256.

use super::kinds::Request;
use super::packet::{NAME, hash};
use crate::drawing::shape::Ink;
use crate::report::block::{Attachment, Block, DocumentSpec, Span};

/// Attaches the record's canonical text and prints its hash after everything else.
pub fn seal(spec: &mut DocumentSpec, request: &Request<'_>, text: String) {
    let hash = hash(text.as_bytes());
    let privacy = request.cx.options.privacy;
    let left_out: Vec<&str> = [
        (privacy.vin, "the identification number"),
        (privacy.registration, "the registration"),
        (privacy.people, "names of people"),
        (privacy.place, "the place"),
    ]
    .into_iter()
    .filter(|(is_left_out, _)| *is_left_out)
    .map(|(_, what)| what)
    .collect();
    let mut words = format!(
        "The record that these pages show travels inside this file as {NAME}. The command “stemclock verify” reads it \
         back, lays the pages out from it again, and says whether they are the same as these, and where they are not."
    );
    if !left_out.is_empty() {
        words.push_str(&format!(" Left out here and in the attached record: {}.", left_out.join(", ")));
    }
    let blocks = [
        Block::heading(2, "Checking this paper"),
        Block::spans(vec![Span::text(words).small()]),
        Block::spans(vec![
            Span::text("SHA-256 of the attached record: ").small().ink(Ink::Faint),
            Span::text(grouped(&hash)).small(),
        ]),
        Block::spans(vec![
            Span::text(
                "A hash in the same file is no signature: whoever changes the record can print another one. Compare it \
                 with the hash that was sent to you another way.",
            )
            .small(),
        ]),
    ];
    let last = blocks.len() - 1;
    spec.blocks.extend(blocks.into_iter().enumerate().map(|(i, b)| if i < last { b.keep_with_next() } else { b }));
    spec.attachments.push(Attachment {
        name: NAME.to_owned(),
        media_type: "text/plain".to_owned(),
        description: "The record that these pages were made from".to_owned(),
        bytes: text.into_bytes(),
    });
}

/// A hash in eights, so that a person can compare it.
pub fn grouped(hash: &str) -> String {
    let letters: Vec<char> = hash.chars().collect();
    letters.chunks(8).map(|eight| eight.iter().collect::<String>()).collect::<Vec<_>>().join(" ")
}
