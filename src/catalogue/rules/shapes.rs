//! Rule `shapes`: an artefact type names words of form where they belong.
//!
//! Demands that `outline` and `section` name forms of that facet; that `has`, `may` and
//! `lacks` name parts, features, techniques, motifs and fixings; that `decoration` names
//! techniques and motifs, and `survives` parts and features; that a type has an outline or
//! a form in `has`; that no form stands in both `has` and `may`; and that none stands in
//! `lacks` that stands in `has`, `may` or `decoration`.
//!
//! Why: a find is held against a type word by word. A word in the wrong list is never
//! asked for, and one that speaks for and against a type says nothing.
//!
//! To mend: move the word to the list of its facet, or take it out of one of the two.

use super::super::artefacts::Facet;
use super::super::fault::Fault;
use super::{Library, Piece};

/// Facets that `has`, `may` and `lacks` may name.
const SHOWN: &[Facet] = &[
    Facet::Part,
    Facet::Feature,
    Facet::Technique,
    Facet::Motif,
    Facet::Fixing,
];

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for piece in &library.pieces {
        facets(piece, library, &mut faults);
        against_itself(piece, &mut faults);
        let said = |list: &Option<Vec<String>>| list.as_ref().is_some_and(|list| !list.is_empty());
        if !said(&piece.whole.has) && !said(&piece.whole.outline) {
            let what = "the type has no form by which it is known";
            let mend = "write `has` or `outline`";
            faults.push(piece.fault("shapes", "", what, mend));
        }
    }
    faults
}

/// A list of a type: its field, what it names, and of which facets that may be.
type Listed<'p> = (&'static str, &'p Option<Vec<String>>, &'static [Facet]);

fn facets(piece: &Piece<'_>, library: &Library<'_>, faults: &mut Vec<Fault>) {
    let whole = &piece.whole;
    let lists: [Listed<'_>; 7] = [
        ("outline", &whole.outline, &[Facet::Outline]),
        ("section", &whole.section, &[Facet::Section]),
        ("has", &whole.has, SHOWN),
        ("may", &whole.may, SHOWN),
        ("lacks", &whole.lacks, SHOWN),
        (
            "decoration",
            &whole.decoration,
            &[Facet::Technique, Facet::Motif],
        ),
        ("survives", &whole.survives, &[Facet::Part, Facet::Feature]),
    ];
    for (field, list, wanted) in lists {
        for id in list.iter().flatten() {
            let Some(form) = library.artefacts.form_by_id(id) else {
                continue;
            };
            let facet = library.artefacts.forms[form].facet;
            // A part may share its id with a motif of coins, which is then what is meant.
            let motif = field == "decoration" && library.catalogue.motif_by_id(id).is_some();
            if !wanted.contains(&facet) && !motif {
                let what = format!("`{id}` is a form of facet {}", facet.name());
                let wanted: Vec<&str> = wanted.iter().map(|facet| facet.name()).collect();
                let mend = format!("name one of facet {} here", wanted.join(", "));
                faults.push(piece.fault("shapes", field, what, mend));
            }
        }
    }
}

fn against_itself(piece: &Piece<'_>, faults: &mut Vec<Fault>) {
    let whole = &piece.whole;
    let pairs = [
        (("may", &whole.may), ("has", &whole.has)),
        (("lacks", &whole.lacks), ("has", &whole.has)),
        (("lacks", &whole.lacks), ("may", &whole.may)),
        (("lacks", &whole.lacks), ("decoration", &whole.decoration)),
    ];
    for ((field, list), (other, against)) in pairs {
        let against = against.as_deref().unwrap_or(&[]);
        for id in list.iter().flatten().filter(|id| against.contains(id)) {
            let what = format!("`{id}` stands in `{field}` and in `{other}`");
            faults.push(piece.fault("shapes", field, what, "take it out of one of the two"));
        }
    }
}
