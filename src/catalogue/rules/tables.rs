//! Rule `tables`: entries of the tables that date by themselves are whole and agree.
//!
//! Demands that a table is one the README names, that each entry has the fields its table needs,
//! that rulers, mints and denominations named have rows, that years run forwards, and that a
//! weight is its pound divided by the pieces struck from it.
//!
//! Why: nothing else in the library leans on these tables, so a slip in one would never show.
//!
//! To mend: write the missing field, or the id of a row that is there.

use std::collections::HashSet;

use super::super::fault::Fault;
use super::super::raw::{RawEntry, Row};
use super::{Library, row_fault};
use crate::find::{Dated, Span};

/// Pounds in grams: Roman as usually reckoned, Tower of 5,400 troy grains, troy, avoirdupois.
const POUNDS: [(&str, f64); 4] = [
    ("roman", 327.45),
    ("tower", 349.914),
    ("troy", 373.242),
    ("avoirdupois", 453.592),
];
/// How far a weight may lie from pound over pieces.
const SLACK: f64 = 0.006;

/// Tables, each with whether an entry has what it needs, and what that is.
type Needs = (fn(&RawEntry) -> bool, &'static str);
const COUNTS: Needs = (
    |e| e.name.is_some() && e.span.is_some() && e.per_mill.is_some(),
    "name, span and per_mill",
);
const TABLES: [(&str, Needs); 10] = [
    (
        "initial-marks",
        (
            |e| e.ruler.is_some() && e.mark.is_some() && e.span.is_some(),
            "ruler, mark and span",
        ),
    ),
    ("medieval-finds", COUNTS),
    (
        "mint-marks",
        (
            |e| e.mint.is_some() && !e.marks.is_empty() && e.span.is_some(),
            "mint, marks and span",
        ),
    ),
    (
        "nuremberg-masters",
        (
            |e| e.name.is_some() && !e.signs.is_empty() && e.span.is_some(),
            "name, signs and span",
        ),
    ),
    (
        "penny-marks",
        (
            |e| e.mint.is_some() && e.mark.is_some() && e.span.is_some(),
            "mint, mark and span",
        ),
    ),
    (
        "reece-periods",
        (|e| e.name.is_some() && e.span.is_some(), "name and span"),
    ),
    (
        "regnal-dates",
        (
            |e| e.name.is_some() && e.from.is_some() && e.to.is_some(),
            "name, from and to",
        ),
    ),
    ("richborough-finds", COUNTS),
    ("roman-site-finds", COUNTS),
    (
        "weight-standards",
        (
            |e| !e.denominations.is_empty() && e.span.is_some() && e.weight.is_some(),
            "denominations, span and weight",
        ),
    ),
];

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let ids = |kind: &str| -> HashSet<&str> {
        let rows = library.rows.iter().filter(|row| row.kind == kind);
        rows.map(|row| row.id).collect()
    };
    let known = [
        ("ruler", ids("ruler")),
        ("mint", ids("mint")),
        ("denomination", ids("denomination")),
    ];
    let mut faults = Vec::new();
    for row in &library.raw.tables {
        faults.extend(wants(row));
        faults.extend(unknown(row, &known));
        faults.extend(times(row));
        faults.extend(reckoned(row));
    }
    faults
}

fn wants(row: &Row<RawEntry>) -> Option<Fault> {
    let stem = row.file.rsplit('/').next().unwrap_or("");
    let stem = stem.trim_end_matches(".toml");
    let Some((_, (whole, needs))) = TABLES.iter().find(|(name, _)| *name == stem) else {
        let names: Vec<&str> = TABLES.iter().map(|(name, _)| *name).collect();
        let what = format!("no table `{stem}` is known");
        let mend = format!("name the file after one of: {}", names.join(", "));
        return Some(row_fault("tables", row, "", what, mend));
    };
    let what = format!("an entry of {stem} needs {needs}");
    (!whole(&row.fields)).then(|| row_fault("tables", row, "", what, "write what is missing"))
}

fn unknown(row: &Row<RawEntry>, known: &[(&str, HashSet<&str>); 3]) -> Vec<Fault> {
    let f = &row.fields;
    let mut faults = Vec::new();
    let mut look = |kind: usize, id: &str| {
        let (name, ids) = &known[kind];
        if !ids.contains(id) {
            let what = format!("there is no {name} `{id}`");
            let mend = format!("write the id of a {name}, or write its row");
            faults.push(row_fault("tables", row, name, what, mend));
        }
    };
    f.ruler.iter().for_each(|id| look(0, id));
    f.mint.iter().for_each(|id| look(1, id));
    f.denominations.iter().for_each(|id| look(2, id));
    faults
}

fn times(row: &Row<RawEntry>) -> Vec<Fault> {
    let f = &row.fields;
    let mut faults = Vec::new();
    if f.span
        .is_some_and(|[from, to]| Span::new(from, to).is_none())
    {
        let what = "the years run backwards or name a year 0";
        let mend = "write [first, last], BC negative, no year 0";
        faults.push(row_fault("tables", row, "span", what, mend));
    }
    let days = [("from", &f.from), ("to", &f.to)].map(|(field, text)| {
        let day = text.as_ref().map(|text| Dated::read(text));
        if day == Some(None) {
            let mend = "write YYYY, YYYY-MM or YYYY-MM-DD";
            faults.push(row_fault("tables", row, field, "this is no date", mend));
        }
        day.flatten()
    });
    if let [Some(from), Some(to)] = days
        && from.earliest > to.latest
    {
        let mend = "write the first day and the last";
        faults.push(row_fault(
            "tables",
            row,
            "to",
            "it ends before it begins",
            mend,
        ));
    }
    faults
}

/// A weight that is not its pound divided by the pieces struck from it.
fn reckoned(row: &Row<RawEntry>) -> Option<Fault> {
    let f = &row.fields;
    let (weight, count, pound) = (f.weight?, f.to_the_pound?, f.pound.as_deref()?);
    let Some((_, grams)) = POUNDS.iter().find(|(name, _)| *name == pound) else {
        let mend = "write roman, tower, troy or avoirdupois";
        return Some(row_fault(
            "tables",
            row,
            "pound",
            "no such pound is known",
            mend,
        ));
    };
    let reckoned = grams / count;
    let off = (weight - reckoned).abs() / reckoned > SLACK;
    let what = format!("{weight} g is not a {pound} pound divided by {count}: {reckoned:.4} g");
    off.then(|| row_fault("tables", row, "weight", what, "reckon it again"))
}
