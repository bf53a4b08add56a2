//! A find on the way to its answer: heard, taken for a coin or a thing, judged when that is first
//! asked for, and then no more.
//!
//! What is printed of a find and what is kept of it are made of the same answer. Prints nothing, opens
//! no shelf.
//!
//! Invariant: each half of the library judges a find at most once, whoever asks.

use std::cell::OnceCell;

use super::error::Trouble;
use super::judging::Judging;
use super::opened::Opened;
use crate::find::Find;
use crate::parse::Remark;
use crate::{HeardThing, House, Identification, Taken, ThingIdentification, Things, Told};

/// A find and its answer, as far as that was asked for.
pub(super) struct Answering<'a> {
    /// The find as it was heard as a coin.
    pub(super) find: Find,
    /// What was not understood of it as a coin, and what was put right.
    pub(super) remarks: Vec<Remark>,
    /// What it is taken for.
    pub(super) taken: Taken,
    /// How it is judged.
    pub(super) judging: &'a Judging,
    pub(super) house: &'static House,
    coin: OnceCell<Identification>,
    thing: OnceCell<ThingIdentification>,
}

impl<'a> Answering<'a> {
    /// Takes what was heard of a find for a coin or a thing.
    pub(super) fn of(
        (find, remarks): (Find, Vec<Remark>),
        told: &Told,
        judging: &'a Judging,
        opened: &Opened<'_>,
    ) -> Result<Answering<'a>, Trouble> {
        Ok(Answering {
            taken: opened.taken(told, &find, &remarks)?,
            find,
            remarks,
            judging,
            house: opened.house()?,
            coin: OnceCell::new(),
            thing: OnceCell::new(),
        })
    }

    /// The answer as a coin.
    pub(super) fn coin(&self) -> &Identification {
        let judge = || self.judging.identify(&self.find, self.house);
        self.coin.get_or_init(judge)
    }

    /// The answer as a thing: as the one that was heard in it.
    pub(super) fn thing(&self, heard: &HeardThing, things: &Things) -> &ThingIdentification {
        let judge = || things.identify(&heard.object, self.house);
        self.thing.get_or_init(judge)
    }
}
