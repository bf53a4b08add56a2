//! `treasure`: what the law may ask of a find or a group, to whom and by when.
//!
//! Gathers the facts, asks the treasure room, and prints; judges nothing and sends nothing.
//!
//! Invariant: the same facts on the same day print the same, on a terminal and as JSON.

mod args;
mod gather;
mod print;
mod view;

pub(super) use args::{EXAMPLES, TreasureArgs};
pub(super) use gather::clock_today;

use std::io::Write;

use super::error::Trouble;
use super::{Outcome, print_json};
use crate::House;
use crate::treasure::judge;

/// Judges the facts and prints the verdict.
pub(super) fn run(
    asked: &TreasureArgs,
    open: impl FnOnce() -> Result<&'static House, Trouble>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    if asked.rules {
        match asked.json {
            true => print_json(&view::rules(), out)?,
            false => print::rules(out)?,
        }
        return Ok(Outcome::Answer);
    }
    let gathered = gather::gather(asked, open)?;
    let mut verdict = judge(&gathered.facts, gathered.today);
    verdict.assumed.extend(gathered.assumed.iter().cloned());
    match asked.json {
        true => print_json(&view::VerdictView::of(&verdict, &gathered), out)?,
        false => print::verdict(&verdict, &gathered, out)?,
    }
    Ok(Outcome::Answer)
}
