//! `evaluate`: finds whose identity is known, judged with it hidden.
//!
//! Counts how often the truth stood first, or among the first three or five, at each
//! level it can be resolved to; how well the probabilities held; how far the date
//! was off; and lists the confident wrong answers one by one. Never learns from what
//! it sees.
//!
//! Invariant: the judging is given the traits alone.

mod report;
mod tried;
mod truth;

use std::io::Write;

use rayon::prelude::*;

use super::args::EvaluateArgs;
use super::error::Trouble;
use super::judging::Judging;
use super::resolve::Names;
use super::table::{Row, Table, tell_of, traits};
use super::{Outcome, print_json};
use crate::House;
use crate::parse;
use report::{print, report};
use tried::Tried;
use truth::truth;

/// Judges a table of identified finds and reports.
pub(super) fn run(
    asked: &EvaluateArgs,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let mut table = Table::open(&asked.table)?;
    table.needs_a_trait()?;
    let rows = table.take(usize::MAX)?;
    rows.iter().for_each(tell_of);
    let names = Names::of(&house.catalogue);
    let judging = Judging::of(&asked.judging, house)?;
    let tried: Vec<Tried> = rows
        .par_iter()
        .map(|row| try_row(row, &table.columns, &names, &judging, house))
        .collect();
    let report = report(&tried, house);
    if asked.json {
        print_json(&report, out)?;
    } else {
        print(&report, out)?;
    }
    Ok(Outcome::Answer)
}

fn try_row(
    row: &Row,
    columns: &[String],
    names: &Names,
    judging: &Judging,
    house: &House,
) -> Tried {
    let (find, _) = parse::form(&traits(columns, row), &house.lexicon);
    let cell = |column: &str| row.cell(columns, column);
    Tried {
        id: find
            .id
            .clone()
            .unwrap_or_else(|| format!("line-{}", row.line)),
        truth: truth(&cell, names),
        said: judging.identify(&find, house),
    }
}
