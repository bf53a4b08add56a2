//! Rule `forms`: the words of form stand in order.
//!
//! Demands that a form stands in `forms/<facet>.toml` of its own facet; that what it is a
//! feature of (`of`) is a part; that it stands under forms of its facet alone; that no word
//! is said of two forms of one facet; and that a technique or motif has no id that stands in
//! `motifs/` already.
//!
//! Why: a finder's word is looked up within a facet, and must mean one thing there; and a
//! lion on a buckle is the lion on a coin.
//!
//! To mend: move the row; name a part; leave the word with one of the two; name the motif
//! by the id it has.

use std::collections::HashMap;

use super::super::artefacts::Facet;
use super::super::fault::Fault;
use super::super::raw::{RawForm, Row};
use super::{Library, plain, row_fault};

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut said: HashMap<(&str, String), &str> = HashMap::new();
    for row in &library.things.forms {
        placed(row, library, &mut faults);
        above(row, library, &mut faults);
        let facet = row.fields.facet.as_str();
        for word in row.fields.words.iter().chain([&row.fields.name]) {
            let other = *said.entry((facet, plain(word))).or_insert(&row.id);
            if other != row.id {
                let what = format!("\"{word}\" is said of `{other}` too");
                let mend = "leave it with one of the two, or with a concept above both";
                faults.push(row_fault("forms", row, "words", what, mend));
            }
        }
    }
    faults
}

/// The row stands in the file of its facet, and no motif of coins has its id.
fn placed(row: &Row<RawForm>, library: &Library<'_>, faults: &mut Vec<Fault>) {
    let facet = row.fields.facet.as_str();
    let file = format!("forms/{facet}.toml");
    if row.file != file && Facet::ALL.iter().any(|known| known.name() == facet) {
        let what = format!("a form of facet {facet} stands in {}", row.file);
        let mend = format!("move it to {file}, or correct `facet`");
        faults.push(row_fault("forms", row, "facet", what, mend));
    }
    let motif = library.catalogue.motif_by_id(&row.id);
    if matches!(facet, "technique" | "motif") && motif.is_some() {
        let what = format!("`{}` stands among the motifs of coins already", row.id);
        let mend = "take it out here; types name that one under `decoration`";
        faults.push(row_fault("forms", row, "", what, mend));
    }
}

/// What the form is a feature of, and what it is a kind of.
fn above(row: &Row<RawForm>, library: &Library<'_>, faults: &mut Vec<Fault>) {
    let facet_of = |id: &String| {
        let form = library.artefacts.form_by_id(id);
        form.map(|form| library.artefacts.forms[form].facet)
    };
    for id in &row.fields.of {
        if let Some(facet) = facet_of(id).filter(|facet| *facet != Facet::Part) {
            let what = format!("`{id}` is a form of facet {}, no part", facet.name());
            faults.push(row_fault("forms", row, "of", what, "name a part"));
        }
    }
    let own = row.fields.facet.as_str();
    for id in &row.fields.under {
        if let Some(facet) = facet_of(id).filter(|facet| facet.name() != own) {
            let what = format!("`{id}` is a form of facet {}, not of {own}", facet.name());
            let mend = "name a wider form of the same facet";
            faults.push(row_fault("forms", row, "under", what, mend));
        }
    }
}
