//! The folder that an export is written into: its files, and what each of them is.
//!
//! Writes only names that were made here. Every file is on the disk when it is ended.
//!
//! Invariant: every file that was written is among the parts.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use super::super::super::fault::ShelfFault;
use super::super::{parent, settled};

/// A file of the export.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Part {
    /// Its name below the folder.
    pub name: String,
    /// Its media type.
    pub media: &'static str,
    /// Its size.
    pub bytes: u64,
    /// What it is.
    pub what: String,
}

/// The folder.
pub(super) struct Out {
    folder: PathBuf,
    folders: BTreeSet<PathBuf>,
    /// What was written, in order.
    pub parts: Vec<Part>,
}

/// A file being written.
pub(super) struct Open {
    path: PathBuf,
    part: Part,
    file: BufWriter<File>,
}

/// A table being written.
pub(super) struct Table {
    open: csv::Writer<Open>,
    name: String,
    /// Rows so far.
    pub rows: u64,
}

impl Out {
    /// Makes the folder.
    pub fn new(folder: &Path) -> Result<Out, ShelfFault> {
        fs::create_dir(folder).map_err(|error| ShelfFault::of_io(&error, folder))?;
        Ok(Out {
            folder: folder.to_path_buf(),
            folders: BTreeSet::from([folder.to_path_buf()]),
            parts: Vec::new(),
        })
    }

    /// Begins a file.
    pub fn open(
        &mut self,
        name: &str,
        media: &'static str,
        what: &str,
    ) -> Result<Open, ShelfFault> {
        let path = self.folder.join(name);
        let above = parent(&path);
        if self.folders.insert(above.clone()) {
            fs::create_dir_all(&above).map_err(|error| ShelfFault::of_io(&error, &above))?;
        }
        let file = File::create_new(&path).map_err(|error| ShelfFault::of_io(&error, &path))?;
        let (name, what) = (name.to_string(), what.to_string());
        Ok(Open {
            path,
            part: Part {
                name,
                media,
                bytes: 0,
                what,
            },
            file: BufWriter::new(file),
        })
    }

    /// Ends a file: it is on the disk.
    pub fn end(&mut self, mut open: Open) -> Result<(), ShelfFault> {
        let done = open.flush().and_then(|()| open.file.get_ref().sync_all());
        done.map_err(|error| ShelfFault::of_io(&error, &open.path))?;
        self.parts.push(open.part);
        Ok(())
    }

    /// A whole file.
    pub fn put(
        &mut self,
        name: &str,
        media: &'static str,
        what: &str,
        bytes: &[u8],
    ) -> Result<(), ShelfFault> {
        let mut open = self.open(name, media, what)?;
        let written = open.write_all(bytes);
        written.map_err(|error| ShelfFault::of_io(&error, &open.path))?;
        self.end(open)
    }

    /// Begins a table with its heading.
    pub fn table(&mut self, name: &str, what: &str, heading: &[&str]) -> Result<Table, ShelfFault> {
        let open = self.open(name, "text/csv", what)?;
        let mut table = Table {
            open: csv::Writer::from_writer(open),
            name: name.into(),
            rows: 0,
        };
        table.row(heading.iter().copied())?;
        table.rows = 0;
        Ok(table)
    }

    /// Ends a table; gives its rows.
    pub fn end_table(&mut self, table: Table) -> Result<u64, ShelfFault> {
        let rows = table.rows;
        let name = self.folder.join(&table.name);
        let open = table.open.into_inner();
        let open =
            open.map_err(|error| ShelfFault::of_io(&io::Error::other(error.to_string()), &name))?;
        self.end(open)?;
        Ok(rows)
    }

    /// Makes sure that all names are on the disk.
    pub fn settled(&self) -> Result<(), ShelfFault> {
        for folder in &self.folders {
            settled(folder).map_err(|error| ShelfFault::of_io(&error, folder))?;
        }
        Ok(())
    }
}

impl Table {
    /// Writes a row.
    pub fn row<T: AsRef<[u8]>>(
        &mut self,
        cells: impl IntoIterator<Item = T>,
    ) -> Result<(), ShelfFault> {
        self.rows += 1;
        self.open.write_record(cells).map_err(|error| {
            let error = match error.into_kind() {
                csv::ErrorKind::Io(error) => error,
                other => io::Error::other(format!("{other:?}")),
            };
            ShelfFault::of_io(&error, Path::new(&self.name))
        })
    }
}

impl Write for Open {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let count = self.file.write(bytes)?;
        self.part.bytes += count as u64;
        Ok(count)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}
