//! Short names for long sources: a law or a practice is cited by its number and written out once, at the end of the
//! record; what the machine itself says is short enough to stand in its row.

use std::cell::RefCell;

use crate::report::block::{Block, Span};
use crate::rules::Source;

/// The sources that were cited, in the order in which they were cited first.
#[derive(Debug, Default)]
pub(super) struct Sources(RefCell<Vec<String>>);

impl Sources {
    /// The source in a few words: `placard`, `law [2]`, `practice [3]`.
    pub fn cite(&self, source: &Source) -> String {
        match source {
            Source::Machine(what) => what.clone(),
            Source::Law(citation) => format!("law {}", self.number(citation)),
            Source::Directive { in_force: true, .. } => format!("directive {}", self.number(&source.words())),
            Source::Directive { in_force: false, .. } => {
                format!("after the directive {}", self.number(&source.words()))
            }
            Source::Own(words) => format!("the garage's own {}", self.number(words)),
            Source::Practice(what) if what.trim().is_empty() => "common practice".into(),
            Source::Practice(_) => format!("practice {}", self.number(&source.words())),
        }
    }
    /// The number of a source that is written out at the end: `[2]`.
    pub fn number(&self, words: &str) -> String {
        let mut cited = self.0.borrow_mut();
        let at = cited.iter().position(|w| w == words).unwrap_or_else(|| {
            cited.push(words.to_owned());
            cited.len() - 1
        });
        format!("[{}]", at + 1)
    }
    /// The list of what was cited; nothing where nothing was.
    pub fn blocks(&self) -> Vec<Block> {
        let cited = self.0.borrow();
        if cited.is_empty() {
            return Vec::new();
        }
        let list: Vec<String> = cited
            .iter()
            .enumerate()
            .map(|(i, words)| format!("[{}] {}", i + 1, super::words::capital(words)))
            .collect();
        let intro = "A limit without a number is the machine's own: its placard, its papers, its service manual, or a \
                     figure on the part itself.";
        vec![
            Block::heading(2, "Sources"),
            Block::spans(vec![Span::text(intro).small()]).keep_with_next(),
            Block::spans(vec![Span::text(list.join("\n")).small()]),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_source_keeps_its_number_and_stands_in_the_list_once() {
        let sources = Sources::default();
        let law = Source::Law("SI 1986/1078 regulation 27".into());
        assert_eq!(sources.cite(&law), "law [1]");
        assert_eq!(sources.cite(&Source::Practice("trade advice".into())), "practice [2]");
        assert_eq!(sources.cite(&law), "law [1]");
        assert_eq!(sources.cite(&Source::Machine("placard".into())), "placard");
        assert_eq!(sources.blocks().len(), 3);
        assert_eq!(sources.0.borrow().len(), 2);
    }
}
