//! `identify --ask`: the whole way from a first word to an answer, as a dialogue.
//!
//! Says the answer so far, asks the look that is worth most, takes the reply, and begins again
//! with what was learnt. Reads lines and writes lines, at a keyboard and through a pipe alike.
//! Chooses no look and judges nothing.
//!
//! Invariant: it ends. Each round takes a line of the input, each look is asked once unless the
//! finder goes back to it, and the end of the input ends it with the full answer.

mod line;

use std::io::{BufRead, Write};

use line::Line;

use super::error::Trouble;
use super::identify::outcome;
use super::judging::Judging;
use super::looks::Ahead;
use super::{Outcome, report};
use crate::explain::{chance_in_figures, how_to, question, reply};
use crate::find::{Find, Side};
use crate::parse::{self, Field, Remark};
use crate::score::{Aim, Asks, LOOK_ENOUGH, Look};
use crate::{House, Identification};

/// Most looks that are asked for in one dialogue.
const ROUNDS: usize = 40;
/// What is asked of a find of which nothing was said, in this order.
const OPENING: [Asks; 3] = [Asks::Metal, Asks::Diameter, Asks::Weight];

/// A dialogue about to be held.
pub(super) struct Talk<'h> {
    house: &'h House,
    judging: &'h Judging,
    wanted: Option<Aim>,
}

/// What has been learnt so far.
#[derive(Clone)]
struct State {
    find: Find,
    asked: Vec<Asks>,
    remarks: Vec<Remark>,
}

/// What comes of a line.
enum Turn {
    /// Something was learnt, or is known not to be sure.
    Onward(Box<State>),
    /// The question stands.
    Again,
    /// One step back.
    Back,
    /// The finder stops.
    Stop,
}

impl<'h> Talk<'h> {
    /// A dialogue with this house.
    pub(super) fn new(house: &'h House, judging: &'h Judging, wanted: Option<Aim>) -> Talk<'h> {
        Talk {
            house,
            judging,
            wanted,
        }
    }

    /// Holds the dialogue and prints the answer it ends with.
    pub(super) fn run(
        &self,
        find: Find,
        remarks: Vec<Remark>,
        input: &mut dyn BufRead,
        out: &mut dyn Write,
    ) -> Result<Outcome, Trouble> {
        let mut opening = find.says_nothing();
        for remark in &remarks {
            writeln!(out, "{remark}")?;
        }
        let first = State {
            find,
            asked: Vec::new(),
            remarks,
        };
        let mut path = vec![first];
        while let Some(state) = path.last().cloned() {
            let said = self.judging.identify(&state.find, self.house);
            let (aim, look) = self.next(&state, &said, &mut opening);
            let Some(look) = look.filter(|_| state.asked.len() < ROUNDS) else {
                writeln!(out, "{}\n", self.why_ended(&said))?;
                break;
            };
            self.put(&state, &said, aim, &look, out)?;
            match self.answered(&state, &look, path.len() > 1, input, out)? {
                Turn::Onward(next) => path.push(*next),
                Turn::Back => drop(path.pop()),
                Turn::Stop | Turn::Again => break,
            }
        }
        let state = path.pop().unwrap_or_else(State::empty);
        self.conclude(&state, out)
    }

    /// The look to ask for, and what it is to tell.
    fn next(
        &self,
        state: &State,
        said: &Identification,
        opening: &mut bool,
    ) -> (Aim, Option<Look>) {
        if *opening {
            let aim = self.wanted.unwrap_or(Aim::Ruler);
            let mut looks = self
                .house
                .looks(&state.find, &said.ranking, aim, &state.asked);
            let wanted = OPENING
                .iter()
                .find_map(|asks| looks.iter().position(|look| look.asks == *asks));
            if let Some(place) = wanted {
                return (aim, Some(looks.swap_remove(place)));
            }
        }
        let asked = &state.asked;
        let (aim, looks) = self.house.next_looks(&state.find, said, self.wanted, asked);
        (aim, looks.into_iter().next())
    }

    /// Says the answer so far and puts the question.
    fn put(
        &self,
        state: &State,
        said: &Identification,
        aim: Aim,
        look: &Look,
        out: &mut dyn Write,
    ) -> Result<(), Trouble> {
        if state.find.says_nothing() {
            writeln!(out, "Nothing is known of it yet.")?;
        } else {
            write!(out, "So far ({}): ", chance_in_figures(said.answer.p))?;
            report::headline(said, out)?;
        }
        let library = &self.house.catalogue;
        writeln!(
            out,
            "\nTo tell the {}: {}",
            aim.name(),
            question(&look.asks, library)
        )?;
        for (place, one) in look.replies.iter().enumerate() {
            writeln!(out, "  {}  {}", place + 1, reply(look, one, library))?;
        }
        let neither = match look.asks {
            Asks::Letters { .. } => "none of these, or not sure; or type the letters you see",
            Asks::Diameter => "not sure; or type the millimetres",
            Asks::Weight => "not sure; or type the grams",
            _ => "not sure",
        };
        writeln!(out, "  0  {neither}")?;
        writeln!(out, "  how: {}", how_to(&look.asks))?;
        Ok(())
    }

    /// Reads lines until one answers; the end of the input stops.
    fn answered(
        &self,
        state: &State,
        look: &Look,
        may_go_back: bool,
        input: &mut dyn BufRead,
        out: &mut dyn Write,
    ) -> Result<Turn, Trouble> {
        loop {
            let most = look.replies.len();
            write!(
                out,
                "[1-{most}, 0 not sure, b back, q stop, or more you see] > "
            )?;
            out.flush()?;
            let Some(text) = line::read(input)? else {
                writeln!(out, "\nThe input ends here.\n")?;
                return Ok(Turn::Stop);
            };
            writeln!(out)?;
            match self.turn(&text, state, look, out)? {
                Turn::Again => {}
                Turn::Back if !may_go_back => {
                    writeln!(
                        out,
                        "This is the first question; there is nothing to go back to."
                    )?;
                }
                turn => return Ok(turn),
            }
        }
    }

    fn turn(
        &self,
        text: &str,
        state: &State,
        look: &Look,
        out: &mut dyn Write,
    ) -> Result<Turn, Trouble> {
        let reply = match line::heard(text, look) {
            Line::Stop => return Ok(Turn::Stop),
            Line::Back => return Ok(Turn::Back),
            Line::Words(words) => return self.more(&words, state, look, out),
            Line::Reply(reply) => Some(reply),
            Line::NotSure => None,
        };
        let mut next = state.clone();
        next.find = look.told(&state.find, reply, &self.house.catalogue);
        next.asked.push(look.asks.clone());
        Ok(Turn::Onward(Box::new(next)))
    }

    /// Takes what was typed as more traits; the question stands when nothing new was understood.
    fn more(
        &self,
        words: &str,
        state: &State,
        look: &Look,
        out: &mut dyn Write,
    ) -> Result<Turn, Trouble> {
        let (typed, mut remarks) = self.typed(words, look);
        let (find, between) = parse::merge(state.find.clone(), typed);
        remarks.extend(between);
        for remark in &remarks {
            writeln!(out, "{remark}")?;
        }
        if find == state.find {
            let most = look.replies.len();
            writeln!(
                out,
                "That tells nothing new. Type a number from 1 to {most}, 0 if you are not sure, \
                 b to go back, q to stop, or what else you see."
            )?;
            return Ok(Turn::Again);
        }
        let mut next = state.clone();
        next.find = find;
        next.remarks.extend(remarks);
        Ok(Turn::Onward(Box::new(next)))
    }

    /// What was typed, heard as an answer to the look where it can be one. Figures alone are a
    /// measure where one is asked for, and tell nothing elsewhere.
    fn typed(&self, words: &str, look: &Look) -> (Find, Vec<Remark>) {
        let lettered = words.chars().any(char::is_alphabetic);
        let capitals = lettered && !words.chars().any(char::is_lowercase);
        let field = match &look.asks {
            Asks::Diameter if !lettered => Field::Diameter,
            Asks::Weight if !lettered => Field::Weight,
            _ if !lettered => return (Find::default(), Vec::new()),
            Asks::Letters { side, .. } if capitals => match side {
                Side::Reverse => Field::ReverseLegend,
                _ => Field::ObverseLegend,
            },
            _ => Field::Words,
        };
        parse::form(&[(field, words.to_string())], &self.house.lexicon)
    }

    fn why_ended(&self, said: &Identification) -> String {
        let aim = self.wanted.unwrap_or(Aim::Type);
        let leader = aim.leader(&said.ranking, &self.house.catalogue);
        match leader {
            Some((p, _)) if p >= LOOK_ENOUGH => format!("The {} is carried.", aim.name()),
            _ => "No further look that the library knows would tell more.".to_string(),
        }
    }

    /// The full answer.
    fn conclude(&self, state: &State, out: &mut dyn Write) -> Result<Outcome, Trouble> {
        if state.find.says_nothing() {
            writeln!(out, "There is nothing to go on.")?;
            return Ok(Outcome::NothingFits);
        }
        let said = self.judging.identify(&state.find, self.house);
        let none = Ahead::none();
        report::identification(
            &said,
            &none,
            &state.remarks,
            self.house,
            self.judging.top,
            out,
        )?;
        Ok(outcome(&said))
    }
}

impl State {
    fn empty() -> State {
        State {
            find: Find::default(),
            asked: Vec::new(),
            remarks: Vec::new(),
        }
    }
}
