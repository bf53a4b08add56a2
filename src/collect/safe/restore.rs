//! Restoring: a backup to a shelf in an empty place.
//!
//! Trusts nothing of the file: names, sizes, sums, tables and rows are held against each other, and
//! all is unpacked into a folder beside the place, which gets its name when everything was right.
//! Nothing that is there is ever written over.
//!
//! Invariant: no name from the file becomes a path; no more is unpacked than the file is long.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File, OpenOptions};
use std::io::{self, BufReader, Read, Write};
use std::path::{Path, PathBuf};

use rusqlite::Connection;
use zip::{CompressionMethod, ZipArchive};

use super::super::fault::{Kind, ShelfFault};
use super::super::files::{FILE_MOST, path_of};
use super::super::{Access, open};
use super::bag::{self, Entry, broken, shown};
use super::own::OWN_MOST;
use super::{
    Named, Passing, Torn, named, number, parent, plain, refuse_other_tables, refuse_taken, settled,
    streamed,
};

/// Most entries of a backup.
const ENTRIES_MOST: usize = 5_000_000;
/// Most bytes of one of the texts at the top.
const TEXT_MOST: u64 = 1_000_000_000;

/// What was restored.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Restored {
    /// How many finds.
    pub finds: u64,
    /// How many photographs and documents.
    pub files: u64,
    /// Number of the last act.
    pub last_act: u64,
    /// How many files of own types are back.
    pub own: u64,
    /// Digests of files that were missing already when the backup was made.
    pub missing: Vec<String>,
}

/// A backup that was opened and whose list of entries is sound.
struct Archive {
    zip: ZipArchive<BufReader<File>>,
    /// Place in the file, by name.
    places: BTreeMap<String, usize>,
}

/// Restores a backup into a folder that is empty or not there.
///
/// # Errors
///
/// When something is in the folder, when the file is no backup, cut short, changed, or holds
/// anything that a backup does not, or when the disk fails. Nothing is changed then.
pub fn restore(backup: &Path, folder: &Path) -> Result<Restored, ShelfFault> {
    let folder = plain(folder);
    let mend = format!(
        "move it out of the way first (mv {0} {0}-old), or name an empty place with --shelf DIR",
        folder.display()
    );
    let above = parent(&folder);
    if fs::symlink_metadata(&folder).is_err() {
        fs::create_dir_all(&above).map_err(|error| ShelfFault::of_io(&error, &above))?;
    }
    refuse_taken(&folder, true, &mend)?;
    let mut archive = Archive::open(backup)?;
    let mut sums = archive.sums()?;
    let missing = archive.missing()?;
    let beside = Passing::beside(&folder, "restoring");
    fs::create_dir(&beside.path).map_err(|error| ShelfFault::of_io(&error, &beside.path))?;
    let database = beside.path.join(open::DATABASE);
    let sum = sums.remove(bag::DATABASE);
    archive.unpack(bag::DATABASE, &database, u64::MAX, sum.as_deref())?;
    let mut restored = archive.rows(&database, &missing, &sums, &beside.path)?;
    restored.missing = missing.into_iter().collect();
    // The database is as it was made; what it was opened for must not stay beside it.
    settled(&beside.path).map_err(|error| ShelfFault::of_io(&error, &beside.path))?;
    if folder.is_dir() {
        // Only an empty one can be taken away.
        fs::remove_dir(&folder).map_err(|error| ShelfFault::of_io(&error, &folder))?;
    }
    let placed = beside.becomes(&folder);
    placed.map_err(|error| ShelfFault::of_io(&error, &folder))?;
    Ok(restored)
}

impl Archive {
    fn open(path: &Path) -> Result<Archive, ShelfFault> {
        let of_io = |error: io::Error| ShelfFault::of_io(&error, path);
        let file = File::open(path).map_err(of_io)?;
        let about = file.metadata().map_err(of_io)?;
        if !about.is_file() {
            let what = format!("{} is no file", path.display());
            return Err(ShelfFault::new(
                Kind::NotThere,
                what,
                "name the backup's file",
            ));
        }
        let zip = ZipArchive::new(BufReader::new(file)).map_err(|error| {
            let why = short(&error);
            broken(format!(
                "{} is no zip file, or is cut short ({why})",
                path.display()
            ))
        })?;
        let mut archive = Archive {
            zip,
            places: BTreeMap::new(),
        };
        archive.look_through(about.len())?;
        Ok(archive)
    }

    /// Holds the list of entries against what a backup can hold, before anything is unpacked.
    fn look_through(&mut self, length: u64) -> Result<(), ShelfFault> {
        if self.zip.len() > ENTRIES_MOST {
            return Err(broken(format!("it has {} entries", self.zip.len())));
        }
        let mut bytes = 0_u64;
        for at in 0..self.zip.len() {
            let entry = self
                .zip
                .by_index_data(at)
                .map_err(|error| broken(short(&error)))?;
            let name = String::from_utf8_lossy(entry.name_raw()).into_owned();
            Entry::of(&name).map_err(broken)?;
            let shown = shown(&name);
            if entry.is_symlink() || entry.is_dir() {
                return Err(broken(format!("the entry {shown} is a link or a folder")));
            }
            let stored = entry.compression() == CompressionMethod::Stored
                && entry.compressed_size() == entry.size();
            if !stored || entry.encrypted() {
                return Err(broken(format!(
                    "the entry {shown} is packed or locked; a backup holds everything as it is"
                )));
            }
            bytes = bytes.saturating_add(entry.size());
            self.places.insert(name, at);
        }
        if self.zip.has_duplicate_names() || self.places.len() != self.zip.len() {
            return Err(broken("it holds a name twice"));
        }
        let overlapping = self.zip.has_overlapping_entries();
        if bytes > length || overlapping.map_err(|error| broken(short(&error)))? {
            return Err(broken(format!(
                "its entries say that they hold {bytes} bytes, more than the file has or one over \
                 the other"
            )));
        }
        for name in [
            bag::BAGIT,
            bag::INFO,
            bag::MANIFEST,
            bag::TAG_MANIFEST,
            bag::DATABASE,
        ] {
            if !self.places.contains_key(name) {
                return Err(broken(format!("it lacks {name}")));
            }
        }
        Ok(())
    }

    /// One of the texts at the top.
    fn text(&mut self, name: &str) -> Result<String, ShelfFault> {
        let at = self.places.get(name).copied().unwrap_or(usize::MAX);
        let entry = self
            .zip
            .by_index(at)
            .map_err(|error| broken(short(&error)))?;
        let mut text = String::new();
        let read = entry.take(TEXT_MOST).read_to_string(&mut text);
        read.map_err(|error| broken(format!("{name} cannot be read: {error}")))?;
        Ok(text)
    }

    /// The sums of what is kept, after all lists were held against each other and the entries.
    fn sums(&mut self) -> Result<BTreeMap<String, String>, ShelfFault> {
        if self.text(bag::BAGIT)?.replace('\r', "") != bag::DECLARATION {
            return Err(broken("bagit.txt is not that of a backup"));
        }
        let tags = self.text(bag::TAG_MANIFEST)?;
        let tags = bag::read_sums(bag::TAG_MANIFEST, &tags)?;
        for name in [bag::BAGIT, bag::INFO, bag::MANIFEST] {
            let text = self.text(name)?;
            let sum = super::super::files::digest_of(text.as_bytes());
            if tags.get(name) != Some(&sum) {
                return Err(broken(format!(
                    "{name} is not as {} has it",
                    bag::TAG_MANIFEST
                )));
            }
        }
        let manifest = self.text(bag::MANIFEST)?;
        let sums = bag::read_sums(bag::MANIFEST, &manifest)?;
        let kept = |name: &&String| name.starts_with("data/");
        for name in self.places.keys().filter(kept) {
            if !sums.contains_key(name) {
                return Err(broken(format!(
                    "{} has no line for {}",
                    bag::MANIFEST,
                    shown(name)
                )));
            }
        }
        for name in sums.keys() {
            if !self.places.contains_key(name) {
                let (list, name) = (bag::MANIFEST, shown(name));
                return Err(broken(format!("it lacks {name}, which {list} has")));
            }
        }
        Ok(sums)
    }

    /// Digests of files that were gone when the backup was made.
    fn missing(&mut self) -> Result<BTreeSet<String>, ShelfFault> {
        let info = self.text(bag::INFO)?;
        let said = info.lines().filter_map(|line| line.split_once(": "));
        let missing =
            said.filter(|(label, digest)| *label == bag::MISSING && super::is_digest(digest));
        Ok(missing.map(|(_, digest)| digest.to_string()).collect())
    }

    /// Unpacks one entry into a new file, which is then on the disk.
    fn unpack(
        &mut self,
        name: &str,
        to: &Path,
        most: u64,
        sum: Option<&str>,
    ) -> Result<(), ShelfFault> {
        let of_io = |error: io::Error| ShelfFault::of_io(&error, to);
        let at = self.places.get(name).copied().unwrap_or(usize::MAX);
        let mut entry = self
            .zip
            .by_index(at)
            .map_err(|error| broken(short(&error)))?;
        let most = most.min(entry.size());
        let new = OpenOptions::new().write(true).create_new(true).open(to);
        let mut new = new.map_err(of_io)?;
        let copied = streamed(&mut entry, &mut new, most);
        let (found, _) = copied.map_err(|torn| match torn {
            Torn::Reading(error) => broken(format!("{name} cannot be read: {error}")),
            Torn::Writing(error) => of_io(error),
            Torn::Longer => broken(format!("{name} is longer than it says")),
        })?;
        if Some(found.as_str()) != sum {
            return Err(broken(format!(
                "{name} is not as its sum says: it was changed"
            )));
        }
        new.flush().and_then(|()| new.sync_all()).map_err(of_io)
    }

    /// Holds the database against its schema, then the files against its rows, and unpacks them.
    fn rows(
        &mut self,
        database: &Path,
        missing: &BTreeSet<String>,
        sums: &BTreeMap<String, String>,
        folder: &Path,
    ) -> Result<Restored, ShelfFault> {
        let db = sound(database)?;
        let files = named(&db)?;
        for name in sums.keys() {
            let known = match Entry::of(name) {
                Ok(Entry::File(digest)) => files.contains_key(&digest),
                Ok(Entry::Own(_)) => true,
                _ => false,
            };
            if !known {
                return Err(broken(format!(
                    "{} belongs to nothing on the shelf",
                    shown(name)
                )));
            }
        }
        let mut restored = Restored {
            finds: number(&db, "SELECT count(*) FROM find")?,
            last_act: number(&db, "SELECT coalesce(max(seq), 0) FROM act")?,
            ..Restored::default()
        };
        // Put back so that readers never wait; closing takes in what waits beside the database.
        db.pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(()))?;
        db.close().map_err(|(_, error)| ShelfFault::from(error))?;
        let mut folders = BTreeSet::new();
        for (digest, row) in &files {
            let name = bag::file_name(digest);
            if self.places.contains_key(&name) {
                folders.insert(self.file(&name, digest, row, sums, folder)?);
                restored.files += 1;
            } else if !missing.contains(digest) {
                return Err(broken(format!(
                    "it lacks {name}, which the shelf's rows name"
                )));
            }
        }
        for name in sums.keys() {
            if let Ok(Entry::Own(own)) = Entry::of(name) {
                let to = folder.join(crate::catalogue::TYPES).join(own);
                let above = parent(&to);
                fs::create_dir_all(&above).map_err(|error| ShelfFault::of_io(&error, &above))?;
                let sum = sums.get(name).map(String::as_str);
                self.unpack(name, &to, OWN_MOST, sum)?;
                folders.insert(above);
                restored.own += 1;
            }
        }
        for above in &folders {
            settled(above).map_err(|error| ShelfFault::of_io(&error, above))?;
        }
        Ok(restored)
    }

    /// Unpacks a kept file, held against its row; gives the folder that it is in.
    fn file(
        &mut self,
        name: &str,
        digest: &str,
        row: &Named,
        sums: &BTreeMap<String, String>,
        folder: &Path,
    ) -> Result<PathBuf, ShelfFault> {
        let at = self.places.get(name).copied().unwrap_or(usize::MAX);
        let entry = self.zip.by_index_data(at);
        let entry = entry.map_err(|error| broken(short(&error)))?;
        if entry.size() != row.bytes || row.bytes > FILE_MOST as u64 {
            return Err(broken(format!(
                "{name} has not the size that the shelf's rows say"
            )));
        }
        let sum = sums.get(name).map(String::as_str);
        if sum != Some(digest) {
            return Err(broken(format!(
                "{name} has not the sum that it is named by"
            )));
        }
        let to = path_of(folder, digest);
        let above = parent(&to);
        fs::create_dir_all(&above).map_err(|error| ShelfFault::of_io(&error, &above))?;
        self.unpack(name, &to, row.bytes, sum)?;
        Ok(above)
    }
}

/// The database of a backup, once it was found sound.
fn sound(path: &Path) -> Result<Connection, ShelfFault> {
    let flags =
        rusqlite::OpenFlags::SQLITE_OPEN_READ_WRITE | rusqlite::OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let db = Connection::open_with_flags(path, flags).map_err(unreadable)?;
    open::settle(&db, Access::Write).map_err(unreadable)?;
    let version = open::version(&db).map_err(|fault| match fault.kind {
        Kind::Newer => fault,
        _ => broken(fault.what),
    })?;
    refuse_other_tables(&db, version)?;
    let lines = |sql: &str| -> Result<Vec<String>, ShelfFault> {
        let mut asked = db.prepare(sql).map_err(unreadable)?;
        let rows = asked.query_map([], |row| row.get(0)).map_err(unreadable)?;
        rows.collect::<Result<_, _>>().map_err(unreadable)
    };
    let found = lines("PRAGMA integrity_check(3)")?;
    if found != ["ok"] {
        return Err(broken(format!(
            "its database is damaged: {}",
            found.join("; ")
        )));
    }
    let torn = lines("SELECT \"table\" FROM pragma_foreign_key_check LIMIT 3")?;
    match torn.first() {
        None => Ok(db),
        Some(table) => Err(broken(format!(
            "a row of {table} refers to one that is not there"
        ))),
    }
}

fn unreadable(error: rusqlite::Error) -> ShelfFault {
    broken(format!("its database is damaged ({error})"))
}

/// Words of the reader of zip files, made harmless.
fn short(error: &zip::result::ZipError) -> String {
    let text = error.to_string();
    text.chars().filter(|c| !c.is_control()).take(120).collect()
}
