//! Tables: CSV in, row by row, with the line each row stands on.
//!
//! Forgiving: a byte order mark, Windows line ends, short and long rows, broken
//! quotes and bytes that are not UTF-8 cost at most the row they stand in, and a
//! remark says so. Holds one row at a time.

use std::fs::File;
use std::io::{self, Read, Write};
use std::path::Path;

use super::error::Trouble;
use super::line_ends::LineEnds;
use crate::parse::{Field, Remark, RemarkKind};

/// Longest row taken, in bytes; a longer one is a quote that was never closed.
const ROW_MOST: usize = 4 * 1024 * 1024;

/// One row.
pub(super) struct Row {
    /// Line it starts on.
    pub(super) line: u64,
    /// Cells, as many as there are columns.
    pub(super) cells: Vec<String>,
    /// What kept it from being read as it stands.
    pub(super) remarks: Vec<Remark>,
    /// What else there is to say of it.
    pub(super) notes: Vec<Remark>,
}

impl Row {
    /// The cell under a column, whatever the case of its name; empty where there is none.
    pub(super) fn cell(&self, columns: &[String], wanted: &str) -> &str {
        let mut names = columns.iter();
        let place = names.position(|name| name.eq_ignore_ascii_case(wanted));
        place.map_or("", |place| self.cells[place].as_str())
    }
}

/// A table being read.
pub(super) struct Table {
    /// Column names as written, without a byte order mark.
    pub(super) columns: Vec<String>,
    reader: csv::Reader<LineEnds<Box<dyn Read + Send>>>,
    record: csv::ByteRecord,
}

impl Table {
    /// Opens a table; `-` is standard input.
    pub(super) fn open(path: &Path) -> Result<Table, Trouble> {
        let source: Box<dyn Read + Send> = if path.as_os_str() == "-" {
            Box::new(io::stdin())
        } else {
            let named = |error: io::Error| {
                Trouble::new(
                    format!("{}: {error}", path.display()),
                    "name a CSV file with a heading line, or - for standard input",
                )
            };
            let file = File::open(path).map_err(named)?;
            if file.metadata().is_ok_and(|about| about.is_dir()) {
                return Err(Trouble::new(
                    format!("{} is a folder", path.display()),
                    "name a CSV file",
                ));
            }
            Box::new(file)
        };
        Table::over(source, &path.display().to_string())
    }

    /// A table that is read from a source; `name` is what faults call it.
    pub(super) fn over(source: Box<dyn Read + Send>, name: &str) -> Result<Table, Trouble> {
        let mut reader = csv::ReaderBuilder::new()
            .flexible(true)
            .trim(csv::Trim::Headers)
            .from_reader(LineEnds::new(source));
        let columns: Vec<String> = reader
            .byte_headers()?
            .iter()
            .map(|name| {
                String::from_utf8_lossy(name)
                    .trim_start_matches('\u{feff}')
                    .trim()
                    .to_string()
            })
            .collect();
        if columns.iter().all(String::is_empty) {
            return Err(Trouble::new(
                format!("{name} has no heading line"),
                "the first line must name the columns, for example: id,metal,weight_g,diameter_mm",
            ));
        }
        Ok(Table {
            columns,
            reader,
            record: csv::ByteRecord::new(),
        })
    }

    /// Fails when no column says anything of a find, since that is surely the wrong file.
    pub(super) fn needs_a_trait(&self) -> Result<(), Trouble> {
        let known = self
            .columns
            .iter()
            .any(|name| Field::column(name).is_some_and(|field| field != Field::Id));
        if known {
            return Ok(());
        }
        let named = self
            .columns
            .iter()
            .take(8)
            .map(String::as_str)
            .collect::<Vec<_>>()
            .join(", ");
        Err(Trouble::new(
            format!("no column of the table says anything of a find (it has: {named})"),
            "name columns such as metal, weight_g, diameter_mm, obverse_legend",
        ))
    }

    /// The next row, or `None` at the end.
    pub(super) fn next(&mut self) -> Result<Option<Row>, Trouble> {
        if !self.reader.read_byte_record(&mut self.record)? {
            return Ok(None);
        }
        let line = self.line_of_record();
        let mut row = Row {
            line,
            cells: Vec::with_capacity(self.columns.len()),
            remarks: Vec::new(),
            notes: Vec::new(),
        };
        let odd = |what: String, mend: &str| Remark {
            kind: RemarkKind::Ignored,
            field: format!("line {line}"),
            said: String::new(),
            what,
            mend: mend.to_string(),
        };
        let held = self.record.as_slice().len();
        if held > ROW_MOST {
            row.remarks.push(odd(
                format!("the row is {held} bytes long and is passed over"),
                "look for a quote that is never closed",
            ));
            row.cells.resize(self.columns.len(), String::new());
            return Ok(Some(row));
        }
        for cell in self.record.iter().take(self.columns.len()) {
            let text = String::from_utf8_lossy(cell);
            if matches!(text, std::borrow::Cow::Owned(_)) {
                row.remarks.push(odd(
                    "the row has bytes that are not UTF-8".to_string(),
                    "save the table as UTF-8",
                ));
            }
            row.cells.push(text.trim().to_string());
        }
        let (cells, columns) = (self.record.len(), self.columns.len());
        if cells > columns {
            row.remarks.push(odd(format!("the row has {cells} cells where the heading has {columns}; the rest is left out"), "put cells that hold commas in quotes"));
        } else if cells < columns {
            row.remarks.push(odd(format!("the row has {cells} cells where the heading has {columns}; the rest is taken as blank"), "look for a quote or comma that is missing"));
            row.cells.resize(columns, String::new());
        }
        if row.cells.iter().any(|cell| swallows_rows(cell, columns)) {
            row.remarks.push(odd(
                "a cell runs over several lines, and may have taken in rows".to_string(),
                "look for a quote that is never closed",
            ));
        }
        Ok(Some(row))
    }

    /// Line on which the row just read starts: the reader passes over blank lines, so it is
    /// counted back from where the row ends.
    fn line_of_record(&self) -> u64 {
        let inside = self
            .record
            .iter()
            .flatten()
            .filter(|byte| **byte == b'\n')
            .count() as u64;
        let ends_open = !self.record.as_slice().ends_with(b"\n");
        self.reader
            .position()
            .line()
            .saturating_sub(inside + u64::from(ends_open))
    }

    /// The next rows, at most this many.
    pub(super) fn take(&mut self, most: usize) -> Result<Vec<Row>, Trouble> {
        let mut rows = Vec::new();
        while rows.len() < most {
            match self.next()? {
                Some(row) => rows.push(row),
                None => break,
            }
        }
        Ok(rows)
    }
}

/// True when a cell seems to hold whole rows: many lines, or lines with as many commas as a row.
fn swallows_rows(cell: &str, columns: usize) -> bool {
    let like_a_row = |line: &str| columns > 1 && line.matches(',').count() + 1 >= columns;
    cell.contains('\n') && (cell.lines().count() > 3 || cell.lines().skip(1).any(like_a_row))
}

/// Tells on the error stream of what kept rows from being read as they stand.
pub(super) fn tell_of(row: &Row) {
    for remark in &row.remarks {
        let _ = writeln!(
            io::stderr(),
            "line {}: {}; {}",
            row.line,
            remark.what,
            remark.mend
        );
    }
}

/// The traits of a row, by the columns that name one.
pub(super) fn traits(columns: &[String], row: &Row) -> Vec<(Field, String)> {
    columns
        .iter()
        .zip(&row.cells)
        .filter(|(_, cell)| !cell.is_empty())
        .filter_map(|(name, cell)| Some((Field::column(name)?, cell.clone())))
        .collect()
}
