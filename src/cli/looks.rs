//! The looks ahead: what to look at next, and what each reply would make of the answer.
//!
//! What a reply would make of it is found by judging the find with the reply added, so it is the
//! very answer that would be given. Chooses no look.

use std::io::{self, Write};

use super::judging::Judging;
use crate::explain::{how_to, question, reply};
use crate::find::Find;
use crate::score::{Aim, Answer, Look};
use crate::{House, Identification};

/// A look with the answer that each of its replies would leave.
pub(super) struct Foreseen {
    /// The look.
    pub(super) look: Look,
    /// The answer after each reply, and its text.
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
    /// The looks ahead of a find, this many at most.
    pub(super) fn of(
        find: &Find,
        said: &Identification,
        wanted: Option<Aim>,
        house: &House,
        judging: &Judging,
        most: usize,
    ) -> Ahead {
        let (aim, looks) = house.next_looks(find, said, wanted, &[]);
        let looks = looks.into_iter().take(most);
        Ahead {
            aim,
            looks: looks
                .map(|look| Foreseen::of(look, find, house, judging))
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
                writeln!(out, "      {words}: {text} ({:.2})", answer.p)?;
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
    fn of(look: Look, find: &Find, house: &House, judging: &Judging) -> Foreseen {
        let after = |reply: usize| {
            let told = look.told(find, Some(reply), &house.catalogue);
            let said = judging.identify(&told, house);
            (said.answer, said.text)
        };
        Foreseen {
            then: (0..look.replies.len()).map(after).collect(),
            look,
        }
    }
}
