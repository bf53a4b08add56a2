//! The backup: the whole shelf in one file.
//!
//! Copies the database first, by SQLite's own way for one in use, then the files that the copy
//! names; since files are only ever added, the two agree, whatever is written meanwhile. Leaves out
//! a file that is gone or not as it was kept, and says so.
//!
//! Invariant: every byte in the backup has its sum in the backup's lists.

use std::collections::BTreeMap;
use std::fs::{self, File, OpenOptions};
use std::io::{self, BufWriter, Write};
use std::path::Path;

use rusqlite::Connection;
use rusqlite::backup::{Backup, StepResult};
use zip::{CompressionMethod, ZipWriter};

use super::super::Shelf;
use super::super::fault::{Kind, ShelfFault};
use super::{Named, Passing, Torn, bag, named, number, own, parent, plain, refuse_taken, streamed};

/// What was backed up.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Backed {
    /// Size of the backup in bytes.
    pub bytes: u64,
    /// How many finds are in it.
    pub finds: u64,
    /// How many photographs and documents are in it.
    pub files: u64,
    /// How many files of own types are in it.
    pub own: u64,
    /// Number of the last act in it.
    pub last_act: u64,
    /// Files that are not in it because they are gone or not as they were kept, in words.
    pub missing: Vec<String>,
}

/// A bag being written.
struct Bag {
    zip: ZipWriter<BufWriter<File>>,
    sums: BTreeMap<String, String>,
    bytes: u64,
}

impl Shelf {
    /// Writes the whole shelf into one file, which must not be there yet. Other processes may write
    /// the shelf meanwhile; the backup is as the shelf was at one instant.
    ///
    /// # Errors
    ///
    /// When the file is there, cannot be written, or the database is damaged. Nothing is left then.
    pub fn backup(&self, file: &Path) -> Result<Backed, ShelfFault> {
        let file = plain(file);
        refuse_taken(&file, false, "name another file, with the day in its name")?;
        let copy = Passing::beside(&file, "sqlite");
        let db = self.copied(&copy.path)?;
        let files = named(&db)?;
        let mut backed = Backed {
            finds: number(&db, "SELECT count(*) FROM find")?,
            last_act: number(&db, "SELECT coalesce(max(seq), 0) FROM act")?,
            ..Backed::default()
        };
        let said = said(&db)?;
        drop(db);
        let part = Passing::beside(&file, "part");
        let of_io = |error: io::Error| ShelfFault::of_io(&error, &file);
        let new = OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&part.path);
        let mut bag = Bag {
            zip: ZipWriter::new(BufWriter::with_capacity(1 << 20, new.map_err(of_io)?)),
            sums: BTreeMap::new(),
            bytes: 0,
        };
        let packed = bag.fill(self, &copy.path, &files, &said, &mut backed);
        packed.map_err(|fault| fault.of(&file))?;
        let written = bag.end().and_then(|done| done.sync_all().map(|()| done));
        backed.bytes = written
            .and_then(|done| done.metadata())
            .map_err(of_io)?
            .len();
        part.becomes(&file).map_err(of_io)?;
        Ok(backed)
    }

    /// True when something would lie within the shelf's own folder, and be lost with it.
    pub fn holds(&self, file: &Path) -> bool {
        let whole = |path: &Path| fs::canonicalize(path).ok();
        match (whole(&self.folder), whole(&parent(file))) {
            (Some(shelf), Some(above)) => above.starts_with(shelf),
            _ => false,
        }
    }

    /// A copy of the database as it is at one instant; it must be sound.
    fn copied(&self, to: &Path) -> Result<Connection, ShelfFault> {
        // Made here, so that what is wrong with the place is said as the system says it.
        let new = OpenOptions::new().write(true).create_new(true).open(to);
        drop(new.map_err(|error| ShelfFault::of_io(&error, to))?);
        let mut copy = Connection::open(to).map_err(uncopied)?;
        // A copy that was cut off is thrown away: nothing of it needs to be safe.
        copy.execute_batch("PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY;")
            .map_err(uncopied)?;
        self.copy_pages(&mut copy)?;
        // One file, without another beside it.
        copy.execute_batch("PRAGMA journal_mode = DELETE;")
            .map_err(uncopied)?;
        let sound = copy.query_row("PRAGMA quick_check(1)", [], |row| row.get::<_, String>(0));
        let why = match sound {
            Ok(sound) if sound == "ok" => return Ok(copy),
            Ok(other) => other,
            Err(error) => error.to_string(),
        };
        Err(ShelfFault::new(
            Kind::Damaged,
            format!("the shelf's database is damaged ({why}), so this would be no backup"),
            "keep your last backup; save what can be read with: lynchet collection export DIR",
        )
        .of(&self.database()))
    }

    fn copy_pages(&self, copy: &mut Connection) -> Result<(), ShelfFault> {
        let under_way = Backup::new(&self.db, copy).map_err(uncopied)?;
        let mut waits = 0;
        loop {
            match under_way.step(-1).map_err(uncopied)? {
                StepResult::Done => return Ok(()),
                StepResult::More => {}
                // Every step has waited as long as the connection does already.
                _ if waits < 3 => waits += 1,
                _ => {
                    return Err(ShelfFault::new(
                        Kind::Locked,
                        "the shelf is held by another process",
                        "let the other one end, then try again; nothing was changed",
                    )
                    .of(&self.database()));
                }
            }
        }
    }
}

/// The fault of a copy of the database that could not be made.
fn uncopied(error: rusqlite::Error) -> ShelfFault {
    let fault = ShelfFault::from(error);
    match fault.kind {
        Kind::Full | Kind::Disk | Kind::ReadOnly => ShelfFault::new(
            fault.kind,
            format!("the backup could not be written: {}", fault.what),
            "make room, or name a file on another disk; the shelf is untouched",
        ),
        _ => fault,
    }
}

/// What the bag says of itself, as far as the database knows it.
fn said(db: &Connection) -> Result<String, ShelfFault> {
    let schema = number(db, "PRAGMA user_version")?;
    let last = number(db, "SELECT coalesce(max(seq), 0) FROM act")?;
    let at = "SELECT coalesce((SELECT at FROM act ORDER BY seq DESC LIMIT 1), '')";
    let at: String = db.query_row(at, [], |row| row.get(0))?;
    let at: String = at.chars().filter(|c| !c.is_control()).take(40).collect();
    Ok(format!(
        "Bag-Software-Agent: lynchet {}\n\
         External-Description: a shelf of finds and land; restore it with lynchet restore\n\
         Lynchet-Schema: {schema}\nLynchet-Last-Act: {last}\nLynchet-Last-Act-At: {at}\n",
        env!("CARGO_PKG_VERSION")
    ))
}

impl Bag {
    fn fill(
        &mut self,
        shelf: &Shelf,
        copy: &Path,
        files: &BTreeMap<String, Named>,
        said: &str,
        backed: &mut Backed,
    ) -> Result<(), ShelfFault> {
        let mut tags = BTreeMap::new();
        self.text(bag::BAGIT, bag::DECLARATION, &mut tags)?;
        self.whole(bag::DATABASE, copy)?;
        let mut info = said.to_string();
        for digest in files.keys() {
            match shelf.bytes_of(digest) {
                Ok(bytes) => {
                    self.begin(&bag::file_name(digest), bytes.len() as u64)?;
                    self.zip.write_all(&bytes).map_err(failed)?;
                    self.bytes += bytes.len() as u64;
                    self.sums.insert(bag::file_name(digest), digest.clone());
                    backed.files += 1;
                }
                Err(fault) => {
                    info.push_str(&format!("{}: {digest}\n", bag::MISSING));
                    backed.missing.push(fault.what);
                }
            }
        }
        let (own, left_out) = own::held(&shelf.folder);
        for (name, text) in own {
            let name = format!("{}{name}", bag::OWN_TYPES);
            let mut sums = std::mem::take(&mut self.sums);
            let written = self.text(&name, &text, &mut sums);
            self.sums = sums;
            written?;
            self.bytes += text.len() as u64;
            backed.own += 1;
        }
        backed.missing.extend(left_out);
        info.push_str(&format!(
            "Payload-Oxum: {}.{}\n",
            self.bytes,
            self.sums.len()
        ));
        self.text(bag::INFO, &info, &mut tags)?;
        let sums = bag::sums(&self.sums);
        self.text(bag::MANIFEST, &sums, &mut tags)?;
        let tags = bag::sums(&tags);
        self.text(bag::TAG_MANIFEST, &tags, &mut BTreeMap::new())
    }

    fn begin(&mut self, name: &str, bytes: u64) -> Result<(), ShelfFault> {
        // Photographs are packed already, and a database is read sooner as it is.
        let options = super::in_zip(name)
            .compression_method(CompressionMethod::Stored)
            .large_file(bytes >= u64::from(u32::MAX));
        self.zip
            .start_file(name, options)
            .map_err(|error| failed(error.into()))
    }

    fn text(
        &mut self,
        name: &str,
        text: &str,
        sums: &mut BTreeMap<String, String>,
    ) -> Result<(), ShelfFault> {
        self.begin(name, text.len() as u64)?;
        self.zip.write_all(text.as_bytes()).map_err(failed)?;
        sums.insert(
            name.to_string(),
            super::super::files::digest_of(text.as_bytes()),
        );
        Ok(())
    }

    /// A whole file as it lies on the disk.
    fn whole(&mut self, name: &str, path: &Path) -> Result<(), ShelfFault> {
        let of_io = |error: io::Error| ShelfFault::of_io(&error, path);
        let mut file = File::open(path).map_err(of_io)?;
        let length = file.metadata().map_err(of_io)?.len();
        self.begin(name, length)?;
        let copied = streamed(&mut file, &mut self.zip, length);
        let (sum, bytes) = copied.map_err(|torn| match torn {
            Torn::Reading(error) => of_io(error),
            Torn::Writing(error) => failed(error),
            Torn::Longer => of_io(io::Error::other("it grew while it was read")),
        })?;
        self.bytes += bytes;
        self.sums.insert(name.to_string(), sum);
        Ok(())
    }

    /// Ends the file; its bytes are with the system.
    fn end(self) -> io::Result<File> {
        let mut buffer = self.zip.finish()?;
        buffer.flush()?;
        buffer.into_inner().map_err(io::IntoInnerError::into_error)
    }
}

/// The fault of writing the backup itself.
fn failed(error: io::Error) -> ShelfFault {
    let (kind, mend) = match error.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded | io::ErrorKind::FileTooLarge => {
            (Kind::Full, "make room, or name a file on another disk")
        }
        _ => (Kind::Disk, "name a file on another disk"),
    };
    let what = format!("the backup could not be written: {error}");
    ShelfFault::new(kind, what, format!("{mend}; the shelf is untouched"))
}
