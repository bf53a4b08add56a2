//! `catalogue check`: every fault of the library, and what it holds.
//!
//! Never mends a fault and never leaves one out.
//!
//! Invariant: ends as an answer only when there is no fault.

use std::fmt::Display;
use std::io::Write;
use std::path::Path;

use serde::Serialize;

use super::super::Outcome;
use super::super::error::Trouble;
use super::{files, grade, print_json};
use crate::catalogue::{self, Catalogue, Fault, Standing};

/// What `catalogue check --json` prints.
#[derive(Serialize)]
struct CheckView {
    types: usize,
    faults: Vec<FaultView>,
    by_period: Vec<(String, usize)>,
    by_grade: Vec<(&'static str, usize)>,
    sources: usize,
    motifs: usize,
}

#[derive(Serialize)]
struct FaultView {
    file: String,
    line: usize,
    id: String,
    field: String,
    rule: &'static str,
    what: String,
    mend: String,
}

/// Checks a library and tells of its faults.
pub(super) fn run(
    folder: Option<&Path>,
    json: bool,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let (library, faults) = catalogue::check(&files(folder)?);
    let view = check_view(&library, &faults);
    if json {
        print_json(&view, out)?;
    } else {
        print(&view, &faults, out)?;
    }
    Ok(if faults.is_empty() {
        Outcome::Answer
    } else {
        Outcome::NothingFits
    })
}

/// Lists the rules, each with its summary.
pub(super) fn list_rules(out: &mut dyn Write) -> Result<Outcome, Trouble> {
    for rule in catalogue::rules::RULES {
        writeln!(out, "{:<10} {}", rule.name, rule.summary)?;
    }
    Ok(Outcome::Answer)
}

fn check_view(library: &Catalogue, faults: &[Fault]) -> CheckView {
    let types = library.types.iter();
    let periods = library.periods.iter().enumerate();
    let by_period = periods.map(|(position, period)| {
        let count = types.clone().filter(|t| t.period == position).count();
        (period.id.clone(), count)
    });
    let grades = [Standing::Checked, Standing::Cited, Standing::Recalled];
    let by_grade = grades.map(|standing| {
        let count = types.clone().filter(|t| t.standing == standing).count();
        (grade(standing), count)
    });
    CheckView {
        types: library.types.len(),
        faults: faults.iter().map(fault_view).collect(),
        by_period: by_period.collect(),
        by_grade: by_grade.to_vec(),
        sources: library.sources.len(),
        motifs: library.motifs.len(),
    }
}

fn fault_view(fault: &Fault) -> FaultView {
    let Fault {
        file,
        line,
        id,
        field,
        rule,
        what,
        mend,
    } = fault.clone();
    FaultView {
        file,
        line,
        id,
        field,
        rule,
        what,
        mend,
    }
}

fn print(view: &CheckView, faults: &[Fault], out: &mut dyn Write) -> Result<(), Trouble> {
    faults
        .iter()
        .try_for_each(|fault| writeln!(out, "{fault}"))?;
    writeln!(
        out,
        "{} types, {} motifs, {} sources, {} faults",
        view.types,
        view.motifs,
        view.sources,
        faults.len()
    )?;
    writeln!(out, "by period: {}", counts(&view.by_period))?;
    writeln!(out, "by grade:  {}", counts(&view.by_grade))?;
    Ok(())
}

fn counts(counted: &[(impl Display, usize)]) -> String {
    let counts = counted
        .iter()
        .map(|(name, count)| format!("{name} {count}"));
    counts.collect::<Vec<_>>().join(", ")
}
