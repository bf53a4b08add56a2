//! Rule `words`: a word that names two motifs names one only as a kind of the other.
//!
//! Demands that a name or lay word which stands in two motif rows does so only where
//! one of the two is an ancestor of the other. Case and spacing do not matter.
//!
//! Why: a finder's word is looked up. Where it may mean a kind of a thing or the
//! thing itself the answer is the wider one; where it may mean two unlike things the
//! answer is a guess, which the finder never hears of.
//!
//! To mend: leave the word with the commoner of the two, or give it to a concept
//! above both (`under`).

use std::collections::HashMap;

use super::super::fault::Fault;
use super::{Library, plain, row_fault};

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut bearers: HashMap<String, Vec<usize>> = HashMap::new();
    for (position, row) in library.raw.motifs.iter().enumerate() {
        for word in row.fields.words.iter().chain([&row.fields.name]) {
            let here = bearers.entry(plain(word)).or_default();
            if here.last() == Some(&position) {
                continue;
            }
            let unlike = here.iter().find(|other| !akin(position, **other, library));
            if let Some(other) = unlike {
                let other = &library.raw.motifs[*other].id;
                let what = format!("\"{word}\" also names `{other}`, which is no kind of this");
                let mend = "leave it with one of the two, or with a concept above both";
                faults.push(row_fault("words", row, "words", what, mend));
            }
            here.push(position);
        }
    }
    faults
}

/// True when one of two motifs is an ancestor of the other.
fn akin(one: usize, other: usize, library: &Library<'_>) -> bool {
    let motifs = &library.catalogue.motifs;
    motifs[one].ancestors.contains(&other) || motifs[other].ancestors.contains(&one)
}
