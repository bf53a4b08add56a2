//! `catalogue show`: every row with an id, with its facts.
//!
//! Prints facts as they stand and judges none; an id that nothing has is a fault of
//! use, with the nearest id as its hint.
//!
//! Invariant: a fact that is empty is left out of the text and kept in the JSON.

use std::io::Write;
use std::path::Path;

use super::super::Outcome;
use super::super::error::Trouble;
use super::super::ids;
use super::{files, print_json};
use crate::House;
use crate::catalogue::{
    Artefacts, Catalogue, Drawn, Files, OWN, ShownView, drawing, drawing_path, fact, shown,
    shown_things, thing_ids,
};

/// Shows the rows with this id.
pub(super) fn run(
    id: &str,
    json: bool,
    (house, artefacts, folder): (&House, &Artefacts, Option<&Path>),
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let mut shown = shown(id, &house.catalogue);
    shown.extend(shown_things(id, artefacts, &house.catalogue));
    if shown.is_empty() {
        return Err(not_held(id, &house.catalogue, artefacts));
    }
    let files = files(folder)?;
    let place = folder.map_or_else(|| "catalogue".into(), Path::to_string_lossy);
    shown.iter_mut().for_each(|row| drawn(row, &files, &place));
    for row in shown.iter_mut().filter(|row| row.id.starts_with(OWN)) {
        row.facts.push(fact(
            "own",
            "yours, from the folder types of your shelf".to_string(),
        ));
    }
    if json {
        print_json(&shown, out)?;
        return Ok(Outcome::Answer);
    }
    for row in &shown {
        writeln!(out, "{} [{}], {}", row.name, row.id, row.kind)?;
        row.facts
            .iter()
            .filter(|f| !f.is.is_empty())
            .try_for_each(|fact| writeln!(out, "  {:<14} {}", fact.what, fact.is))?;
    }
    Ok(Outcome::Answer)
}

/// Says of a class, a form and a motif where its drawing stands, if it has one.
fn drawn(row: &mut ShownView, files: &Files, place: &str) {
    let mut kinds = Drawn::ALL.into_iter();
    let Some(kind) = kinds.find(|kind| kind.name() == row.kind) else {
        return;
    };
    let there = drawing(files, kind, &row.id);
    let path = there.map(|_| format!("{place}/{}", drawing_path(kind, &row.id)));
    row.facts.push(fact("drawing", path.unwrap_or_default()));
}

fn not_held(id: &str, library: &Catalogue, artefacts: &Artefacts) -> Trouble {
    let types = library.listed().iter().map(|t| &t.id);
    let known = types
        .chain(library.rulers.iter().map(|r| &r.id))
        .chain(library.motifs.iter().map(|m| &m.id))
        .chain(thing_ids(artefacts));
    ids::not_held("nothing in the library has", id, known)
}
