//! Rule `moved`: an old id leads in one hop to a live one, and says why.
//!
//! Demands that the new id of a row in `moved.toml` stands in the library and is not
//! itself an old one; that the old id is gone from the kind of table the new one
//! stands in; and that `why` says something.
//!
//! Why: a shelf holds ids for years. A chain of moves is one broken link away from a
//! find that names nothing.
//!
//! To mend: lead every old id straight to the id that is live now.

use std::collections::{HashMap, HashSet};

use super::super::fault::Fault;
use super::{Library, named_rows, row_fault};

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut kinds: HashMap<&str, Vec<&str>> = HashMap::new();
    for (kind, _, id) in named_rows(library) {
        kinds.entry(id).or_default().push(kind);
    }
    let old: HashSet<&str> = library
        .raw
        .moved
        .iter()
        .map(|row| row.id.as_str())
        .collect();
    let mut faults = Vec::new();
    for row in &library.raw.moved {
        let to = row.fields.to.as_str();
        let mut push = |field, what: String, mend: &str| {
            faults.push(row_fault("moved", row, field, what, mend));
        };
        let there = kinds.get(to).map_or(&[][..], Vec::as_slice);
        if old.contains(to) {
            let what = format!("`{to}` has itself moved");
            push("to", what, "name the id that is live now");
        } else if there.is_empty() {
            let what = format!("there is no row `{to}`");
            push("to", what, "name the id that is live now");
        }
        let here = kinds.get(row.id.as_str()).map_or(&[][..], Vec::as_slice);
        if let Some(kind) = here.iter().find(|kind| there.contains(kind)) {
            let what = format!("the {kind} `{}` is still in use", row.id);
            push(
                "",
                what,
                "take the row out of moved.toml, or rename the live one",
            );
        }
        if row.fields.why.trim().is_empty() {
            push("why", "no reason is given".to_string(), "write `why`");
        }
    }
    faults
}
