//! Parts that wear, by the outlook of their readings: an estimate.

use super::desk::Desk;
use super::{DueKind, slug};
use crate::forecast::outlook::{Ahead, Outlook};
use crate::inspection::PartRef;

impl Desk<'_> {
    pub(super) fn wear(&mut self, outlooks: &[Outlook]) {
        // Of the zones of one tyre the first to reach its limit stands for all.
        let mut first: Vec<(&PartRef, &Outlook, &Ahead)> = Vec::new();
        for outlook in outlooks {
            let Some(ahead) = outlook.next() else { continue };
            match first.iter_mut().find(|(part, _, _)| *part == &outlook.series.part) {
                Some(entry) if ahead.km < entry.2.km => *entry = (&outlook.series.part, outlook, ahead),
                Some(_) => {}
                None => first.push((&outlook.series.part, outlook, ahead)),
            }
        }
        for (part, outlook, ahead) in first {
            let why = format!("{}: {}", outlook.series.title, ahead.words(outlook, self.units));
            let source = format!("{}: {}", ahead.limit.trust.word(), ahead.limit.source);
            self.add(
                DueKind::Wear,
                format!("wear-{}", slug(&part.words())),
                format!("Renew the {}", part.words()),
                (None, Some(ahead.km)),
                why,
                source,
            );
            if let Some(item) = self.found.last_mut() {
                item.between = Some((ahead.date_earliest, ahead.date_latest));
            }
            self.about(part.clone());
        }
    }
}
