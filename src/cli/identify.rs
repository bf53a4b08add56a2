//! `identify`: one find, by words, by flags or by both.

use std::io::{self, Write};

use super::args::{IdentifyArgs, TraitFlags, Wanted};
use super::ask::Talk;
use super::error::Trouble;
use super::judging::Judging;
use super::looks::Ahead;
use super::view::AnswerView;
use super::{Outcome, print_json, report};
use crate::find::Find;
use crate::parse::{self, Remark};
use crate::score::Level;
use crate::{House, Identification};

/// Looks shown to a person, and for how many of them what each reply would make of the answer.
const LOOKS_SHOWN: (usize, usize) = (2, 1);
/// The same for a program.
const LOOKS_TOLD: (usize, usize) = (5, 5);

/// Identifies one find and prints the answer.
pub(super) fn run(
    asked: &IdentifyArgs,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let judging = Judging::of(&asked.judging, house)?;
    let (find, remarks) = heard(&asked.traits, &asked.words, house);
    let find = judging.shown(&find);
    let wanted = asked.level.map(Wanted::aim);
    if asked.ask {
        let talk = Talk::new(house, &judging, wanted);
        return talk.run(find, remarks, &mut io::stdin().lock(), out);
    }
    if find.says_nothing() {
        return Err(nothing_said(&remarks, "lynchet identify"));
    }
    let said = judging.identify(&find, house);
    let most = if asked.json { LOOKS_TOLD } else { LOOKS_SHOWN };
    let ahead = Ahead::of(&find, &said, wanted, house, &judging, most);
    let top = judging.top;
    if asked.json {
        let view = AnswerView::of(find.id.clone(), &said, &remarks, house, top);
        print_json(&view.with_looks(&ahead, house), out)?;
    } else {
        report::identification(&said, &ahead, &remarks, house, top, out)?;
    }
    Ok(outcome(&said))
}

/// How a verb ends that has identified a find.
pub(super) fn outcome(said: &Identification) -> Outcome {
    match said.answer.level {
        Level::Unlisted => Outcome::NothingFits,
        _ => Outcome::Answer,
    }
}

/// The fault of a find of which nothing was understood; `call` is what would be typed before it.
pub(super) fn nothing_said(remarks: &[Remark], call: &str) -> Trouble {
    let mut what = "there is nothing to go on".to_string();
    for remark in remarks {
        what.push_str(&format!("\n  {remark}"));
    }
    let find = "\"silver, 17 mm, 1.2 g, long cross, reads EDW R\"";
    let hint = format!("say what you see, for example: {call} {find}");
    Trouble::new(what, hint)
}

/// Flags and words put together; a flag is the more deliberate of the two and wins.
pub(super) fn heard(traits: &TraitFlags, words: &[String], house: &House) -> (Find, Vec<Remark>) {
    let (by_flags, mut remarks) = parse::form(&traits.fields(), &house.lexicon);
    let (by_words, more) = parse::words(&words.join(" "), &house.lexicon);
    remarks.extend(more);
    let (find, between) = parse::merge(by_flags, by_words);
    remarks.extend(between);
    (find, remarks)
}
