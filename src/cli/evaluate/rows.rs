//! The identified finds of one or several tables.
//!
//! Reads, names and refuses; judges nothing. A table that says nothing of finds, or nothing of what
//! they are, or holds none, is refused by its name.
//!
//! Invariant: no two finds have the same label.

use std::collections::HashMap;
use std::io::{self, Write};
use std::path::Path;

use super::super::error::Trouble;
use super::super::ids;
use super::super::table::{Table, tell_of, traits};
use super::truth::{IDENTITY, Reader, Truth};
use crate::House;
use crate::find::Find;
use crate::parse;

/// A find whose identity is known.
pub(super) struct Identified {
    /// The name by which it is told of.
    pub(super) label: String,
    /// Its own id, or that of its line.
    pub(super) id: String,
    pub(super) find: Find,
    pub(super) truth: Truth,
}

/// A table that was read, and how many finds it holds.
pub(super) struct TableRead {
    pub(super) name: String,
    pub(super) finds: usize,
}

/// A row before it has its label.
struct Found<'a> {
    table: &'a Path,
    line: u64,
    id: String,
    find: Find,
    truth: Truth,
}

/// Reads tables, one after the other.
pub(super) fn read<'a>(
    tables: impl Iterator<Item = &'a Path>,
    house: &House,
) -> Result<(Vec<Identified>, Vec<TableRead>), Trouble> {
    let reader = Reader::of(&house.catalogue);
    let (mut found, mut read) = (Vec::new(), Vec::new());
    for path in tables {
        let rows = table(path, &reader, house)?;
        read.push(TableRead {
            name: path.display().to_string(),
            finds: rows.len(),
        });
        found.extend(rows);
    }
    Ok((labelled(found), read))
}

fn table<'a>(path: &'a Path, reader: &Reader, house: &House) -> Result<Vec<Found<'a>>, Trouble> {
    let mut table = Table::open(path)?;
    table.needs_a_trait()?;
    needs_an_identity(&table, path)?;
    let rows = table.take(usize::MAX)?;
    if rows.is_empty() {
        return Err(Trouble::new(
            format!("{} has a heading line and no finds", path.display()),
            "give it a row for each identified find",
        ));
    }
    if rows.iter().any(|row| !row.remarks.is_empty()) {
        let _ = writeln!(io::stderr(), "in {}:", path.display());
    }
    rows.iter().for_each(tell_of);
    let found = rows.iter().map(|row| {
        let (find, _) = parse::form(&traits(&table.columns, row), &house.lexicon);
        let cell = |column: &str| row.cell(&table.columns, column);
        let own = find.id.clone();
        Found {
            table: path,
            line: row.line,
            id: own.unwrap_or_else(|| format!("line-{}", row.line)),
            truth: reader.truth(&cell),
            find,
        }
    });
    let found: Vec<Found> = found.collect();
    for row in &found {
        for id in &row.truth.unknown {
            let known = house.catalogue.listed().iter().map(|coin| &coin.id);
            let trouble = ids::not_held("types: no type of the library has", id, known);
            let place = path.display();
            let _ = writeln!(
                io::stderr(),
                "{place}, line {}: {}",
                row.line,
                trouble.told()
            );
        }
    }
    Ok(found)
}

/// Fails when no column says what the finds are: nothing could be held against an answer.
fn needs_an_identity(table: &Table, path: &Path) -> Result<(), Trouble> {
    let states = |name: &String| {
        IDENTITY
            .iter()
            .any(|known| name.eq_ignore_ascii_case(known))
    };
    if table.columns.iter().any(states) {
        return Ok(());
    }
    Err(Trouble::new(
        format!("no column of {} says what the finds are", path.display()),
        "name columns such as types, ruler_or_authority, denomination_or_type, period",
    ))
}

/// Finds by their own ids; those of which several have the same by their file's name too, then by
/// its whole path, and at last by their line.
fn labelled(found: Vec<Found>) -> Vec<Identified> {
    let name = |row: &Found| {
        let name = row.table.file_name().unwrap_or(row.table.as_os_str());
        format!("{}:{}", name.to_string_lossy(), row.id)
    };
    let path = |row: &Found| format!("{}:{}", row.table.display(), row.id);
    let line = |row: &Found| format!("{}:{}:{}", row.table.display(), row.line, row.id);
    let mut labels: Vec<String> = found.iter().map(|row| row.id.clone()).collect();
    let longer: [&dyn Fn(&Found) -> String; 3] = [&name, &path, &line];
    for label in longer {
        let mut often: HashMap<&String, usize> = HashMap::new();
        for one in &labels {
            *often.entry(one).or_default() += 1;
        }
        let told = labels
            .iter()
            .zip(&found)
            .map(|(short, row)| match often[short] {
                1 => short.clone(),
                _ => label(row),
            });
        labels = told.collect();
    }
    let told = found.into_iter().zip(labels).enumerate();
    let mut seen = std::collections::HashSet::new();
    told.map(|(place, (row, label))| Identified {
        // The same table named twice.
        label: match seen.insert(label.clone()) {
            true => label,
            false => format!("{label}:{}", place + 1),
        },
        id: row.id,
        find: row.find,
        truth: row.truth,
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found<'a>(table: &'a str, line: u64, id: &str) -> Found<'a> {
        Found {
            table: Path::new(table),
            line,
            id: id.to_string(),
            find: Find::default(),
            truth: Truth::default(),
        }
    }

    #[test]
    fn ids_that_clash_are_kept_apart_by_as_little_as_will_do() {
        let told = |rows: Vec<Found>| -> Vec<String> {
            labelled(rows).into_iter().map(|row| row.label).collect()
        };
        let rows = vec![
            found("a/one.csv", 2, "x"),
            found("a/one.csv", 3, "y"),
            found("b/two.csv", 2, "x"),
        ];
        assert_eq!(told(rows), ["one.csv:x", "y", "two.csv:x"]);
        let rows = vec![found("a/one.csv", 2, "x"), found("b/one.csv", 2, "x")];
        assert_eq!(told(rows), ["a/one.csv:x", "b/one.csv:x"]);
        let rows = vec![found("a.csv", 2, "x"), found("a.csv", 5, "x")];
        assert_eq!(told(rows), ["a.csv:2:x", "a.csv:5:x"]);
        let rows = vec![found("a.csv", 2, "x"), found("a.csv", 2, "x")];
        assert_eq!(told(rows), ["a.csv:2:x", "a.csv:2:x:2"]);
    }
}
