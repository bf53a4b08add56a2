//! From flags and cells to a find as it is kept: what was typed, what it measures, what it was
//! identified as.
//!
//! Opens no shelf. Every fault names its field.
//!
//! Invariant: what was typed is kept as it was typed, and the columns say the same.

use std::path::Path;

use super::args::KeptFlags;
use crate::cli::error::Trouble;
use crate::cli::shelf::{bytes, name_of, number};
use crate::cli::view::AnswerView;
use crate::collect::{Entry, FindKind, Identified, NewPhotograph, Shelf};
use crate::find::Find;
use crate::parse::{self, Field, Remark};
use crate::score::Level;
use crate::{House, Identification, IdentifyOptions};

/// How many candidates of each kind are kept with an identification.
const CANDIDATES: usize = 5;

/// The find that is heard in what was typed.
pub(crate) fn heard(entry: &Entry, house: &House) -> (Find, Vec<Remark>) {
    let fields: Vec<(Field, String)> = entry
        .said
        .iter()
        .filter_map(|(name, text)| Some((Field::column(name)?, text.clone())))
        .filter(|(field, _)| *field != Field::Id)
        .collect();
    let (by_fields, mut remarks) = parse::form(&fields, &house.lexicon);
    let (by_words, more) = parse::words(&entry.words, &house.lexicon);
    remarks.extend(more);
    let (find, between) = parse::merge(by_fields, by_words);
    remarks.extend(between);
    (find, remarks)
}

/// Puts what was heard into the columns.
pub(in crate::cli) fn measure(entry: &mut Entry, find: &Find) {
    entry.metal = find.metal.map(|(metal, _)| metal.name().to_string());
    entry.weight_g = find.weight.map(|weight| weight.value.get());
    entry.diameter_mm = find.diameter.map(|size| size.value.get());
    entry.thickness_mm = find.thickness.map(|size| size.value.get());
    entry.die_axis = find.die_axis.map(|axis| i64::from(axis.hour()));
    entry.completeness = find.completeness.map(|one| one.name().to_string());
}

/// Identifies what was heard; nothing where it is no coin or nothing was said of it.
pub(in crate::cli) fn identified(
    entry: &Entry,
    find: &Find,
    remarks: &[Remark],
    house: &House,
) -> Option<(Identification, Identified)> {
    if entry.kind == FindKind::Artefact || find.says_nothing() {
        return None;
    }
    let said = house.identify(find, IdentifyOptions::default());
    let kept = kept(entry, &said, remarks, house);
    Some((said, kept))
}

/// An identification as it is kept: the ids that its level carries, and no narrower one.
fn kept(entry: &Entry, said: &Identification, remarks: &[Remark], house: &House) -> Identified {
    let library = &house.catalogue;
    let view = AnswerView::of(Some(entry.id.clone()), said, remarks, house, CANDIDATES);
    let mut one = Identified::new(&said.text.chars().take(280).collect::<String>());
    one.library = Some(library.digest.clone());
    one.version = Some(env!("CARGO_PKG_VERSION").into());
    one.level = Some(said.answer.level.name().into());
    one.share = Some(said.answer.p);
    one.from_year = said.answer.span.map(|span| i64::from(span.from));
    one.to_year = said.answer.span.map(|span| i64::from(span.to));
    one.answer = serde_json::to_string(&view).ok();
    let Some(coin) = said.answer.like.map(|like| &library.types[like]) else {
        return one;
    };
    let level = said.answer.level;
    let of = |levels: &[Level]| level == Level::Type || levels.contains(&level);
    let ruler = coin.ruler.map(|ruler| library.rulers[ruler].id.clone());
    one.type_id = (of(&[]) && !coin.rest).then(|| coin.id.clone());
    one.ruler = ruler.filter(|_| of(&[Level::Ruler, Level::RulerAndDenomination]));
    one.series = of(&[Level::Series, Level::SeriesAndDenomination])
        .then(|| library.series[coin.series].id.clone());
    one.denomination = of(&[
        Level::RulerAndDenomination,
        Level::SeriesAndDenomination,
        Level::PeriodAndDenomination,
        Level::Denomination,
    ])
    .then(|| library.denominations[coin.denomination].id.clone());
    let open = [Level::Denomination, Level::Open, Level::Unlisted];
    one.period = (!open.contains(&level)).then(|| library.periods[coin.period].id.clone());
    one
}

/// A decision of a person: a type of the library by its id, or words.
pub(crate) fn decided(what: &str, house: &House) -> Identified {
    let library = &house.catalogue;
    let found = library.type_by_id(what.trim());
    let coin = found
        .map(|coin| &library.types[coin])
        .filter(|coin| !coin.rest);
    let Some(coin) = coin else {
        return Identified::new(what);
    };
    let mut one = Identified::new(&crate::explain::type_name(coin, library));
    one.library = Some(library.digest.clone());
    one.version = Some(env!("CARGO_PKG_VERSION").into());
    one.level = Some(Level::Type.name().into());
    one.type_id = Some(coin.id.clone());
    one.ruler = coin.ruler.map(|ruler| library.rulers[ruler].id.clone());
    one.series = Some(library.series[coin.series].id.clone());
    one.denomination = Some(library.denominations[coin.denomination].id.clone());
    one.period = Some(library.periods[coin.period].id.clone());
    one.from_year = Some(i64::from(coin.span.from));
    one.to_year = Some(i64::from(coin.span.to));
    one
}

/// Puts what is told beside the traits into a find; what is not said stays as it is.
pub(super) fn tell(entry: &mut Entry, told: &KeptFlags, shelf: &Shelf) -> Result<(), Trouble> {
    if let Some(land) = &told.land {
        entry.land = Some(shelf.land(land)?.key);
    }
    if let Some(depth) = &told.depth {
        entry.depth_cm = Some(number("--depth", depth, "cm")?);
    }
    let texts = [
        (&told.found, &mut entry.found_on),
        (&told.at, &mut entry.findspot),
        (&told.finder, &mut entry.finder),
        (&told.group, &mut entry.grouped),
        (&told.storage, &mut entry.storage),
        (&told.official_number, &mut entry.official_number),
    ];
    for (said, held) in texts {
        if let Some(said) = said {
            // A blank text takes away what was there.
            *held = Some(said.clone());
        }
    }
    if let Some(notes) = &told.notes {
        entry.notes.clone_from(notes);
    }
    Ok(())
}

/// Photographs from files: `front.jpg=obverse`, or the file alone.
pub(super) fn photographs(given: &[String]) -> Result<Vec<NewPhotograph>, Trouble> {
    let one = |given: &String| {
        // A name that is there as it stands may hold the sign itself.
        let (path, view) = match given.rsplit_once('=') {
            Some((path, view)) if !Path::new(given).exists() => (path, Some(view.to_string())),
            _ => (given.as_str(), None),
        };
        let path = Path::new(path);
        Ok(NewPhotograph {
            bytes: bytes("photograph", path)?,
            name: name_of(path),
            view,
            taken: None,
        })
    };
    given.iter().map(one).collect()
}
