//! `catalogue check`: every fault of the library, and what it holds.
//!
//! Never mends a fault and never leaves one out.
//!
//! Invariant: ends as an answer only when there is no fault.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;

use serde::Serialize;

use super::super::Outcome;
use super::super::error::Trouble;
use super::{files, grade, print_json};
use crate::catalogue::{self, Catalogue, Fault, Standing};

/// Grades, the best first.
const GRADES: [Standing; 3] = [Standing::Checked, Standing::Cited, Standing::Recalled];

/// What `catalogue check --json` prints.
#[derive(Serialize)]
struct CheckView {
    types: usize,
    /// Types of coins and near-coins.
    coins: usize,
    /// Types of other things.
    artefacts: usize,
    faults: Vec<FaultView>,
    by_period: BTreeMap<String, usize>,
    by_grade: BTreeMap<&'static str, usize>,
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
    let checked = catalogue::check(&files(folder)?);
    let (library, faults) = (&checked.catalogue, &checked.faults);
    let view = check_view(library, faults);
    if json {
        print_json(&view, out)?;
    } else {
        print(library, faults, out)?;
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
    let periods = library.periods.iter().zip(by_period(library));
    let by_period = periods.map(|(period, grades)| (period.id.clone(), grades.iter().sum()));
    let by_grade = GRADES.map(grade).into_iter().zip(by_grade(library));
    CheckView {
        types: library.listed().len(),
        // The library has no tables of artefacts: all its types are of coins and near-coins.
        coins: library.listed().len(),
        artefacts: 0,
        faults: faults.iter().map(fault_view).collect(),
        by_period: by_period.collect(),
        by_grade: by_grade.collect(),
        sources: library.sources.len(),
        motifs: library.motifs.len(),
    }
}

/// Types of each grade, in order of [`GRADES`].
fn by_grade(library: &Catalogue) -> [usize; 3] {
    GRADES.map(|grade| {
        let of_grade = library.listed().iter().filter(|t| t.standing == grade);
        of_grade.count()
    })
}

/// Types of each period and grade, in order of the library's periods and of [`GRADES`].
fn by_period(library: &Catalogue) -> Vec<[usize; 3]> {
    let mut counts = vec![[0; 3]; library.periods.len()];
    for coin in library.listed() {
        let grade = GRADES.iter().position(|grade| *grade == coin.standing);
        counts[coin.period][grade.unwrap_or(2)] += 1;
    }
    counts
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

fn print(library: &Catalogue, faults: &[Fault], out: &mut dyn Write) -> Result<(), Trouble> {
    faults
        .iter()
        .try_for_each(|fault| writeln!(out, "{fault}"))?;
    writeln!(
        out,
        "{} types, {} motifs, {} sources, {} faults",
        library.listed().len(),
        library.motifs.len(),
        library.sources.len(),
        faults.len()
    )?;
    let by_period = by_period(library);
    let whole = |grades: &[usize; 3]| grades.iter().sum::<usize>().to_string();
    let ids = || library.periods.iter().map(|period| period.id.as_str());
    let counts = ids().zip(by_period.iter().map(whole));
    writeln!(out, "by period: {}", counted(counts))?;
    let named = |grades: [usize; 3]| {
        let grades = grades.map(|count| count.to_string());
        counted(GRADES.map(grade).into_iter().zip(grades))
    };
    writeln!(out, "by grade:  {}", named(by_grade(library)))?;
    let widest = ids().map(str::len).max().unwrap_or(0);
    for (id, grades) in ids().zip(by_period) {
        writeln!(out, "  {id:<widest$}  {}", named(grades))?;
    }
    Ok(())
}

fn counted<'a>(counts: impl Iterator<Item = (&'a str, String)>) -> String {
    let counts = counts.map(|(name, count)| format!("{name} {count}"));
    counts.collect::<Vec<_>>().join(", ")
}
