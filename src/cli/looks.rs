//! The looks ahead: what to look at next, and what each reply would make of the answer.
//!
//! What a reply would make of it is found by judging the find with the reply added, among the types
//! that were still in play before it. Chooses no look.

use std::io::{self, Write};

use rayon::prelude::*;

use super::judging::Judging;
use crate::explain::{chance_in_figures, how_to, question, reply};
use crate::find::Find;
use crate::score::{Aim, Answer, Look};
use crate::{House, Identification};

/// A look with the answer that each of its replies would leave.
pub(super) struct Foreseen {
    /// The look.
    pub(super) look: Look,
    /// The answer after each reply, and its text; none where it was not worked out.
    pub(super) then: Vec<(Answer, String)>,
}

/// The looks worth most, and what they are to tell.
pub(super) struct Ahead {
    /// What they are to tell.
    pub(super) aim: Aim,
    /// The looks, the best first.
    pub(super) looks: Vec<Foreseen>,
}

impl Ahead {
    /// The looks ahead of a find, this many at most, and what the replies to the first of them would
    /// make of the answer for so many: each is a judging of its own.
    pub(super) fn of(
        find: &Find,
        said: &Identification,
        wanted: Option<Aim>,
        house: &House,
        judging: &Judging,
        (most, worked_out): (usize, usize),
    ) -> Ahead {
        let (aim, looks) = house.next_looks(find, said, wanted, &[]);
        // What was let go before lies so far behind that no one reply brings it back.
        let among: Vec<usize> = said
            .ranking
            .judged
            .iter()
            .map(|judged| judged.coin)
            .collect();
        let looks: Vec<(usize, Look)> = looks.into_iter().take(most).enumerate().collect();
        Ahead {
            aim,
            looks: looks
                .into_par_iter()
                .map(|(place, look)| match place < worked_out {
                    true => Foreseen::of(look, find, &among, house, judging),
                    false => Foreseen {
                        look,
                        then: Vec::new(),
                    },
                })
                .collect(),
        }
    }

    /// No looks, where nothing more is asked.
    pub(super) fn none() -> Ahead {
        Ahead {
            aim: Aim::Type,
            looks: Vec::new(),
        }
    }

    /// Prints the looks, each with its replies and how to take it.
    pub(super) fn print(&self, house: &House, out: &mut dyn Write) -> io::Result<()> {
        let mut shown = "";
        for foreseen in &self.looks {
            let Foreseen { look, then } = foreseen;
            let asked = question(&look.asks, &house.catalogue);
            writeln!(
                out,
                "  - {asked} ({:.2} bits on the {})",
                look.bits,
                self.aim.name()
            )?;
            for (said, (answer, text)) in look.replies.iter().zip(then) {
                let words = reply(look, said, &house.catalogue);
                writeln!(
                    out,
                    "      {words}: {text} ({})",
                    chance_in_figures(answer.p)
                )?;
            }
            if then.is_empty() {
                let replies = look.replies.iter();
                let replies: Vec<String> = replies
                    .map(|said| reply(look, said, &house.catalogue))
                    .collect();
                writeln!(out, "      {}", replies.join("; "))?;
            }
            // Two looks that are taken alike need the way of it but once.
            if how_to(&look.asks) != shown {
                shown = how_to(&look.asks);
                writeln!(out, "      how: {shown}")?;
            }
        }
        Ok(())
    }
}

impl Foreseen {
    fn of(look: Look, find: &Find, among: &[usize], house: &House, judging: &Judging) -> Foreseen {
        // Each reply is judged by itself, on whichever hand is free.
        let after = |reply: usize| {
            let told = look.told(find, Some(reply), &house.catalogue);
            let said = judging.among(&told, Some(among), house);
            (said.answer, said.text)
        };
        Foreseen {
            then: (0..look.replies.len()).into_par_iter().map(after).collect(),
            look,
        }
    }
}
