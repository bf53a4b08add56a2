//! What a find was identified as: the identification that stands, those before it, who confirmed it.
//!
//! Keeps what is handed in; identifies nothing.
//!
//! Invariant: a find has at most one identification that stands.

use rusqlite::Connection;

use super::entry::{Confirmer, FindKind, Identified, Standing, Whole};
use super::fault::{Kind, ShelfFault};
use super::finds::{entry, touched};
use super::write::{Writing, values};
use super::{Shelf, Stamp, text};

/// Most bytes of the answer kept with an identification.
const ANSWER_MOST: usize = 1_000_000;

impl Shelf {
    /// Keeps an identification as the one that stands; those before it are kept as earlier.
    pub fn identify(
        &mut self,
        stamp: &Stamp,
        id: &str,
        identified: Identified,
    ) -> Result<Whole, ShelfFault> {
        let key = self.write(stamp, "identify", &self.known_as(id), |writing| {
            let held = entry(writing.db(), id)?;
            named(writing, held.key, identified)?;
            touched(writing, held)
        })?;
        self.whole(key)
    }

    /// Confirms the identification that stands, or the one handed in, which takes its place: who
    /// says so, by which book or record, on which day.
    ///
    /// # Errors
    ///
    /// When there is none to confirm, or a book is not named.
    pub fn confirm(
        &mut self,
        stamp: &Stamp,
        id: &str,
        by: Confirmer,
        reference: Option<String>,
        day: Option<String>,
        decided: Option<Identified>,
    ) -> Result<Whole, ShelfFault> {
        let key = self.write(stamp, "confirm", &self.known_as(id), |writing| {
            let mut held = entry(writing.db(), id)?;
            if let Some(decided) = decided {
                // What it is decides what kind of find it is.
                if decided.class.is_some() {
                    held.kind = FindKind::Artefact;
                } else if decided.denomination.is_some() {
                    held.kind = FindKind::Coin;
                }
                named(writing, held.key, decided)?;
            }
            let mut stands = standing(writing.db(), held.key)?.ok_or_else(|| {
                ShelfFault::new(
                    Kind::Unknown,
                    format!("find {}: it was not identified yet", held.id),
                    "say what it is with --as, or identify it first",
                )
            })?;
            stands.confirmed_by = Some(by);
            stands.reference = reference;
            stands.confirmed_on = day;
            named_well(&mut stands)?;
            writing.put(&stands)?;
            touched(writing, held)
        })?;
        self.whole(key)
    }
}

fn standing(db: &Connection, find: i64) -> Result<Option<Identified>, ShelfFault> {
    let found: Vec<Identified> = values(db, "find = ?1 AND standing = 'current'", &[&find])?;
    Ok(found.into_iter().next())
}

pub(super) fn named(
    writing: &mut Writing<'_>,
    find: i64,
    mut identified: Identified,
) -> Result<(), ShelfFault> {
    if let Some(mut before) = standing(writing.db(), find)? {
        before.standing = Standing::Earlier;
        writing.put(&before)?;
    }
    identified.find = find;
    identified.standing = Standing::Current;
    if identified.made_at.is_empty() {
        identified.made_at = writing.stamp.at.clone();
    }
    named_well(&mut identified)?;
    writing.add(&mut identified)?;
    Ok(())
}

pub(super) fn named_well(one: &mut Identified) -> Result<(), ShelfFault> {
    one.text = text::line("identification", &one.text)?;
    text::maybe_line("reference", &mut one.reference)?;
    text::day("day", &mut one.confirmed_on)?;
    if one.confirmed_by == Some(Confirmer::Book) && one.reference.is_none() {
        return Err(ShelfFault::field(
            "reference",
            "no book is named",
            "name it with its page or number, for example --reference \"North 1039\"",
        ));
    }
    let share = |share: &f64| !(0.0..=1.0).contains(share);
    if let Some(share) = one.share.filter(share) {
        return Err(ShelfFault::field(
            "share",
            format_args!("{share} is no probability"),
            "give a number from 0 to 1",
        ));
    }
    if one
        .answer
        .as_ref()
        .is_some_and(|text| text.len() > ANSWER_MOST)
    {
        let what = format!("longer than {ANSWER_MOST} bytes");
        return Err(ShelfFault::field(
            "answer",
            what,
            "keep fewer candidates with it",
        ));
    }
    Ok(())
}
