//! `identify`: one find, by words, by flags or by both.

use std::io::Write;

use super::args::IdentifyArgs;
use super::error::Trouble;
use super::judging::Judging;
use super::view::AnswerView;
use super::{Outcome, print_json, report};
use crate::House;
use crate::find::Find;
use crate::parse::{self, Remark};
use crate::score::Level;

/// Identifies one find and prints the answer.
pub(super) fn run(
    asked: &IdentifyArgs,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let judging = Judging::of(&asked.judging, house)?;
    let (find, remarks) = heard(asked, house);
    let find = judging.shown(&find);
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
    let said = judging.identify(&find, house);
    if asked.json {
        let view = AnswerView::of(find.id.clone(), &said, &remarks, house, judging.top);
        print_json(&view, out)?;
    } else {
        report::identification(&said, &remarks, house, judging.top, out)?;
    }
    Ok(if said.answer.level == Level::Unlisted {
        Outcome::NothingFits
    } else {
        Outcome::Answer
    })
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
