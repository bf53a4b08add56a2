//! The lines of an export's tables, one at a time.
//!
//! Reads CSV by the names of its columns, whatever their order. Knows nothing of what they mean.
//!
//! Invariant: no more is held than one row, and no row is longer than is allowed.

use std::cell::Cell;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;
use std::rc::Rc;

use super::super::fault::{Kind, ShelfFault};

/// Most bytes of one row.
const ROW_MOST: u64 = 16_000_000;
/// Most rows of one table.
const ROWS_MOST: u64 = 10_000_000;

/// The fault of an export that is not as it must be.
pub(super) fn broken(what: String) -> ShelfFault {
    ShelfFault::new(
        Kind::Field,
        format!("the export cannot be brought in: {what}"),
        "mend the lines named, or export again; nothing was made",
    )
}

/// One line of a table.
pub(super) struct Line {
    /// Its number in the file, from 1.
    pub line: u64,
    /// The cells wanted, in the order asked for.
    pub cells: Vec<String>,
}

/// A table being read: the columns asked for, whatever their order, a bounded row at a time.
pub(super) struct Reader {
    file: &'static str,
    reader: csv::Reader<Bounded>,
    spent: Rc<Cell<u64>>,
    at: Vec<usize>,
    rows: u64,
}

/// A file of which only so much may be read until the next row.
struct Bounded {
    file: File,
    spent: Rc<Cell<u64>>,
}

impl Read for Bounded {
    fn read(&mut self, to: &mut [u8]) -> io::Result<usize> {
        if self.spent.get() > ROW_MOST {
            return Err(io::Error::other(format!(
                "a row is longer than {ROW_MOST} bytes"
            )));
        }
        let count = self.file.read(to)?;
        self.spent.set(self.spent.get() + count as u64);
        Ok(count)
    }
}

impl Reader {
    /// Opens a table of an export; it must have the columns.
    pub fn open(from: &Path, file: &'static str, wanted: &[&str]) -> Result<Reader, ShelfFault> {
        let path = from.join(file);
        let opened = File::open(&path).map_err(|error| ShelfFault::of_io(&error, &path))?;
        let spent = Rc::new(Cell::new(0));
        let bounded = Bounded {
            file: opened,
            spent: Rc::clone(&spent),
        };
        let mut reader = csv::Reader::from_reader(bounded);
        let heading = reader
            .headers()
            .map_err(|error| broken(format!("{file}: {error}")))?;
        let place = |name: &&str| {
            let at = heading.iter().position(|held| held == *name);
            at.ok_or_else(|| broken(format!("{file} line 1: it has no column {name}")))
        };
        let at = wanted.iter().map(place).collect::<Result<_, _>>()?;
        Ok(Reader {
            file,
            reader,
            spent,
            at,
            rows: 0,
        })
    }

    /// The next line; none at the end.
    pub fn next(&mut self) -> Result<Option<Line>, ShelfFault> {
        self.spent.set(0);
        let mut record = csv::StringRecord::new();
        let read = self.reader.read_record(&mut record);
        if !read.map_err(|error| broken(format!("{}: {error}", self.file)))? {
            return Ok(None);
        }
        self.rows += 1;
        if self.rows > ROWS_MOST {
            return Err(broken(format!(
                "{} has more than {ROWS_MOST} rows",
                self.file
            )));
        }
        let line = record.position().map_or(0, csv::Position::line);
        let cells = self
            .at
            .iter()
            .map(|at| record.get(*at).unwrap_or_default().to_string());
        Ok(Some(Line {
            line,
            cells: cells.collect(),
        }))
    }
}
