//! Links: an id to its position, written years to a span, a grade to a standing.
//!
//! An id that leads nowhere becomes a fault that names the near miss, and years that
//! are none a fault and a one-year stand-in; what was meant is never guessed at.
//!
//! Invariant: positions are those of the rows as read, so they hold in the catalogue.

use std::collections::HashMap;

use super::super::fault::Fault;
use super::super::raw::{Grade, RawLibrary, Row};
use super::super::resolved::Standing;
use crate::find::Span;

/// Positions of ids, one map a kind of table.
pub(super) struct Ids {
    pub(super) periods: HashMap<String, usize>,
    pub(super) metals: HashMap<String, usize>,
    pub(super) denominations: HashMap<String, usize>,
    pub(super) rulers: HashMap<String, usize>,
    pub(super) mints: HashMap<String, usize>,
    pub(super) motifs: HashMap<String, usize>,
    pub(super) legends: HashMap<String, usize>,
}

impl Ids {
    /// The positions of all rows that others name.
    pub(super) fn of(raw: &RawLibrary) -> Ids {
        Ids {
            periods: positions(&raw.periods),
            metals: positions(&raw.metals),
            denominations: positions(&raw.denominations),
            rulers: positions(&raw.rulers),
            mints: positions(&raw.mints),
            motifs: positions(&raw.motifs),
            legends: positions(&raw.legends),
        }
    }
}

/// Position of each row by its id.
pub(super) fn positions<T>(rows: &[Row<T>]) -> HashMap<String, usize> {
    rows.iter()
        .enumerate()
        .map(|(position, row)| (row.id.clone(), position))
        .collect()
}

/// Position of an id, or a fault that names near misses.
pub(super) fn link(
    kind: &str,
    id: &str,
    ids: &HashMap<String, usize>,
    at: (&str, &str, &str),
    faults: &mut Vec<Fault>,
) -> Option<usize> {
    let found = ids.get(id).copied();
    if found.is_none() {
        let near = ids
            .keys()
            .map(|known| (strsim::jaro_winkler(known, id), known))
            .filter(|(likeness, _)| *likeness > 0.85)
            .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(a.1)));
        let mend = match near {
            Some((_, known)) => {
                format!("write `{known}` if that is meant, or write the missing row")
            }
            None => {
                let kinds = match kind {
                    "class" => "classes".to_string(),
                    _ => format!("{kind}s"),
                };
                format!("write a row for it among the {kinds}, or name another")
            }
        };
        faults.push(Fault::at(
            "refs",
            at.0,
            at.1,
            at.2,
            format!("there is no {kind} `{id}`"),
            mend,
        ));
    }
    found
}

/// A span as written, or a one-year stand-in and a fault.
pub(super) fn span(
    written: [i32; 2],
    file: &str,
    id: &str,
    field: &str,
    faults: &mut Vec<Fault>,
) -> Span {
    Span::new(written[0], written[1]).unwrap_or_else(|| {
        let what = format!(
            "the years {} to {} run backwards or name a year 0",
            written[0], written[1]
        );
        faults.push(Fault::at(
            "spans",
            file,
            id,
            field,
            what,
            "write [first, last], BC negative, no year 0",
        ));
        let year = if written[0] == 0 { 1 } else { written[0] };
        Span {
            from: year,
            to: year,
        }
    })
}

/// The standing a grade gives; a row that names none is recalled.
pub(super) fn standing(grade: Option<Grade>) -> Standing {
    match grade {
        Some(Grade::Checked) => Standing::Checked,
        Some(Grade::Cited) => Standing::Cited,
        _ => Standing::Recalled,
    }
}
