//! A reading that is about to be taken down, held against the log before it is written.

use chrono::NaiveDate;

use super::{Doubt, OdometerLog, Source};
use crate::garage::Bay;
use crate::inspection::{Event, EventId, EventKind, Inspection, InspectionId};
use crate::machine::SCHEMA;
use crate::units::Distance;

/// What the log would say of a reading of a day, in its own words; none where it would be believed without a word.
/// `except` is the inspection that the reading is about to stand in.
pub fn doubt_of(
    bay: &Bay,
    (date, shown): (NaiveDate, Distance),
    except: Option<&InspectionId>,
    today: NaiveDate,
) -> Option<String> {
    let id = EventId("about to be taken down".into());
    // The log needs no more of an inspection than its day and its reading.
    let others = bay.inspections.iter().filter(|i| Some(&i.id) != except && i.odometer.is_some());
    let bare = |i: &Inspection| {
        let mut bare = Inspection::new(i.id.clone(), &i.kind, i.date);
        (bare.started, bare.odometer) = (i.started, i.odometer);
        bare
    };
    let mut events = bay.events.clone();
    let kind = EventKind::Odometer(shown);
    events.push(Event { schema: SCHEMA, id: id.clone(), date, by: String::new(), kind });
    let trial =
        Bay { machine: bay.machine.clone(), inspections: others.map(bare).collect(), events, unread: Vec::new() };
    let log = OdometerLog::of(&trial, today);
    let source = Source::Event(id);
    let is_of_it = |note: &&super::OdometerNote| {
        note.source == source && !matches!(note.doubt, Doubt::SameDay | Doubt::MixedUnits)
    };
    let said = log.notes.iter().find(is_of_it).map(|note| note.message.clone());
    said.or_else(|| {
        // A machine without a log has the figure of its own data.
        let own = bay.machine.odometer.filter(|own| log.entries.len() == 1 && shown < *own)?;
        Some(format!(
            "expected at least {own}, as the machine's data say, found {shown}: correct the reading, or record that the \
             odometer was replaced"
        ))
    })
}
