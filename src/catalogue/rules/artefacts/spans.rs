//! Rule `spans` for artefacts: years are sane, touch the period, and leave it only with a reason.
//!
//! Reads what is written, with the shared head filled in; judges no dating.
//!
//! Invariant: a span that linking had to replace brings no second fault.

use super::super::super::fault::Fault;
use super::super::Library;
use crate::find::{Span, Year, ordinal};

/// Years a type or a period may name.
const SANE: std::ops::RangeInclusive<Year> = -4500..=2100;
/// Furthest a span may leave its period unexplained, years.
const FURTHEST: i32 = 60;

pub(in super::super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for row in &library.things.periods {
        faults.extend(sane(&row.file, &row.id, row.fields.span));
    }
    for piece in &library.pieces {
        let Some(years) = piece.whole.span else {
            continue;
        };
        let Some(span) = Span::new(years[0], years[1]) else {
            continue;
        };
        faults.extend(sane(piece.file, piece.id, years));
        let mut periods = library.artefacts.periods.iter();
        let named = piece.whole.period.as_ref();
        let Some(period) = periods.find(|period| named == Some(&period.id)) else {
            continue;
        };
        let both = format!("{} and {}", span.text(), period.span.text());
        if !span.overlaps(period.span) {
            let what = format!("the type and its period share no year: {both}");
            let mend = "correct the years, or name another period";
            faults.push(piece.fault("spans", "span", what, mend));
            continue;
        }
        let before = ordinal(period.span.from) - ordinal(span.from);
        let after = ordinal(span.to) - ordinal(period.span.to);
        if before.max(after) > FURTHEST && piece.whole.note.is_none() {
            let what = format!("the type leaves its period by more than {FURTHEST} years: {both}");
            let mend = "correct the years, or say in `note` why";
            faults.push(piece.fault("spans", "span", what, mend));
        }
    }
    faults
}

fn sane(file: &str, id: &str, years: [Year; 2]) -> Option<Fault> {
    let year = years.iter().find(|year| !SANE.contains(year))?;
    let (first, last) = (SANE.start(), SANE.end());
    let what = format!("the year {year} lies outside {first} to {last}");
    Some(Fault::at(
        "spans",
        file,
        id,
        "span",
        what,
        "correct the year",
    ))
}
