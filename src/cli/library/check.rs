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
use crate::catalogue::{self, Checked, Fault, Files, OWN, OwnFiles, Standing};

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
    /// Types of both sorts.
    by_period: BTreeMap<String, usize>,
    by_grade: BTreeMap<&'static str, usize>,
    artefacts_by_period: BTreeMap<String, usize>,
    /// Artefact types by the class written for them; those of wider classes are not added up.
    artefacts_by_class: BTreeMap<String, usize>,
    classes: usize,
    forms: usize,
    sources: usize,
    motifs: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    own: Option<OwnView>,
}

/// What a person's own types hold.
#[derive(Serialize)]
struct OwnView {
    types: usize,
    faults: Vec<FaultView>,
}

/// A person's own types, checked over the library.
struct Own {
    types: usize,
    faults: Vec<Fault>,
}

impl Own {
    fn of(layer: Option<&Path>, files: &Files) -> Option<Own> {
        let own = OwnFiles::of(layer?);
        if own.is_empty() {
            return None;
        }
        let laid = catalogue::layered(files, &own, "");
        let things = catalogue::layered_things(files, &own, &laid.catalogue);
        let coins = laid.catalogue.listed().iter().map(|coin| &coin.id);
        let ids = coins.chain(things.artefacts.types.iter().map(|thing| &thing.id));
        let types = ids.filter(|id| id.starts_with(OWN)).count();
        let faults = own.faults.into_iter().chain(laid.own_faults);
        Some(Own {
            types,
            faults: faults.chain(things.own_faults).collect(),
        })
    }
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
    (folder, layer): (Option<&Path>, Option<&Path>),
    json: bool,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let files = files(folder)?;
    let checked = catalogue::check(&files);
    let own = Own::of(layer, &files);
    let own_faults = own.as_ref().map_or(0, |own| own.faults.len());
    if json {
        let mut view = check_view(&checked);
        view.own = own.map(|own| OwnView {
            types: own.types,
            faults: own.faults.iter().map(fault_view).collect(),
        });
        print_json(&view, out)?;
    } else {
        print(&checked, out)?;
        if let Some(own) = own {
            let mut faults = own.faults.iter();
            faults.try_for_each(|fault| writeln!(out, "{fault}"))?;
            let (types, faults) = (own.types, own.faults.len());
            writeln!(out, "your own: {types} types, {faults} faults")?;
        }
    }
    Ok(if checked.faults.is_empty() && own_faults == 0 {
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

fn check_view(checked: &Checked) -> CheckView {
    let (coins, things) = (&checked.catalogue, &checked.artefacts);
    let counted = |counts: Vec<(&str, [usize; 3])>| {
        let counts = counts.into_iter();
        let counts = counts.map(|(id, grades)| (id.to_string(), grades.iter().sum()));
        counts.collect::<BTreeMap<String, usize>>()
    };
    let by_grade = GRADES.map(grade).into_iter().zip(by_grade(checked));
    CheckView {
        types: coins.listed().len() + things.types.len(),
        coins: coins.listed().len(),
        artefacts: things.types.len(),
        faults: checked.faults.iter().map(fault_view).collect(),
        by_period: counted(by_period(checked, true)),
        by_grade: by_grade.collect(),
        artefacts_by_period: counted(by_period(checked, false)),
        artefacts_by_class: by_class(checked)
            .into_iter()
            .map(|(id, count)| (id.to_string(), count))
            .collect(),
        classes: things.classes.len(),
        forms: things.forms.len(),
        sources: coins.sources.len(),
        motifs: coins.motifs.len(),
        own: None,
    }
}

/// Types of each grade, in order of [`GRADES`].
fn by_grade(checked: &Checked) -> [usize; 3] {
    let mut counts = [0; 3];
    for (_, grades) in by_period(checked, true) {
        for (whole, count) in counts.iter_mut().zip(grades) {
            *whole += count;
        }
    }
    counts
}

/// Types of each period and grade, in order of first year and of [`GRADES`]: of artefacts, and
/// of coins too where `coins` says so.
fn by_period(checked: &Checked, coins: bool) -> Vec<(&str, [usize; 3])> {
    let things = &checked.artefacts;
    let mut counts = vec![[0; 3]; things.periods.len()];
    let coined = checked.catalogue.listed().iter().filter(|_| coins);
    let coined = coined.map(|coin| (coin.period, coin.standing));
    let made = things.types.iter();
    for (period, standing) in coined.chain(made.map(|one| (one.period, one.standing))) {
        let grade = GRADES.iter().position(|grade| *grade == standing);
        counts[period][grade.unwrap_or(2)] += 1;
    }
    let order = things.periods_in_order().into_iter();
    order
        .map(|period| (things.periods[period].id.as_str(), counts[period]))
        .collect()
}

/// Artefact types of each class, in alphabetical order, classes without types left out.
fn by_class(checked: &Checked) -> BTreeMap<&str, usize> {
    let things = &checked.artefacts;
    let mut counts = BTreeMap::new();
    for artefact in &things.types {
        let class = things.classes[artefact.class].id.as_str();
        *counts.entry(class).or_insert(0) += 1;
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

fn print(checked: &Checked, out: &mut dyn Write) -> Result<(), Trouble> {
    let (library, things) = (&checked.catalogue, &checked.artefacts);
    let mut faults = checked.faults.iter();
    faults.try_for_each(|fault| writeln!(out, "{fault}"))?;
    let (coins, made) = (library.listed().len(), things.types.len());
    writeln!(
        out,
        "{} types ({coins} of coins, {made} of artefacts), {} motifs, {} classes, {} forms, \
         {} sources, {} faults",
        coins + made,
        library.motifs.len(),
        things.classes.len(),
        things.forms.len(),
        library.sources.len(),
        checked.faults.len()
    )?;
    let whole = |(id, grades): (&'_ str, [usize; 3])| {
        (id.to_string(), grades.iter().sum::<usize>().to_string())
    };
    let both = by_period(checked, true);
    let named = |grades: [usize; 3]| {
        let grades = grades.map(|count| count.to_string());
        counted(GRADES.map(grade).into_iter().zip(grades))
    };
    let counts = |counts: Vec<(String, String)>| {
        counted(
            counts
                .iter()
                .map(|(id, count)| (id.as_str(), count.clone())),
        )
    };
    let all = both.iter().copied().map(whole).collect();
    writeln!(out, "by period: {}", counts(all))?;
    writeln!(out, "by grade:  {}", named(by_grade(checked)))?;
    let widest = both.iter().map(|(id, _)| id.len()).max().unwrap_or(0);
    for (id, grades) in &both {
        writeln!(out, "  {id:<widest$}  {}", named(*grades))?;
    }
    if made > 0 {
        let made = by_period(checked, false).into_iter().map(whole).collect();
        writeln!(out, "artefacts by period: {}", counts(made))?;
        let classes = by_class(checked).into_iter();
        let classes = classes.map(|(id, count)| (id, count.to_string()));
        writeln!(out, "artefacts by class:  {}", counted(classes))?;
    }
    Ok(())
}

fn counted<'a>(counts: impl Iterator<Item = (&'a str, String)>) -> String {
    let counts = counts.map(|(name, count)| format!("{name} {count}"));
    counts.collect::<Vec<_>>().join(", ")
}
