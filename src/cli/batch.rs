//! `batch`: every find of a table, on all cores, in the table's order.
//!
//! Works through the table in pieces, so a long one needs no more memory than a
//! short one. A row that cannot be read is reported with its line, and the rest done.

use std::collections::HashSet;
use std::fs::File;
use std::io::{self, BufWriter, IsTerminal, Write};
use std::path::Path;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};
use rayon::prelude::*;

use super::Outcome;
use super::args::{BatchArgs, BatchForm};
use super::error::Trouble;
use super::table::{Row, Table, traits};
use super::view::AnswerView;
use crate::parse::{self, Field, Remark, RemarkKind};
use crate::score::Shares;
use crate::{House, Identification};

/// Rows judged together.
const PIECE: usize = 512;

/// Columns added to a table.
const ADDED: [&str; 12] = [
    "answer", "answer_level", "answer_p", "period", "ruler", "denomination", "type", "type_p", "unlisted_p", "date_from", "date_to", "remarks",
];

/// Judges a table.
pub(super) fn run(asked: &BatchArgs, house: &House, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let mut table = Table::open(&asked.table)?;
    table.needs_a_trait()?;
    match &asked.to {
        None => work_through(asked, house, &mut table, out),
        Some(path) => to_file(path, |file| work_through(asked, house, &mut table, file)),
    }
}

/// Writes beside the file and renames, so a run that is cut off leaves the old file whole.
fn to_file(path: &Path, write: impl FnOnce(&mut dyn Write) -> Result<Outcome, Trouble>) -> Result<Outcome, Trouble> {
    let named = |error: io::Error| Trouble::new(format!("{}: {error}", path.display()), "name a file in a folder that can be written to");
    let name = path.file_name().ok_or_else(|| Trouble::new(format!("{} is not a file", path.display()), "name a file"))?;
    let beside = path.with_file_name(format!(".{}.{}.tmp", name.to_string_lossy(), std::process::id()));
    let mut file = BufWriter::new(File::create(&beside).map_err(named)?);
    let done = write(&mut file).and_then(|outcome| file.flush().map(|()| outcome).map_err(named));
    let renamed = done.and_then(|outcome| std::fs::rename(&beside, path).map(|()| outcome).map_err(named));
    if renamed.is_err() {
        let _ = std::fs::remove_file(&beside);
    }
    renamed
}

fn work_through(asked: &BatchArgs, house: &House, table: &mut Table, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let progress = progress(asked);
    let mut seen = HashSet::new();
    let mut odd_rows = 0;
    let mut sheet = csv::Writer::from_writer(out);
    if asked.form == BatchForm::Csv {
        let added = ADDED.iter().map(|name| format!("lynchet_{name}"));
        sheet.write_record(table.columns.iter().cloned().chain(added))?;
    }
    loop {
        let mut rows = table.take(PIECE)?;
        if rows.is_empty() {
            break;
        }
        odd_rows += mark_ids(&table.columns, &mut rows, &mut seen);
        let columns = &table.columns;
        let judged: Vec<Judged> = rows.par_iter().map(|row| Judged::of(row, columns, asked, house)).collect();
        for (row, judged) in rows.iter().zip(&judged) {
            report(row, &progress);
            match asked.form {
                BatchForm::Jsonl => judged.write_json(row, columns, house, asked.judging.top, sheet.get_mut_checked()?)?,
                BatchForm::Csv => sheet.write_record(row.cells.iter().cloned().chain(judged.cells(house)))?,
            }
        }
        progress.inc(rows.len() as u64);
    }
    sheet.flush()?;
    progress.finish_and_clear();
    Ok(if odd_rows > 0 { Outcome::PartlyUnread } else { Outcome::Answer })
}
