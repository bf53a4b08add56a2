//! What can be done with finds on the shelf.
//!
//! Holds values to what they may be and keeps them. Identifies nothing: an identification is handed
//! in.
//!
//! Invariant: the status of a find is that of its last whereabouts.

use rusqlite::{Connection, OptionalExtension};

use super::entry::{Entry, Identified, Status, Tag, Whereabouts, Whole};
use super::fault::{Kind, ShelfFault};
use super::files::{NewPhotograph, Ready, carried, photographed, ready};
use super::named::{named, named_well};
use super::write::{Writing, values};
use super::{Shelf, Stamp, text};
use crate::find::{DieAxis, Grams, Impossible, MetalSeen, Millimetres};

/// Most finds that one call keeps.
pub const FINDS_MOST: usize = 100_000;
/// Deepest find that is believed, in centimetres.
const DEPTH_MOST: f64 = 1_000.0;
/// Most tags of a find.
const TAGS_MOST: usize = 64;

/// A find to be kept, with what goes with it from the first.
#[derive(Clone, Debug, PartialEq)]
pub struct NewFind {
    /// The find.
    pub entry: Entry,
    /// What it was identified as.
    pub identified: Option<Identified>,
    /// Its tags.
    pub tags: Vec<String>,
    /// Its photographs.
    pub photographs: Vec<NewPhotograph>,
}

impl NewFind {
    /// A find with nothing beside it.
    pub fn of(entry: Entry) -> NewFind {
        NewFind {
            entry,
            identified: None,
            tags: Vec::new(),
            photographs: Vec::new(),
        }
    }
}

/// What is changed of a find beside itself, in the same act.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Beside {
    /// Tags that it gets.
    pub give: Vec<String>,
    /// Tags that it loses.
    pub take: Vec<String>,
    /// What it is identified as from now on.
    pub identified: Option<Identified>,
}

impl Shelf {
    /// Keeps a find; keys, times and the place of its findspot are filled in.
    /// What its photographs carry beside their pixels is told as by [`Shelf::add_photographs`].
    pub fn add_find(
        &mut self,
        stamp: &Stamp,
        new: NewFind,
    ) -> Result<(Whole, Vec<String>), ShelfFault> {
        let mut new = new;
        let photographs = std::mem::take(&mut new.photographs);
        let ready: Vec<Ready> = photographs
            .into_iter()
            .map(ready)
            .collect::<Result<_, _>>()?;
        let notes = carried(&ready);
        let about = new.entry.id.trim().to_string();
        let key = self.write(stamp, "add find", &about, |writing| {
            let key = keep(writing, new)?;
            photographed(writing, key, ready)?;
            Ok(key)
        })?;
        Ok((self.whole(key)?, notes))
    }

    /// Keeps many finds in one act, all or none. Gives how many.
    ///
    /// # Errors
    ///
    /// As [`Shelf::add_find`], naming the find; or when there are more than [`FINDS_MOST`].
    pub fn add_finds(&mut self, stamp: &Stamp, new: Vec<NewFind>) -> Result<usize, ShelfFault> {
        let count = new.len();
        if count > FINDS_MOST {
            return Err(ShelfFault::new(
                Kind::Field,
                format!("{count} finds at once; at most {FINDS_MOST} are kept in one act"),
                "keep them in several parts",
            ));
        }
        self.write(stamp, "add finds", &format!("{count} finds"), |writing| {
            for mut find in new {
                let id = find.entry.id.clone();
                let photographs = std::mem::take(&mut find.photographs);
                let ready: Vec<Ready> = photographs
                    .into_iter()
                    .map(ready)
                    .collect::<Result<_, _>>()?;
                let kept = keep(writing, find).and_then(|key| photographed(writing, key, ready));
                kept.map_err(|mut fault| {
                    fault.what = format!("find {id}: {}", fault.what);
                    fault
                })?;
            }
            Ok(count)
        })
    }

    /// Says what would keep a find from being kept, without keeping it; nothing where it would be.
    ///
    /// # Errors
    ///
    /// As [`Shelf::add_find`], but for what the disk may do and for its photographs.
    pub fn try_find(&self, new: &NewFind) -> Result<(), ShelfFault> {
        let mut entry = new.entry.clone();
        checked(&mut entry)?;
        free(&entry, &self.db)?;
        for tag in &new.tags {
            text::line("tag", tag)?;
        }
        let mut identified = new.identified.clone();
        identified.as_mut().map_or(Ok(()), named_well)
    }

    /// Changes a find: the change is handed the find as it is. Its id may change too; its status is
    /// changed by [`Shelf::set_status`] alone.
    pub fn edit_find(
        &mut self,
        stamp: &Stamp,
        id: &str,
        change: impl FnOnce(&mut Entry),
    ) -> Result<Whole, ShelfFault> {
        self.edit_find_with(stamp, id, change, Beside::default())
    }

    /// As [`Shelf::edit_find`], with its tags and what it was identified as: one act, taken back as
    /// one.
    pub fn edit_find_with(
        &mut self,
        stamp: &Stamp,
        id: &str,
        change: impl FnOnce(&mut Entry),
        beside: Beside,
    ) -> Result<Whole, ShelfFault> {
        let key = self.write(stamp, "edit find", &self.known_as(id), |writing| {
            let before = entry(writing.db(), id)?;
            let mut after = before.clone();
            change(&mut after);
            after.key = before.key;
            after.status = before.status;
            checked(&mut after)?;
            free(&after, writing.db())?;
            if after != before || beside != Beside::default() {
                after.changed = stamp.at.clone();
                writing.put(&after)?;
            }
            retagged(writing, &after, &beside.give, &beside.take)?;
            if let Some(identified) = beside.identified {
                named(writing, after.key, identified)?;
            }
            Ok(after.key)
        })?;
        self.whole(key)
    }

    /// Takes a find away with all that is kept of it; the history has it, and photographs stay in
    /// the folder, so that it can be undone.
    pub fn remove_find(&mut self, stamp: &Stamp, id: &str) -> Result<(), ShelfFault> {
        self.write(stamp, "remove find", &self.known_as(id), |writing| {
            let held = entry(writing.db(), id)?;
            for table in ["photograph", "tag", "identification", "whereabouts"] {
                let sql = format!("SELECT key FROM \"{table}\" WHERE find = ?1 ORDER BY key");
                let keys: Vec<i64> = {
                    let mut asked = writing.db().prepare_cached(&sql)?;
                    let keys = asked.query_map([held.key], |row| row.get(0))?;
                    keys.collect::<Result<_, _>>()?
                };
                for key in keys {
                    writing.take_away(table, key)?;
                }
            }
            writing.take_away("find", held.key)
        })
    }

    /// Says where a find went. The days are kept.
    pub fn set_status(
        &mut self,
        stamp: &Stamp,
        id: &str,
        status: Status,
        day: Option<String>,
        note: Option<String>,
    ) -> Result<Whole, ShelfFault> {
        let key = self.write(stamp, "set status", &self.known_as(id), |writing| {
            let mut held = entry(writing.db(), id)?;
            let mut went = Whereabouts {
                key: 0,
                find: held.key,
                status,
                day,
                note,
            };
            text::day("day", &mut went.day)?;
            text::maybe_line("note", &mut went.note)?;
            writing.add(&mut went)?;
            held.status = status;
            held.changed = stamp.at.clone();
            writing.put(&held)?;
            Ok(held.key)
        })?;
        self.whole(key)
    }

    /// Gives a find tags, and takes others from it.
    pub fn tag(
        &mut self,
        stamp: &Stamp,
        id: &str,
        give: &[String],
        take: &[String],
    ) -> Result<Whole, ShelfFault> {
        let key = self.write(stamp, "tag", &self.known_as(id), |writing| {
            let held = entry(writing.db(), id)?;
            retagged(writing, &held, give, take)?;
            touched(writing, held)
        })?;
        self.whole(key)
    }

    /// Puts finds into a group, in one act; a blank name takes them out of theirs. Gives how many.
    pub fn group(
        &mut self,
        stamp: &Stamp,
        group: &str,
        finds: &[String],
    ) -> Result<usize, ShelfFault> {
        let mut name = Some(group.to_string());
        text::maybe_line("group", &mut name)?;
        self.write(stamp, "group", group.trim(), |writing| {
            for id in finds {
                let mut held = entry(writing.db(), id)?;
                held.grouped.clone_from(&name);
                touched(writing, held)?;
            }
            Ok(finds.len())
        })
    }

    /// The id of a find as it is kept, whatever way it was typed.
    pub(super) fn known_as(&self, id: &str) -> String {
        entry(&self.db, id).map_or_else(|_| id.trim().to_string(), |held| held.id)
    }

    /// A number that no find has: one more than the greatest that is a number alone.
    pub fn next_id(&self) -> Result<String, ShelfFault> {
        let sql = "SELECT coalesce(max(CAST(id AS INTEGER)), 0) + 1 FROM find \
                   WHERE id NOT GLOB '*[^0-9]*' AND length(id) < 10";
        let next: i64 = self.db.query_row(sql, [], |row| row.get(0))?;
        Ok(next.to_string())
    }

    /// A find with all that is kept of it.
    pub fn find(&self, id: &str) -> Result<Whole, ShelfFault> {
        self.whole(entry(&self.db, id)?.key)
    }

    /// As [`Shelf::find`], by the key.
    pub fn whole(&self, key: i64) -> Result<Whole, ShelfFault> {
        let db = &self.db;
        let found: Vec<Entry> = values(db, "key = ?1", &[&key])?;
        let entry = found
            .into_iter()
            .next()
            .ok_or_else(|| unknown("of that key"))?;
        let land = entry.land.map(|land| self.land_of(land)).transpose()?;
        let tags: Vec<Tag> = values(db, "find = ?1 ORDER BY tag", &[&key])?;
        Ok(Whole {
            land: land.flatten().map(|land| (land.id, land.name)),
            identified: values(db, "find = ?1 ORDER BY standing, key DESC", &[&key])?,
            photographs: values(db, "find = ?1 ORDER BY place, key", &[&key])?,
            tags: tags.into_iter().map(|tag| tag.tag).collect(),
            whereabouts: values(db, "find = ?1 ORDER BY key", &[&key])?,
            entry,
        })
    }
}

/// A find by its id, or by one that looks like it.
pub(super) fn entry(db: &Connection, id: &str) -> Result<Entry, ShelfFault> {
    let found: Vec<Entry> = values(db, "folded = ?1", &[&text::folded(id.trim())])?;
    found
        .into_iter()
        .next()
        .ok_or_else(|| unknown(&format!("of the id {:?}", id.trim())))
}

fn unknown(what: &str) -> ShelfFault {
    ShelfFault::new(
        Kind::Unknown,
        format!("find: there is none {what}"),
        "see the ids with: lynchet collection list",
    )
}

/// Notes the day of a find of which something beside itself was changed.
pub(super) fn touched(writing: &mut Writing<'_>, mut held: Entry) -> Result<i64, ShelfFault> {
    held.changed = writing.stamp.at.clone();
    writing.put(&held)?;
    Ok(held.key)
}

fn keep(writing: &mut Writing<'_>, new: NewFind) -> Result<i64, ShelfFault> {
    let mut entry = new.entry;
    checked(&mut entry)?;
    free(&entry, writing.db())?;
    entry.created = writing.stamp.at.clone();
    entry.changed = writing.stamp.at.clone();
    let key = writing.add(&mut entry)?;
    if entry.status != Status::InHand {
        let mut went = Whereabouts {
            key: 0,
            find: key,
            status: entry.status,
            day: None,
            note: None,
        };
        writing.add(&mut went)?;
    }
    if let Some(identified) = new.identified {
        named(writing, key, identified)?;
    }
    tagged(writing, key, &new.tags)?;
    Ok(key)
}

/// Takes tags from a find and gives it others.
fn retagged(
    writing: &mut Writing<'_>,
    held: &Entry,
    give: &[String],
    take: &[String],
) -> Result<(), ShelfFault> {
    let has: Vec<Tag> = values(writing.db(), "find = ?1 ORDER BY key", &[&held.key])?;
    for tag in take {
        let tag = text::line("tag", tag)?;
        let found = has.iter().find(|one| one.tag == tag).ok_or_else(|| {
            ShelfFault::field(
                "tag",
                format_args!("{} has no {tag:?}", held.id),
                "see its tags with show",
            )
        })?;
        writing.take_away("tag", found.key)?;
    }
    tagged(writing, held.key, give)
}

fn tagged(writing: &mut Writing<'_>, find: i64, tags: &[String]) -> Result<(), ShelfFault> {
    let has: Vec<Tag> = values(writing.db(), "find = ?1", &[&find])?;
    let mut has: Vec<String> = has.into_iter().map(|tag| tag.tag).collect();
    for tag in tags {
        let tag = text::line("tag", tag)?;
        if tag.is_empty() || has.contains(&tag) {
            continue;
        }
        if has.len() >= TAGS_MOST {
            let what = format!("a find has at most {TAGS_MOST}");
            return Err(ShelfFault::field("tag", what, "take some away first"));
        }
        let mut kept = Tag {
            key: 0,
            find,
            tag: tag.clone(),
        };
        writing.add(&mut kept)?;
        has.push(tag);
    }
    Ok(())
}

/// Refuses an id that is taken, or that looks like one that is.
fn free(entry: &Entry, db: &Connection) -> Result<(), ShelfFault> {
    let sql = "SELECT id FROM find WHERE folded = ?1 AND key <> ?2";
    let mut asked = db.prepare_cached(sql)?;
    let taken: Option<String> = asked
        .query_row((&entry.folded, entry.key), |row| row.get(0))
        .optional()?;
    taken.map_or(Ok(()), |taken| Err(text::taken("find", &entry.id, &taken)))
}

pub(super) fn checked(entry: &mut Entry) -> Result<(), ShelfFault> {
    entry.id = text::id("id", &entry.id)?;
    entry.folded = text::folded(&entry.id);
    entry.words = text::long("words", &entry.words)?;
    entry.notes = text::long("notes", &entry.notes)?;
    text::day("found", &mut entry.found_on)?;
    for (field, value) in [
        ("completeness", &mut entry.completeness),
        ("finder", &mut entry.finder),
        ("group", &mut entry.grouped),
        ("storage", &mut entry.storage),
        ("official number", &mut entry.official_number),
    ] {
        text::maybe_line(field, value)?;
    }
    for (field, value) in &mut entry.said {
        *field = text::line("field", field)?;
        *value = text::long(field, value)?;
    }
    measured(entry)?;
    placed(entry)
}

fn measured(entry: &Entry) -> Result<(), ShelfFault> {
    let said = |field: &str, problem: Option<Impossible>| {
        problem.map_or(Ok(()), |problem| {
            let mend = format!("give a value that is possible: {}", problem.wanted);
            let what = format!("{} is not possible", problem.given);
            Err(ShelfFault::field(field, what, mend))
        })
    };
    let size = |value: Option<f64>| value.and_then(|mm| Millimetres::new(mm).err());
    let weight = entry.weight_g.and_then(|grams| Grams::new(grams).err());
    said("weight", weight)?;
    said("diameter", size(entry.diameter_mm))?;
    said("thickness", size(entry.thickness_mm))?;
    let axis = entry.die_axis.map(|hour| u8::try_from(hour).unwrap_or(0));
    if let Some(hour) = axis.filter(|hour| DieAxis::new(*hour).is_err()) {
        let what = format!("{hour} is no hour of the clock");
        return Err(ShelfFault::field(
            "die axis",
            what,
            "give an hour from 1 to 12",
        ));
    }
    let depth = |depth: &f64| !(*depth >= 0.0 && *depth <= DEPTH_MOST);
    if let Some(depth) = entry.depth_cm.filter(depth) {
        let what = format!("{depth} is not possible");
        return Err(ShelfFault::field(
            "depth",
            what,
            "give centimetres, from 0 to 1000",
        ));
    }
    if let Some(metal) = &entry.metal {
        let names: Vec<&str> = MetalSeen::ALL.iter().map(|metal| metal.name()).collect();
        text::one_of("metal", metal, &names)?;
    }
    Ok(())
}

/// Reads the findspot, so that finds can be asked for by their place.
fn placed(entry: &mut Entry) -> Result<(), ShelfFault> {
    text::maybe_line("findspot", &mut entry.findspot)?;
    let read = entry.findspot.as_deref().map(crate::findspot::read);
    let read = read
        .transpose()
        .map_err(|fault| ShelfFault::new(Kind::Field, fault.what, fault.mend))?;
    entry.east = read.map(|found| i64::from(found.square.east()));
    entry.north = read.map(|found| i64::from(found.square.north()));
    entry.side_m = read.map(|found| i64::from(found.square.side().metres()));
    entry.within_m = read.and_then(|found| found.within);
    Ok(())
}
