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

impl Shelf {
    /// The number of the last act: it grows with every write, and is 0 of an empty shelf.
    pub fn last_act(&self) -> Result<i64, ShelfFault> {
        let sql = "SELECT coalesce(max(seq), 0) FROM act";
        Ok(self.db.query_row(sql, [], |row| row.get(0))?)
    }

    /// One act with its changes.
    pub fn act(&self, seq: i64) -> Result<Act, ShelfFault> {
        act(&self.db, seq)
    }

    /// The last acts, the latest first; of one find or land where its id is given.
    pub fn history(&self, about: Option<&str>, most: usize) -> Result<Vec<Act>, ShelfFault> {
        let sql = "SELECT seq FROM act WHERE ?1 IS NULL OR about = ?1 ORDER BY seq DESC LIMIT ?2";
        let mut asked = self.db.prepare_cached(sql)?;
        let seqs = asked.query_map((about, most as i64), |row| row.get(0))?;
        seqs.map(|seq| act(&self.db, seq?)).collect()
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
        let about = self.act(seq)?.about;
        let made = self.write(stamp, "undo", &about, |writing| {
            let undone = act(writing.db(), seq)?;
            if let Some(by) = undone.undone_by {
                return Err(ShelfFault::new(
                    Kind::ChangedSince,
                    format!("act {seq} was taken back already, by act {by}"),
                    format!("to have it again: lynchet collection undo {by}"),
                ));
            }
            for change in &undone.changes {
                held(writing.db(), change, &undone)?;
            }
            writing
                .db()
                .pragma_update(None, "defer_foreign_keys", true)?;
            for change in undone.changes.iter().rev() {
                let before = change.before.as_deref().map(row_in).transpose()?;
                writing.set(table(&change.table)?, change.row, before.as_ref())?;
            }
            writing.takes_back(seq)?;
            Ok(writing.seq())
        })?;
        self.act(made)
    }
}

fn act(db: &Connection, seq: i64) -> Result<Act, ShelfFault> {
    let sql = "SELECT at, who, verb, about, undoes, undone_by FROM act WHERE seq = ?1";
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
    let sql = "SELECT tab, row, before, after FROM change WHERE act = ?1 ORDER BY key";
    let mut asked = db.prepare_cached(sql)?;
    let changes = asked.query_map([seq], |row| {
        Ok(Change {
            table: row.get(0)?,
            row: row.get(1)?,
            before: row.get(2)?,
            after: row.get(3)?,
        })
    })?;
    act.changes = changes.collect::<Result<_, _>>()?;
    Ok(act)
}

/// Refuses where a row is no longer as the act left it. A row that the act changed twice is held
/// against its last state.
fn held(db: &Connection, change: &Change, of: &Act) -> Result<(), ShelfFault> {
    let same = |other: &&Change| other.table == change.table && other.row == change.row;
    let last = of.changes.iter().rfind(same).unwrap_or(change);
    let left = last.after.as_deref().map(row_in).transpose()?;
    let now = row(db, table(&change.table)?, change.row)?;
    let alike = match (&left, &now) {
        // A later schema may have more columns.
        (Some(left), Some(now)) => left
            .iter()
            .all(|(name, value)| now.get(name) == Some(value)),
        (None, None) => true,
        _ => false,
    };
    if alike {
        return Ok(());
    }
    let sql = "SELECT act FROM change WHERE tab = ?1 AND row = ?2 AND act > ?3 ORDER BY key DESC";
    let by = db.query_row(sql, (&change.table, change.row, of.seq), |row| {
        row.get::<_, i64>(0)
    });
    let by = by.optional()?.map(|seq| act(db, seq)).transpose()?;
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
