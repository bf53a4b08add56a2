//! The check: is the database sound, is every file there and whole, what lies there unnamed.
//!
//! Reads everything that can be read, goes on past what cannot, and says the mend. Changes nothing.
//!
//! Invariant: a shelf without faults has every row and every file that its history says it has.

use std::collections::BTreeSet;
use std::fs;

use super::Shelf;
use super::entry::KeptFile;
use super::fault::ShelfFault;
use super::files::{FILES, digest_of, read_most};
use super::write::{TABLES, values};

/// Most faults of one kind that are listed.
const LISTED_MOST: usize = 200;

/// What the check found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Health {
    /// What is wrong, each with its mend.
    pub faults: Vec<ShelfFault>,
    /// What is worth knowing and no fault.
    pub notes: Vec<String>,
    /// Rows of each table that could be read.
    pub rows: Vec<(String, u64)>,
    /// Kept files that are there and whole.
    pub files: u64,
    /// Files that no row names and no act of the history: left by a kill. They may be deleted.
    pub orphans: Vec<String>,
    /// Ids of finds that can be read, where the database is damaged.
    pub readable: Vec<String>,
}

impl Health {
    fn fault(&mut self, what: impl Into<String>, mend: &str) {
        use super::fault::Kind;
        self.faults.push(ShelfFault::new(Kind::Damaged, what, mend));
    }
}

const RESTORE: &str = "restore a backup; until then what can be read is still listed and shown";

impl Shelf {
    /// Checks database and files. With `deep` every file is read and held against its digest, and
    /// otherwise only its size.
    pub fn check(&self, deep: bool) -> Health {
        let mut health = Health::default();
        self.check_database(&mut health);
        self.check_history(&mut health);
        self.look_deeper(deep, &mut health);
        let named = self.check_files(deep, &mut health);
        self.check_folder(&named, &mut health);
        health
    }

    fn lines(&self, sql: &str) -> Result<Vec<String>, ShelfFault> {
        let mut asked = self.db.prepare(sql)?;
        let lines = asked.query_map([], |row| {
            let value: rusqlite::types::Value = row.get(0)?;
            Ok(match value {
                rusqlite::types::Value::Text(text) => text,
                rusqlite::types::Value::Integer(whole) => whole.to_string(),
                _ => String::new(),
            })
        })?;
        Ok(lines.collect::<Result<_, _>>()?)
    }

    fn check_database(&self, health: &mut Health) {
        match self.lines("PRAGMA integrity_check(100)") {
            Ok(lines) if lines == ["ok"] => {}
            Ok(lines) => {
                for line in lines {
                    health.fault(format!("the database is damaged: {line}"), RESTORE);
                }
            }
            Err(fault) => health.faults.push(fault),
        }
        match self.lines("SELECT \"table\" || ' ' || rowid FROM pragma_foreign_key_check LIMIT 100")
        {
            Ok(lines) => {
                for line in lines {
                    let what = format!("a row refers to one that is not there: {line}");
                    health.fault(what, RESTORE);
                }
            }
            Err(fault) => health.faults.push(fault),
        }
        for table in TABLES {
            let counted = self.lines(&format!("SELECT count(*) FROM \"{table}\""));
            match counted {
                Ok(count) => {
                    let count = count.first().and_then(|count| count.parse().ok());
                    health.rows.push((table.to_string(), count.unwrap_or(0)));
                }
                Err(fault) => {
                    let what = format!("the table {table} cannot be read whole ({})", fault.what);
                    health.fault(what, RESTORE);
                }
            }
        }
        if !health.faults.is_empty() {
            health.readable = self.readable();
        }
    }

    /// Ids of the finds that can still be read, one by one.
    fn readable(&self) -> Vec<String> {
        let last = self.lines("SELECT seq FROM sqlite_sequence WHERE name = 'find'");
        let last: i64 = last
            .ok()
            .and_then(|last| last.first()?.parse().ok())
            .unwrap_or(0);
        let read = (1..=last).filter_map(|key| self.whole(key).ok());
        read.map(|whole| whole.entry.id).collect()
    }

    fn check_history(&self, health: &mut Health) {
        let back = "SELECT seq FROM (SELECT seq, at, lag(at) OVER (ORDER BY seq) AS before \
                    FROM act) WHERE at < before LIMIT 5";
        if let Ok(acts) = self.lines(back)
            && !acts.is_empty()
        {
            health.notes.push(format!(
                "the clock ran back before act {}: acts keep the order in which they were done",
                acts.join(", ")
            ));
        }
    }

    /// Holds every file that a row names against what was kept; gives all digests that a row or the
    /// history names.
    fn check_files(&self, deep: bool, health: &mut Health) -> BTreeSet<String> {
        let rows: Vec<KeptFile> = match values(&self.db, "1 ORDER BY key", &[]) {
            Ok(rows) => rows,
            Err(fault) => {
                health.faults.push(fault);
                Vec::new()
            }
        };
        for row in &rows {
            let path = self.path_of(&row.digest);
            let used = self.used_by(&row.digest);
            let mend = "put it back from a backup, or keep the photograph again";
            match fs::symlink_metadata(&path) {
                Err(_) => health.fault(format!("{}{used} is gone", path.display()), mend),
                Ok(about) if !about.is_file() => {
                    health.fault(format!("{}{used} is no file", path.display()), mend);
                }
                Ok(about) if about.len() != row.bytes as u64 => {
                    let what = format!(
                        "{}{used} has {} bytes of {}",
                        path.display(),
                        about.len(),
                        row.bytes
                    );
                    health.fault(what, mend);
                }
                Ok(_) if deep && !read_most(&path).is_ok_and(|b| digest_of(&b) == row.digest) => {
                    health.fault(format!("{}{used} was changed", path.display()), mend);
                }
                Ok(_) => health.files += 1,
            }
        }
        let named = "SELECT json_extract(coalesce(after, before), '$.digest') FROM change \
                     WHERE tab = 'file'";
        let history = self.lines(named).unwrap_or_default();
        let rows = rows.into_iter().map(|row| row.digest);
        rows.chain(history).collect()
    }

    /// What a file belongs to, in words.
    fn used_by(&self, digest: &str) -> String {
        let sql = "SELECT find.id FROM photograph JOIN find ON find.key = photograph.find \
                   WHERE digest = ?1 LIMIT 1";
        let find = self
            .db
            .query_row(sql, [digest], |row| row.get::<_, String>(0));
        find.map_or(String::new(), |id| format!(" (a photograph of {id})"))
    }

    /// Lists files that nothing names.
    fn check_folder(&self, named: &BTreeSet<String>, health: &mut Health) {
        let Ok(folders) = fs::read_dir(self.folder.join(FILES)) else {
            return;
        };
        let mut orphans = Vec::new();
        for folder in folders.flatten() {
            let Ok(files) = fs::read_dir(folder.path()) else {
                orphans.push(folder.path().display().to_string());
                continue;
            };
            for file in files.flatten() {
                let name = file.file_name().to_string_lossy().into_owned();
                if !named.contains(&name) {
                    orphans.push(file.path().display().to_string());
                }
            }
        }
        orphans.sort();
        if orphans.len() > LISTED_MOST {
            let more = orphans.len() - LISTED_MOST;
            health
                .notes
                .push(format!("{more} more files that nothing names"));
        }
        orphans.truncate(LISTED_MOST);
        if !orphans.is_empty() {
            health.notes.push(
                "files that nothing names were left when a write was cut off; they may be deleted"
                    .into(),
            );
        }
        health.orphans = orphans;
    }
}
