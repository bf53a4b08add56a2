//! Walking through a table: every row that can be read, past those that cannot.
//!
//! Goes by the keys, so that no index is needed; where a page of the database is damaged, each key
//! that could be on it is tried alone. Changes nothing.
//!
//! Invariant: rows come in the order of their keys, each once.

use rusqlite::Connection;
use rusqlite::types::{Value, ValueRef};

use super::super::super::fault::ShelfFault;
use super::sheets::{Column, key_of};

/// Most keys that are tried one by one in one table.
const TRIED_MOST: i64 = 5_000_000;

/// Rows that could not be read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in super::super) struct Lost {
    /// How many keys gave a fault.
    pub rows: u64,
    /// The first and the last of them.
    pub keys: Option<(i64, i64)>,
    /// What the first fault was.
    pub why: String,
}

impl Lost {
    fn note(&mut self, key: i64, error: &rusqlite::Error) {
        if self.why.is_empty() {
            self.why = error.to_string();
        }
        self.rows += 1;
        self.keys = Some((self.keys.map_or(key, |(first, _)| first), key));
    }
}

/// What takes the rows: the key, and the values of the columns.
type Each<'e> = dyn FnMut(i64, &[Value]) -> Result<(), ShelfFault> + 'e;

/// Hands every row of a table on, with its key. The columns' first is the key.
pub(in super::super) fn walk(
    db: &Connection,
    table: &str,
    columns: &[Column],
    each: &mut Each<'_>,
) -> Result<Lost, ShelfFault> {
    let names: Vec<String> = columns
        .iter()
        .map(|column| format!("\"{}\"", column.name))
        .collect();
    let (names, key) = (names.join(", "), key_of(table));
    let range = format!("SELECT {names} FROM \"{table}\" WHERE {key} > ?1 ORDER BY {key}");
    let alone = format!("SELECT {names} FROM \"{table}\" WHERE {key} = ?1");
    let mut lost = Lost::default();
    let mut after = 0_i64;
    let mut row = Vec::with_capacity(columns.len());
    loop {
        let torn = match run(db, &range, after, &mut row, &mut |key, row| {
            after = key;
            each(key, row)
        }) {
            Ok(()) => return Ok(lost),
            Err(Stop::Own(fault)) => return Err(fault),
            Err(Stop::Torn(error)) => error,
        };
        let last = last_key(db, table, key, after);
        let mut found = false;
        for one in after + 1..=last.min(after.saturating_add(TRIED_MOST)) {
            let mut held = false;
            match run(db, &alone, one, &mut row, &mut |key, row| {
                held = true;
                each(key, row)
            }) {
                Ok(()) if held => {
                    after = one;
                    found = true;
                    break;
                }
                Ok(()) => {}
                Err(Stop::Own(fault)) => return Err(fault),
                Err(Stop::Torn(error)) => lost.note(one, &error),
            }
        }
        if !found {
            if lost.rows == 0 {
                lost.note(after + 1, &torn);
            }
            return Ok(lost);
        }
    }
}

/// Why a walk stopped.
enum Stop {
    /// The database could not be read on.
    Torn(rusqlite::Error),
    /// Whoever took the rows had a fault.
    Own(ShelfFault),
}

fn run(
    db: &Connection,
    sql: &str,
    given: i64,
    row: &mut Vec<Value>,
    each: &mut Each<'_>,
) -> Result<(), Stop> {
    let mut asked = db.prepare_cached(sql).map_err(Stop::Torn)?;
    let count = asked.column_count();
    let mut rows = asked.query([given]).map_err(Stop::Torn)?;
    while let Some(read) = rows.next().map_err(Stop::Torn)? {
        row.clear();
        for at in 0..count {
            let value = read.get_ref(at).map_err(Stop::Torn)?;
            row.push(match value {
                ValueRef::Null => Value::Null,
                ValueRef::Integer(whole) => Value::Integer(whole),
                ValueRef::Real(real) => Value::Real(real),
                // A text that is none any more is kept as far as it is one.
                ValueRef::Text(bytes) | ValueRef::Blob(bytes) => {
                    Value::Text(String::from_utf8_lossy(bytes).into_owned())
                }
            });
        }
        let key = read.get::<_, i64>(0).map_err(Stop::Torn)?;
        each(key, row).map_err(Stop::Own)?;
    }
    Ok(())
}

/// The last key that a table may have.
fn last_key(db: &Connection, table: &str, key: &str, at_least: i64) -> i64 {
    let given = db.query_row(
        "SELECT seq FROM sqlite_sequence WHERE name = ?1",
        [table],
        |row| row.get::<_, i64>(0),
    );
    let largest = format!("SELECT coalesce(max({key}), 0) FROM \"{table}\"");
    let largest = db.query_row(&largest, [], |row| row.get::<_, i64>(0));
    match (given, largest) {
        (Ok(given), Ok(largest)) => given.max(largest),
        (Ok(one), Err(_)) | (Err(_), Ok(one)) => one,
        // Nothing tells: some way beyond what was read.
        (Err(_), Err(_)) => at_least.saturating_add(10_000),
    }
}
