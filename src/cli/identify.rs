//! `identify`: one find, by words, by flags or by both.

use std::io::{self, Write};

use super::answering::Answering;
use super::args::{IdentifyArgs, TraitFlags, Wanted};
use super::ask::Talk;
use super::collection::Typed;
use super::error::Trouble;
use super::judging::Judging;
use super::learning::LearningFlags;
use super::looks::Ahead;
use super::opened::Opened;
use super::view::AnswerView;
use super::{Outcome, WithKept, print_json, report, thing};
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
  lynchet identify \"silver, 17 mm, reads EDW R\" --keep --found 2026-03-14 --storage \"box 3\"

Legends: [---] any number of letters lost, [..] two lost, [ABC] letters you supply (no evidence),
A? doubtful, (N/H) one or the other, / the design cuts the legend. U is read as V, J as I.
Exit code: 0 an answer, 1 nothing in the library fits, 2 a fault.";

/// Identifies one find and prints the answer; keeps it where that is asked, and says under which
/// number.
pub(super) fn run(
    asked: &IdentifyArgs,
    opened: &Opened<'_>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let house = opened.house()?;
    let typed = Typed {
        words: asked.words.join(" "),
        traits: asked.traits.fields(),
        thing: asked.thing.said(),
    };
    let mut judging = Judging::of(&asked.judging, house)?;
    judging.learnt = learning(asked).learnt(house)?;
    let told = Told {
        words: asked.words.join(" "),
        fields: asked.traits.fields(),
        thing: asked.thing.fields(),
        coin: asked.thing.settled(),
    };
    let heard = heard(&asked.traits, &asked.words, house);
    let answering = Answering::of(heard, &told, &judging, opened)?;
    let kept = asked.keeping.kept(typed, &answering, opened)?;
    let asking = Asking {
        asked,
        answering: &answering,
        kept: kept.as_deref(),
    };
    let outcome = asking.answered(opened, out)?;
    if let (Some(id), false) = (&kept, asking.json()) {
        writeln!(
            out,
            "\nkept under the number {id}; see it with: lynchet collection show {id}"
        )?;
    }
    Ok(outcome)
}

/// What the finder's own finds may say. A shelf that is only to be made teaches nothing.
pub(super) fn learning(asked: &IdentifyArgs) -> LearningFlags {
    let keeping = &asked.keeping;
    let unmade = keeping.keep && !keeping.shelf_is_there();
    let shelf = keeping.shelf.shelf.clone();
    LearningFlags::of(keeping.land(), shelf, asked.without_shelf || unmade)
}

/// What is asked, with all that it takes to answer.
struct Asking<'a> {
    asked: &'a IdentifyArgs,
    answering: &'a Answering<'a>,
    kept: Option<&'a str>,
}

impl Asking<'_> {
    fn json(&self) -> bool {
        self.asked.keeping.shelf.json
    }

    fn put(&self, view: &impl serde::Serialize, out: &mut dyn Write) -> Result<(), Trouble> {
        let kept = self.kept;
        print_json(&WithKept { view, kept }, out)
    }

    fn answered(&self, opened: &Opened<'_>, out: &mut dyn Write) -> Result<Outcome, Trouble> {
        let (asked, house) = (self.asked, self.answering.house);
        let (heard, open) = match &self.answering.taken {
            Taken::Coin => return self.coin(out),
            Taken::Thing(heard) => (heard, false),
            Taken::Either(heard) => (heard, true),
        };
        let (things, top) = (opened.things()?, asked.judging.top);
        if asked.ask && heard.kind.coin < 0.5 {
            let input = &mut io::stdin().lock();
            thing::talk(heard.clone(), things, house, top, input, out)?;
            return Ok(Outcome::Answer);
        }
        let shown = thing::Shown {
            heard,
            said: self.answering.thing(heard, things),
            things,
            house,
            top,
        };
        if open {
            return self.either(&shown, out);
        }
        match self.json() {
            true => self.put(&thing::ThingView::of(&shown), out)?,
            false => thing::thing(&shown, out)?,
        }
        Ok(Outcome::Answer)
    }

    /// Prints both answers, the likelier first.
    fn either(&self, shown: &thing::Shown<'_>, out: &mut dyn Write) -> Result<Outcome, Trouble> {
        let coin_share = shown.heard.kind.coin;
        if self.json() {
            let both = thing::BothView {
                coin_share,
                coin: self.view(),
                thing: thing::ThingView::of(shown),
            };
            self.put(&both, out)?;
            return Ok(Outcome::Answer);
        }
        thing::both(coin_share, out)?;
        if coin_share < 0.5 {
            thing::thing(shown, out)?;
            writeln!(out, "\n{}", report::strong("If it is a coin"))?;
            self.coin(out)?;
        } else {
            self.coin(out)?;
            writeln!(out, "\n{}", report::strong("If it is no coin"))?;
            thing::thing(shown, out)?;
        }
        Ok(Outcome::Answer)
    }

    /// The answer as a coin, for a program.
    fn view(&self) -> AnswerView {
        let Answering {
            find,
            remarks,
            judging,
            house,
            ..
        } = self.answering;
        AnswerView::of(
            judging.shown(find).id,
            self.answering.coin(),
            remarks,
            house,
            judging.top,
        )
    }

    /// Identifies a coin.
    fn coin(&self, out: &mut dyn Write) -> Result<Outcome, Trouble> {
        let Answering {
            find,
            remarks,
            judging,
            house,
            ..
        } = self.answering;
        let find = judging.shown(find);
        let wanted = self.asked.level.map(Wanted::aim);
        if self.asked.ask {
            let talk = Talk::new(house, judging, wanted);
            return talk.run(find, remarks.clone(), &mut io::stdin().lock(), out);
        }
        if find.says_nothing() {
            return Err(nothing_said(remarks, "lynchet identify"));
        }
        let said = self.answering.coin();
        let most = if self.json() { LOOKS_TOLD } else { LOOKS_SHOWN };
        let ahead = Ahead::of(&find, said, wanted, house, judging, most);
        if self.json() {
            self.put(&self.view().with_looks(&ahead, house), out)?;
        } else {
            report::identification(said, &ahead, remarks, house, judging.top, out)?;
        }
        Ok(outcome(said))
    }
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
