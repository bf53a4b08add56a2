//! `identify`: one find, by words, by flags or by both.

use std::io::{self, Write};

use super::args::{Args, IdentifyArgs, TraitFlags, Wanted};
use super::ask::Talk;
use super::error::Trouble;
use super::judging::Judging;
use super::looks::Ahead;
use super::view::AnswerView;
use super::{Outcome, print_json, report, thing};
use crate::find::Find;
use crate::parse::{self, Remark};
use crate::score::Level;
use crate::{House, Identification, Taken, Told};

/// Looks shown to a person, and for how many of them what each reply would make of the answer.
const LOOKS_SHOWN: (usize, usize) = (2, 1);
/// The same for a program.
const LOOKS_TOLD: (usize, usize) = (5, 5);

/// Shown after the help.
pub(super) const EXAMPLES: &str = "\
Examples:
  lynchet identify \"silver, 17 mm, 1.2 g, long cross, reads EDW R\"
  lynchet identify --metal bronze --diameter 17 --weight 2.1 --obverse-legend \"[---]TANTINOPOL[---]\"
  lynchet identify \"bronze 16 mm, two soldiers, one standard\" --obverse-legend \"CONSTAN[---]\"
  lynchet identify --ask \"silver, 18 mm, long cross\"

Legends: [---] any number of letters lost, [..] two lost, [ABC] letters you supply (no evidence),
A? doubtful, (N/H) one or the other, / the design cuts the legend. U is read as V, J as I.
Exit code: 0 an answer, 1 nothing in the library fits, 2 a fault.";

/// Identifies one find and prints the answer.
pub(super) fn run(
    asked: &IdentifyArgs,
    args: &Args,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let (find, remarks) = heard(&asked.traits, &asked.words, house);
    let told = Told {
        words: asked.words.join(" "),
        fields: asked.traits.fields(),
        thing: asked.thing.fields(),
        coin: asked.thing.settled(),
    };
    if house.is_plainly_coin(&told, &find, &remarks) {
        return coin(asked, find, remarks, house, out);
    }
    let things = super::things(args, house)?;
    let (heard, open) = match things.take(&told, &find, house) {
        Taken::Coin => return coin(asked, find, remarks, house, out),
        Taken::Thing(heard) => (heard, false),
        Taken::Either(heard) => (heard, true),
    };
    if asked.ask && heard.kind.coin < 0.5 {
        let input = &mut io::stdin().lock();
        thing::talk(heard, &things, house, asked.judging.top, input, out)?;
        return Ok(Outcome::Answer);
    }
    let said = things.identify(&heard.object, house);
    let shown = thing::Shown {
        heard: &heard,
        said: &said,
        things: &things,
        house,
        top: asked.judging.top,
    };
    if !open {
        match asked.json {
            true => print_json(&thing::ThingView::of(&shown), out)?,
            false => thing::thing(&shown, out)?,
        }
        return Ok(Outcome::Answer);
    }
    either(asked, &shown, find, remarks, out)
}

/// Prints both answers, the likelier first.
fn either(
    asked: &IdentifyArgs,
    shown: &thing::Shown<'_>,
    find: Find,
    remarks: Vec<Remark>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let coin_share = shown.heard.kind.coin;
    if asked.json {
        let judging = Judging::of(&asked.judging, shown.house)?;
        let find = judging.shown(&find);
        let said = judging.identify(&find, shown.house);
        let view = AnswerView::of(find.id.clone(), &said, &remarks, shown.house, judging.top);
        let thing = thing::ThingView::of(shown);
        print_json(
            &thing::BothView {
                coin_share,
                coin: view,
                thing,
            },
            out,
        )?;
        return Ok(Outcome::Answer);
    }
    thing::both(coin_share, out)?;
    if coin_share < 0.5 {
        thing::thing(shown, out)?;
        writeln!(out, "\n{}", report::strong("If it is a coin"))?;
        coin(asked, find, remarks, shown.house, out)?;
    } else {
        coin(asked, find, remarks, shown.house, out)?;
        writeln!(out, "\n{}", report::strong("If it is no coin"))?;
        thing::thing(shown, out)?;
    }
    Ok(Outcome::Answer)
}

/// Identifies a coin.
fn coin(
    asked: &IdentifyArgs,
    find: Find,
    remarks: Vec<Remark>,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let judging = Judging::of(&asked.judging, house)?;
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
