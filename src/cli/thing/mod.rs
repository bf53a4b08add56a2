//! What `identify` does for a find that may be no coin: prints or answers with JSON.
//!
//! Judges nothing itself.
//!
//! Invariant: a find that is shown as a coin is shown just as if there were no things.

mod args;
mod ask;
mod print;
mod view;

pub(super) use args::ThingFlags;
pub(super) use ask::talk;
pub(super) use print::{both, thing};
pub(super) use view::{BothView, ThingView};

use crate::{HeardThing, House, ThingIdentification, Things};

/// A thing with all that is needed to tell of it.
pub(super) struct Shown<'a> {
    pub(super) heard: &'a HeardThing,
    pub(super) said: &'a ThingIdentification,
    pub(super) things: &'a Things,
    pub(super) house: &'a House,
    pub(super) top: usize,
}

impl Shown<'_> {
    /// The cautions that belong to what the thing may be, in words.
    pub(super) fn cautions(&self) -> Vec<String> {
        let warned = self.heard.cautions(self.said, self.things).into_iter();
        warned.map(|caution| caution.advice().to_string()).collect()
    }
}
