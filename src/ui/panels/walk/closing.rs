//! Closing a finding: repaired and looked at again, or withdrawn as recorded by mistake; or watching a minor one, which
//! leaves it open. Each writes an event.

use egui::{RichText, Ui, vec2};

use super::field::chip;
use super::round::Round;
use super::{reading_fields, words};
use crate::history::Watch;
use crate::inspection::{
    Closing, Event, EventKind, Finding, FindingId, FindingRef, Inspection, Severity, Until, closing_words, event_words,
    until_words,
};
use crate::ui::theme::Tokens;
use crate::ui::widgets::typed_line;
use crate::ui::{Action, UiState};
use crate::units::{Distance, Preferences, day};

/// What becomes of a finding.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Way {
    /// Repaired and looked at again.
    #[default]
    Repaired,
    /// Recorded by mistake.
    Withdrawn,
    /// Minor, and watched to a day or a distance.
    Watched,
}

/// What is being written about the closing of one finding.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct CloseForm {
    /// Whose it is.
    pub of: Option<FindingId>,
    /// What becomes of it.
    pub way: Way,
    /// What was done.
    pub work: String,
    /// What the second look showed.
    pub second_look: String,
    /// Why it was no finding.
    pub reason: String,
    /// Who says so.
    pub by: String,
    /// The day up to which it is watched, as typed.
    pub until: String,
    /// The odometer up to which it is watched, as typed.
    pub until_odometer: String,
    /// Whether its first line takes the keyboard.
    pub takes_keyboard: bool,
}

impl CloseForm {
    /// How long it is watched, or what is still missing or cannot be read.
    fn until(&self, units: &Preferences) -> Result<Until, String> {
        let typed = |text: &str| Some(text.trim().to_owned()).filter(|t| !t.is_empty());
        let date = typed(&self.until).map(|t| day::parse(&t)).transpose()?;
        let unit = reading_fields::unit_of::<Distance>(units);
        let odometer = typed(&self.until_odometer).map(|t| Distance::parse(&t, Some(unit))).transpose();
        let odometer = odometer.map_err(|e| e.to_string())?;
        if date.is_none() && odometer.is_none() {
            return Err("Set a day or an odometer reading up to which it is watched.".into());
        }
        Ok(Until { date, odometer })
    }
    /// The closing, or what is still missing. `job` is the repair that waits for its second look, if there is one.
    fn closing(&self, job: Option<&Event>) -> Result<Closing, &'static str> {
        let filled = |text: &str| !text.trim().is_empty();
        if self.way == Way::Withdrawn {
            return match () {
                () if !filled(&self.reason) => Err("Write why it was no finding."),
                () if !filled(&self.by) => Err("Write the name of the person who withdraws it."),
                () => Ok(Closing::Withdrawn { reason: self.reason.trim().to_owned() }),
            };
        }
        if let Some(job) = job {
            return match () {
                () if !filled(&self.second_look) => Err("Write what the second look after the work showed."),
                () => Ok(Closing::LookedAgain {
                    job: job.id.clone(),
                    inspection: None,
                    second_look: self.second_look.trim().to_owned(),
                }),
            };
        }
        match () {
            () if !filled(&self.work) => Err("Write what was done."),
            () if !filled(&self.second_look) => Err("Write what the second look after the work showed."),
            () => Ok(Closing::Repaired {
                work: self.work.trim().to_owned(),
                second_look: self.second_look.trim().to_owned(),
            }),
        }
    }
}

/// Draws the way to close a finding.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    inspection: &Inspection,
    finding: &Finding,
) {
    let defect = round.defect(finding);
    let is_minor = is_minor(round, inspection, finding);
    if let Some(EventKind::Watched { until, .. }) = defect.as_ref().and_then(|d| d.watched).map(|e| &e.kind) {
        let over = until.watch(round.cx.today, round.bay.odometer_on(round.cx.today)) == Watch::Over;
        let words = format!("Watched {}.", until_words(until, round.units()));
        let words = if over {
            format!("{words} The time is over: look at it, then repair it or set a new end.")
        } else {
            words
        };
        ui.label(words);
    }
    let title = if is_minor { "Close or watch it" } else { "Close it" };
    egui::CollapsingHeader::new(title)
        .id_salt(("close", &finding.id.0))
        .show(ui, |ui| form(round, state, actions, ui, inspection, finding));
}

/// Whether a finding may be watched.
pub(super) fn is_minor(round: &Round<'_>, inspection: &Inspection, finding: &Finding) -> bool {
    round.severity_of(inspection, finding) == Some(Severity::Minor)
}

/// The form of a finding, begun anew where it was another one's.
fn form_of<'s>(round: &Round<'_>, state: &'s mut UiState, finding: &FindingId) -> &'s mut CloseForm {
    let form = &mut state.walk.close;
    if form.of.as_ref() != Some(finding) {
        *form = CloseForm { of: Some(finding.clone()), by: round.person(), ..CloseForm::default() };
    }
    form
}

/// Begins a closing by key: its first line takes the keyboard.
pub(super) fn begin(round: &Round<'_>, state: &mut UiState, finding: &FindingId, way: Way) {
    let form = form_of(round, state, finding);
    form.way = way;
    form.takes_keyboard = true;
}

/// The work of which only the second look is still to be said, in words.
pub(super) fn waiting_work(round: &Round<'_>, finding: &Finding) -> Option<String> {
    let event = round.defect(finding)?.jobs.last().copied()?;
    let by = if event.by.is_empty() { String::new() } else { format!(" by {}", event.by) };
    let done = event_words(&event.kind, round.units());
    Some(format!("On {}{by} {done}.", words::day(event.date)))
}

/// Draws the form: what becomes of the finding, by what evidence, and who says so. Enter goes from line to line and from
/// the last one to the button.
pub(super) fn form(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    inspection: &Inspection,
    finding: &Finding,
) {
    let tokens = round.cx.tokens;
    let is_minor = is_minor(round, inspection, finding);
    let defect = round.defect(finding);
    let job = defect.as_ref().and_then(|d| d.jobs.last().copied());
    let form = form_of(round, state, &finding.id);
    ui.horizontal_wrapped(|ui| {
        let ways = [(Way::Repaired, "repaired"), (Way::Withdrawn, "recorded by mistake"), (Way::Watched, "watched")];
        for (way, words) in ways.into_iter().filter(|(way, _)| is_minor || *way != Way::Watched) {
            if chip(ui, tokens, form.way == way, words) {
                form.way = way;
            }
        }
    });
    let mut lines = Vec::new();
    match form.way {
        Way::Withdrawn => {
            lines.push(line(ui, tokens, "Why it was no finding", "mud, not a crack", &mut form.reason));
        }
        Way::Watched => {
            lines.push(line(ui, tokens, "Until the day", "2027-05-01", &mut form.until));
            let unit = reading_fields::unit_of::<Distance>(round.units()).symbol;
            lines.push(line(ui, tokens, "or until the odometer shows", unit, &mut form.until_odometer));
            lines.push(line(ui, tokens, "Why it can wait", "fine cracks, closed when pressed", &mut form.reason));
        }
        Way::Repaired => {
            match waiting_work(round, finding) {
                Some(done) => {
                    ui.label(done);
                }
                None => lines.push(line(ui, tokens, "What was done", "tyre replaced", &mut form.work)),
            }
            let hint = "seated all round, holds its pressure";
            lines.push(line(ui, tokens, "What the second look showed", hint, &mut form.second_look));
        }
    }
    let who = if form.way == Way::Watched { "Who watches it" } else { "Who closes it" };
    lines.push(line(ui, tokens, who, "name", &mut form.by));
    if std::mem::take(&mut form.takes_keyboard)
        && let Some(first) = lines.first()
    {
        first.request_focus();
        first.scroll_to_me(None);
    }
    let button = if form.way == Way::Watched {
        watch(round, form, actions, ui, inspection, finding)
    } else {
        close(round, form, actions, ui, (inspection, finding, job))
    };
    let is_entered = ui.input(|i| i.key_pressed(egui::Key::Enter));
    if let Some(at) = lines.iter().position(|l| l.lost_focus()).filter(|_| is_entered) {
        let next = lines.get(at + 1).unwrap_or(&button);
        next.request_focus();
        next.scroll_to_me(None);
    }
}

fn close(
    round: &Round<'_>,
    form: &mut CloseForm,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    (inspection, finding, job): (&Inspection, &Finding, Option<&Event>),
) -> egui::Response {
    let tokens = round.cx.tokens;
    let closing = form.closing(job);
    let button = egui::Button::new("Close the finding").min_size(vec2(0.0, tokens.target));
    let response = ui.add_enabled(closing.is_ok(), button);
    match closing {
        Ok(closing) if response.clicked() => {
            actions.push(round.close(inspection, &finding.id, closing, &form.by));
            *form = CloseForm::default();
        }
        // A line stands here in either case, or the button would move away under the hand.
        Ok(_) => told(ui, tokens, "It stays in the record, closed."),
        Err(missing) => told(ui, tokens, missing),
    }
    response
}

fn watch(
    round: &Round<'_>,
    form: &mut CloseForm,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    inspection: &Inspection,
    finding: &Finding,
) -> egui::Response {
    let tokens = round.cx.tokens;
    let until = form.until(round.units());
    let button = egui::Button::new("Watch the finding").min_size(vec2(0.0, tokens.target));
    let response = ui.add_enabled(until.is_ok(), button);
    match until {
        Ok(until) if response.clicked() => {
            let of = FindingRef { inspection: inspection.id.clone(), finding: finding.id.clone() };
            let kind = EventKind::Watched { of, until, reason: form.reason.trim().to_owned() };
            actions.push(round.record("watched", kind, &form.by));
            *form = CloseForm::default();
        }
        Ok(_) => told(ui, tokens, "It stays open and counts; when the time is over that is said."),
        Err(missing) => told(ui, tokens, &missing),
    }
    response
}

fn told(ui: &mut Ui, tokens: &Tokens, words: &str) {
    ui.label(RichText::new(words).small().color(tokens.faint));
}

/// Draws how a finding was closed, with the way back: a closing is never edited, it is taken back by a further event.
pub(super) fn closed(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    finding: &FindingId,
    event: &Event,
) {
    let EventKind::FindingClosed { closing, .. } = &event.kind else { return };
    let by = if event.by.is_empty() { String::new() } else { format!(" by {}", event.by) };
    let words = words::capital(&closing_words(closing));
    ui.label(format!("Closed on {}{by}. {words}", words::day(event.date)));
    let tokens = round.cx.tokens;
    egui::CollapsingHeader::new("Open it again").id_salt(("reopen", &event.id.0)).show(ui, |ui| {
        let form = &mut state.walk.close;
        if form.of.as_ref() != Some(finding) {
            *form = CloseForm { of: Some(finding.clone()), by: round.person(), ..CloseForm::default() };
        }
        line(ui, tokens, "What was wrong with the closing", "it leaks again after a day", &mut form.reason);
        line(ui, tokens, "Who says so", "name", &mut form.by);
        let ready = !form.reason.trim().is_empty() && !form.by.trim().is_empty();
        if ui.add_enabled(ready, egui::Button::new("Open the finding again")).clicked() {
            actions.push(round.take_back(&event.id, &form.reason, &form.by));
            *form = CloseForm::default();
        }
        told(ui, tokens, "The closing stays in the record and counts no more.");
    });
}

fn line(ui: &mut Ui, tokens: &Tokens, label: &str, hint: &str, text: &mut String) -> egui::Response {
    let label = ui.label(RichText::new(label).small().color(tokens.faint));
    let width = ui.available_width() - 10.0;
    let edit = typed_line(text).hint_text(hint).desired_width(width);
    ui.add(edit.min_size(vec2(0.0, tokens.target))).labelled_by(label.id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_finding_closes_only_with_its_evidence() {
        // House rule 3: repair plus a second look, or withdrawal with name and evidence.
        let repaired = CloseForm { work: "new tyre".into(), ..CloseForm::default() };
        assert!(repaired.closing(None).expect_err("no second look").contains("second look"));
        let looked = CloseForm { second_look: "holds".into(), ..repaired };
        assert!(matches!(looked.closing(None), Ok(Closing::Repaired { .. })));
        let withdrawn = CloseForm { way: Way::Withdrawn, reason: "mud".into(), ..CloseForm::default() };
        assert!(withdrawn.closing(None).expect_err("no name").contains("name"));
        assert!(CloseForm { by: "Ada".into(), ..withdrawn }.closing(None).is_ok());
    }
}
