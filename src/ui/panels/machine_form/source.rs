//! Where a figure comes from: no figure without one.

use egui::Ui;

use crate::machine::LimitSource;
use crate::ui::widgets::{choice, words_field};

/// A source without its page.
#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Placard,
    Manual,
    Stamped,
    Practice,
}

/// A choice of source, with the page where it is the service manual. Gives the new source.
pub fn field(ui: &mut Ui, name: &str, current: &LimitSource) -> Option<LimitSource> {
    let (kind, page) = match current {
        LimitSource::Placard => (Kind::Placard, ""),
        LimitSource::Manual(page) => (Kind::Manual, page.as_str()),
        LimitSource::Stamped => (Kind::Stamped, ""),
        LimitSource::CommonPractice => (Kind::Practice, ""),
    };
    let options = [
        (Kind::Placard, "the placard".to_owned()),
        (Kind::Manual, "the service manual".to_owned()),
        (Kind::Stamped, "stamped on the part".to_owned()),
        (Kind::Practice, "common practice".to_owned()),
    ];
    let mut changed = choice(ui, name, &kind, &options).map(|kind| match kind {
        Kind::Placard => LimitSource::Placard,
        Kind::Manual => LimitSource::Manual(page.to_owned()),
        Kind::Stamped => LimitSource::Stamped,
        Kind::Practice => LimitSource::CommonPractice,
    });
    if kind == Kind::Manual
        && let Some(page) = words_field(ui, "Page of the manual", page, "for example page 5-12", 230.0)
    {
        changed = Some(LimitSource::Manual(page));
    }
    changed
}
