//! `catalogue export`: the library as CSV tables with a description for other programs.
//!
//! Writes a Data Package: one CSV file a table and `datapackage.json`, which names columns,
//! units, keys and licence; and the drawings, as they are, into a folder `drawings`. Writes only into the folder it is given, touches no file there that
//! is not its own, and never exports a library with faults.
//!
//! Invariant: `datapackage.json` is put in place last, so a folder that has one is whole.

mod artefacts;
mod columns;
mod dated;
mod forms;
mod makers;
mod seen;
mod table;
mod types;

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use super::super::Outcome;
use super::super::error::Trouble;
use super::files;
use crate::catalogue::{self, Checked, Files};
use table::Table;

/// The file that says what the others hold.
const DESCRIPTION: &str = "datapackage.json";

/// Writes the library into a folder.
pub(super) fn run(
    folder: &Path,
    force: bool,
    library: Option<&Path>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    // Asked before the library is read, since that takes longer.
    let there = room(folder, force)?;
    let files = files(library)?;
    let (tables, digest) = tables(&files)?;
    let mut package = drawings(&files);
    package.extend(packed(&tables, &digest)?);
    let placed = if there {
        within(folder, &package)
    } else {
        anew(folder, &package)
    };
    placed.map_err(|error| {
        Trouble::new(
            format!("{}: {error}", folder.display()),
            "name a folder that can be written to",
        )
    })?;
    let rows: usize = tables.iter().map(|table| table.rows.len()).sum();
    let drawn = package.len() - tables.len() - 1;
    let (count, folder) = (tables.len(), folder.display());
    writeln!(
        out,
        "{count} tables with {rows} rows and {drawn} drawing(s) written to {folder}"
    )?;
    Ok(Outcome::Answer)
}

/// Whether the folder is there; a fault where it may not be written into.
fn room(folder: &Path, force: bool) -> Result<bool, Trouble> {
    let shown = folder.display();
    let mut entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(false),
        Err(error) => {
            let hint = "name a new or empty folder";
            return Err(Trouble::new(format!("{shown}: {error}"), hint));
        }
    };
    if !force && entries.next().is_some() {
        let what = format!("the folder {shown} is not empty");
        let hint = "name a new or empty folder, or write over an earlier export with: --force";
        return Err(Trouble::new(what, hint));
    }
    Ok(true)
}

/// The tables of a sound library, and its digest.
fn tables(files: &Files) -> Result<(Vec<Table>, String), Trouble> {
    let Checked {
        catalogue: library,
        artefacts,
        faults,
    } = catalogue::check(files);
    if !faults.is_empty() {
        let what = format!("the library has {} fault(s)", faults.len());
        let hint = "see them with: lynchet catalogue check; mend them, and export again";
        return Err(Trouble::new(what, hint));
    }
    let (mut raw, _) = catalogue::read(files);
    let (things, _) = catalogue::read_artefacts(files);
    // One table of periods for coins and artefacts.
    raw.periods.splice(0..0, things.periods.iter().cloned());
    let mut tables = makers::tables(&raw);
    tables.extend(seen::tables(&raw));
    tables.extend(types::tables(&raw, &library));
    tables.extend(dated::tables(&raw));
    tables.extend(forms::tables(&things));
    tables.extend(artefacts::tables(&artefacts, &library));
    Ok((tables, library.digest))
}

/// The drawings, each by its path below the library's folder.
fn drawings(files: &Files) -> Vec<(String, Vec<u8>)> {
    let drawn = files.iter().filter(|(path, _)| path.ends_with(".svg"));
    drawn
        .map(|(path, text)| (path.clone(), text.clone().into_bytes()))
        .collect()
}

/// The tables of the export, the description last.
fn packed(tables: &[Table], digest: &str) -> Result<Vec<(String, Vec<u8>)>, Trouble> {
    let mut package = Vec::new();
    let mut described = Vec::new();
    for table in tables {
        let csv = table.csv()?;
        let sum = Sha256::digest(&csv);
        let sum: String = sum.iter().map(|byte| format!("{byte:02x}")).collect();
        described.push(table.described(csv.len(), &format!("sha256:{sum}")));
        package.push((table.file(), csv));
    }
    let mut text = serde_json::to_vec_pretty(&description(described, digest))?;
    text.push(b'\n');
    package.push((DESCRIPTION.to_string(), text));
    Ok(package)
}

/// What Data Package wants said of the whole.
fn description(resources: Vec<Value>, digest: &str) -> Value {
    json!({
        "profile": "tabular-data-package",
        "name": "lynchet-catalogue",
        "title": "Lynchet: types of coins and artefacts found in English and Welsh soil",
        "description": "Types of coins and near-coins that are found in England and Wales, from \
            the Iron Age to 1971, and of other metal artefacts from the Bronze Age on, with what can be seen, read and measured of them, who issued \
            them, their sources, and how far each row is vouched for. Measures are those of \
            pieces as struck, of artefacts those of whole pieces: weights in grams, sizes in \
            millimetres. Years BC are negative, and \
            there is no year 0. An empty cell says that the library says nothing. Drawings of \
            classes, of words of form and of motifs lie in the folder drawings, named by id.",
        "version": format!("{}+{digest}", env!("CARGO_PKG_VERSION")),
        "keywords": ["archaeology", "artefacts", "coins", "numismatics", "England", "Wales"],
        "licenses": [{
            "name": "CC0-1.0",
            "title": "Creative Commons Zero 1.0 Universal",
            "path": "https://creativecommons.org/publicdomain/zero/1.0/",
        }],
        "resources": resources,
    })
}

/// Writes beside a folder that is not there yet, and gives it its name when it is whole.
fn anew(folder: &Path, package: &[(String, Vec<u8>)]) -> io::Result<()> {
    // A trailing slash would put the folder within the one that is still to be made.
    let folder: PathBuf = folder.components().collect();
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    let beside = folder.with_file_name(format!("{name}.{}", std::process::id()));
    let written = write_all(&beside, package).and_then(|()| fs::rename(&beside, &folder));
    if written.is_err() {
        let _ = fs::remove_dir_all(&beside);
    }
    written
}

/// Writes into a folder of its own within the one named, and moves the files up when all are
/// written: the old description goes first, the new one comes last.
fn within(folder: &Path, package: &[(String, Vec<u8>)]) -> io::Result<()> {
    let inside = folder.join(format!(".export.{}", std::process::id()));
    let written = write_all(&inside, package).and_then(|()| {
        match fs::remove_file(folder.join(DESCRIPTION)) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
            _ => {}
        }
        package.iter().try_for_each(|(file, _)| {
            let place = folder.join(file);
            beneath(&place)?;
            fs::rename(inside.join(file), place)
        })
    });
    let _ = fs::remove_dir_all(&inside);
    written
}

fn write_all(folder: &Path, package: &[(String, Vec<u8>)]) -> io::Result<()> {
    package.iter().try_for_each(|(file, text)| {
        let place = folder.join(file);
        beneath(&place)?;
        fs::write(place, text)
    })
}

/// Makes the folder that a file is to stand in.
fn beneath(file: &Path) -> io::Result<()> {
    file.parent().map_or(Ok(()), fs::create_dir_all)
}
