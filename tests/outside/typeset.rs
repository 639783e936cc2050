//! A door for the outside checks: what the typesetter makes of words. Each line of stdin is a text; each line of stdout
//! is its width in points at ten points, in the ordinary and the heavier face, and where it may break, as JSON.
#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a tool of the tests")]

use std::io::BufRead;

use stemclock::report::layout::{Face, breaks, width};

fn main() {
    for line in std::io::stdin().lock().lines() {
        let text: String = serde_json::from_str(&line.unwrap()).unwrap();
        // Counted in characters, as Python counts.
        let breaks: Vec<(usize, bool)> =
            breaks(&text).into_iter().map(|(at, must)| (text[..at].chars().count(), must)).collect();
        let widths = [Face::Regular, Face::Bold].map(|face| width(&text, face, 10.0));
        println!("{}", serde_json::json!({ "regular": widths[0], "bold": widths[1], "breaks": breaks }));
    }
}
