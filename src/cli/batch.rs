//! `batch`: every find of a table, on all cores, in the table's order.
//!
//! Works through the table in pieces, so a long one needs no more memory than a
//! short one. A row that cannot be read is reported with its line, and the rest done.

use std::collections::{BTreeMap, HashSet};
use std::fs::File;
use std::io::{self, BufWriter, IsTerminal, Write};
use std::path::Path;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};
use rayon::prelude::*;
use serde::Serialize;

use super::Outcome;
use super::args::{BatchArgs, BatchForm};
use super::error::Trouble;
use super::judging::Judging;
use super::table::{Row, Table, tell_of, traits};
use super::view::AnswerView;
use crate::parse::{self, Field, Remark, RemarkKind};
use crate::score::Share;
use crate::{House, Identification};

/// Rows judged together.
const PIECE: usize = 512;

/// Columns added to a table.
const ADDED: [&str; 12] = [
    "answer",
    "answer_level",
    "answer_p",
    "period",
    "ruler",
    "denomination",
    "type",
    "type_p",
    "unlisted_p",
    "date_from",
    "date_to",
    "remarks",
];

/// Judges a table.
pub(super) fn run(
    asked: &BatchArgs,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let mut table = Table::open(&asked.table)?;
    table.needs_a_trait()?;
    let mut judging = Judging::of(&asked.judging, house)?;
    judging.learnt = asked.learning.learnt(house)?;
    judging.answer_only = asked.form == BatchForm::Csv;
    match &asked.to {
        None => work_through(asked, &judging, house, &mut table, out),
        Some(path) => to_file(path, |file| {
            work_through(asked, &judging, house, &mut table, file)
        }),
    }
}

/// Writes beside the file and renames, so a run that is cut off leaves the old file whole.
fn to_file(
    path: &Path,
    write: impl FnOnce(&mut dyn Write) -> Result<Outcome, Trouble>,
) -> Result<Outcome, Trouble> {
    let named = |error: io::Error| {
        Trouble::new(
            format!("{}: {error}", path.display()),
            "name a file in a folder that can be written to",
        )
    };
    let name = path
        .file_name()
        .ok_or_else(|| Trouble::new(format!("{} is not a file", path.display()), "name a file"))?;
    let beside = path.with_file_name(format!(
        ".{}.{}.tmp",
        name.to_string_lossy(),
        std::process::id()
    ));
    let mut file = BufWriter::new(File::create(&beside).map_err(named)?);
    let done = write(&mut file).and_then(|outcome| file.flush().map(|()| outcome).map_err(named));
    let renamed = done.and_then(|outcome| {
        std::fs::rename(&beside, path)
            .map(|()| outcome)
            .map_err(named)
    });
    if renamed.is_err() {
        let _ = std::fs::remove_file(&beside);
    }
    renamed
}

/// Where the answers go, in the form asked for.
enum Sheet<'o> {
    Jsonl(&'o mut dyn Write),
    Csv(Box<csv::Writer<&'o mut dyn Write>>),
}

impl Sheet<'_> {
    fn write(
        &mut self,
        row: &Row,
        columns: &[String],
        answered: &Answered,
        house: &House,
        top: usize,
    ) -> Result<(), Trouble> {
        match self {
            Sheet::Csv(sheet) => {
                Ok(sheet.write_record(row.cells.iter().cloned().chain(answered.cells(house)))?)
            }
            Sheet::Jsonl(out) => {
                serde_json::to_writer(&mut **out, &answered.view(row, columns, house, top))?;
                Ok(writeln!(out)?)
            }
        }
    }
}

fn work_through(
    asked: &BatchArgs,
    judging: &Judging,
    house: &House,
    table: &mut Table,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let progress = progress(asked);
    let mut seen = HashSet::new();
    let mut unread = false;
    let mut sheet = match asked.form {
        BatchForm::Jsonl => Sheet::Jsonl(out),
        BatchForm::Csv => {
            let mut sheet = csv::Writer::from_writer(out);
            let added = ADDED.iter().map(|name| format!("lynchet_{name}"));
            sheet.write_record(table.columns.iter().cloned().chain(added))?;
            Sheet::Csv(Box::new(sheet))
        }
    };
    loop {
        let mut rows = table.take(PIECE)?;
        if rows.is_empty() {
            break;
        }
        unread |= rows.iter().any(|row| !row.remarks.is_empty());
        mark_ids(&table.columns, &mut rows, &mut seen);
        let columns = &table.columns;
        let answers: Vec<Answered> = rows
            .par_iter()
            .map(|row| Answered::of(row, columns, judging, house))
            .collect();
        for (row, answered) in rows.iter().zip(&answers) {
            progress.suspend(|| tell_of(row));
            sheet.write(row, columns, answered, house, judging.top)?;
        }
        progress.inc(rows.len() as u64);
    }
    if let Sheet::Csv(sheet) = &mut sheet {
        sheet.flush()?;
    }
    progress.finish_and_clear();
    Ok(if unread {
        Outcome::PartlyUnread
    } else {
        Outcome::Answer
    })
}

/// A spinner with a count, on a terminal that is not also taking the answers.
fn progress(asked: &BatchArgs) -> ProgressBar {
    if !io::stderr().is_terminal() || (asked.to.is_none() && io::stdout().is_terminal()) {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new_spinner();
    if let Ok(style) = ProgressStyle::with_template("{spinner} {human_pos} finds, {per_sec}") {
        bar.set_style(style);
    }
    bar.enable_steady_tick(Duration::from_millis(120));
    bar
}

/// Gives rows without an id the number of their line, and remarks on ids used twice.
fn mark_ids(columns: &[String], rows: &mut [Row], seen: &mut HashSet<String>) {
    let column = columns
        .iter()
        .position(|name| Field::column(name) == Some(Field::Id));
    for row in rows {
        let id = column
            .map_or("", |column| row.cells[column].as_str())
            .to_string();
        if !id.is_empty() && !seen.insert(id.clone()) {
            let what = format!("the id {id} stands in an earlier row as well");
            row.notes.push(remark(
                RemarkKind::Contradiction,
                row.line,
                &id,
                what,
                "give each find an id of its own",
            ));
        } else if id.is_empty() {
            let what = format!("the row has no id; it is called line-{}", row.line);
            row.notes.push(remark(
                RemarkKind::Assumed,
                row.line,
                "",
                what,
                "give each find an id of its own",
            ));
        }
    }
}

fn remark(kind: RemarkKind, line: u64, said: &str, what: String, mend: &str) -> Remark {
    Remark {
        kind,
        field: format!("id, line {line}"),
        said: said.to_string(),
        what,
        mend: mend.to_string(),
    }
}

/// A row answered.
struct Answered {
    id: String,
    said: Identification,
    remarks: Vec<Remark>,
}

/// A line of JSON: the answer, and the columns that say nothing of the find.
#[derive(Serialize)]
struct LineView<'r> {
    #[serde(flatten)]
    answer: AnswerView,
    kept: BTreeMap<&'r str, String>,
}

impl Answered {
    fn of(row: &Row, columns: &[String], judging: &Judging, house: &House) -> Answered {
        let (find, heard) = parse::form(&traits(columns, row), &house.lexicon);
        let remarks = row
            .remarks
            .iter()
            .chain(&row.notes)
            .cloned()
            .chain(heard)
            .collect();
        let id = find
            .id
            .clone()
            .unwrap_or_else(|| format!("line-{}", row.line));
        Answered {
            id,
            said: judging.identify(&find, house),
            remarks,
        }
    }

    fn view<'r>(
        &self,
        row: &'r Row,
        columns: &'r [String],
        house: &House,
        top: usize,
    ) -> LineView<'r> {
        let kept = columns
            .iter()
            .zip(&row.cells)
            .filter(|(name, _)| Field::column(name).is_none());
        let mut view = LineView {
            answer: AnswerView::of(Some(self.id.clone()), &self.said, &self.remarks, house, top),
            kept: BTreeMap::new(),
        };
        // Columns of one name are kept side by side; JSON has room for one.
        for (name, cell) in kept {
            let held = view.kept.entry(name.as_str());
            held.and_modify(|held| *held = format!("{held} | {cell}"))
                .or_insert_with(|| cell.clone());
        }
        view
    }

    /// The added cells, in the order of [`ADDED`].
    fn cells(&self, house: &House) -> Vec<String> {
        let (said, library) = (&self.said, &house.catalogue);
        let top = |shares: &[Share], name: &dyn Fn(usize) -> String| {
            shares.first().map_or(String::new(), |share| {
                share.of.map_or("none named".to_string(), name)
            })
        };
        let first = said.ranking.judged.first();
        let eighty = said.date.as_ref().map(|date| date.ranges().p80);
        let remarks: Vec<String> = self.remarks.iter().map(Remark::to_string).collect();
        vec![
            said.text.clone(),
            said.answer.level.name().to_string(),
            format!("{:.4}", said.answer.p),
            top(&said.shares.period, &|i| library.periods[i].id.clone()),
            top(&said.shares.ruler, &|i| library.rulers[i].id.clone()),
            top(&said.shares.denomination, &|i| {
                library.denominations[i].id.clone()
            }),
            first.map_or(String::new(), |j| library.types[j.coin].id.clone()),
            first.map_or(String::new(), |j| format!("{:.4}", j.probability)),
            format!("{:.4}", said.ranking.unlisted),
            eighty.map_or(String::new(), |span| span.from.to_string()),
            eighty.map_or(String::new(), |span| span.to.to_string()),
            remarks.join(" | "),
        ]
    }
}
