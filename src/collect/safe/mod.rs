//! The shelf made safe: backup and restore, export and import.
//!
//! Copies the shelf into one file and back, and writes it out as tables, pictures and descriptions
//! that need no Lynchet. Overwrites nothing: what is made is made beside its place and given its
//! name when it is whole. Never prints, reads no clock, deletes nothing but what it made itself.
//!
//! Invariant: a name that was given is either whole or not there.

mod backup;
mod bag;
mod export;
mod import;
mod lines;
mod look;
mod own;
mod restore;

pub use backup::Backed;
pub use export::{Exported, Sharing};
pub use import::{Imported, import};
pub use restore::{Restored, restore};

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use rusqlite::Connection;
use serde_json::Value;
use sha2::{Digest, Sha256};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime};

use super::fault::{Kind, ShelfFault};
use super::open::SCHEMAS;

/// Bytes copied at a time.
const PIECE: usize = 256 * 1024;

/// How a file stands in a zip of ours: without a time, so that the same files give the same bytes;
/// pictures are packed already.
pub(crate) fn in_zip(name: &str) -> SimpleFileOptions {
    let packed = [".jpg", ".png"].iter().any(|ending| name.ends_with(ending));
    let method = match packed {
        true => CompressionMethod::Stored,
        false => CompressionMethod::Deflated,
    };
    SimpleFileOptions::default()
        .compression_method(method)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644)
}

/// A path that goes away with this value, unless it was kept.
struct Passing {
    path: PathBuf,
    kept: bool,
}

impl Passing {
    /// A name beside another, in the same folder, that nothing has.
    fn beside(path: &Path, what: &str) -> Passing {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let own = format!(".{name}.{}.{what}", std::process::id());
        Passing {
            path: path.with_file_name(own),
            kept: false,
        }
    }

    /// Gives it its name for good; the name must be on the disk when this returns.
    fn becomes(mut self, path: &Path) -> io::Result<()> {
        fs::rename(&self.path, path)?;
        self.kept = true;
        settled(&parent(path))
    }
}

impl Drop for Passing {
    fn drop(&mut self) {
        if !self.kept {
            let about = fs::symlink_metadata(&self.path);
            let _ = match about.map(|about| about.is_dir()) {
                Ok(true) => fs::remove_dir_all(&self.path),
                Ok(false) => fs::remove_file(&self.path),
                Err(error) => Err(error),
            };
        }
    }
}

/// The path without a slash at its end, which would put its neighbours inside it.
fn plain(path: &Path) -> PathBuf {
    path.components().collect()
}

/// The folder that something lies in.
fn parent(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_path_buf(),
        _ => PathBuf::from("."),
    }
}

/// Makes sure that the names in a folder are on the disk.
fn settled(folder: &Path) -> io::Result<()> {
    match cfg!(unix) {
        true => File::open(folder)?.sync_all(),
        false => Ok(()),
    }
}

/// Refuses a place where something is; an empty folder may be there where that is said.
fn refuse_taken(path: &Path, may_be_empty: bool, mend: &str) -> Result<(), ShelfFault> {
    let shown = path.display();
    let Ok(about) = fs::symlink_metadata(path) else {
        let above = parent(path);
        return match above.is_dir() {
            true => Ok(()),
            false => Err(ShelfFault::new(
                Kind::NotThere,
                format!("there is no folder {}", above.display()),
                "make it first, or name a place in one that is there",
            )
            .of(path)),
        };
    };
    let what = if about.file_type().is_symlink() {
        format!("{shown} is a link to somewhere else")
    } else if about.is_dir() && may_be_empty {
        let mut held = fs::read_dir(path).map_err(|error| ShelfFault::of_io(&error, path))?;
        match held.next() {
            None => return Ok(()),
            Some(_) if path.join(super::open::DATABASE).exists() => {
                format!("there is a shelf in {shown}, and none is ever written over")
            }
            Some(_) => format!("the folder {shown} is not empty"),
        }
    } else {
        format!("{shown} is there already, and nothing is written over")
    };
    Err(ShelfFault::new(Kind::Taken, what, mend).of(path))
}

/// Which end of a copy failed.
enum Torn {
    /// What was read.
    Reading(io::Error),
    /// Where it went.
    Writing(io::Error),
    /// There was more than there should be.
    Longer,
}

/// Copies so many bytes and no more; gives their digest and how many there were.
fn streamed(from: &mut dyn Read, to: &mut dyn Write, most: u64) -> Result<(String, u64), Torn> {
    let mut sum = Sha256::new();
    let mut piece = vec![0; PIECE];
    let mut count = 0_u64;
    loop {
        let read = match from.read(&mut piece) {
            Ok(0) => break,
            Ok(read) => read,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
            Err(error) => return Err(Torn::Reading(error)),
        };
        count += read as u64;
        if count > most {
            return Err(Torn::Longer);
        }
        sum.update(&piece[..read]);
        to.write_all(&piece[..read]).map_err(Torn::Writing)?;
    }
    Ok((hex(&sum.finalize()), count))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// True for a digest as it is written here.
fn is_digest(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
}

/// A file that a row or the history names.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Named {
    /// Key of its row; none where only the history names it, so that an act can be taken back.
    key: Option<i64>,
    bytes: u64,
    media: String,
}

/// All files that rows and the history name, by digest.
fn named(db: &Connection) -> Result<BTreeMap<String, Named>, ShelfFault> {
    let mut all = BTreeMap::new();
    let mut asked = db.prepare("SELECT before, after FROM change WHERE tab = 'file'")?;
    let rows = asked.query_map([], |row| {
        Ok([row.get::<_, Option<String>>(0)?, row.get(1)?])
    })?;
    for row in rows {
        for text in row?.into_iter().flatten() {
            let value: Value = serde_json::from_str(&text).unwrap_or_default();
            let bytes = value["bytes"].as_u64();
            if let (Some(digest), Some(bytes), Some(media)) =
                (value["digest"].as_str(), bytes, value["media"].as_str())
            {
                let (key, media) = (None, media.to_string());
                all.insert(digest.to_string(), Named { key, bytes, media });
            }
        }
    }
    let mut asked = db.prepare("SELECT key, digest, bytes, media FROM file")?;
    let rows = asked.query_map([], |row| {
        let (key, bytes): (i64, i64) = (row.get(0)?, row.get(2)?);
        let named = Named {
            key: Some(key),
            bytes: u64::try_from(bytes).unwrap_or(0),
            media: row.get(3)?,
        };
        Ok((row.get::<_, String>(1)?, named))
    })?;
    for row in rows {
        let (digest, named) = row?;
        all.insert(digest, named);
    }
    all.retain(|digest, _| is_digest(digest));
    Ok(all)
}

/// Holds a database's tables against those of its schema: nothing more and nothing else.
fn refuse_other_tables(db: &Connection, version: usize) -> Result<(), ShelfFault> {
    let known = Connection::open_in_memory()?;
    for schema in &SCHEMAS[..version.min(SCHEMAS.len())] {
        known.execute_batch(schema)?;
    }
    if tables(db)? == tables(&known)? {
        return Ok(());
    }
    Err(ShelfFault::new(
        Kind::NotAShelf,
        "the database has other tables than a shelf of Lynchet's",
        "it was changed by another program; take a backup from before that",
    ))
}

fn tables(db: &Connection) -> Result<Vec<(String, String, Option<String>)>, ShelfFault> {
    let sql = "SELECT type, name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_stat%' \
               ORDER BY type, name";
    let mut asked = db.prepare(sql)?;
    let rows = asked.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// One number of the database.
fn number(db: &Connection, sql: &str) -> Result<u64, ShelfFault> {
    let count: i64 = db.query_row(sql, [], |row| row.get(0))?;
    Ok(u64::try_from(count).unwrap_or(0))
}

#[cfg(test)]
mod tests;
