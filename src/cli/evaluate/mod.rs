//! `evaluate`: finds whose identity is known, judged with it hidden.
//!
//! Counts how often the truth stood first, or among the first three or five, at each
//! level it can be resolved to; how well the probabilities held; how far the date
//! was off; what became of finds that the library lacks; and lists the confident wrong answers one
//! by one. Never learns from what it sees.
//!
//! Invariant: the judging is given the traits alone.

mod altered;
mod asked;
mod calibration;
mod groups;
mod levels;
mod outside;
mod page;
mod picture;
mod print;
mod report;
mod rows;
mod tried;
mod truth;
mod write;

use std::io::Write;
use std::path::PathBuf;

use rayon::prelude::*;

use super::args::EvaluateArgs;
use super::error::Trouble;
use super::judging::Judging;
use super::{Outcome, print_json};
use crate::House;
use altered::{Altered, Altering};
use asked::AskedView;
use report::report;
use rows::{Identified, read};
use tried::Tried;

/// Judges tables of identified finds and reports.
pub(super) fn run(
    asked: &EvaluateArgs,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    // A folder that cannot be written to is told of before the work.
    let folder = asked.write.as_deref().map(write::ready).transpose()?;
    let judging = Judging::of(&asked.judging, house)?;
    let (finds, tables) = read(asked.tables.iter().map(PathBuf::as_path), house)?;
    let unknown = finds.iter().any(|one| !one.truth.unknown.is_empty());
    let altering = Altering::of(asked, &finds);
    let mut wanted: Vec<&Identified> = finds.iter().collect();
    wanted.retain(|one| judging.shown(&one.find).trait_count() >= asked.at_least);
    if wanted.is_empty() {
        let what = format!("no find has {} traits or more", asked.at_least);
        return Err(Trouble::new(what, "ask for fewer with --at-least"));
    }
    let left_out = finds.len() - wanted.len();
    let (tried, untaken) = judge(&wanted, asked, &altering, &judging, house);
    if tried.is_empty() {
        return Err(Trouble::new(
            "of no find it is known which types are to be taken out",
            "give the table a column types, or ruler_or_authority and denomination_or_type",
        ));
    }
    let told = AskedView::of(asked, tables, left_out, untaken, house);
    let report = report(told, &tried, &judging.beforehand(house), house);
    // Written before anything is printed, so that a reader who leaves early does not keep it back.
    let written = folder.map(|folder| write::write(&report, &folder));
    let written = written.transpose()?;
    if asked.json {
        print_json(&report, out)?;
    } else {
        print::print(&report, out)?;
    }
    if let Some(told) = written {
        write::tell(&told, asked.json, out)?;
    }
    Ok(match unknown {
        true => Outcome::PartlyUnread,
        false => Outcome::Answer,
    })
}

/// Judges finds; gives the labels of those whose types cannot be taken out since they are not known.
fn judge(
    wanted: &[&Identified],
    asked: &EvaluateArgs,
    altering: &Altering,
    judging: &Judging,
    house: &House,
) -> (Vec<Tried>, Vec<String>) {
    let judged: Vec<Result<Tried, String>> = wanted
        .par_iter()
        .map(|one| {
            let Altered { find, wrong_traits } = altering.alter(one, house);
            let find = judging.shown(&find);
            let mut truth = one.truth.clone();
            let said = if asked.without_truth {
                let types = truth.to_take_out(&house.catalogue);
                if types.is_empty() {
                    return Err(one.label.clone());
                }
                let said = judging.without(&find, &types, house);
                truth = truth.without_types(types);
                said
            } else {
                judging.identify(&find, house)
            };
            Ok(Tried {
                label: one.label.clone(),
                truth,
                find,
                wrong_traits,
                said,
            })
        })
        .collect();
    let (mut tried, mut untaken) = (Vec::new(), Vec::new());
    for one in judged {
        match one {
            Ok(one) => tried.push(one),
            Err(label) => untaken.push(label),
        }
    }
    (tried, untaken)
}
