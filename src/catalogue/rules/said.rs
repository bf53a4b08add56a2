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
use super::super::weights::weights_source;
use super::super::wording::Wording;
use super::{Library, plain, row_fault};

const RULE: &str = "said";
const LEARN: &str = "learn the weights anew: cargo run --release --example things -- --wording";

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
        texts(RULE, row, &mut before, &mut faults);
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
        texts(RULE, row, &mut before, &mut faults);
    }
    let (things, text) = (library.things, &library.things.wording);
    let described = !things.said.is_empty() || !things.told.is_empty();
    let learnt = Learnt {
        rule: RULE,
        file: WORDING,
        text,
        from: described.then(|| descriptions_digest(things)),
        mend: LEARN,
    };
    weights(
        learnt,
        || Wording::read(text, library.artefacts).1,
        &mut faults,
    );
    faults
}

/// Holds the descriptions of a row to the rule.
pub(super) fn texts<'a>(
    rule: &'static str,
    row: &'a Row<RawSaid>,
    before: &mut HashMap<String, &'a str>,
    faults: &mut Vec<Fault>,
) {
    let mut fault = |what: String, mend: &str| {
        faults.push(row_fault(rule, row, "said", what, mend));
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

/// A text of weights, and what it must be.
pub(super) struct Learnt<'a> {
    pub rule: &'static str,
    pub file: &'static str,
    pub text: &'a str,
    /// Digest of the descriptions; none where there are none, as in the copy that the program carries.
    pub from: Option<String>,
    pub mend: &'static str,
}

/// Holds weights to their shape and to what they were learnt from; `strange` gives the lines that are
/// none of weights.
pub(super) fn weights(
    learnt: Learnt<'_>,
    strange: impl FnOnce() -> Vec<usize>,
    faults: &mut Vec<Fault>,
) {
    if learnt.text.is_empty() {
        return;
    }
    let mut fault = |what: String| {
        faults.push(Fault::at(
            learnt.rule,
            learnt.file,
            "",
            "",
            what,
            learnt.mend,
        ));
    };
    for line in strange() {
        fault(format!(
            "line {line} is none of weights, or stands out of order"
        ));
    }
    if learnt.from.is_some() && weights_source(learnt.text) != learnt.from.as_deref() {
        fault("the weights were learnt from other descriptions".to_string());
    }
}
