//! Since when a part has been in: the newest fitting that was taken down, else the machine's own record.

use chrono::NaiveDate;

use crate::garage::Bay;
use crate::history::OdometerLog;
use crate::inspection::{EventKind, PartRef};
use crate::units::Length;

/// When a part was fitted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitted {
    /// The day.
    pub on: NaiveDate,
    /// The distance of the machine in km then, where it is known.
    pub km: Option<f64>,
    /// What was measured when it was fitted.
    pub measured: Option<Length>,
}

/// When the part that is in now was fitted, as known on a day; none where nobody took it down.
pub fn fitted(bay: &Bay, log: &OdometerLog, part: &PartRef, today: NaiveDate) -> Option<Fitted> {
    let told = bay.in_force().filter(|e| e.date <= today).filter_map(|e| match &e.kind {
        EventKind::PartFitted(f) if is_same(&f.part, part) => Some((e.date, f.odometer, f.measured)),
        _ => None,
    });
    let by_record = match part {
        PartRef::Tyre(w) => bay.machine.wheel(*w).and_then(|w| w.tyre.as_ref()).and_then(|t| {
            let on = t.fitted_on.filter(|d| *d <= today)?;
            Some((on, t.fitted_at, None))
        }),
        PartRef::Fluid(kind) => {
            bay.machine.fluid(*kind).and_then(|f| f.changed_on).filter(|d| *d <= today).map(|on| (on, None, None))
        }
        _ => None,
    };
    let (on, shown, measured) = told.chain(by_record).max_by_key(|(on, shown, _)| (*on, shown.is_some()))?;
    let km = shown.map(|s| log.run_at(on, s)).or_else(|| log.run_between(on));
    Some(Fitted { on, km, measured })
}

/// Whether a fitting renews a part. Pads of one side alone do not renew the set of a wheel whose thinnest is read.
fn is_same(fitted: &PartRef, part: &PartRef) -> bool {
    match (fitted, part) {
        (PartRef::Other(a), PartRef::Other(b)) => a.trim().eq_ignore_ascii_case(b.trim()),
        _ => fitted == part,
    }
}
