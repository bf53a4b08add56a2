//! The whole export: every row and every file, from which the same shelf can be made again.
//!
//! For oneself: it holds exact findspots and the names of owners. Goes on past what cannot be read.
//!
//! Invariant: what was not written is said.

use std::collections::{BTreeMap, HashMap};
use std::io::Write;

use rusqlite::types::Value;
use serde_json::{Map, json};

use super::super::super::fault::ShelfFault;
use super::super::super::{Shelf, text};
use super::super::{Named, is_digest, named};
use super::folder::{Out, Part};
use super::sheets::{
    Column, FILE_COLUMNS, FILES, Holds, SHEETS, Sheet, cell, columns, newest, text_cell,
};
use super::walk::{Lost, walk};
use super::{Exported, described, place};

/// Ids by key, of one table.
type Ids = HashMap<i64, String>;

/// Writes everything.
pub(super) fn export(shelf: &Shelf, out: &mut Out) -> Result<Exported, ShelfFault> {
    let known = newest()?;
    let mut exported = Exported::default();
    let ids = [("land", ids(shelf, "land")?), ("find", ids(shelf, "find")?)];
    let paths = files(shelf, out, &ids, &mut exported)?;
    for sheet in &SHEETS {
        let columns = columns(&known, sheet.table)?;
        let rows = table(shelf, out, sheet, &columns, &ids, &paths, &mut exported)?;
        exported.rows.push((sheet.file.to_string(), rows));
    }
    let places = geojson(shelf, out)?;
    exported.rows.push(("finds.geojson".into(), places));
    own(shelf, out, &mut exported)?;
    described::whole(shelf, out, &known)?;
    Ok(exported)
}

/// Writes the person's own types.
pub(super) fn own(shelf: &Shelf, out: &mut Out, exported: &mut Exported) -> Result<(), ShelfFault> {
    let (files, left_out) = super::super::own::held(&shelf.folder);
    for (name, text) in files {
        let name = format!("{}/{name}", crate::catalogue::TYPES);
        let what = "own types of the library, by its form";
        out.put(&name, "application/toml", what, text.as_bytes())?;
        exported.own += 1;
    }
    exported.lost.extend(left_out);
    Ok(())
}

/// Columns by hand, for a walk that needs only some.
pub(in super::super) fn some(names: &[&str]) -> Vec<Column> {
    let one = |name: &&str| Column {
        name: (*name).into(),
        holds: Holds::Text,
        needed: false,
    };
    names.iter().map(one).collect()
}

/// The text of a value; nothing of any other.
pub(in super::super) fn text_of(value: &Value) -> &str {
    match value {
        Value::Text(text) => text,
        _ => "",
    }
}

/// The ids of a table by their keys.
pub(super) fn ids(shelf: &Shelf, table: &str) -> Result<Ids, ShelfFault> {
    let mut ids = Ids::new();
    walk(&shelf.db, table, &some(&["key", "id"]), &mut |key, row| {
        if let Value::Text(id) = &row[1] {
            ids.insert(key, id.clone());
        }
        Ok(())
    })?;
    Ok(ids)
}

/// Says what a walk has lost.
fn tell(lost: &Lost, file: &str, exported: &mut Exported) {
    if let Some((first, last)) = lost.keys {
        exported.lost.push(format!(
            "{file}: {} row(s) between the keys {first} and {last} could not be read ({})",
            lost.rows, lost.why
        ));
    }
}

fn table(
    shelf: &Shelf,
    out: &mut Out,
    sheet: &Sheet,
    columns: &[Column],
    ids: &[(&str, Ids); 2],
    paths: &BTreeMap<String, String>,
    exported: &mut Exported,
) -> Result<u64, ShelfFault> {
    let file_of = match sheet.table {
        "photograph" => Some("digest"),
        "leave" => Some("document"),
        _ => None,
    };
    let at = |name: &str| columns.iter().position(|column| column.name == name);
    let file_of = file_of.and_then(at);
    let refs: Vec<Option<&Ids>> = columns
        .iter()
        .map(|column| {
            let to = sheet.refs.iter().find(|(name, _)| *name == column.name)?;
            ids.iter()
                .find(|(table, _)| *table == to.1)
                .map(|(_, ids)| ids)
        })
        .collect();
    let mut heading: Vec<&str> = columns.iter().map(|column| column.name.as_str()).collect();
    heading.extend(file_of.map(|_| "file"));
    let mut table = out.table(sheet.file, sheet.what, &heading)?;
    let lost = walk(&shelf.db, sheet.table, columns, &mut |_, row| {
        let mut cells = Vec::with_capacity(row.len() + 1);
        for ((value, column), ids) in row.iter().zip(columns).zip(&refs) {
            cells.push(match (ids, value) {
                (Some(ids), Value::Integer(key)) => match ids.get(key) {
                    Some(id) => text_cell(id, false),
                    // The row it refers to is lost; the tables say which.
                    None => "".into(),
                },
                _ => cell(value, column.needed),
            });
        }
        if let Some(at) = file_of {
            let path = match &row[at] {
                Value::Text(digest) => paths.get(digest).map_or("", String::as_str),
                _ => "",
            };
            cells.push(path.into());
        }
        table.row(cells.iter().map(|cell| cell.as_bytes()))
    })?;
    tell(&lost, sheet.file, exported);
    out.end_table(table)
}

/// Copies every kept file under a name that says whose it is; gives the names by digest.
fn files(
    shelf: &Shelf,
    out: &mut Out,
    ids: &[(&str, Ids); 2],
    exported: &mut Exported,
) -> Result<BTreeMap<String, String>, ShelfFault> {
    let names = names(shelf, ids)?;
    let mut all: Vec<(String, Named)> = match named(&shelf.db) {
        Ok(all) => all.into_iter().collect(),
        Err(_) => from_rows(shelf, exported)?,
    };
    // Those with a row in the order of its key, then those that the history alone names.
    all.sort_by(|a, b| {
        let key = |one: &Named| one.key.unwrap_or(i64::MAX);
        (key(&a.1), &a.0).cmp(&(key(&b.1), &b.0))
    });
    let mut written = BTreeMap::new();
    let mut table = out.table(
        FILES,
        "every kept file, by its SHA-256 digest",
        &FILE_COLUMNS,
    )?;
    for (digest, row) in &all {
        let path = match names.get(digest) {
            Some(name) => format!("{name}.{}", ending(&row.media)),
            None => format!("kept/{digest}.{}", ending(&row.media)),
        };
        let path = match shelf.bytes_of(digest) {
            Ok(bytes) => {
                out.put(&path, media(&row.media), "a kept file", &bytes)?;
                written.insert(digest.clone(), path.clone());
                exported.files += 1;
                path
            }
            Err(fault) => {
                exported.lost.push(fault.what);
                String::new()
            }
        };
        let key = row.key.map(|key| key.to_string()).unwrap_or_default();
        table.row([&key, digest, &row.bytes.to_string(), &row.media, &path])?;
    }
    let rows = out.end_table(table)?;
    exported.rows.push((FILES.to_string(), rows));
    Ok(written)
}

/// The kept files by their rows, past those that cannot be read.
fn from_rows(shelf: &Shelf, exported: &mut Exported) -> Result<Vec<(String, Named)>, ShelfFault> {
    let mut all = Vec::new();
    let wanted = some(&["key", "digest", "bytes", "media"]);
    let lost = walk(&shelf.db, "file", &wanted, &mut |key, row| {
        if let (Value::Text(digest), Value::Integer(bytes), Value::Text(media)) =
            (&row[1], &row[2], &row[3])
            && is_digest(digest)
        {
            let (bytes, media) = (u64::try_from(*bytes).unwrap_or(0), media.clone());
            all.push((
                digest.clone(),
                Named {
                    key: Some(key),
                    bytes,
                    media,
                },
            ));
        }
        Ok(())
    })?;
    tell(&lost, FILES, exported);
    Ok(all)
}

/// Names of files without their endings, by digest: the first photograph or document that has it.
fn names(shelf: &Shelf, ids: &[(&str, Ids); 2]) -> Result<HashMap<String, String>, ShelfFault> {
    let mut names = HashMap::new();
    let wanted = some(&["key", "find", "view", "digest"]);
    walk(&shelf.db, "photograph", &wanted, &mut |key, row| {
        if let (Value::Integer(find), Value::Text(digest)) = (&row[1], &row[3]) {
            let id = ids[1].1.get(find).map_or(String::new(), |id| stem(id));
            let view = match &row[2] {
                Value::Text(view) => stem(view),
                _ => String::new(),
            };
            let name = format!("photographs/{key}{id}{view}");
            names.entry(digest.clone()).or_insert(name);
        }
        Ok(())
    })?;
    walk(
        &shelf.db,
        "leave",
        &some(&["key", "land", "document"]),
        &mut |key, row| {
            if let (Value::Integer(land), Value::Text(digest)) = (&row[1], &row[2]) {
                let id = ids[0].1.get(land).map_or(String::new(), |id| stem(id));
                names
                    .entry(digest.clone())
                    .or_insert(format!("documents/{key}{id}"));
            }
            Ok(())
        },
    )?;
    Ok(names)
}

/// Part of a file's name made of what a user typed: harmless everywhere, or nothing.
pub(super) fn stem(id: &str) -> String {
    let folded = text::folded(id);
    let plain: String = folded
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .take(40)
        .collect();
    match plain.is_empty() {
        true => String::new(),
        false => format!("-{plain}"),
    }
}

fn ending(media: &str) -> &'static str {
    match media {
        "image/jpeg" => "jpg",
        "image/png" => "png",
        "image/webp" => "webp",
        "application/pdf" => "pdf",
        "text/plain" => "txt",
        "application/geo+json" => "geojson",
        _ => "bin",
    }
}

fn media(kept: &str) -> &'static str {
    let known = [
        "image/jpeg",
        "image/png",
        "image/webp",
        "application/pdf",
        "text/plain",
    ];
    let known = known
        .into_iter()
        .chain(["application/geo+json"])
        .find(|one| *one == kept);
    known.unwrap_or("application/octet-stream")
}

/// The places of all finds that have one.
fn geojson(shelf: &Shelf, out: &mut Out) -> Result<u64, ShelfFault> {
    let what = "where the finds lay: the squares as they were given";
    let mut open = out.open("finds.geojson", "application/geo+json", what)?;
    let failed =
        |error: std::io::Error| ShelfFault::of_io(&error, std::path::Path::new("finds.geojson"));
    let begun = open.write_all(b"{\"type\":\"FeatureCollection\",\"features\":[");
    begun.map_err(failed)?;
    let mut count = 0;
    let wanted = some(&["key", "id", "kind", "found_on", "east", "north", "side_m"]);
    walk(&shelf.db, "find", &wanted, &mut |key, row| {
        let whole = |at: usize| match row[at] {
            Value::Integer(whole) => Some(whole),
            _ => None,
        };
        let Some(square) = place::square(whole(4), whole(5), whole(6), None) else {
            return Ok(());
        };
        let mut said = Map::new();
        for (at, name) in [(1, "id"), (2, "kind"), (3, "found_on")] {
            if let Value::Text(text) = &row[at] {
                said.insert(name.into(), text.as_str().into());
            }
        }
        if let Some(text) = identified(shelf, key) {
            said.insert("identified".into(), json!(text));
        }
        let comma = if count > 0 { ",\n" } else { "\n" };
        count += 1;
        write!(open, "{comma}{}", place::feature(square, said)).map_err(failed)
    })?;
    open.write_all(b"\n]}\n").map_err(failed)?;
    out.end(open)?;
    Ok(count)
}

/// What a find stands as.
fn identified(shelf: &Shelf, find: i64) -> Option<String> {
    let sql = "SELECT text FROM identification WHERE find = ?1 AND standing = 'current'";
    let mut asked = shelf.db.prepare_cached(sql).ok()?;
    asked.query_row([find], |row| row.get(0)).ok()
}

/// What is said of the parts, once they are all there.
pub(super) fn listed(parts: &[Part]) -> impl Iterator<Item = &Part> {
    parts.iter().filter(|part| !part.name.contains('/'))
}
