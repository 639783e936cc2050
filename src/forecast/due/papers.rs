//! What somebody set a day for: the papers of the machine, and minor findings that are watched.

use super::DueKind;
use super::desk::Desk;
use crate::catalogue::Catalogue;
use crate::inspection::EventKind;
use crate::units::day;

impl Desk<'_> {
    pub(super) fn papers(&mut self) {
        let machine = &self.bay.machine;
        let (test, insured) = (machine.test_due, machine.insured_until);
        if let Some(day) = test {
            let why = format!("The test of the law falls due by {}.", day::words(day));
            self.add(
                DueKind::Papers,
                "papers-test".into(),
                "Test of the law".into(),
                (Some(day), None),
                why,
                "the machine's papers".into(),
            );
        }
        if let Some(day) = insured {
            let why = format!("It is insured until {}.", day::words(day));
            self.add(
                DueKind::Papers,
                "papers-insurance".into(),
                "Insurance".into(),
                (Some(day), None),
                why,
                "the machine's papers".into(),
            );
        }
    }

    pub(super) fn watched(&mut self, catalogue: &Catalogue) {
        let bay = self.bay;
        let today = self.today;
        let so_far = || bay.in_force().filter(|e| e.date <= today);
        for event in so_far() {
            let EventKind::Watched { of, until, reason } = &event.kind else { continue };
            // A later word on the same finding stands before an earlier one.
            let later = so_far().any(|e| {
                matches!(&e.kind, EventKind::Watched { of: other, .. } if other == of)
                    && (e.date, &e.id) > (event.date, &event.id)
            });
            if later || bay.closing(&of.finding).is_some() {
                continue;
            }
            let Some((inspection, finding)) = bay.finding(&of.finding) else { continue };
            let now = self.log.sound().next_back().map(|(_, run)| run);
            let km = until.odometer.zip(now).map(|(shown, now)| self.log.run_at(event.date, shown) - now);
            let what = format!("Look again: {}", catalogue.fault_words(finding));
            let because = if reason.trim().is_empty() { String::new() } else { format!(" ({})", reason.trim()) };
            let why = format!(
                "Found on {}, {}, and watched since {}{because}.",
                day::words(inspection.date),
                finding.check.subject.words(),
                day::words(event.date)
            );
            self.add(
                DueKind::Watched,
                format!("watched-{}", finding.id),
                what,
                (until.date, km),
                why.replace(", , ", ", "),
                "the owner's own word".into(),
            );
        }
    }
}
