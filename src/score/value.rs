//! Value: what a piece says in words that it is worth ("HALF PENNY"), against the denominations on
//! which the library's legends of a period say so.
//!
//! A token of an issuer whom nobody entered still says that it is a halfpenny, and a sixpence of a
//! workhouse that it is no shilling. Only words count, no numeral. That no value is read says
//! nothing: it may be worn off.
//!
//! Invariant: one term for a type at most, and the same for all types of a denomination and period.

use std::sync::LazyLock;

use super::constants::{VALUE_ELSEWHERE, VALUE_KNOWN, VALUE_SAID, VALUE_STRANGE};
use super::evidence::{Detail, Evidence, Witness};
use crate::catalogue::{Catalogue, CoinType};
use crate::find::{Find, Mark, fold_to};

/// Words of value on coins and tokens of the last four centuries, the same value in one row: its
/// first spelling names it. Common practice, no source; each stands in legends of the library.
const VALUES: [&[&str]; 38] = [
    &[
        "HALF PENNY",
        "HALF PENY",
        "HALFE PENNY",
        "HALFE PENY",
        "HALF PENCE",
    ],
    &["ONE PENNY", "PENNY", "PENY", "ONE PENNEY"],
    &["FARTHING", "FARTHIN", "ONE FARTHING"],
    &["HALF FARTHING"],
    &["THIRD FARTHING", "ONE THIRD FARTHING"],
    &["QUARTER FARTHING"],
    &["ONE SHILLING", "SHILLING", "XII PENCE"],
    &["SIX PENCE", "SIX PENNY"],
    &["THREE PENCE"],
    &["FOUR PENCE"],
    &["ONE FLORIN", "TWO SHILLINGS"],
    &["HALF CROWN"],
    &["FIVE SHILLINGS", "CROWN"],
    &["ONE CENT"],
    &["FIVE CENTS"],
    &["ONE DIME"],
    &["QUAR DOL", "QUARTER DOLLAR"],
    &["UN CENTIME"],
    &["DEUX CENTIMES"],
    &["CINQ CENTIMES"],
    &["DIX CENTIMES"],
    &["UN DECIME"],
    &["DIEZ CENTIMOS"],
    &["HALF ANNA"],
    &["QUARTER ANNA", "ONE QUARTER ANNA"],
    &["ONE RUPEE"],
    &["ONE STIVER"],
    &["TWO STIVERS"],
    &["FOUR DOUBLES"],
    &["EIGHT DOUBLES"],
    &["PINGIN"],
    &["LEAT PINGIN", "LEATH PINGIN"],
    &["FEOIRLING"],
    &["REUL"],
    &["LEAT REUL", "LEATH REUL"],
    &["SCILLING"],
    &["LEAT COROIN", "LEATH COROIN"],
    &["UN BAIOCCO"],
];
/// Without blanks in what was read a shorter word may be part of another.
const LONE_LEAST: usize = 7;
/// No value is so long: of more letters lost in a row, as many as a reader may claim, these are enough.
const LOST_MOST: usize = 24;
/// Of the letters of a value so many, as a share, must be seen.
const SEEN_LEAST: (usize, usize) = (2, 3);

/// Values, a bit each.
pub(super) type Values = u64;

/// A place of what is written: its letter, none where it is lost, and whether a word starts there.
#[derive(Clone, Copy)]
struct Place {
    letter: Option<char>,
    starts: bool,
}

/// Every spelling of [`VALUES`], folded and without blanks, with its value.
static SPELLINGS: LazyLock<Vec<(Vec<char>, usize)>> = LazyLock::new(|| {
    let rows = VALUES.iter().enumerate();
    let spellings = rows.flat_map(|(value, row)| row.iter().map(move |one| (one, value)));
    let folded = |(spelling, value): (&&str, usize)| {
        let mut letters = Vec::new();
        for one in spelling.chars() {
            fold_to(one, |letter| letters.push(letter));
        }
        (letters, value)
    };
    spellings.map(folded).collect()
});

/// What no letter is like.
const APART: char = '\0';

/// The values that the legends of each denomination name, period by period: a sixpence says so since
/// 1831, and no sixpence of Elizabeth I does.
pub(super) fn borne(catalogue: &Catalogue) -> Vec<Vec<Values>> {
    let inscriptions = catalogue.inscriptions.iter().map(|one| {
        let forms = one.forms.iter();
        forms.fold(0, |held, form| held | found(&written(&form.text)))
    });
    let named: Vec<Values> = inscriptions.collect();
    let mut borne = vec![vec![0; catalogue.periods.len()]; catalogue.denominations.len()];
    for coin in catalogue.listed() {
        let held = &mut borne[coin.denomination][coin.period];
        for face in Catalogue::faces(coin) {
            let inscriptions = face.inscriptions.iter().flatten();
            inscriptions.for_each(|at| *held |= named[*at]);
        }
    }
    borne
}

/// What the values read on a find say of each denomination; none when none is read.
pub(super) struct Worth<'a> {
    read: Values,
    borne: &'a [Vec<Values>],
}

impl<'a> Worth<'a> {
    /// Looks for values in what was read on a find.
    pub(super) fn new(find: &Find, borne: &'a [Vec<Values>]) -> Option<Worth<'a>> {
        let readings = find.readings.iter().filter(|one| !one.retrograde);
        let read = readings.fold(0, |held, one| held | found(&seen(&one.marks, &one.words)));
        (read != 0).then_some(Worth { read, borne })
    }

    /// The term for a type.
    pub(super) fn evidence(&self, coin: &CoinType) -> Evidence {
        let borne = self.borne[coin.denomination][coin.period];
        let both = self.read & borne;
        let ratio = match (borne, both) {
            (0, _) => VALUE_STRANGE,
            (_, 0) => VALUE_ELSEWHERE,
            _ => VALUE_SAID * VALUE_KNOWN / f64::from(borne.count_ones()),
        };
        let told = if both == 0 { self.read } else { both };
        Evidence {
            witness: Witness::Value,
            nats: ratio.ln(),
            detail: Detail::Value {
                value: VALUES[told.trailing_zeros() as usize][0],
                agrees: both != 0,
            },
        }
    }
}

/// The places of a legend as the library writes it.
fn written(text: &str) -> Vec<Place> {
    let mut places = Vec::new();
    let mut starts = true;
    for character in text.chars() {
        let before = places.len();
        fold_to(character, |letter| {
            let letter = Some(letter);
            let starts = starts && places.len() == before;
            places.push(Place { letter, starts });
        });
        starts = places.len() == before;
    }
    without_numerals(places)
}

/// The places of what was read; no word starts where no blanks were written.
fn seen(marks: &[Mark], words: &[usize]) -> Vec<Place> {
    let mut places = Vec::new();
    let spaced = !words.is_empty();
    let mut starts = spaced;
    for (position, mark) in marks.iter().enumerate() {
        starts |= words.contains(&position);
        let (letter, count) = match mark {
            Mark::Letter { letter, .. } => (Some(*letter), 1),
            Mark::OneOf(_) => (None, 1),
            Mark::Lost(count) => (None, (*count).min(LOST_MOST)),
            Mark::AboutLost(_) | Mark::Gap => (Some(APART), 1),
            Mark::Break => {
                starts = spaced;
                continue;
            }
        };
        for _ in 0..count {
            places.push(Place { letter, starts });
            starts = false;
        }
    }
    without_numerals(places)
}

/// A year may stand amid the words: HALF 1902 CROWN.
fn without_numerals(places: Vec<Place>) -> Vec<Place> {
    let mut kept: Vec<Place> = Vec::new();
    let mut starts = false;
    for place in places {
        starts |= place.starts;
        if place.letter.is_none_or(|letter| !letter.is_ascii_digit()) {
            kept.push(Place { starts, ..place });
            starts = false;
        } else {
            starts = true;
        }
    }
    kept
}

/// The values that stand in what is written; of two that begin at one place the longer. Behind letters
/// that are lost none is taken: they may have said that it is a half.
fn found(places: &[Place]) -> Values {
    let spaced = places.iter().any(|place| place.starts);
    let (mut values, mut at) = (0, 0);
    while at < places.len() {
        let behind_lost = at > 0 && places[at - 1].letter.is_none();
        let here = SPELLINGS
            .iter()
            .filter(|(letters, _)| !behind_lost && stands(letters, &places[at..], spaced));
        match here.max_by_key(|(letters, _)| letters.len()) {
            Some((letters, value)) => {
                values |= 1 << value;
                at += letters.len();
            }
            None => at += 1,
        }
    }
    values
}

/// True when these letters stand at the head of some places, as words where words are known.
fn stands(letters: &[char], places: &[Place], spaced: bool) -> bool {
    if places.len() < letters.len() {
        return false;
    }
    let (here, after) = places.split_at(letters.len());
    let fits = |(letter, place): (&char, &Place)| place.letter.is_none_or(|seen| seen == *letter);
    let whole = match spaced {
        true => here[0].starts && after.first().is_none_or(|next| next.starts),
        false => letters.len() >= LONE_LEAST,
    };
    let seen = here.iter().filter(|place| place.letter.is_some()).count();
    whole
        && letters.iter().zip(here).all(fits)
        && seen * SEEN_LEAST.1 >= letters.len() * SEEN_LEAST.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::find::Side;
    use crate::parse::reading;

    fn named(values: Values) -> Vec<&'static str> {
        let bits = (0..VALUES.len()).filter(|bit| values >> bit & 1 == 1);
        bits.map(|bit| VALUES[bit][0]).collect()
    }

    fn read(text: &str) -> Vec<&'static str> {
        let read = reading(text, Side::Reverse).0.expect("letters");
        named(found(&seen(&read.marks, &read.words)))
    }

    #[test]
    fn the_longer_of_two_values_is_read() {
        assert_eq!(named(found(&written("HIS HALFE PENY"))), ["HALF PENNY"]);
        assert_eq!(named(found(&written("NORWICH PENNY"))), ["ONE PENNY"]);
        assert_eq!(read("DUNDEE HALFPENNY"), ["HALF PENNY"]);
        assert_eq!(read("BIRMINGHAM TOKEN - SIX PENCE"), ["SIX PENCE"]);
        assert_eq!(read("ONE THIRD FARTHING"), ["THIRD FARTHING"]);
    }

    #[test]
    fn a_value_may_lack_letters_and_hold_a_year() {
        assert_eq!(read("HA[..] PENNY"), ["HALF PENNY"]);
        assert_eq!(read("HALF 1902 CROWN"), ["HALF CROWN"]);
        assert_eq!(read("HALF [c.3000000000] CROWN"), Vec::<&str>::new());
        // Too little is left to say so.
        assert_eq!(read("[....] [...]NY"), Vec::<&str>::new());
    }

    #[test]
    fn a_word_that_holds_a_value_is_none() {
        assert_eq!(read("CROWNED JULY 19"), Vec::<&str>::new());
        assert_eq!(read("D N DECENTIVS CAESAR"), Vec::<&str>::new());
        // It may be a halfpenny's.
        assert_eq!(read("[---]PENNY REX"), Vec::<&str>::new());
    }
}
