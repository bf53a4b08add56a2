//! Rule `said`: what finders might say is short, plain, said once, lies with its class, and is what
//! the weights of words were learnt from.
//!
//! Demands that the rows of a type lie at `said/<class>.toml`, and those of a class in a period at
//! `told/<class>.toml`; that a description has three letters at least and 200 at most, without spaces
//! at its ends or marks that no keyboard has; that none stands twice; that every line of `wording.txt`
//! is one of its own shape; and that it was learnt from just these descriptions.
//!
//! Why: words are weighed by the descriptions that hold them, so what stands twice counts twice, and
//! what is said of two types tells neither from the other. Weights of other descriptions judge by what
//! no longer stands here.
//!
//! To mend: move the row; shorten the description; say what this type shows that the other does not;
//! learn the weights anew (`cargo run --release --example things -- --wording`).

use std::collections::HashMap;

use super::super::fault::Fault;
use super::super::packed::WORDING;
use super::super::raw::{RawSaid, Row};
use super::super::read::descriptions_digest;
use super::super::wording::{Wording, wording_source};
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
        if let Some(class) = classes.get(row.id.as_str()) {
            let file = format!("said/{class}.toml");
            if row.file != file {
                let what = format!("the type is of the class `{class}`");
                let mend = format!("move it to {file}");
                faults.push(row_fault("said", row, "said", what, mend));
            }
        }
        texts(row, &mut before, &mut faults);
    }
    for row in &library.things.told {
        let name = row.file.strip_prefix("told/");
        let name = name.and_then(|name| name.strip_suffix(".toml"));
        let known = |id: &str| library.artefacts.classes.iter().any(|class| class.id == id);
        if !name.is_some_and(known) {
            let mend = "call the file by the id of the class it is of";
            faults.push(row_fault(
                "said",
                row,
                "said",
                "the file is of no class",
                mend,
            ));
        }
        texts(row, &mut before, &mut faults);
    }
    weights(library, &mut faults);
    faults
}

/// Holds the descriptions of a row to the rule.
fn texts<'a>(
    row: &'a Row<RawSaid>,
    before: &mut HashMap<String, &'a str>,
    faults: &mut Vec<Fault>,
) {
    let mut fault = |what: String, mend: &str| {
        faults.push(row_fault("said", row, "said", what, mend));
    };
    for text in &row.fields.said {
        let length = text.chars().count();
        let odd = |c: char| c.is_control() || c == '\u{fffd}';
        if length < LENGTHS.0 || length > LENGTHS.1 || text.trim() != text || text.contains(odd) {
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

/// Holds the weights to their shape and to what they were learnt from.
fn weights(library: &Library<'_>, faults: &mut Vec<Fault>) {
    let text = &library.things.wording;
    let learn = "learn the weights anew: cargo run --release --example things -- --wording";
    if text.is_empty() {
        return;
    }
    for line in Wording::read(text, library.artefacts).1 {
        let what = format!("line {line} is none of weights, or stands out of order");
        faults.push(Fault::at("said", WORDING, "", "", what, learn));
    }
    let described = !library.things.said.is_empty() || !library.things.told.is_empty();
    if described && wording_source(text) != Some(descriptions_digest(library.things).as_str()) {
        let what = "the weights were learnt from other descriptions";
        faults.push(Fault::at("said", WORDING, "", "", what, learn));
    }
}
