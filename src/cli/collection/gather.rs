//! From flags and cells to a find as it is kept: what was typed, and what it measures.
//!
//! Opens no shelf. Every fault names its field.
//!
//! Invariant: what was typed is kept as it was typed, and the columns say the same.

use std::path::Path;

use super::args::KeptFlags;
use crate::House;
use crate::cli::error::Trouble;
use crate::cli::learning::heard_again;
use crate::cli::shelf::{bytes, name_of, number};
use crate::collect::{Entry, NewPhotograph, Shelf};
use crate::find::Find;
use crate::parse::{Field, Remark};

/// What was typed of a new find.
pub(in crate::cli) struct Typed {
    /// Free words.
    pub(in crate::cli) words: String,
    /// Fields that coins have.
    pub(in crate::cli) traits: Vec<(Field, String)>,
    /// Fields that only things have, and whether it is a coin.
    pub(in crate::cli) thing: Vec<(String, String)>,
}

impl Typed {
    /// A find of which this is said, under the id that was typed or the next number.
    pub(super) fn entry(
        &self,
        next: impl FnOnce() -> Result<String, Trouble>,
    ) -> Result<Entry, Trouble> {
        let mut said = typed(&self.traits, &self.thing);
        let place = said.iter().position(|(field, _)| field == "id");
        let id = match place {
            Some(place) => said.remove(place).1,
            None => next()?,
        };
        let mut entry = Entry::new(&id);
        entry.words.clone_from(&self.words);
        entry.said = said;
        Ok(entry)
    }
}

/// The fields of a find by their names.
pub(super) fn typed(
    traits: &[(Field, String)],
    thing: &[(String, String)],
) -> Vec<(String, String)> {
    let traits = traits.iter();
    let traits = traits.map(|(field, text)| (field.name().to_string(), text.clone()));
    traits.chain(thing.iter().cloned()).collect()
}

/// What was typed in a field; the last where it was typed more than once.
pub(super) fn said(entry: &Entry, name: &str) -> Option<String> {
    let mut said = entry.said.iter().rev();
    let found = said.find(|(field, _)| field == name);
    found.map(|(_, text)| text.clone())
}

/// The fields that coins have.
pub(super) fn fields(entry: &Entry) -> Vec<(Field, String)> {
    entry
        .said
        .iter()
        .filter_map(|(name, text)| Some((Field::column(name)?, text.clone())))
        .filter(|(field, _)| *field != Field::Id)
        .collect()
}

/// The find that is heard in what was typed.
pub(crate) fn heard(entry: &Entry, house: &House) -> (Find, Vec<Remark>) {
    heard_again(&entry.said, &entry.words, house)
}

/// Puts what was heard into the columns.
pub(super) fn measure(entry: &mut Entry, find: &Find) {
    entry.metal = find.metal.map(|(metal, _)| metal.name().to_string());
    entry.weight_g = find.weight.map(|weight| weight.value.get());
    entry.diameter_mm = find.diameter.map(|size| size.value.get());
    entry.thickness_mm = find.thickness.map(|size| size.value.get());
    entry.die_axis = find.die_axis.map(|axis| i64::from(axis.hour()));
    entry.completeness = find.completeness.map(|one| one.name().to_string());
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
