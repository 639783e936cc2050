//! A figure that may be a slip of the hand: it is said while it is typed, and taken when it is asked for a second time.

use egui::Ui;

use super::trouble;

/// The doubt that was told when the form was sent the first time.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Doubted(Option<String>);

impl Doubted {
    /// Says what is doubted.
    pub fn show(&self, ui: &mut Ui, doubt: Option<&str>) {
        let Some(doubt) = doubt else { return };
        let again = if self.0.as_deref() == Some(doubt) { " Once more takes it as it stands." } else { "" };
        trouble(ui, &format!("{doubt}.{again}"));
    }
    /// Whether the form is sent, now that it was asked for: what is doubted only when that was told before.
    pub fn takes(&mut self, doubt: Option<&str>, is_asked: bool) -> bool {
        let is_told = doubt.is_none() || self.0.as_deref() == doubt;
        if is_asked && !is_told {
            self.0 = doubt.map(str::to_owned);
        }
        is_asked && is_told
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_doubted_figure_is_taken_the_second_time_and_another_doubt_is_asked_about_anew() {
        let mut doubted = Doubted::default();
        assert!(doubted.takes(None, true));
        assert!(!doubted.takes(Some("12 km"), true));
        assert!(!doubted.takes(Some("12 km"), false));
        assert!(doubted.takes(Some("12 km"), true));
        assert!(!doubted.takes(Some("11 km"), true));
    }
}
