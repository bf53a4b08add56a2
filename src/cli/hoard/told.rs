//! What a row or a phrase tells for certain: how many, which years, what kind, which types.
//!
//! Every fault names the row, the column and the mend; identifies nothing.
//!
//! Invariant: nothing that was written is passed over: it is read, or it is a fault.

use crate::House;
use crate::catalogue::CoinType;
use crate::find::{Companion, Find, Span, Year};
use crate::hoard::{COUNT_MOST, Kind};
use crate::parse::{self, Field};
use crate::treasure::{Age, age};

/// What was told of a piece.
#[derive(Clone, Debug, Default)]
pub(super) struct Told {
    pub(super) count: Option<u32>,
    pub(super) years: Option<Span>,
    pub(super) kind: Option<Kind>,
    /// Positions of the types that it is said to be.
    pub(super) types: Vec<usize>,
}

/// Longest cell that is quoted back.
const SHOWN: usize = 60;

/// A cell as it may be shown again: short, and nothing in it that moves a cursor.
pub(super) fn shown(text: &str) -> String {
    let plain = text.chars().map(|c| if c.is_control() { ' ' } else { c });
    let mut short: String = plain.take(SHOWN).collect();
    if text.chars().count() > SHOWN {
        short.push('…');
    }
    short.trim().to_string()
}

/// How many: figures, from one to a million; nothing where the cell is empty.
pub(super) fn count(cell: &str) -> Result<Option<u32>, String> {
    if cell.is_empty() {
        return Ok(None);
    }
    let number = cell.parse::<u32>().ok();
    let held = number.filter(|count| (1..=COUNT_MOST).contains(count));
    held.map(Some).ok_or_else(|| {
        format!(
            "count: \"{}\" is no number of pieces: write 1 or more, up to a million, in figures",
            shown(cell)
        )
    })
}

/// The years told by two cells; one alone is a fault, as a half-open span says nothing of when.
pub(super) fn years(from: &str, to: &str) -> Result<Option<Span>, String> {
    match (from.is_empty(), to.is_empty()) {
        (true, true) => return Ok(None),
        (true, false) => return Err("from: is empty where to has a year: write both".to_string()),
        (false, true) => return Err("to: is empty where from has a year: write both".to_string()),
        _ => {}
    }
    let (from, to) = (year("from", from)?, year("to", to)?);
    Span::new(from, to).map(Some).ok_or_else(|| {
        format!("from, to: {from} to {to} runs backwards: write the earlier year first; BC as -32")
    })
}

fn year(column: &str, cell: &str) -> Result<Year, String> {
    let fault = || {
        format!(
            "{column}: \"{}\" is no year: write it as 271, or as -32 or 32 BC",
            shown(cell)
        )
    };
    let bare = match cell.strip_prefix(['-', '\u{2212}']) {
        Some(years) => format!("{years} BC"),
        None => cell.to_string(),
    };
    match age(&bare) {
        Ok(Age::Years(span)) if span.from == span.to => Ok(span.from),
        _ => Err(fault()),
    }
}

/// The kind of a cell.
pub(super) fn kind(cell: &str) -> Result<Option<Kind>, String> {
    if cell.is_empty() {
        return Ok(None);
    }
    let known: Vec<&str> = Kind::ALL.iter().map(|kind| kind.word()).collect();
    Kind::named(cell).map(Some).ok_or_else(|| {
        let (cell, known) = (shown(cell), known.join(", "));
        format!("kind: \"{cell}\" is not known: write one of {known}")
    })
}

/// The types meant by a cell: ids, handbook numbers or names, several joined by `;`.
pub(super) fn types(cell: &str, house: &House) -> Result<Vec<usize>, String> {
    let mut meant = Vec::new();
    let parts = cell.split(';').map(str::trim);
    for part in parts.filter(|part| !part.is_empty()) {
        let mut of: Vec<usize> = house.catalogue.type_by_id(part).into_iter().collect();
        if of.is_empty() {
            let named = named(part, house);
            of = named.map(|one| meant_by(&one, house)).unwrap_or_default();
        }
        if of.is_empty() {
            return Err(format!(
                "as: \"{}\" is nothing that the library has: write an id as sterling-3g, or a name as radiate of Tetricus I",
                shown(part)
            ));
        }
        meant.extend(of);
    }
    meant.sort_unstable();
    meant.dedup();
    Ok(meant)
}

/// What a name means to the library ("18 radiates of Tetricus I"), with the number before it.
pub(super) fn named(text: &str, house: &House) -> Option<Companion> {
    let plain = text.replace([';', ',', '+', '&'], " ");
    let (find, remarks) = parse::form(&[(Field::FoundWith, plain.clone())], &house.lexicon);
    let mut company = find.company.into_iter();
    let one = company.next().filter(|_| company.next().is_none());
    // A word that was not understood may be the very one that matters.
    one.filter(|_| remarks.is_empty())
        .or_else(|| joint(&plain, house))
}

/// A name with an "and" in it ("shilling of Philip and Mary"), which is no list of two kinds.
fn joint(text: &str, house: &House) -> Option<Companion> {
    let (first, rest) = text.trim().split_once(' ').unwrap_or((text, ""));
    let (count, said) = match first.parse::<u32>() {
        Ok(count) => (count, rest),
        Err(_) => (1, text),
    };
    let (find, remarks) = parse::form(&[(Field::Opinion, said.to_string())], &house.lexicon);
    let known = remarks.is_empty() && !find.opinions.is_empty() && count > 0;
    known.then(|| Companion {
        count,
        means: find.opinions,
        said: said.to_string(),
    })
}

/// The types that a name may mean.
pub(super) fn meant_by(name: &Companion, house: &House) -> Vec<usize> {
    let types = house.catalogue.types.iter().enumerate();
    let of = types.filter(|(_, coin)| house.catalogue.may_be(coin, name));
    of.map(|(place, _)| place).collect()
}

/// The types at positions.
pub(super) fn at<'h>(places: &[usize], house: &'h House) -> Vec<&'h CoinType> {
    let types = &house.catalogue.types;
    places.iter().map(|place| &types[*place]).collect()
}

/// True of a find of which only a name was said, and a metal or a state at most.
pub(super) fn is_only_named(find: &Find) -> bool {
    let unread = find
        .readings
        .iter()
        .all(|reading| reading.letters_seen() == 0);
    !find.opinions.is_empty()
        && find.weight.is_none()
        && find.diameter.is_none()
        && find.thickness.is_none()
        && find.die_axis.is_none()
        && find.date_on_piece.is_none()
        && find.sightings.is_empty()
        && unread
}
