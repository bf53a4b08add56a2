//! A coin, another thing, or open: what a find was taken for, decided once for every door.
//!
//! Judges no type. A find plainly described as a coin does not open the things.
//!
//! Invariant: what is taken for a coin is judged just as if there were no things.

use super::{House, ThingIdentification, Things};
use crate::catalogue::Caution;
use crate::find::{Find, Object};
use crate::parse::{Field, Remark, RemarkKind, ThingFields};
use crate::score::{KIND_ENOUGH, Kind, may_go_off, plainly_coin};

/// What was said of a find beside its traits as a coin.
#[derive(Clone, Debug, Default)]
pub struct Told {
    /// Free words.
    pub words: String,
    /// Form fields that coins have too.
    pub fields: Vec<(Field, String)>,
    /// Form fields that only things have.
    pub thing: ThingFields,
    /// Some when the finder has settled it: true of a coin.
    pub coin: Option<bool>,
}

/// A find heard as a thing.
#[derive(Clone, Debug)]
pub struct HeardThing {
    /// What was understood.
    pub object: Object,
    /// What was not, and what was put right.
    pub remarks: Vec<Remark>,
    /// How likely it is a coin.
    pub kind: Kind,
}

/// What a find was taken for.
#[derive(Clone, Debug)]
pub enum Taken {
    /// A coin.
    Coin,
    /// No coin.
    Thing(HeardThing),
    /// Either; both are worth telling.
    Either(HeardThing),
}

/// Chance of a class from which its caution is told, and that of what may go off, which is told
/// sooner.
const WARNED: (f64, f64) = (0.10, 0.02);

impl HeardThing {
    /// The cautions that belong to what the thing may be, the gravest first.
    pub fn cautions(&self, said: &ThingIdentification, things: &Things) -> Vec<Caution> {
        let classes = &things.artefacts.classes;
        let mut told: Vec<Caution> = Vec::new();
        for share in &said.shares.classes {
            let class = classes.iter().find(|class| class.id == share.id);
            let least = |caution: &Caution| match caution {
                Caution::Ordnance => WARNED.1,
                _ => WARNED.0,
            };
            let caution = class.and_then(|class| class.caution);
            told.extend(caution.filter(|caution| share.p >= least(caution)));
        }
        let words = self.object.words.iter().map(|word| &word.said);
        let unread = self.remarks.iter().map(|remark| &remark.said);
        if words.chain(unread).any(|said| may_go_off(said)) {
            told.push(Caution::Ordnance);
        }
        told.sort();
        told.dedup();
        told
    }
}

impl House {
    /// True when a find can only be a coin, so that [`House::things`] need not be opened; `find` and
    /// `remarks` are what was heard of it as a coin.
    pub fn is_plainly_coin(&self, told: &Told, find: &Find, remarks: &[Remark]) -> bool {
        let understood = !remarks.iter().any(|one| {
            let strange = matches!(one.kind, RemarkKind::NotUnderstood | RemarkKind::WordsAlone);
            strange || one.what.contains("no word of the library")
        });
        let words = &told.words;
        told.coin == Some(true)
            || (told.coin.is_none()
                && !told.thing.given()
                && (words.trim().is_empty() || plainly_coin(find, understood, words)))
    }
}

impl Things {
    /// What a find is taken for that is not plainly a coin.
    pub fn take(&self, told: &Told, find: &Find, house: &House) -> Taken {
        if self.artefacts.types.is_empty() || told.coin == Some(true) {
            return Taken::Coin;
        }
        let text = told.thing.text(&told.words, &told.fields);
        let (object, remarks) = self.hear(&text, find);
        if object.says_nothing() {
            return Taken::Coin;
        }
        let kind = match told.coin {
            Some(coin) => Kind::settled(coin),
            None => self.kind(find, &object, &text, house),
        };
        // Words that only things know make it a thing, however likely a coin was beforehand.
        let unheard = find.says_nothing();
        if kind.coin >= KIND_ENOUGH && !unheard {
            return Taken::Coin;
        }
        let thing = kind.coin <= 1.0 - KIND_ENOUGH || unheard;
        let heard = HeardThing {
            object,
            remarks,
            kind,
        };
        match thing {
            true => Taken::Thing(heard),
            false => Taken::Either(heard),
        }
    }
}
