//! A calculator beside what it is about: its entries, filled from the record, and its answer with formula and source.
//!
//! One panel for every calculator of [`crate::reckon::CALCULATORS`]; [`beside`] says which belong where and what fills
//! them. It changes no record.

pub(super) mod beside;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use egui::{ComboBox, RichText, Ui};

use crate::reckon::{CALCULATORS, Calculator, FormEntry, Reckoning, SAID};
use crate::ui::theme::{Tokens, strong_family};
use crate::ui::widgets::{trouble, typed_line};

/// What the calculators of the window keep between frames: which is open where, and what was typed into each.
#[derive(Clone, Debug, Default)]
pub struct CalculatorState {
    /// The offer that is open, by the place it stands at.
    open: BTreeMap<String, &'static str>,
    /// What was typed, by place and name of the offer, then by entry.
    typed: BTreeMap<(String, &'static str), BTreeMap<String, String>>,
}

/// A calculator offered at a place, with what the record gives for its entries.
pub(super) struct Offer {
    /// The calculator's id.
    pub id: &'static str,
    /// What it is for here, two or three words.
    pub name: &'static str,
    /// What the record gives, by entry.
    pub filled: Vec<(&'static str, String)>,
}

/// Draws the offers of a place as a row of buttons, and the one that is open below them.
pub(super) fn ui(
    state: &mut CalculatorState,
    tokens: &Tokens,
    today: NaiveDate,
    ui: &mut Ui,
    place: &str,
    offers: &[Offer],
) {
    if offers.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Work out").small().color(tokens.faint));
        for offer in offers {
            let is_open = state.open.get(place) == Some(&offer.name);
            let button = egui::Button::selectable(is_open, RichText::new(offer.name).small());
            if ui.add(button.frame_when_inactive(true)).clicked() {
                if is_open {
                    state.open.remove(place);
                } else {
                    state.open.insert(place.to_owned(), offer.name);
                }
            }
        }
    });
    let Some(offer) = offers.iter().find(|o| state.open.get(place) == Some(&o.name)) else { return };
    let Some(calculator) = CALCULATORS.iter().find(|c| c.id == offer.id) else { return };
    egui::Frame::new().fill(tokens.wash).inner_margin(8.0).corner_radius(4.0).show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.push_id(("calculator", place, offer.name), |ui| {
            let typed = state.typed.entry((place.to_owned(), offer.name)).or_default();
            form(tokens, ui, calculator, offer, typed);
            let mut all: BTreeMap<String, String> =
                offer.filled.iter().map(|(id, text)| ((*id).to_owned(), text.clone())).collect();
            all.extend(typed.clone());
            match calculator.answer(&all, today) {
                Ok(answer) => result(tokens, ui, &answer),
                Err(error) => trouble(ui, &error.to_string()),
            }
        });
    });
}

/// The entries: what is needed and what the record gives first, the rest folded away.
fn form(tokens: &Tokens, ui: &mut Ui, calculator: &Calculator, offer: &Offer, typed: &mut BTreeMap<String, String>) {
    ui.label(RichText::new(calculator.about).small().color(tokens.faint));
    let filled = |id: &str| offer.filled.iter().find(|(f, _)| *f == id).map(|(_, text)| text.as_str());
    let is_first = |e: &FormEntry| e.required || filled(&e.id).is_some() || beside::is_asked(offer.id, &e.id);
    let (first, rest): (Vec<FormEntry>, Vec<FormEntry>) = calculator.entries().into_iter().partition(is_first);
    for one in &first {
        entry(tokens, ui, one, filled(&one.id).unwrap_or_default(), typed);
    }
    if !rest.is_empty() {
        egui::CollapsingHeader::new(RichText::new("More entries").small()).id_salt("more").show(ui, |ui| {
            for one in &rest {
                entry(tokens, ui, one, "", typed);
            }
        });
    }
    if !typed.is_empty() && ui.small_button("Take the record's figures again").clicked() {
        typed.clear();
    }
}

fn entry(tokens: &Tokens, ui: &mut Ui, one: &FormEntry, filled: &str, typed: &mut BTreeMap<String, String>) {
    let shown = typed.get(&one.id).map_or_else(|| filled.to_owned(), Clone::clone);
    let mut text = shown.clone();
    if one.is_flag {
        let mut said = text == SAID;
        if ui.checkbox(&mut said, RichText::new(&one.help).small()).changed() {
            text = if said { SAID.into() } else { String::new() };
        }
    } else {
        let help = if one.many { format!("{} (several apart by ;)", one.help) } else { one.help.clone() };
        let label = ui.label(RichText::new(help).small().color(tokens.faint));
        if one.choices.is_empty() {
            let edit = typed_line(&mut text).id_salt(&one.id).hint_text(&one.default);
            ui.add(edit.desired_width(ui.available_width().min(260.0))).labelled_by(label.id);
        } else {
            let current = if text.is_empty() { one.default.clone() } else { text.clone() };
            let combo = ComboBox::from_id_salt(&one.id).selected_text(current);
            let response = combo.show_ui(ui, |ui| {
                for choice in &one.choices {
                    ui.selectable_value(&mut text, choice.clone(), choice);
                }
            });
            response.response.labelled_by(label.id);
        }
    }
    if text != shown {
        typed.insert(one.id.clone(), text);
    }
}

fn result(tokens: &Tokens, ui: &mut Ui, answer: &Reckoning) {
    ui.add_space(4.0);
    ui.label(RichText::new(&answer.title).family(strong_family()).color(tokens.strong));
    for line in &answer.lines {
        ui.label(line);
    }
    for (what, lines) in [("Formula", &answer.formula), ("Source", &answer.source), ("Mind", &answer.cautions)] {
        if !lines.is_empty() {
            ui.add_space(2.0);
            ui.label(RichText::new(what).small().color(tokens.faint));
            for line in lines {
                ui.label(RichText::new(line).small());
            }
        }
    }
}
