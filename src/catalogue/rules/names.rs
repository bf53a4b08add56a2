//! Rule `names`: ids are well formed and unique, and a series has its head.
//!
//! Demands that an id consists of lower-case ASCII letters, digits and single dashes
//! and neither begins nor ends with a dash; that no id stands twice within its kind
//! over all files (types over all series and the attic); that no two series files
//! share a name, which is the series' id; and that a series file opens with a
//! `[shared]` head that has `series`, which stands nowhere else, as `name` stands
//! only in types. An artefact's `group` and `span` stand only in types as well, and
//! `group` is written like an id.
//!
//! Why: an id is permanent. Shelves and links hold it for years, so it must be safe
//! in a path, in an address and on a command line.
//!
//! To mend: choose another id; if the old one was ever published, lead it to the new
//! one in `moved.toml`.

use std::collections::HashMap;

use super::super::fault::Fault;
use super::super::raw::{RawArtefactSeries, RawSeries};
use super::{Library, named_rows};

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut first: HashMap<(&str, &str), &str> = HashMap::new();
    for (kind, file, id) in named_rows(library) {
        form(file, id, &mut faults);
        if let Some(other) = first.insert((kind, id), file) {
            let what = format!("the {kind} `{id}` also stands in {other}");
            faults.push(Fault::at(
                "names",
                file,
                id,
                "",
                what,
                "give one of the two another id",
            ));
        }
    }
    for row in &library.raw.moved {
        form(&row.file, &row.id, &mut faults);
    }
    heads(library, &mut faults);
    faults
}

fn form(file: &str, id: &str, faults: &mut Vec<Fault>) {
    if !well_formed(id) {
        let what = format!("`{id}` is not a well-formed id");
        let mend = "use lower-case letters, digits and single dashes between them";
        faults.push(Fault::at("names", file, id, "", what, mend));
    }
}

fn well_formed(id: &str) -> bool {
    let allowed = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
    id.split('-')
        .all(|part| !part.is_empty() && part.chars().all(allowed))
}

/// File names and shared heads of the series.
fn heads(library: &Library<'_>, faults: &mut Vec<Fault>) {
    let mut first: HashMap<&str, &str> = HashMap::new();
    let coins = library.raw.series.iter().chain(&library.raw.attic);
    let things = library.things.series.iter();
    let files = coins.clone().map(|series| series.file.as_str());
    for file in files.chain(things.clone().map(|series| series.file.as_str())) {
        let stem = file
            .rsplit('/')
            .next()
            .unwrap_or("")
            .trim_end_matches(".toml");
        if !well_formed(stem) {
            let what = format!("the file name `{stem}` is not a well-formed id");
            let mend = "rename the file with lower-case letters, digits and single dashes";
            faults.push(Fault::at("names", file, "", "", what, mend));
        }
        if let Some(other) = first.insert(stem, file) {
            let what = format!("the series `{stem}` also stands in {other}");
            let mend = "rename one of the two files";
            faults.push(Fault::at("names", file, "", "", what, mend));
        }
    }
    coins.for_each(|series| titles(series, faults));
    things.for_each(|series| thing_titles(series, faults));
    groups(library, faults);
}

/// What stands in the shared head of a series of artefacts and what in its types.
fn thing_titles(series: &RawArtefactSeries, faults: &mut Vec<Fault>) {
    let mut push = |id: &str, field: &str, what: &str, mend: &str| {
        faults.push(Fault::at("names", &series.file, id, field, what, mend));
    };
    let shared = &series.shared;
    let named = shared.series.as_ref();
    if named.is_none_or(|name| name.trim().is_empty()) {
        let mend = "write [shared] with `series`, the name of the series, at its head";
        push("shared", "series", "the series has no name", mend);
    }
    let own = [
        ("name", shared.name.is_some()),
        ("group", shared.group.is_some()),
        ("span", shared.span.is_some()),
    ];
    for (field, _) in own.iter().filter(|(_, there)| *there) {
        let what = format!("a {field} cannot be shared");
        push(
            "shared",
            field,
            &what,
            &format!("write `{field}` in each type"),
        );
    }
    let types = series.types.iter();
    for (id, _) in types.filter(|(_, piece)| piece.series.is_some()) {
        let mend = "write it once, in [shared]";
        push(id, "series", "a type names its series", mend);
    }
}

/// A group is written like an id, since its members are found by it.
fn groups(library: &Library<'_>, faults: &mut Vec<Fault>) {
    for piece in &library.pieces {
        let group = piece.own.group.as_deref();
        if let Some(group) = group.filter(|group| !well_formed(group)) {
            let what = format!("the group `{group}` is not written like an id");
            let mend = "use lower-case letters, digits and single dashes between them";
            faults.push(piece.fault("names", "group", what, mend));
        }
    }
}

/// `series` stands in the shared head and nowhere else, `name` everywhere else.
fn titles(series: &RawSeries, faults: &mut Vec<Fault>) {
    let mut push = |id: &str, field: &str, what: &str, mend: &str| {
        faults.push(Fault::at("names", &series.file, id, field, what, mend));
    };
    let shared = &series.shared;
    if shared
        .series
        .as_ref()
        .is_none_or(|name| name.trim().is_empty())
    {
        let mend = "write [shared] with `series`, the name of the series, at its head";
        push("shared", "series", "the series has no name", mend);
    }
    if shared.name.is_some() {
        push(
            "shared",
            "name",
            "a name cannot be shared",
            "write `name` in each type",
        );
    }
    for (id, _) in series
        .types
        .iter()
        .filter(|(_, coin)| coin.series.is_some())
    {
        push(
            id,
            "series",
            "a type names its series",
            "write it once, in [shared]",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::well_formed;

    #[test]
    fn ids_are_safe_in_a_path_and_an_address() {
        for id in ["a", "edward-i", "1d", "class-1-c"] {
            assert!(well_formed(id), "{id}");
        }
        for id in ["", "-a", "a-", "a--b", "A", "a_b", "a b", "æ", "a.b"] {
            assert!(!well_formed(id), "{id}");
        }
    }
}
