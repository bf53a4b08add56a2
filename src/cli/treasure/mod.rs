//! `treasure`: what the law may ask of a find or a group, to whom and by when.
//!
//! Gathers the facts, asks the treasure room, and prints; judges nothing and sends nothing.
//!
//! Invariant: the same facts on the same day print the same, on a terminal and as JSON.

pub(super) mod args;
pub(super) mod gather;
pub(super) mod print;
mod view;

pub(super) use args::{Belonging, EXAMPLES, PlaceAndDays, TreasureArgs};
pub(super) use gather::{clock_today, day, possible};

use std::io::Write;

use super::error::Trouble;
use super::{Outcome, print_json};
use crate::House;
use crate::treasure::{CalendarDay, Facts, Verdict, judge};

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

/// Facts that another verb gathered, judged as this one judges its own.
pub(super) struct Judged {
    pub(super) verdict: Verdict,
    gathered: gather::Gathered,
}

impl Judged {
    /// Judges facts without [`Fault`](crate::treasure::Fault)s.
    pub(super) fn of(facts: Facts, today: CalendarDay) -> Judged {
        Judged {
            verdict: judge(&facts, today),
            gathered: gather::Gathered {
                facts,
                today,
                identified: None,
                remarks: Vec::new(),
                assumed: Vec::new(),
            },
        }
    }

    /// As JSON, as `treasure --json` has it.
    pub(super) fn view(&self) -> impl serde::Serialize + use<> {
        view::VerdictView::of(&self.verdict, &self.gathered)
    }

    /// What must be known at once: the call, the rules, whom to tell and by when.
    pub(super) fn print_short(&self, out: &mut dyn Write) -> Result<(), Trouble> {
        Ok(print::short(&self.verdict, out)?)
    }
}
