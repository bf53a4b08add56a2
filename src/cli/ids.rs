//! Ids that nothing has: what is said of them, with the nearest that something has.
//!
//! Echoes what was typed cut short and without signs that steer a terminal.
//!
//! Invariant: the id that is offered is one of the library's.

use super::error::Trouble;

/// Likeness, 0 to 1, from which an id is offered.
const LIKE: f64 = 0.88;
/// Characters of an id that are looked at and echoed.
const MOST: usize = 60;

/// Says that something ("nothing in the library has") wants an id that is none of the known.
pub(super) fn not_held<'k>(
    what: &str,
    id: &str,
    known: impl Iterator<Item = &'k String>,
) -> Trouble {
    let hint = match near(id, known) {
        Some(near) => {
            format!("the nearest id is {near}; find others with: lynchet catalogue search WORDS")
        }
        None => "find ids with: lynchet catalogue search WORDS".to_string(),
    };
    Trouble::new(format!("{what} the id \"{}\"", shortened(id)), hint)
}

/// What was typed, fit to be shown.
pub(super) fn shortened(text: &str) -> String {
    let shown = || text.chars().filter(|c| !c.is_control());
    if shown().count() <= MOST {
        shown().collect()
    } else {
        shown().take(MOST - 3).chain("...".chars()).collect()
    }
}

/// The known id most like this one, if any is like it.
fn near<'k>(id: &str, known: impl Iterator<Item = &'k String>) -> Option<&'k String> {
    let id: String = id.chars().take(MOST).collect();
    known
        .map(|known| (strsim::jaro_winkler(known, &id), known))
        .filter(|(likeness, _)| *likeness > LIKE)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, known)| known)
}
