//! The import: a shelf made again of a whole export.
//!
//! Trusts nothing of the folder: every cell is held to its column, every row to the rules of its
//! table, every file to its digest. The shelf is made beside its place and gets its name when all
//! was right; exported again it gives the same bytes.
//!
//! Invariant: all of an export is brought in, or nothing.

use std::collections::{BTreeSet, HashMap};
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use rusqlite::types::Value;
use rusqlite::{Connection, TransactionBehavior};
use serde_json::json;

use super::super::entry::{
    Entry, Identified, KeptFile, Mapping, Photograph, Setting, Tag, Whereabouts,
};
use super::super::fault::{Kind, ShelfFault};
use super::super::files::{FILE_MOST, path_of};
use super::super::kept::{Kept, Row};
use super::super::land::{Boundary, Land, LandNote, Leave, Person, Restriction, SearchDay};
use super::super::write::{TABLES, insert, row_of, value_of};
use super::super::{Access, Shelf, finds, text};
use super::export::sheets::{Column, FILE_COLUMNS, FILES, SHEETS, Sheet, columns, key_of, value};
use super::lines::{Reader, broken};
use super::{Passing, is_digest, own, parent, plain, refuse_taken, settled, streamed};

/// Most faults that are listed.
const FAULTS_MOST: usize = 30;

/// What was brought in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Imported {
    /// Rows by table.
    pub rows: Vec<(String, u64)>,
    /// Photographs and documents.
    pub files: u64,
    /// Files of own types.
    pub own: u64,
    /// Digests of files that the export says it lacks.
    pub missing: Vec<String>,
}

/// Makes a shelf of a whole export, in a folder that is empty or not there.
///
/// # Errors
///
/// When something is in the folder, or anything of the export is not as it must be: the words name
/// the table, the line and the column. Nothing is made then.
pub fn import(export: &Path, folder: &Path) -> Result<Imported, ShelfFault> {
    let folder = plain(folder);
    let mend = "name an empty place with --shelf DIR: an export is brought into an empty one alone";
    let above = parent(&folder);
    if fs::symlink_metadata(&folder).is_err() {
        fs::create_dir_all(&above).map_err(|error| ShelfFault::of_io(&error, &above))?;
    }
    refuse_taken(&folder, true, mend)?;
    is_whole(export)?;
    let beside = Passing::beside(&folder, "importing");
    fs::create_dir(&beside.path).map_err(|error| ShelfFault::of_io(&error, &beside.path))?;
    let shelf = Shelf::open(&beside.path, Access::Write)?;
    let mut bringing = Bringing {
        from: export.to_path_buf(),
        to: beside.path.clone(),
        keys: [("land", HashMap::new()), ("find", HashMap::new())],
        faults: Vec::new(),
        folders: BTreeSet::from([beside.path.clone()]),
        done: Imported::default(),
    };
    bringing.all(&shelf.db)?;
    let (own, left_out) = own::held(export);
    own::lay(&beside.path, &own)?;
    bringing.done.own = own.len() as u64;
    bringing.done.missing.extend(left_out);
    shelf
        .db
        .close()
        .map_err(|(_, error)| ShelfFault::from(error))?;
    for folder in &bringing.folders {
        settled(folder).map_err(|error| ShelfFault::of_io(&error, folder))?;
    }
    if folder.is_dir() {
        // Only an empty one can be taken away.
        fs::remove_dir(&folder).map_err(|error| ShelfFault::of_io(&error, &folder))?;
    }
    let placed = beside.becomes(&folder);
    placed.map_err(|error| ShelfFault::of_io(&error, &folder))?;
    Ok(bringing.done)
}

/// Refuses a folder that is no whole export.
fn is_whole(export: &Path) -> Result<(), ShelfFault> {
    let shown = export.display();
    let refuse = |what: String, mend: &str| Err(ShelfFault::new(Kind::NotThere, what, mend));
    let has = |name: &str| export.join(name).is_file();
    if !export.is_dir() {
        return refuse(
            format!("there is no folder {shown}"),
            "name the folder of an export",
        );
    }
    if has("acts.csv") && has("changes.csv") && has(FILES) {
        return Ok(());
    }
    if has("finds.csv") {
        return refuse(
            format!("{shown} is an export for sharing, or part of one: no shelf can be made of it"),
            "name a whole export, made without --share; for a table of your own: \
             lynchet collection import FILE.csv",
        );
    }
    refuse(
        format!("{shown} is no export of a shelf"),
        "name the folder of one",
    )
}

/// An import under way.
struct Bringing {
    from: PathBuf,
    to: PathBuf,
    /// Keys by id, of land and finds.
    keys: [(&'static str, HashMap<String, i64>); 2],
    faults: Vec<String>,
    folders: BTreeSet<PathBuf>,
    done: Imported,
}

impl Bringing {
    fn all(&mut self, db: &Connection) -> Result<(), ShelfFault> {
        let run = rusqlite::Transaction::new_unchecked(db, TransactionBehavior::Immediate)?;
        run.pragma_update(None, "defer_foreign_keys", true)?;
        self.files(&run)?;
        for at in 0..self.keys.len() {
            self.ids(at)?;
        }
        for sheet in &SHEETS {
            if !self.faults.is_empty() {
                break;
            }
            self.table(&run, sheet)?;
        }
        self.refuse()?;
        sequence(&run)?;
        run.commit().map_err(|error| {
            let fault = ShelfFault::from(error);
            match fault.kind {
                Kind::InUse => broken("a row refers to one that is in no table".into()),
                _ => fault,
            }
        })
    }

    /// Ends with all faults found so far, if any were.
    fn refuse(&self) -> Result<(), ShelfFault> {
        if self.faults.is_empty() {
            return Ok(());
        }
        let more = if self.faults.len() >= FAULTS_MOST {
            "\n  and perhaps more"
        } else {
            ""
        };
        Err(broken(format!("\n  {}{more}", self.faults.join("\n  "))))
    }

    /// Notes a fault; an error once there are many.
    fn fault(&mut self, file: &str, line: u64, what: &str) -> Result<(), ShelfFault> {
        self.faults.push(format!("{file} line {line}: {what}"));
        match self.faults.len() >= FAULTS_MOST {
            true => self.refuse(),
            false => Ok(()),
        }
    }

    /// The ids of a table and their keys, before anything refers to them.
    fn ids(&mut self, at: usize) -> Result<(), ShelfFault> {
        let table = self.keys[at].0;
        let Some(sheet) = SHEETS.iter().find(|sheet| sheet.table == table) else {
            return Ok(());
        };
        let mut folded: HashMap<String, u64> = HashMap::new();
        let mut reader = Reader::open(&self.from, sheet.file, &["key", "id"])?;
        while let Some(row) = reader.next()? {
            let key = row.cells[0].parse::<i64>().ok().filter(|key| *key > 0);
            let id = super::super::cells::cell_as_read(&row.cells[1]).to_string();
            let Some(key) = key else {
                self.fault(sheet.file, row.line, "key: no whole number above nought")?;
                continue;
            };
            if let Some(other) = folded.insert(text::folded(&id), row.line) {
                let what = format!("id: {id:?} is, or looks like, that of line {other}");
                self.fault(sheet.file, row.line, &what)?;
            }
            self.keys[at].1.insert(id, key);
        }
        Ok(())
    }

    fn table(&mut self, db: &Connection, sheet: &Sheet) -> Result<(), ShelfFault> {
        let columns = columns(db, sheet.table)?;
        let names: Vec<&str> = columns.iter().map(|column| column.name.as_str()).collect();
        let mut reader = Reader::open(&self.from, sheet.file, &names)?;
        let mut count = 0;
        while let Some(read) = reader.next()? {
            match self.row(sheet, &columns, &read.cells) {
                Ok(row) => {
                    if let Err(fault) = insert(db, sheet.table, &row) {
                        self.fault(sheet.file, read.line, &fault.what)?;
                    }
                }
                Err(what) => self.fault(sheet.file, read.line, &what)?,
            }
            count += 1;
        }
        self.done.rows.push((sheet.file.to_string(), count));
        Ok(())
    }

    /// The row of a line, held to the rules of its table.
    fn row(&self, sheet: &Sheet, columns: &[Column], cells: &[String]) -> Result<Row, String> {
        let mut row = Row::new();
        for (column, cell) in columns.iter().zip(cells) {
            let named = |what: String| format!("{}: {what}", column.name);
            let to = sheet.refs.iter().find(|(name, _)| *name == column.name);
            let keys = to.and_then(|(_, to)| self.keys.iter().find(|(table, _)| table == to));
            let held = match keys {
                Some(_) if cell.is_empty() && !column.needed => Value::Null,
                Some((table, keys)) => {
                    let id = super::super::cells::cell_as_read(cell);
                    let key = keys.get(id).copied();
                    Value::Integer(key.ok_or_else(|| named(format!("there is no {table} {id:?}")))?)
                }
                None => value(cell, column).map_err(named)?,
            };
            if let Value::Text(text) = &held {
                let json = matches!(column.name.as_str(), "before" | "after" | "answer");
                let sign = text
                    .chars()
                    .find(|c| text::steers(*c) && !"\n\r\t".contains(*c));
                if let Some(sign) = sign.filter(|_| !json) {
                    let what = format!("holds a sign that is not seen (U+{:04X})", u32::from(sign));
                    return Err(named(what));
                }
            }
            row.insert(
                column.name.clone(),
                match held {
                    Value::Integer(whole) => json!(whole),
                    Value::Real(real) => json!(real),
                    Value::Text(text) => json!(text),
                    Value::Null | Value::Blob(_) => serde_json::Value::Null,
                },
            );
        }
        let key = row
            .get(key_of(sheet.table))
            .and_then(serde_json::Value::as_i64);
        if key.is_none_or(|key| key < 1) {
            return Err("key: below 1".into());
        }
        checked(sheet.table, row).map_err(|fault| fault.what)
    }

    /// Copies the kept files and keeps their rows.
    fn files(&mut self, db: &Connection) -> Result<(), ShelfFault> {
        let mut reader = Reader::open(&self.from, FILES, &FILE_COLUMNS)?;
        let mut seen = BTreeSet::new();
        while let Some(read) = reader.next()? {
            let [key, digest, bytes, media, path] = &read.cells[..] else {
                continue;
            };
            let size = bytes
                .parse::<u64>()
                .ok()
                .filter(|size| *size <= FILE_MOST as u64);
            let what = match size {
                _ if !is_digest(digest) => Some("digest: no SHA-256 digest".to_string()),
                None => Some(format!("bytes: no size from 0 to {FILE_MOST}")),
                Some(_) if !seen.insert(digest.clone()) => Some("digest: it is there twice".into()),
                Some(_) if path.is_empty() => {
                    self.done.missing.push(digest.clone());
                    None
                }
                Some(size) => match self.copy(digest, size, path) {
                    Ok(()) => None,
                    Err(Told::Words(what)) => Some(format!("file: {what}")),
                    Err(Told::Fault(fault)) => return Err(fault),
                },
            };
            if let Some(what) = what {
                self.fault(FILES, read.line, &what)?;
                continue;
            }
            if key.is_empty() {
                continue;
            }
            let row = json!({ "key": key.parse::<i64>().unwrap_or(0), "digest": digest,
                "bytes": size, "media": media });
            let serde_json::Value::Object(row) = row else {
                continue;
            };
            let kept = checked("file", row).and_then(|row| insert(db, "file", &row));
            if let Err(fault) = kept {
                self.fault(FILES, read.line, &fault.what)?;
            }
        }
        self.done.rows.push((FILES.to_string(), seen.len() as u64));
        Ok(())
    }

    /// Copies one kept file, held to its size and digest.
    fn copy(&mut self, digest: &str, size: u64, path: &str) -> Result<(), Told> {
        let harmless = path.split_once('/').filter(|(folder, name)| {
            let plain = |c: char| c.is_ascii_alphanumeric() || "-_.".contains(c);
            matches!(*folder, "photographs" | "documents" | "kept")
                && name.chars().all(plain)
                && !name.starts_with('.')
                && !name.is_empty()
        });
        let Some((above, name)) = harmless else {
            let shown: String = path.chars().take(80).collect();
            return Err(Told::Words(format!(
                "{shown:?} is no name that an export has"
            )));
        };
        let from = self.from.join(above).join(name);
        let linked = |path: &Path| {
            fs::symlink_metadata(path).is_ok_and(|about| about.file_type().is_symlink())
        };
        if linked(&from) || linked(&self.from.join(above)) {
            return Err(Told::Words(format!("{path} is a link to somewhere else")));
        }
        let mut held =
            File::open(&from).map_err(|error| Told::Words(format!("{path}: {error}")))?;
        let to = path_of(&self.to, digest);
        let folder = parent(&to);
        let of_io = |error: io::Error| Told::Fault(ShelfFault::of_io(&error, &to));
        fs::create_dir_all(&folder).map_err(of_io)?;
        let mut new = File::create_new(&to).map_err(of_io)?;
        let copied = streamed(&mut held, &mut new, size);
        let (sum, count) = copied.map_err(|torn| match torn {
            super::Torn::Reading(error) => Told::Words(format!("{path}: {error}")),
            super::Torn::Writing(error) => of_io(error),
            super::Torn::Longer => Told::Words(format!("{path} is larger than its row says")),
        })?;
        if sum != digest || count != size {
            return Err(Told::Words(format!(
                "{path} is cut short or changed: it has another digest"
            )));
        }
        new.flush().and_then(|()| new.sync_all()).map_err(of_io)?;
        self.folders.insert(parent(&folder));
        self.folders.insert(folder);
        self.done.files += 1;
        Ok(())
    }
}

/// Why a file was not copied: words for its line, or a fault of the disk.
enum Told {
    Words(String),
    Fault(ShelfFault),
}

/// A row as the value of its table and back, so that it keeps to what such a value may be.
fn checked(table: &str, row: Row) -> Result<Row, ShelfFault> {
    fn as_is<T: Kept>(row: Row) -> Result<Row, ShelfFault> {
        row_of(&value_of::<T>(row)?)
    }
    let with_folded = |mut row: Row| {
        let id = row
            .get("id")
            .and_then(serde_json::Value::as_str)
            .unwrap_or_default();
        let folded = text::folded(id);
        row.insert("folded".into(), folded.into());
        row
    };
    match table {
        "find" => {
            let mut entry: Entry = value_of(with_folded(row))?;
            finds::checked(&mut entry)?;
            row_of(&entry)
        }
        "land" => as_is::<Land>(with_folded(row)),
        "person" => as_is::<Person>(row),
        "file" => as_is::<KeptFile>(row),
        "leave" => as_is::<Leave>(row),
        "boundary" => as_is::<Boundary>(row),
        "restriction" => as_is::<Restriction>(row),
        "land_note" => as_is::<LandNote>(row),
        "search_day" => as_is::<SearchDay>(row),
        "whereabouts" => as_is::<Whereabouts>(row),
        "identification" => as_is::<Identified>(row),
        "photograph" => as_is::<Photograph>(row),
        "tag" => as_is::<Tag>(row),
        "mapping" => as_is::<Mapping>(row),
        "setting" => as_is::<Setting>(row),
        "change" => change(row),
        _ => Ok(row),
    }
}

/// A change names a table of the shelf and holds rows.
fn change(row: Row) -> Result<Row, ShelfFault> {
    let text = |name: &str| row.get(name).and_then(serde_json::Value::as_str);
    if !TABLES.contains(&text("tab").unwrap_or_default()) {
        return Err(ShelfFault::field("tab", "the shelf has no such table", ""));
    }
    for name in ["before", "after"] {
        let is_row = |text: &str| serde_json::from_str::<Row>(text).is_ok();
        if text(name).is_some_and(|text| !is_row(text)) {
            return Err(ShelfFault::field(name, "it holds no row", ""));
        }
    }
    Ok(row)
}

/// No key is ever given twice: neither one that a row has, nor one that the history names.
fn sequence(db: &Connection) -> Result<(), ShelfFault> {
    for table in TABLES {
        let sql = format!(
            "SELECT max((SELECT coalesce(max(key), 0) FROM \"{table}\"), \
             (SELECT coalesce(max(row), 0) FROM change WHERE tab = ?1))"
        );
        let last: i64 = db.query_row(&sql, [table], |row| row.get(0))?;
        let sql = "UPDATE sqlite_sequence SET seq = ?2 WHERE name = ?1";
        if last > 0 && db.execute(sql, (table, last))? == 0 {
            let sql = "INSERT INTO sqlite_sequence (name, seq) VALUES (?1, ?2)";
            db.execute(sql, (table, last))?;
        }
    }
    Ok(())
}
