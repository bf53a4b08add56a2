//! Text to rows: every file parsed, every row turned into its struct.
//!
//! Collects all faults and goes on: a bad row costs that row, a bad file that file.
//! Follows no links. Coins and artefacts are read apart, since whoever judges a coin has no use
//! for the others.

use std::collections::BTreeMap;

use serde::de::DeserializeOwned;
use toml::{Table, Value};

use super::fault::Fault;
use super::files::Files;
use super::packed::{PICTURED, WORDING, digest_where, folder, is_drawing, of_artefacts};
use super::raw::{RawArtefactSeries, RawArtefacts, RawLibrary, RawSaid, RawSeries, RawType, Row};

/// Digest of what finders might say, by which the weights of words were learnt from it.
pub fn descriptions_digest(raw: &RawArtefacts) -> String {
    digest_of(raw.said.iter().chain(&raw.told))
}

/// Digest of what might be said of what coins show, as [`descriptions_digest`].
pub fn pictured_digest(raw: &RawLibrary) -> String {
    digest_of(raw.pictured.iter())
}

fn digest_of<'r>(rows: impl Iterator<Item = &'r Row<RawSaid>>) -> String {
    let texts = rows.map(|row| {
        let key = format!("{} {}", row.file, row.id);
        (key, row.fields.said.join("\n"))
    });
    digest_where(&texts.collect(), |_| true)
}

/// All rows of a library but the artefacts, and the faults met in reading them (rule `reads`).
pub fn read(files: &Files) -> (RawLibrary, Vec<Fault>) {
    let mut library = RawLibrary::default();
    let mut faults = Vec::new();
    for (file, text) in files.iter().filter(|(file, _)| !of_artefacts(file)) {
        if file == PICTURED {
            library.weights.clone_from(text);
        } else if let Some(table) = parsed(file, text, &mut faults) {
            sort_in(file, table, &mut library, &mut faults);
        }
    }
    (library, faults)
}

/// The artefacts of a library, and the faults met in reading them (rule `reads`).
pub fn read_artefacts(files: &Files) -> (RawArtefacts, Vec<Fault>) {
    let mut artefacts = RawArtefacts::default();
    let mut faults = Vec::new();
    let rows_of = |file: &String| of_artefacts(file) && !is_drawing(file);
    for (file, text) in files.iter().filter(|(file, _)| rows_of(file)) {
        if file == WORDING {
            artefacts.wording.clone_from(text);
            continue;
        }
        let Some(table) = parsed(file, text, &mut faults) else {
            continue;
        };
        match folder(file) {
            "periods-before-coins" => rows(file, table, &mut artefacts.periods, &mut faults),
            "classes" => rows(file, table, &mut artefacts.classes, &mut faults),
            "forms" => rows(file, table, &mut artefacts.forms, &mut faults),
            "reckoned" => reckoned(file, table, &mut artefacts, &mut faults),
            "said" => rows(file, table, &mut artefacts.said, &mut faults),
            "told" => rows(file, table, &mut artefacts.told, &mut faults),
            _ => {
                let (shared, types) = series(file, table, &mut faults);
                artefacts.series.push(RawArtefactSeries {
                    file: file.clone(),
                    shared,
                    types,
                });
            }
        }
    }
    (artefacts, faults)
}

/// The rows of a file of `reckoned/`, by its name.
fn reckoned(file: &str, table: Table, artefacts: &mut RawArtefacts, faults: &mut Vec<Fault>) {
    match file {
        "reckoned/standards.toml" => rows(file, table, &mut artefacts.standards, faults),
        "reckoned/arms.toml" => rows(file, table, &mut artefacts.arms, faults),
        "reckoned/headstamps.toml" => rows(file, table, &mut artefacts.headstamps, faults),
        _ => {
            let what = "no table of that name is known here";
            let mend = "name it standards.toml, arms.toml or headstamps.toml";
            faults.push(Fault::at("reads", file, "", "", what, mend));
        }
    }
}

/// The table of a file, or a fault where it is none.
fn parsed(file: &str, text: &str, faults: &mut Vec<Fault>) -> Option<Table> {
    let error = match text.parse::<Table>() {
        Ok(table) => return Some(table),
        Err(error) => error,
    };
    let line = error.span().map_or(1, |span| line_at(text, span.start));
    let mend = "write it as TOML; see the library's README";
    let mut fault = Fault::at("reads", file, "", "", error.message(), mend);
    fault.line = line;
    faults.push(fault);
    None
}

fn line_at(text: &str, offset: usize) -> usize {
    text.as_bytes()
        .iter()
        .take(offset)
        .filter(|byte| **byte == b'\n')
        .count()
        + 1
}

/// Puts the rows of one file where its path says they belong.
fn sort_in(file: &str, table: Table, library: &mut RawLibrary, faults: &mut Vec<Fault>) {
    match folder(file) {
        "sources" => rows(file, table, &mut library.sources, faults),
        "periods" => rows(file, table, &mut library.periods, faults),
        "metals" => rows(file, table, &mut library.metals, faults),
        "denominations" => rows(file, table, &mut library.denominations, faults),
        "rulers" => rows(file, table, &mut library.rulers, faults),
        "mints" => rows(file, table, &mut library.mints, faults),
        "motifs" => rows(file, table, &mut library.motifs, faults),
        "legends" => rows(file, table, &mut library.legends, faults),
        "titles" => rows(file, table, &mut library.titles, faults),
        "tables" | "counts" => rows(file, table, &mut library.tables, faults),
        "moved" => rows(file, table, &mut library.moved, faults),
        "pictured" => rows(file, table, &mut library.pictured, faults),
        "coins" => library.series.push(coins(file, table, faults)),
        "attic" => library.attic.push(coins(file, table, faults)),
        _ => faults.push(Fault::at(
            "reads",
            file,
            "",
            "",
            "no kind of table belongs at this path",
            "move it under one of the folders the library's README names",
        )),
    }
}

fn rows<T: DeserializeOwned>(
    file: &str,
    table: Table,
    into: &mut Vec<Row<T>>,
    faults: &mut Vec<Fault>,
) {
    for (id, value) in table {
        if let Some(fields) = row(file, &id, value, faults) {
            into.push(Row {
                file: file.to_string(),
                id,
                fields,
            });
        }
    }
}

fn coins(file: &str, table: Table, faults: &mut Vec<Fault>) -> RawSeries {
    let (shared, types): (RawType, _) = series(file, table, faults);
    RawSeries {
        file: file.to_string(),
        shared,
        types,
    }
}

/// The shared head and the types of a series file.
fn series<T: DeserializeOwned + Default>(
    file: &str,
    table: Table,
    faults: &mut Vec<Fault>,
) -> (T, BTreeMap<String, T>) {
    let mut shared = T::default();
    let mut types = BTreeMap::new();
    for (id, value) in table {
        let Some(fields) = row(file, &id, value, faults) else {
            continue;
        };
        if id == "shared" {
            shared = fields;
        } else {
            types.insert(id, fields);
        }
    }
    (shared, types)
}

/// One row. An unknown field is reported and set aside, and the row tried again,
/// so that one slip does not hide the next.
fn row<T: DeserializeOwned>(
    file: &str,
    id: &str,
    value: Value,
    faults: &mut Vec<Fault>,
) -> Option<T> {
    let Value::Table(mut fields) = value else {
        faults.push(Fault::at(
            "reads",
            file,
            id,
            "",
            "a row must be a table",
            format!("write it under a heading [{id}]"),
        ));
        return None;
    };
    loop {
        match Value::Table(fields.clone()).try_into::<T>() {
            Ok(row) => return Some(row),
            Err(error) => {
                let message = error.message().to_string();
                let unknown = unknown_field(&message).filter(|name| fields.contains_key(name));
                // A field unknown deeper down is named by the message; the list of known ones is not to blame.
                let field = unknown_field(&message)
                    .or_else(|| blamed(&fields, &message))
                    .unwrap_or_default();
                faults.push(Fault::at(
                    "reads",
                    file,
                    id,
                    &field,
                    message,
                    "see the library's README for the fields of this table",
                ));
                fields.remove(&unknown?);
            }
        }
    }
}

fn unknown_field(message: &str) -> Option<String> {
    let rest = message.strip_prefix("unknown field `")?;
    rest.split('`').next().map(str::to_string)
}

/// The field a message quotes, when it quotes one of the row's.
fn blamed(fields: &Table, message: &str) -> Option<String> {
    fields
        .iter()
        .find(|(name, value)| {
            message.contains(&format!("`{name}`"))
                || value
                    .as_str()
                    .is_some_and(|v| message.contains(&format!("`{v}`")))
        })
        .map(|(name, _)| name.clone())
}
