//! The history: what was done, and taking it back.
//!
//! Reads acts and applies their inverse as a new act. Never forgets one.
//!
//! Invariant: an act is only taken back while every row it changed is still as it left it.

use rusqlite::{Connection, OptionalExtension};

use super::fault::{Kind, ShelfFault};
use super::kept::Row;
use super::write::{TABLES, row};
use super::{Act, Change, Shelf, Stamp};

/// Most changes of an act that a list gives.
pub const CHANGES_LISTED: usize = 40;

impl Shelf {
    /// The number of the last act: it grows with every write, and is 0 of an empty shelf.
    pub fn last_act(&self) -> Result<i64, ShelfFault> {
        let sql = "SELECT coalesce(max(seq), 0) FROM act";
        Ok(self.db.query_row(sql, [], |row| row.get(0))?)
    }

    /// One act with its changes, but no more of these than `most`.
    pub fn act(&self, seq: i64, most: usize) -> Result<Act, ShelfFault> {
        act(&self.db, seq, most)
    }

    /// The last acts, the latest first, each with at most [`CHANGES_LISTED`] of its changes; of one
    /// find or land where its id is given.
    pub fn history(&self, about: Option<&str>, most: usize) -> Result<Vec<Act>, ShelfFault> {
        let sql = "SELECT seq FROM act WHERE ?1 IS NULL OR about = ?1 OR seq IN \
                   (SELECT act FROM change WHERE \
                   (tab = 'find' AND row = (SELECT key FROM find WHERE folded = ?2)) OR \
                   (tab = 'land' AND row = (SELECT key FROM land WHERE folded = ?2))) \
                   ORDER BY seq DESC LIMIT ?3";
        let folded = about.map(|id| super::folded(id.trim()));
        let mut asked = self.db.prepare_cached(sql)?;
        let seqs = asked.query_map((about, folded, most as i64), |row| row.get(0))?;
        seqs.map(|seq| act(&self.db, seq?, CHANGES_LISTED))
            .collect()
    }

    /// The last act that stands and takes nothing back: the one to take back next.
    pub fn last_standing(&self) -> Result<Option<i64>, ShelfFault> {
        let sql = "SELECT max(seq) FROM act WHERE undoes IS NULL AND undone_by IS NULL";
        Ok(self.db.query_row(sql, [], |row| row.get(0))?)
    }

    /// Takes an act back, as a new act.
    ///
    /// # Errors
    ///
    /// When there is none, when it was taken back before, when a row it changed was changed since
    /// (the fault names the act that did), or when something refers to what it made.
    pub fn undo(&mut self, stamp: &Stamp, seq: i64) -> Result<Act, ShelfFault> {
        let about = self.act(seq, 0)?.about;
        let made = self.write(stamp, "undo", &about, |writing| {
            let undone = act(writing.db(), seq, 0)?;
            if let Some(by) = undone.undone_by {
                return Err(ShelfFault::new(
                    Kind::ChangedSince,
                    format!("act {seq} was taken back already, by act {by}"),
                    format!("to have it again: lynchet collection undo {by}"),
                ));
            }
            // One change at a time: an import may hold very many.
            let keys = keys(writing.db(), seq)?;
            for key in &keys {
                held(writing.db(), &change(writing.db(), *key)?, &undone)?;
            }
            writing
                .db()
                .pragma_update(None, "defer_foreign_keys", true)?;
            for key in keys.iter().rev() {
                let change = change(writing.db(), *key)?;
                let before = change.before.as_deref().map(row_in).transpose()?;
                writing.set(table(&change.table)?, change.row, before.as_ref())?;
            }
            writing.takes_back(seq)?;
            Ok(writing.seq())
        })?;
        self.act(made, CHANGES_LISTED)
    }
}

/// The numbers of an act's changes, in order.
fn keys(db: &Connection, seq: i64) -> Result<Vec<i64>, ShelfFault> {
    let mut asked = db.prepare_cached("SELECT key FROM change WHERE act = ?1 ORDER BY key")?;
    let keys = asked.query_map([seq], |row| row.get(0))?;
    Ok(keys.collect::<Result<_, _>>()?)
}

fn change(db: &Connection, key: i64) -> Result<Change, ShelfFault> {
    let sql = "SELECT tab, row, before, after FROM change WHERE key = ?1";
    Ok(db.prepare_cached(sql)?.query_row([key], read_change)?)
}

fn read_change(row: &rusqlite::Row<'_>) -> Result<Change, rusqlite::Error> {
    Ok(Change {
        table: row.get(0)?,
        row: row.get(1)?,
        before: row.get(2)?,
        after: row.get(3)?,
    })
}

fn act(db: &Connection, seq: i64, most: usize) -> Result<Act, ShelfFault> {
    let sql = "SELECT at, who, verb, about, undoes, undone_by, \
               (SELECT count(*) FROM change WHERE act = seq) FROM act WHERE seq = ?1";
    let mut asked = db.prepare_cached(sql)?;
    let found = asked.query_row([seq], |row| {
        Ok(Act {
            seq,
            at: row.get(0)?,
            who: row.get(1)?,
            verb: row.get(2)?,
            about: row.get(3)?,
            undoes: row.get(4)?,
            undone_by: row.get(5)?,
            rows: row.get::<_, i64>(6)? as u64,
            changes: Vec::new(),
        })
    });
    let mut act = found.optional()?.ok_or_else(|| {
        ShelfFault::new(
            Kind::Unknown,
            format!("there is no act {seq}"),
            "see their numbers with: lynchet collection history",
        )
    })?;
    let sql = "SELECT tab, row, before, after FROM change WHERE act = ?1 ORDER BY key LIMIT ?2";
    let mut asked = db.prepare_cached(sql)?;
    let changes = asked.query_map((seq, most as i64), read_change)?;
    act.changes = changes.collect::<Result<_, _>>()?;
    Ok(act)
}

/// Refuses where a row is no longer as the act left it. A row that the act changed twice is held
/// against its last state.
fn held(db: &Connection, change: &Change, of: &Act) -> Result<(), ShelfFault> {
    let sql = "SELECT after FROM change WHERE act = ?1 AND tab = ?2 AND row = ?3 \
               ORDER BY key DESC LIMIT 1";
    let left: Option<String> = db
        .prepare_cached(sql)?
        .query_row((of.seq, &change.table, change.row), |row| row.get(0))?;
    let left = left.as_deref().map(row_in).transpose()?;
    let now = row(db, table(&change.table)?, change.row)?;
    let alike = match (&left, &now) {
        // A later schema may have more columns.
        (Some(left), Some(now)) => left
            .iter()
            .all(|(name, value)| now.get(name) == Some(value)),
        (None, None) => true,
        _ => false,
    };
    // A later act that stands may have led the row round to the same state.
    let sql = "SELECT change.act FROM change JOIN act ON act.seq = change.act \
               WHERE tab = ?1 AND row = ?2 AND change.act > ?3 AND (?4 OR (act.undoes IS NULL \
               AND act.undone_by IS NULL)) ORDER BY change.key DESC LIMIT 1";
    let given = (&change.table, change.row, of.seq, !alike);
    let mut asked = db.prepare_cached(sql)?;
    let by: Option<i64> = asked.query_row(given, |row| row.get(0)).optional()?;
    if alike && by.is_none() {
        return Ok(());
    }
    let by = by.map(|seq| act(db, seq, 0)).transpose()?;
    let (who, mend) = match by {
        Some(by) => (
            format!("by act {} ({} {}, {})", by.seq, by.verb, by.about, by.at),
            format!("take that back first: lynchet collection undo {}", by.seq),
        ),
        None => (
            "by something that left no act".to_string(),
            "see what is wrong with: lynchet collection check".to_string(),
        ),
    };
    Err(ShelfFault::new(
        Kind::ChangedSince,
        format!(
            "act {} cannot be taken back: the {} it left was changed since, {who}",
            of.seq, change.table
        ),
        mend,
    ))
}

fn row_in(text: &str) -> Result<Row, ShelfFault> {
    serde_json::from_str(text).map_err(|error| {
        ShelfFault::new(
            Kind::Damaged,
            format!("the history cannot be read: {error}"),
            "see what else is wrong with: lynchet collection check; then restore a backup",
        )
    })
}

fn table(name: &str) -> Result<&'static str, ShelfFault> {
    let known = TABLES.into_iter().find(|table| *table == name);
    known.ok_or_else(|| {
        ShelfFault::new(
            Kind::Damaged,
            format!("the history names a table {name:?} that the shelf has not"),
            "see what else is wrong with: lynchet collection check; then restore a backup",
        )
    })
}
