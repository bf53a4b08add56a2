//! What `identify` does for a find that may be no coin: decides, and prints or answers with JSON.
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

use crate::find::{Find, Object};
use crate::parse::{Remark, RemarkKind};
use crate::score::Kind;
use crate::{House, ThingIdentification, Things};

/// A find heard as a thing.
pub(super) struct Heard {
    pub(super) object: Object,
    pub(super) remarks: Vec<Remark>,
    pub(super) kind: Kind,
}

/// A thing with all that is needed to tell of it.
pub(super) struct Shown<'a> {
    pub(super) heard: &'a Heard,
    pub(super) said: &'a ThingIdentification,
    pub(super) things: &'a Things,
    pub(super) house: &'a House,
    pub(super) top: usize,
}

/// True when a find can only be a coin, so that things need not be opened.
pub(super) fn plainly_coin(
    flags: &ThingFlags,
    words: &str,
    find: &Find,
    remarks: &[Remark],
) -> bool {
    let understood = !remarks
        .iter()
        .any(|one| one.kind == RemarkKind::NotUnderstood);
    let guessed = remarks
        .iter()
        .any(|one| one.what.contains("no word of the library"));
    flags.coin
        || (!flags.given()
            && (words.trim().is_empty()
                || House::is_plainly_coin(find, understood && !guessed, words)))
}

/// Hears a find as a thing, and says how likely it is a coin.
pub(super) fn hear(
    flags: &ThingFlags,
    text: &str,
    find: &Find,
    things: &Things,
    house: &House,
) -> Heard {
    let (object, remarks) = things.hear(text, find);
    let kind = match flags.thing {
        true => Kind::settled(false),
        false => things.kind(find, &object, text, house),
    };
    Heard {
        object,
        remarks,
        kind,
    }
}
