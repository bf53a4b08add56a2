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

use crate::catalogue::Caution;
use crate::find::{Find, Object};
use crate::parse::{Remark, RemarkKind};
use crate::score::{Kind, may_go_off};
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
