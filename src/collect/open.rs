//! Opening a shelf: the folder, the database in it, its schema.
//!
//! Makes what is not there when it may write, brings an older schema up to date, and refuses what
//! is no shelf or was written by a newer Lynchet. Changes nothing of the user's.
//!
//! Invariant: an open shelf has the newest schema, foreign keys are held to, and what is confirmed
//! is on the disk.

use std::cell::RefCell;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use super::fault::{Kind, ShelfFault};
use super::{Access, Shelf};

/// The schemas, the first first; only ever added to.
pub(super) const SCHEMAS: [&str; 3] = [
    include_str!("schema/0001.sql"),
    include_str!("schema/0002.sql"),
    include_str!("schema/0003.sql"),
];

/// Shelves of this schema or a later one can be read as they are: what came after it is indexes.
const READ_AS_IT_IS: usize = 1;

/// Marks the database as a shelf: "LYNC".
const MARK: i64 = 0x4c59_4e43;
/// How long one process waits for another to end its writing.
const PATIENCE: Duration = Duration::from_secs(5);
/// The database's name in the folder.
pub(super) const DATABASE: &str = "shelf.sqlite";

impl Shelf {
    /// Opens the shelf in a folder. With [`Access::Write`] the folder and the shelf are made where
    /// they are not there; a schema older than this program's is brought up to date either way.
    ///
    /// # Errors
    ///
    /// When there is none to read, when it is none, is newer, damaged, locked or cannot be written.
    pub fn open(folder: &Path, access: Access) -> Result<Shelf, ShelfFault> {
        let database = folder.join(DATABASE);
        let named = |fault: ShelfFault| fault.of(&database);
        refuse_links(folder)?;
        let opened = match access {
            Access::Write => open_to_write(folder, &database),
            Access::Read => open_to_read(folder, &database),
        };
        let db = opened.map_err(named)?;
        settle(&db, access).map_err(|error| named(error.into()))?;
        Ok(Shelf {
            folder: folder.to_path_buf(),
            db,
            access,
            indexed: RefCell::default(),
        })
    }

    /// The folder of the shelf.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// True when it may be written.
    pub fn may_write(&self) -> bool {
        self.access == Access::Write
    }
}

/// A link in the place of what Lynchet itself made there would lead its writing elsewhere.
fn refuse_links(folder: &Path) -> Result<(), ShelfFault> {
    for name in [
        DATABASE,
        "shelf.sqlite-wal",
        "shelf.sqlite-shm",
        "files",
        "index",
        super::aside::ASIDE,
    ] {
        let path = folder.join(name);
        let linked = fs::symlink_metadata(&path).is_ok_and(|about| about.file_type().is_symlink());
        if linked {
            let what = format!("{} is a link to somewhere else", path.display());
            let mend = "put the thing itself there; the folder of the shelf may be a link";
            return Err(ShelfFault::new(Kind::NotAShelf, what, mend).of(&path));
        }
    }
    Ok(())
}

fn open_to_write(folder: &Path, database: &Path) -> Result<Connection, ShelfFault> {
    fs::create_dir_all(folder).map_err(|error| ShelfFault::of_io(&error, folder))?;
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
        | OpenFlags::SQLITE_OPEN_CREATE
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let db = Connection::open_with_flags(database, flags).map_err(unwritable)?;
    db.busy_timeout(PATIENCE)?;
    if db.is_readonly("main")? {
        return Err(read_only());
    }
    if version(&db)? < SCHEMAS.len() {
        bring_up(folder, &db)?;
    }
    Ok(db)
}

/// Opens for reading alone; a shelf that another process writes meanwhile is read as it was last
/// confirmed.
fn open_to_read(folder: &Path, database: &Path) -> Result<Connection, ShelfFault> {
    if !database.is_file() {
        let what = format!("there is no shelf in {}", folder.display());
        let mend = "begin one with: lynchet collection add, or name its folder with --shelf DIR";
        return Err(ShelfFault::new(Kind::NotThere, what, mend));
    }
    let (db, version) = reading(database)?;
    if version == SCHEMAS.len() {
        return Ok(db);
    }
    // Brought up to date first, which takes writing. Let go before, so that the writer is the last
    // to close the database and leaves nothing waiting beside it.
    drop(db);
    match open_to_write(folder, database) {
        Ok(writing) => drop(writing),
        Err(fault) if fault.kind == Kind::ReadOnly && version >= READ_AS_IT_IS => {}
        Err(fault) => return Err(fault),
    }
    Ok(reading(database)?.0)
}

/// The database opened for reading alone, and the number of its schema.
fn reading(database: &Path) -> Result<(Connection, usize), ShelfFault> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let plain = Connection::open_with_flags(database, flags)
        .and_then(|db| db.busy_timeout(PATIENCE).map(|()| db))
        .map_err(ShelfFault::from)
        .and_then(|db| version(&db).map(|version| (db, version)));
    match plain {
        Ok(opened) => Ok(opened),
        Err(fault)
            if still(database) && fault.kind != Kind::Newer && fault.kind != Kind::NotAShelf =>
        {
            let flags = flags | OpenFlags::SQLITE_OPEN_URI;
            let db = Connection::open_with_flags(unchanging(database), flags).map_err(|_| fault)?;
            let version = version(&db)?;
            Ok((db, version))
        }
        Err(fault) => Err(fault),
    }
}

/// True when nothing waits to be taken into the database.
fn still(database: &Path) -> bool {
    let beside = PathBuf::from(format!("{}-wal", database.display()));
    fs::metadata(beside).map_or(true, |about| about.len() == 0)
}

/// The database's name for opening a file that nobody can change.
fn unchanging(database: &Path) -> String {
    let path = fs::canonicalize(database).unwrap_or_else(|_| database.to_path_buf());
    let text = path.to_string_lossy().replace('\\', "/");
    let mut name = String::from("file:");
    for byte in text.bytes() {
        match byte {
            b'/' | b'.' | b'-' | b'_' | b':' => name.push(char::from(byte)),
            _ if byte.is_ascii_alphanumeric() => name.push(char::from(byte)),
            _ => name.push_str(&format!("%{byte:02X}")),
        }
    }
    name + "?immutable=1"
}

/// The schema's number; 0 of a shelf that is only just being made.
pub(super) fn version(db: &Connection) -> Result<usize, ShelfFault> {
    // One statement, so that another process that makes the shelf meanwhile is seen whole or not
    // at all.
    let (mark, version, tables): (i64, i64, i64) = db.query_row(
        "SELECT (SELECT application_id FROM pragma_application_id),
                (SELECT user_version FROM pragma_user_version),
                (SELECT count(*) FROM sqlite_master)",
        [],
        |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
    )?;
    if mark == 0 && tables == 0 {
        return Ok(0);
    }
    if mark != MARK || version < 1 {
        return Err(ShelfFault::new(
            Kind::NotAShelf,
            format!("{DATABASE} is a database, but no shelf of Lynchet's"),
            "name another folder with --shelf DIR",
        ));
    }
    let version = usize::try_from(version).unwrap_or(usize::MAX);
    if version > SCHEMAS.len() {
        return Err(ShelfFault::new(
            Kind::Newer,
            format!(
                "the shelf was written by a newer Lynchet (schema {version}; this one knows {})",
                SCHEMAS.len()
            ),
            "use the newer Lynchet; nothing was changed",
        ));
    }
    Ok(version)
}

/// Makes the shelf or brings its schema up to date, one process at a time. Writes go ahead into a
/// file of their own, so that readers never wait; the database remembers that.
fn bring_up(folder: &Path, db: &Connection) -> Result<(), ShelfFault> {
    let lock = folder.join("shelf.lock");
    let held = fs::OpenOptions::new()
        .create(true)
        .truncate(false)
        .write(true)
        .open(&lock);
    // Let go when it is dropped, or when this process ends in any way.
    let _held = held
        .and_then(|file| file.lock().map(|()| file))
        .map_err(|error| ShelfFault::of_io(&error, &lock))?;
    db.pragma_update_and_check(None, "journal_mode", "WAL", |row| row.get::<_, String>(0))?;
    migrate(db)
}

/// Runs the schemas that the shelf lacks, all or none.
fn migrate(db: &Connection) -> Result<(), ShelfFault> {
    let run = rusqlite::Transaction::new_unchecked(db, TransactionBehavior::Immediate)?;
    for schema in &SCHEMAS[version(db)?..] {
        run.execute_batch(schema)?;
    }
    run.pragma_update(None, "application_id", MARK)?;
    run.pragma_update(None, "user_version", SCHEMAS.len() as i64)?;
    run.commit()?;
    Ok(())
}

/// How every connection works.
pub(super) fn settle(db: &Connection, access: Access) -> Result<(), rusqlite::Error> {
    db.pragma_update(None, "foreign_keys", true)?;
    db.pragma_update(None, "synchronous", "FULL")?;
    db.pragma_update(None, "trusted_schema", false)?;
    db.pragma_update(None, "cell_size_check", true)?;
    // A file's schema is not taken on trust: it could hold triggers that were never ours.
    db.set_db_config(rusqlite::config::DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true)?;
    db.set_db_config(
        rusqlite::config::DbConfig::SQLITE_DBCONFIG_ENABLE_TRIGGER,
        false,
    )?;
    db.set_db_config(
        rusqlite::config::DbConfig::SQLITE_DBCONFIG_ENABLE_VIEW,
        false,
    )?;
    db.set_prepared_statement_cache_capacity(64);
    if access == Access::Read {
        db.pragma_update(None, "query_only", true)?;
    }
    Ok(())
}

fn unwritable(error: rusqlite::Error) -> ShelfFault {
    let fault = ShelfFault::from(error);
    match fault.kind {
        Kind::Disk | Kind::ReadOnly => read_only(),
        _ => fault,
    }
}

/// The fault of writing to a shelf that can only be read.
pub(super) fn read_only() -> ShelfFault {
    ShelfFault::new(
        Kind::ReadOnly,
        "the shelf can be read but not written",
        "allow yourself to write in its folder, or name another with --shelf DIR",
    )
}
