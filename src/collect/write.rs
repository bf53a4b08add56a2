//! The one way in: every write is a transaction that keeps what was before and what came after.
//!
//! Reads and writes rows by the names of their columns. Knows no rule of what may stand in them.
//!
//! Invariant: no row of the user's changes without its change in the history, in one transaction.

use std::path::Path;

use rusqlite::types::{Value as Cell, ValueRef};
use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params_from_iter};
use serde_json::Value;

use super::fault::{Kind, ShelfFault};
use super::kept::{Kept, Row};
use super::open::read_only;
use super::{Access, Shelf, Stamp};

/// The tables whose rows the history keeps.
pub(super) const TABLES: [&str; 15] = [
    "land",
    "person",
    "file",
    "leave",
    "boundary",
    "restriction",
    "land_note",
    "search_day",
    "find",
    "whereabouts",
    "identification",
    "photograph",
    "tag",
    "mapping",
    "setting",
];

/// A write under way.
pub(super) struct Writing<'s> {
    run: Transaction<'s>,
    /// The folder of the shelf.
    pub(super) folder: &'s Path,
    /// Who and when.
    pub(super) stamp: &'s Stamp,
    seq: i64,
    changed: bool,
}

impl Shelf {
    /// Runs one act, all or nothing. An act that changes nothing leaves no trace.
    pub(super) fn write<T>(
        &mut self,
        stamp: &Stamp,
        verb: &str,
        about: &str,
        work: impl FnOnce(&mut Writing<'_>) -> Result<T, ShelfFault>,
    ) -> Result<T, ShelfFault> {
        let database = self.database();
        if self.access == Access::Read {
            return Err(read_only().of(&database));
        }
        let run = || {
            let run = Transaction::new_unchecked(&self.db, TransactionBehavior::Immediate)?;
            let act = "INSERT INTO act (at, who, verb, about) VALUES (?1, ?2, ?3, ?4)";
            run.prepare_cached(act)?
                .execute((&stamp.at, &stamp.who, verb, about))?;
            let seq = run.last_insert_rowid();
            let mut writing = Writing {
                run,
                folder: &self.folder,
                stamp,
                seq,
                changed: false,
            };
            let done = work(&mut writing)?;
            if writing.changed {
                writing.run.commit()?;
            }
            Ok(done)
        };
        run().map_err(|fault: ShelfFault| match fault.kind {
            Kind::Field
            | Kind::Unknown
            | Kind::Taken
            | Kind::ChangedSince
            | Kind::InUse
            | Kind::File => fault,
            _ => fault.of(&database),
        })
    }
}

impl Writing<'_> {
    /// The database, to read what this write has done so far.
    pub(super) fn db(&self) -> &Connection {
        &self.run
    }

    /// The number of the act.
    pub(super) fn seq(&self) -> i64 {
        self.seq
    }

    /// Keeps a new value and gives it its key.
    pub(super) fn add<T: Kept>(&mut self, value: &mut T) -> Result<i64, ShelfFault> {
        let mut row = row_of(value)?;
        row.remove("key");
        insert(&self.run, T::TABLE, &row)?;
        let key = self.run.last_insert_rowid();
        value.set_key(key);
        self.note(T::TABLE, key, None)?;
        Ok(key)
    }

    /// Keeps a value in the place of the one with its key.
    pub(super) fn put<T: Kept>(&mut self, value: &T) -> Result<(), ShelfFault> {
        self.set(T::TABLE, value.key(), Some(&row_of(value)?))
    }

    /// Takes a row away; it stays in the history.
    pub(super) fn take_away(&mut self, table: &'static str, key: i64) -> Result<(), ShelfFault> {
        self.set(table, key, None)
    }

    /// Makes a row what is given, whether it was there before or not.
    pub(super) fn set(
        &mut self,
        table: &'static str,
        key: i64,
        becomes: Option<&Row>,
    ) -> Result<(), ShelfFault> {
        let before = row(&self.run, table, key)?;
        match (&before, becomes) {
            (None, None) => return Ok(()),
            (Some(_), None) => {
                let sql = format!("DELETE FROM \"{table}\" WHERE key = ?1");
                self.run.prepare_cached(&sql)?.execute([key])?;
            }
            (Some(before), Some(after)) if before == after => return Ok(()),
            (Some(_), Some(after)) => update(&self.run, table, key, after)?,
            (None, Some(after)) => insert(&self.run, table, after)?,
        }
        self.note(table, key, before)
    }

    /// Writes into the act what it takes back.
    pub(super) fn takes_back(&mut self, seq: i64) -> Result<(), ShelfFault> {
        let undoes: Option<i64> =
            self.run
                .query_row("SELECT undoes FROM act WHERE seq = ?1", [seq], |row| {
                    row.get(0)
                })?;
        self.run
            .execute("UPDATE act SET undoes = ?2 WHERE seq = ?1", (self.seq, seq))?;
        self.run.execute(
            "UPDATE act SET undone_by = ?1 WHERE seq = ?2",
            (self.seq, seq),
        )?;
        // What the act took back stands again.
        if let Some(earlier) = undoes {
            self.run
                .execute("UPDATE act SET undone_by = NULL WHERE seq = ?1", [earlier])?;
        }
        Ok(())
    }

    fn note(&mut self, table: &str, key: i64, before: Option<Row>) -> Result<(), ShelfFault> {
        let after = row(&self.run, table, key)?;
        let text = |row: Option<Row>| row.map(|row| Value::Object(row).to_string());
        let sql = "INSERT INTO change (act, tab, row, before, after) VALUES (?1, ?2, ?3, ?4, ?5)";
        let values = (self.seq, table, key, text(before), text(after));
        self.run.prepare_cached(sql)?.execute(values)?;
        self.changed = true;
        Ok(())
    }
}

/// A value as its row.
pub(super) fn row_of<T: Kept>(value: &T) -> Result<Row, ShelfFault> {
    match serde_json::to_value(value) {
        Ok(Value::Object(row)) => Ok(row),
        _ => Err(unreadable(T::TABLE, "it has no columns")),
    }
}

/// A row as its value.
pub(super) fn value_of<T: Kept>(row: Row) -> Result<T, ShelfFault> {
    let value = serde_json::from_value(Value::Object(row));
    value.map_err(|error| unreadable(T::TABLE, &error.to_string()))
}

fn unreadable(table: &str, why: &str) -> ShelfFault {
    ShelfFault::new(
        Kind::Damaged,
        format!("a row of the table {table} cannot be read: {why}"),
        "see what else is wrong with: lynchet collection check; then restore a backup",
    )
}

/// The row of a key.
pub(super) fn row(db: &Connection, table: &str, key: i64) -> Result<Option<Row>, ShelfFault> {
    let sql = format!("SELECT * FROM \"{table}\" WHERE key = ?1");
    let mut asked = db.prepare_cached(&sql)?;
    Ok(asked.query_row([key], read_row).optional()?)
}

/// The values of a table that a condition holds for, in order.
pub(super) fn values<T: Kept>(
    db: &Connection,
    condition: &str,
    given: &[&dyn rusqlite::ToSql],
) -> Result<Vec<T>, ShelfFault> {
    let sql = format!("SELECT * FROM \"{}\" WHERE {condition}", T::TABLE);
    let mut asked = db.prepare_cached(&sql)?;
    let rows = asked.query_map(given, read_row)?;
    rows.map(|row| value_of(row?)).collect()
}

fn read_row(row: &rusqlite::Row<'_>) -> Result<Row, rusqlite::Error> {
    let columns = row.as_ref().column_names();
    let columns: Vec<String> = columns.into_iter().map(String::from).collect();
    let mut read = Row::new();
    for (place, column) in columns.into_iter().enumerate() {
        let value = match row.get_ref(place)? {
            ValueRef::Null => Value::Null,
            ValueRef::Integer(whole) => Value::from(whole),
            ValueRef::Real(real) => Value::from(real),
            ValueRef::Text(text) | ValueRef::Blob(text) => {
                Value::from(String::from_utf8_lossy(text).into_owned())
            }
        };
        read.insert(column, value);
    }
    Ok(read)
}

fn cell(value: &Value) -> Cell {
    match value {
        Value::Null => Cell::Null,
        Value::Bool(yes) => Cell::Integer(i64::from(*yes)),
        Value::Number(number) => match number.as_i64() {
            Some(whole) => Cell::Integer(whole),
            None => number.as_f64().map_or(Cell::Null, Cell::Real),
        },
        Value::String(text) => Cell::Text(text.clone()),
        other => Cell::Text(other.to_string()),
    }
}

/// Only names that a column can have go into a statement.
fn columns(row: &Row) -> Result<Vec<&str>, ShelfFault> {
    let plain = |name: &&str| name.bytes().all(|b| b.is_ascii_lowercase() || b == b'_');
    let names: Vec<&str> = row.keys().map(String::as_str).collect();
    match names.iter().all(plain) {
        true => Ok(names),
        false => Err(unreadable("change", "it names a column that cannot be")),
    }
}

pub(super) fn insert(db: &Connection, table: &str, row: &Row) -> Result<(), ShelfFault> {
    let names = columns(row)?;
    let marks = vec!["?"; names.len()].join(", ");
    let names = names.join("\", \"");
    let sql = format!("INSERT INTO \"{table}\" (\"{names}\") VALUES ({marks})");
    let mut asked = db.prepare_cached(&sql)?;
    asked.execute(params_from_iter(row.values().map(cell)))?;
    Ok(())
}

fn update(db: &Connection, table: &str, key: i64, row: &Row) -> Result<(), ShelfFault> {
    let names = columns(row)?;
    let sets: Vec<String> = names.iter().map(|name| format!("\"{name}\" = ?")).collect();
    let sql = format!("UPDATE \"{table}\" SET {} WHERE key = ?", sets.join(", "));
    let cells = row.values().map(cell).chain([Cell::Integer(key)]);
    db.prepare_cached(&sql)?.execute(params_from_iter(cells))?;
    Ok(())
}
