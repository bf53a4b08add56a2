//! Rule `twice` for artefacts: no shared value restated, no entry of a list twice.
//!
//! Words of classes and forms are held against one another with those of all other rows.
//!
//! Invariant: a repeated entry is told of once, where it stands.

use super::super::super::fault::Fault;
use super::super::super::raw::RawArtefact;
use super::super::{Library, repeated};

pub(in super::super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for series in &library.things.series {
        lists((&series.file, "shared"), &series.shared, &mut faults);
    }
    for piece in &library.pieces {
        for field in restated(piece.own, piece.shared) {
            let what = format!("`{field}` says what [shared] says");
            faults.push(piece.fault("twice", field, what, format!("take `{field}` out")));
        }
        lists((piece.file, piece.id), piece.own, &mut faults);
    }
    for row in &library.things.classes {
        let f = &row.fields;
        for (field, list) in [
            ("under", &f.under),
            ("parts", &f.parts),
            ("sizes", &f.sizes),
        ] {
            once((&row.file, &row.id, field), list, &mut faults);
        }
    }
    for row in &library.things.forms {
        let f = &row.fields;
        for (field, list) in [("of", &f.of), ("under", &f.under)] {
            once((&row.file, &row.id, field), list, &mut faults);
        }
    }
    faults
}

fn once<T: AsRef<str>>(at: (&str, &str, &str), list: &[T], faults: &mut Vec<Fault>) {
    if let Some(entry) = repeated(list) {
        let what = format!("`{entry}` stands twice");
        faults.push(Fault::at("twice", at.0, at.1, at.2, what, "take one out"));
    }
}

fn lists((file, id): (&str, &str), own: &RawArtefact, faults: &mut Vec<Fault>) {
    let lists = [
        ("materials", &own.materials),
        ("outline", &own.outline),
        ("section", &own.section),
        ("has", &own.has),
        ("may", &own.may),
        ("lacks", &own.lacks),
        ("decoration", &own.decoration),
        ("letters", &own.letters),
        ("survives", &own.survives),
        ("regions", &own.regions),
        ("ref", &own.refs),
        ("sources", &own.sources),
    ];
    for (field, list) in lists {
        once((file, id, field), list.as_deref().unwrap_or(&[]), faults);
    }
    let neighbours = own.apart.iter().flatten();
    let neighbours: Vec<&String> = neighbours.map(|apart| &apart.from).collect();
    once((file, id, "apart"), &neighbours, faults);
}

/// Fields of a type that equal the shared head's.
fn restated(own: &RawArtefact, shared: &RawArtefact) -> Vec<&'static str> {
    fn same<T: PartialEq>(own: &Option<T>, shared: &Option<T>) -> bool {
        own.is_some() && own == shared
    }
    let fields = [
        ("class", same(&own.class, &shared.class)),
        ("period", same(&own.period, &shared.period)),
        ("materials", same(&own.materials, &shared.materials)),
        ("typology", same(&own.typology, &shared.typology)),
        ("made", same(&own.made, &shared.made)),
        ("sizes", same(&own.sizes, &shared.sizes)),
        ("weight", same(&own.weight, &shared.weight)),
        ("outline", same(&own.outline, &shared.outline)),
        ("section", same(&own.section, &shared.section)),
        ("has", same(&own.has, &shared.has)),
        ("may", same(&own.may, &shared.may)),
        ("lacks", same(&own.lacks, &shared.lacks)),
        ("decoration", same(&own.decoration, &shared.decoration)),
        ("letters", same(&own.letters, &shared.letters)),
        ("survives", same(&own.survives, &shared.survives)),
        ("common", same(&own.common, &shared.common)),
        ("regions", same(&own.regions, &shared.regions)),
        ("ref", same(&own.refs, &shared.refs)),
        ("apart", same(&own.apart, &shared.apart)),
        ("note", same(&own.note, &shared.note)),
        ("sources", same(&own.sources, &shared.sources)),
        ("grade", same(&own.grade, &shared.grade)),
    ];
    let restated = fields.into_iter().filter(|(_, same)| *same);
    restated.map(|(field, _)| field).collect()
}
