//! The tables of an export: which there are, what each holds, and how a value becomes a cell.
//!
//! A row refers to land and finds by their ids, so that the tables can be read without their keys.
//! Knows no files.
//!
//! Invariant: a value written into a cell and read from it is the same value; a text that a
//! spreadsheet would take for a formula is never written as one.

use std::borrow::Cow;

use rusqlite::Connection;
use rusqlite::types::Value;

use super::super::super::cells::{cell_as_read, cell_to_write};
use super::super::super::fault::ShelfFault;
use super::super::super::open::SCHEMAS;

/// A table of an export.
pub(in super::super) struct Sheet {
    /// Name of its file.
    pub file: &'static str,
    /// The table of the shelf.
    pub table: &'static str,
    /// What it holds.
    pub what: &'static str,
    /// Columns that refer to a row by its key, and the table of that row; written as its id.
    pub refs: &'static [(&'static str, &'static str)],
}

const fn sheet(
    file: &'static str,
    table: &'static str,
    refs: &'static [(&'static str, &'static str)],
    what: &'static str,
) -> Sheet {
    Sheet {
        file,
        table,
        what,
        refs,
    }
}

/// Of a find.
const FIND: &[(&str, &str)] = &[("find", "find")];
/// Of land.
const LAND: &[(&str, &str)] = &[("land", "land")];

/// All tables, each after those it refers to. The files' own table is written apart.
pub(in super::super) const SHEETS: [Sheet; 16] = [
    sheet(
        "land.csv",
        "land",
        &[("parent", "land")],
        "holdings and their fields",
    ),
    sheet(
        "people.csv",
        "person",
        LAND,
        "owners, tenants, finders, officers",
    ),
    sheet(
        "leave.csv",
        "leave",
        LAND,
        "leave to search: from when to when, on which terms",
    ),
    sheet(
        "boundaries.csv",
        "boundary",
        LAND,
        "where land ends, as grid squares or GeoJSON",
    ),
    sheet(
        "restrictions.csv",
        "restriction",
        LAND,
        "why land may not be searched, or with care",
    ),
    sheet(
        "land-notes.csv",
        "land_note",
        LAND,
        "what maps and earlier work show of land",
    ),
    sheet(
        "search-days.csv",
        "search_day",
        LAND,
        "the days on which land was searched",
    ),
    sheet(
        "finds.csv",
        "find",
        LAND,
        "the finds; said holds every trait as it was typed, as JSON",
    ),
    sheet(
        "whereabouts.csv",
        "whereabouts",
        FIND,
        "where finds went, and when",
    ),
    sheet(
        "identifications.csv",
        "identification",
        FIND,
        "what finds were identified as, by whom confirmed",
    ),
    sheet(
        "photographs.csv",
        "photograph",
        FIND,
        "the photographs of finds, by the digest of their file",
    ),
    sheet("tags.csv", "tag", FIND, "the tags of finds"),
    sheet(
        "mappings.csv",
        "mapping",
        &[],
        "how columns of other tables go to fields, kept by name",
    ),
    sheet(
        "settings.csv",
        "setting",
        &[],
        "what the shelf remembers by name",
    ),
    sheet(
        "acts.csv",
        "act",
        &[],
        "everything that was done, in order: when, by whom",
    ),
    sheet(
        "changes.csv",
        "change",
        &[],
        "every row that an act changed, before and after, as JSON",
    ),
];

/// The table of kept files.
pub(in super::super) const FILES: &str = "files.csv";
/// Its columns.
pub(in super::super) const FILE_COLUMNS: [&str; 5] = ["key", "digest", "bytes", "media", "file"];

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) enum Holds {
    /// A whole number.
    Whole,
    /// A number.
    Real,
    /// A text.
    Text,
}

/// A column of a table of the shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in super::super) struct Column {
    /// Its name.
    pub name: String,
    /// What it holds.
    pub holds: Holds,
    /// True when it always holds something.
    pub needed: bool,
}

/// A shelf's tables as the newest schema makes them, in memory.
pub(in super::super) fn newest() -> Result<Connection, ShelfFault> {
    let db = Connection::open_in_memory()?;
    for schema in SCHEMAS {
        db.execute_batch(schema)?;
    }
    Ok(db)
}

/// The columns of a table, in their order; the folded form of ids is left out, since it is made
/// from them.
pub(in super::super) fn columns(db: &Connection, table: &str) -> Result<Vec<Column>, ShelfFault> {
    let sql = "SELECT name, type, \"notnull\" OR pk FROM pragma_table_info(?1) ORDER BY cid";
    let mut asked = db.prepare(sql)?;
    let rows = asked.query_map([table], |row| {
        let holds = match row.get::<_, String>(1)?.as_str() {
            "INTEGER" => Holds::Whole,
            "REAL" => Holds::Real,
            _ => Holds::Text,
        };
        Ok(Column {
            name: row.get(0)?,
            holds,
            needed: row.get(2)?,
        })
    })?;
    let all: Vec<Column> = rows.collect::<Result<_, _>>()?;
    Ok(all
        .into_iter()
        .filter(|column| column.name != "folded")
        .collect())
}

/// Name of the column by which a table's rows are in order.
pub(in super::super) fn key_of(table: &str) -> &'static str {
    match table {
        "act" => "seq",
        _ => "key",
    }
}

/// True for a text of apostrophes alone.
fn bare(text: &str) -> bool {
    text.bytes().all(|b| b == b'\'')
}

/// A text as a cell. Where a column may hold nothing, an empty text is told from that by an
/// apostrophe.
pub(in super::super) fn text_cell(text: &str, needed: bool) -> Cow<'_, str> {
    match bare(text) && !(needed && text.is_empty()) {
        true => Cow::Owned(format!("'{text}")),
        false => cell_to_write(text),
    }
}

/// A value as a cell.
pub(in super::super) fn cell(value: &Value, needed: bool) -> Cow<'_, str> {
    match value {
        Value::Null => Cow::Borrowed(""),
        Value::Integer(whole) => Cow::Owned(whole.to_string()),
        Value::Real(real) => Cow::Owned(real.to_string()),
        Value::Text(text) => text_cell(text, needed),
        Value::Blob(bytes) => {
            Cow::Owned(text_cell(&String::from_utf8_lossy(bytes), needed).into_owned())
        }
    }
}

/// A cell as its value; the words say what is wrong with it.
pub(in super::super) fn value(cell: &str, column: &Column) -> Result<Value, String> {
    let read = match column.holds {
        _ if cell.is_empty() && !column.needed => return Ok(Value::Null),
        Holds::Text if bare(cell) => Value::Text(cell.strip_prefix('\'').unwrap_or("").to_string()),
        Holds::Text => Value::Text(cell_as_read(cell).to_string()),
        Holds::Whole => Value::Integer(cell.parse().map_err(|_| {
            format!(
                "{:?} is no whole number",
                cell.chars().take(40).collect::<String>()
            )
        })?),
        Holds::Real => {
            let number = cell.parse::<f64>().ok().filter(|number| number.is_finite());
            Value::Real(number.ok_or_else(|| {
                format!(
                    "{:?} is no number",
                    cell.chars().take(40).collect::<String>()
                )
            })?)
        }
    };
    Ok(read)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn column(holds: Holds, needed: bool) -> Column {
        Column {
            name: "x".into(),
            holds,
            needed,
        }
    }

    proptest! {
        #[test]
        fn cells_are_read_as_they_were_written(text in "['=+@\t\r\n,\"a-]{0,6}", needed: bool, real: f64, whole: i64) {
            let of = column(Holds::Text, needed);
            let text = Value::Text(text);
            let written = cell(&text, needed);
            prop_assert!(!written.starts_with(['=', '+', '@', '\t', '\r']), "{}", written);
            prop_assert_eq!(value(&written, &of), Ok(text));
            let whole = Value::Integer(whole);
            prop_assert_eq!(value(&cell(&whole, needed), &column(Holds::Whole, needed)), Ok(whole));
            if real.is_finite() {
                let real = Value::Real(real);
                prop_assert_eq!(value(&cell(&real, needed), &column(Holds::Real, needed)), Ok(real));
            }
        }
    }

    #[test]
    fn nothing_is_told_from_an_empty_text() {
        let of = column(Holds::Text, false);
        assert_eq!(cell(&Value::Null, false), "");
        assert_eq!(value("", &of), Ok(Value::Null));
        assert_eq!(cell(&Value::Text(String::new()), false), "'");
        assert_eq!(
            value("", &column(Holds::Text, true)),
            Ok(Value::Text(String::new()))
        );
        assert!(value("x", &column(Holds::Whole, true)).is_err());
        assert!(value("NaN", &column(Holds::Real, true)).is_err());
    }

    #[test]
    fn every_table_of_the_shelf_is_exported() {
        let db = newest().unwrap();
        let mut asked = db
            .prepare("SELECT name FROM sqlite_master WHERE type = 'table'")
            .unwrap();
        let rows = asked.query_map([], |row| row.get::<_, String>(0)).unwrap();
        for name in rows
            .flatten()
            .filter(|name| !name.starts_with("sqlite_") && name != "file")
        {
            let found = SHEETS.iter().find(|sheet| sheet.table == name);
            let found = found.unwrap_or_else(|| panic!("{name} is not exported"));
            let columns = columns(&db, &name).unwrap();
            assert_eq!(columns[0].name, key_of(&name));
            for (column, _) in found.refs {
                assert!(columns.iter().any(|one| one.name == *column), "{column}");
            }
        }
    }
}
