//! Rule `values` for artefacts: regions are known, and no text is empty.
//!
//! Words of other fixed lists are looked up where types are linked.
//!
//! Invariant: a text is told of once, where it stands.

use super::super::super::fault::Fault;
use super::super::super::raw::RawArtefact;
use super::super::Library;
use super::super::values::REGIONS;

pub(in super::super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for series in &library.things.series {
        texts((&series.file, "shared"), &series.shared, &mut faults);
    }
    for piece in &library.pieces {
        texts((piece.file, piece.id), piece.own, &mut faults);
        let mut neighbours = piece.own.apart.iter().flatten();
        if neighbours.any(|apart| apart.from == piece.id) {
            let what = "the type is set apart from itself";
            faults.push(piece.fault("values", "apart", what, "name the neighbour"));
        }
        for (field, list) in [("materials", &piece.whole.materials)] {
            if list.as_ref().is_some_and(Vec::is_empty) {
                let what = format!("`{field}` is empty");
                faults.push(piece.fault("values", field, what, "name at least one"));
            }
        }
    }
    for row in &library.things.classes {
        if row.fields.along.as_deref().is_some_and(blank) {
            let what = "`along` is empty";
            let mend = "write what it should say, or leave it out";
            faults.push(Fault::at("values", &row.file, &row.id, "along", what, mend));
        }
    }
    faults
}

fn blank(text: &str) -> bool {
    text.trim().is_empty()
}

fn texts((file, id): (&str, &str), own: &RawArtefact, faults: &mut Vec<Fault>) {
    let mut push = |field: &str, what: String, mend: &str| {
        faults.push(Fault::at("values", file, id, field, what, mend));
    };
    let texts = [
        ("name", &own.name),
        ("typology", &own.typology),
        ("note", &own.note),
    ];
    for (field, text) in texts {
        if text.as_deref().is_some_and(blank) {
            let mend = "write what it should say, or leave it out";
            push(field, format!("`{field}` is empty"), mend);
        }
    }
    for (field, list) in [("letters", &own.letters), ("ref", &own.refs)] {
        if list.iter().flatten().any(|text| blank(text)) {
            let what = format!("an entry of `{field}` is empty");
            push(field, what, "write what it should say, or take it out");
        }
    }
    for region in own.regions.iter().flatten() {
        if !REGIONS.contains(&region.as_str()) {
            let mend = format!("write one of: {}", REGIONS.join(", "));
            push("regions", format!("`{region}` is not a region"), &mend);
        }
    }
    if own.apart.iter().flatten().any(|apart| blank(&apart.by)) {
        let mend = "write what a finder can see that sets the two apart";
        push("apart", "`by` is empty".to_string(), mend);
    }
}
