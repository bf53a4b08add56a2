//! Rule `pictured`: what might be said of the faces of coins is of a design that some listed type has,
//! short, plain and said once a face, and is what the weights of words were learnt from.
//!
//! Demands that the rows lie at `pictured/obverse.toml` and `pictured/reverse.toml`, each under the ids
//! of the motifs of its design in order, with a space between two; that a type of the library shows
//! just these there; that descriptions are as the rule `said` wants them; that every line of
//! `pictured.txt` is one of its own shape, and that it was learnt from just these descriptions.
//!
//! Why: a row whose design no type has any more teaches what nobody can find, and weights of other
//! descriptions judge by what no longer stands here.
//!
//! To mend: put the row under the motifs that the types show now, or take it out; learn the weights
//! anew (`cargo run --release --example pictured`).

use std::collections::{HashMap, HashSet};

use super::super::fault::Fault;
use super::super::packed::PICTURED;
use super::super::pictured::{Designs, FACES, Pictured};
use super::super::read::pictured_digest;
use super::said::{Learnt, texts, weights};
use super::{Library, row_fault};

const RULE: &str = "pictured";
const LEARN: &str = "learn the weights anew: cargo run --release --example pictured";

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let rows = &library.raw.pictured;
    if !rows.is_empty() {
        let designs = Designs::of(library.catalogue);
        let mut before: [HashMap<String, &str>; 2] = Default::default();
        let shown = designs.of_face.each_ref().map(|face| {
            let shows = face.iter().map(|design| design.shows.as_str());
            shows.collect::<HashSet<&str>>()
        });
        for row in rows {
            let is_of = |face: &str| row.file == format!("pictured/{face}.toml");
            let Some(face) = FACES.iter().position(|face| is_of(face)) else {
                let mend = "move it to pictured/obverse.toml or pictured/reverse.toml";
                faults.push(row_fault(RULE, row, "said", "the file is of no face", mend));
                continue;
            };
            if !shown[face].contains(row.id.as_str()) {
                let what = format!("no type shows just these on its {}", FACES[face]);
                let mend = "name the motifs of a type, in order, or take the row out";
                faults.push(row_fault(RULE, row, "said", what, mend));
            }
            texts(RULE, row, &mut before[face], &mut faults);
        }
    }
    let text = &library.raw.weights;
    let learnt = Learnt {
        rule: RULE,
        file: PICTURED,
        text,
        from: (!rows.is_empty()).then(|| pictured_digest(library.raw)),
        mend: LEARN,
    };
    weights(
        learnt,
        || Pictured::read(text, library.catalogue).1,
        &mut faults,
    );
    faults
}
