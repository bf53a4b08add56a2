//! What is known of a find: its published identity, as the library's own rows.
//!
//! Reads the columns of identity and never those of traits. A name the library does
//! not know stays unresolved and is told of; it is never guessed at.
//!
//! Invariant: a level is empty when nothing is known of it or nothing is meant by it.

use super::super::resolve::{Meant, Names};
use crate::find::{Span, Year};

/// What is known of a find.
pub(super) struct Truth {
    pub(super) period: Meant,
    pub(super) ruler: Meant,
    pub(super) denomination: Meant,
    pub(super) coin_type: Meant,
    pub(super) dates: Option<Span>,
    pub(super) unresolved: Vec<String>,
}

/// The truth by the cells of a row.
pub(super) fn truth<'r>(cell: &impl Fn(&str) -> &'r str, names: &Names) -> Truth {
    let mut unresolved = Vec::new();
    let coin = !cell("class").eq_ignore_ascii_case("artefact");
    let mut level = |column: &str, find: &dyn Fn(&str) -> Meant| {
        let name = cell(column);
        if name.is_empty() {
            return Meant::new();
        }
        let meant = if coin { find(name) } else { Meant::new() };
        if meant.is_empty() {
            unresolved.push(format!("{column}: {name}"));
        }
        meant
    };
    let period = level("period", &|name| names.period(name));
    let denomination = level("denomination_or_type", &|name| names.denomination(name));
    let coin_type = level("subtype", &|name| names.coin_type(name));
    // Where no ruler is named a people or state may be; a state that is none (an empire) is no miss.
    let ruler = if cell("ruler_or_authority").is_empty() {
        names.ruler(cell("culture_or_state"))
    } else {
        level("ruler_or_authority", &|name| names.ruler(name))
    };
    let year = |column: &str| cell(column).trim().parse::<Year>().ok();
    let dates = year("date_from")
        .zip(year("date_to"))
        .and_then(|(from, to)| Span::new(from, to));
    Truth {
        period,
        ruler,
        denomination,
        coin_type,
        dates,
        unresolved,
    }
}
