//! Rule `said`: what finders might say is short, plain, said once, and lies with its class.
//!
//! Demands that the rows of a type lie at `said/<class>.toml`; that a description has three letters
//! at least and 200 at most, without spaces at its ends or marks that no keyboard has; and that none
//! stands twice, for one type or for two.
//!
//! Why: words are weighed by how many descriptions hold them, so what stands twice counts twice, and
//! what is said of two types tells neither from the other.
//!
//! To mend: move the row; shorten the description; say what this type shows that the other does not.

use std::collections::HashMap;

use super::super::fault::Fault;
use super::{Library, plain, row_fault};

/// Fewest and most characters of a description.
const LENGTHS: (usize, usize) = (3, 200);

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let types = library.artefacts.types.iter();
    let class = |at: usize| library.artefacts.classes[at].id.as_str();
    let classes: HashMap<&str, &str> = types
        .map(|one| (one.id.as_str(), class(one.class)))
        .collect();
    let mut before: HashMap<String, &str> = HashMap::new();
    for row in &library.things.said {
        let mut fault = |what: String, mend: &str| {
            faults.push(row_fault("said", row, "said", what, mend));
        };
        if let Some(class) = classes.get(row.id.as_str()) {
            let file = format!("said/{class}.toml");
            if row.file != file {
                fault(
                    format!("the type is of the class `{class}`"),
                    &format!("move it to {file}"),
                );
            }
        }
        for text in &row.fields.said {
            let length = text.chars().count();
            let odd = |c: char| c.is_control() || c == '\u{fffd}';
            if length < LENGTHS.0 || length > LENGTHS.1 || text.trim() != text || text.contains(odd)
            {
                fault(
                    format!("\"{text}\" is no plain short description"),
                    "write it in 3 to 200 letters, on one line, without spaces at its ends",
                );
            }
            if let Some(other) = before.insert(plain(text), &row.id) {
                fault(
                    format!("\"{text}\" is said of `{other}` too"),
                    "say what this type shows",
                );
            }
        }
    }
    faults
}
