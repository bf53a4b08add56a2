//! `identify`: one find, by words, by flags or by both.

use std::io::{self, Write};

use super::args::{IdentifyArgs, JudgingFlags, Wanted};
use super::ask::Talk;
use super::error::Trouble;
use super::looks::Ahead;
use super::view::AnswerView;
use super::{Outcome, print_json, report};
use crate::find::Find;
use crate::parse::{self, Remark};
use crate::score::Level;
use crate::{House, Identification, IdentifyOptions};

/// Looks shown to a person, and looks given to a program.
const LOOKS_SHOWN: usize = 2;
/// See [`LOOKS_SHOWN`].
const LOOKS_TOLD: usize = 5;

impl JudgingFlags {
    /// The flags as the house takes them.
    pub(super) fn options(self) -> IdentifyOptions {
        IdentifyOptions {
            flat_prior: self.flat_prior,
            judge_all: self.judge_all,
        }
    }
}

/// Identifies one find and prints the answer.
pub(super) fn run(
    asked: &IdentifyArgs,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let (find, remarks) = heard(asked, house);
    let options = asked.judging.options();
    let wanted = asked.level.map(Wanted::aim);
    if asked.ask {
        let talk = Talk::new(house, options, wanted, asked.judging.top);
        return talk.run(find, remarks, &mut io::stdin().lock(), out);
    }
    if find.says_nothing() {
        let mut what = "there is nothing to go on".to_string();
        for remark in &remarks {
            what.push_str(&format!("\n  {remark}"));
        }
        return Err(Trouble::new(
            what,
            "say what you see, for example: lynchet identify \"silver, 17 mm, 1.2 g, long cross, reads EDW R\"",
        ));
    }
    let said = house.identify(&find, options);
    let most = if asked.json { LOOKS_TOLD } else { LOOKS_SHOWN };
    let ahead = Ahead::of(&find, &said, wanted, house, options, most);
    let top = asked.judging.top;
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

/// Flags and words put together; a flag is the more deliberate of the two and wins.
fn heard(asked: &IdentifyArgs, house: &House) -> (Find, Vec<Remark>) {
    let (by_flags, mut remarks) = parse::form(&asked.traits.fields(), &house.lexicon);
    let (by_words, more) = parse::words(&asked.words.join(" "), &house.lexicon);
    remarks.extend(more);
    let (find, between) = parse::merge(by_flags, by_words);
    remarks.extend(between);
    (find, remarks)
}
