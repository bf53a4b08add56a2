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

use crate::catalogue::Caution;
use crate::score::may_go_off;
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
        let warned = warned(self).into_iter();
        warned.map(|caution| caution.advice().to_string()).collect()
    }
}

/// Chance of a class from which its caution is told, and that of what may go off, which is told
/// sooner.
const WARNED: (f64, f64) = (0.10, 0.02);
/// The cautions that belong to what the thing may be, the gravest first.
fn warned(shown: &Shown<'_>) -> Vec<Caution> {
    let classes = &shown.things.artefacts.classes;
    let mut told: Vec<Caution> = Vec::new();
    for share in &shown.said.shares.classes {
        let class = classes.iter().find(|class| class.id == share.id);
        let least = |caution: &Caution| match caution {
            Caution::Ordnance => WARNED.1,
            _ => WARNED.0,
        };
        let caution = class.and_then(|class| class.caution);
        told.extend(caution.filter(|caution| share.p >= least(caution)));
    }
    let words = shown.heard.object.words.iter().map(|word| &word.said);
    let unread = shown.heard.remarks.iter().map(|remark| &remark.said);
    if words.chain(unread).any(|said| may_go_off(said)) {
        told.push(Caution::Ordnance);
    }
    told.sort();
    told.dedup();
    told
}
