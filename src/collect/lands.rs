//! What can be done with land on the shelf.
//!
//! Holds values to what they may be and keeps them. Knows no law: what a restriction means is said
//! by the room of the law, through the door.
//!
//! Invariant: a field's parent is a holding; a day of an end is not before its beginning.

use rusqlite::{Connection, OptionalExtension};

use super::fault::{Kind, ShelfFault};
use super::land::{
    Boundary, Form, Holding, Land, LandKind, LandNote, Leave, Person, Restriction, SearchDay,
};
use super::write::{Writing, value_of, values};
use super::{Shelf, Stamp, text};

/// Most bytes of a boundary.
const BOUNDARY_MOST: usize = 2_000_000;

/// What is kept of land beside itself; its `land` is filled in.
#[derive(Clone, Debug, PartialEq)]
pub enum OfLand {
    /// An owner or tenant.
    Person(Person),
    /// Leave to search.
    Leave(Leave),
    /// Where it ends.
    Boundary(Boundary),
    /// Why it may not be searched, or only with care.
    Restriction(Restriction),
    /// What a map or earlier work shows.
    Note(LandNote),
    /// A day it was searched.
    SearchDay(SearchDay),
}

impl Shelf {
    /// Keeps a holding or a field; its key and its times are filled in.
    pub fn add_land(&mut self, stamp: &Stamp, land: Land) -> Result<Land, ShelfFault> {
        self.add_land_with(stamp, land, Vec::new())
    }

    /// Keeps land and what is said of it in one act.
    pub fn add_land_with(
        &mut self,
        stamp: &Stamp,
        land: Land,
        with: Vec<OfLand>,
    ) -> Result<Land, ShelfFault> {
        let mut land = land;
        let about = land.id.trim().to_string();
        self.write(stamp, "add land", &about, |writing| {
            new_land(writing, &mut land)?;
            for mut what in with {
                put_by(writing, &land.id, &mut what)?;
            }
            Ok(())
        })?;
        Ok(land)
    }

    /// Changes land: the change is handed the land as it is. Its id may change too.
    pub fn edit_land(
        &mut self,
        stamp: &Stamp,
        id: &str,
        change: impl FnOnce(&mut Land),
    ) -> Result<Land, ShelfFault> {
        self.write(stamp, "edit land", &self.land_known_as(id), |writing| {
            let before = land(writing.db(), id)?;
            let mut after = before.clone();
            change(&mut after);
            after.key = before.key;
            checked(&mut after, writing.db())?;
            free(&after, writing.db())?;
            if after != before {
                after.changed = stamp.at.clone();
                writing.put(&after)?;
            }
            Ok(after)
        })
    }

    /// Takes land away with all that is kept of it, but not while finds or fields are of it.
    pub fn remove_land(&mut self, stamp: &Stamp, id: &str) -> Result<(), ShelfFault> {
        self.write(stamp, "remove land", &self.land_known_as(id), |writing| {
            let held = land(writing.db(), id)?;
            let sql = "SELECT (SELECT count(*) FROM find WHERE land = ?1) \
                       + (SELECT count(*) FROM land WHERE parent = ?1)";
            let users: i64 = writing.db().query_row(sql, [held.key], |row| row.get(0))?;
            if users > 0 {
                return Err(ShelfFault::new(
                    Kind::InUse,
                    format!("land {}: {users} find(s) or field(s) are of it", held.id),
                    "give these other land first, or take them away",
                ));
            }
            for table in [
                "person",
                "leave",
                "boundary",
                "restriction",
                "land_note",
                "search_day",
            ] {
                for key in keys_of(writing.db(), table, held.key)? {
                    writing.take_away(table, key)?;
                }
            }
            writing.take_away("land", held.key)
        })
    }

    /// Keeps something of land: an owner, leave, a boundary, a restriction, a note, a search day.
    /// Gives its key.
    pub fn keep_for_land(
        &mut self,
        stamp: &Stamp,
        id: &str,
        what: OfLand,
    ) -> Result<i64, ShelfFault> {
        let mut what = what;
        let verb = match &what {
            OfLand::Person(_) => "add person",
            OfLand::Leave(_) => "add leave",
            OfLand::Boundary(_) => "add boundary",
            OfLand::Restriction(_) => "add restriction",
            OfLand::Note(_) => "add note",
            OfLand::SearchDay(_) => "add search day",
        };
        self.write(stamp, verb, &self.land_known_as(id), |writing| {
            put_by(writing, id, &mut what)
        })
    }

    /// The id of land as it is kept, whatever way it was typed.
    pub(super) fn land_known_as(&self, id: &str) -> String {
        land(&self.db, id).map_or_else(|_| id.trim().to_string(), |held| held.id)
    }

    /// All land, holdings before their fields, by name.
    pub fn lands(&self) -> Result<Vec<Land>, ShelfFault> {
        let order = "1 ORDER BY coalesce((SELECT name FROM land AS p WHERE p.key = land.parent), \
                     name), kind DESC, name, key";
        values(&self.db, order, &[])
    }

    /// Land by its id.
    pub fn land(&self, id: &str) -> Result<Land, ShelfFault> {
        land(&self.db, id)
    }

    /// Land by its key.
    pub fn land_of(&self, key: i64) -> Result<Option<Land>, ShelfFault> {
        let row = super::write::row(&self.db, "land", key)?;
        row.map(value_of).transpose()
    }

    /// Land with all that is kept of it. What is kept of the holding is not repeated for its field:
    /// ask for [`Holding::parent`].
    pub fn holding(&self, id: &str) -> Result<Holding, ShelfFault> {
        let land = self.land(id)?;
        let db = &self.db;
        let key = land.key;
        let sql = "SELECT count(*) FROM find WHERE land = ?1 \
                   OR land IN (SELECT key FROM land WHERE parent = ?1)";
        Ok(Holding {
            parent: land
                .parent
                .map(|key| self.land_of(key))
                .transpose()?
                .flatten(),
            people: values(db, "land = ?1 ORDER BY key", &[&key])?,
            leave: values(db, "land = ?1 ORDER BY from_day, key", &[&key])?,
            boundaries: values(db, "land = ?1 ORDER BY key", &[&key])?,
            restrictions: values(db, "land = ?1 ORDER BY key", &[&key])?,
            notes: values(db, "land = ?1 ORDER BY day, key", &[&key])?,
            search_days: values(db, "land = ?1 ORDER BY day, key", &[&key])?,
            finds: db.query_row(sql, [key], |row| row.get::<_, i64>(0))? as u64,
            land,
        })
    }
    /// A piece of land and the holding that it is a field of, the nearer first.
    pub fn holdings(&self, id: &str) -> Result<Vec<Holding>, ShelfFault> {
        let own = self.holding(id)?;
        let above = own.parent.as_ref().map(|parent| self.holding(&parent.id));
        let above = above.transpose()?;
        Ok(std::iter::once(own).chain(above).collect())
    }
}

fn new_land(writing: &mut Writing<'_>, land: &mut Land) -> Result<(), ShelfFault> {
    checked(land, writing.db())?;
    free(land, writing.db())?;
    land.created = writing.stamp.at.clone();
    land.changed = writing.stamp.at.clone();
    writing.add(land).map(|_| ())
}

/// Keeps something of land within a write.
pub(super) fn put_by(
    writing: &mut Writing<'_>,
    id: &str,
    what: &mut OfLand,
) -> Result<i64, ShelfFault> {
    let held = land(writing.db(), id)?;
    of_land(what, held.key)?;
    match what {
        OfLand::Person(one) => writing.add(one),
        OfLand::Leave(one) => writing.add(one),
        OfLand::Boundary(one) => writing.add(one),
        OfLand::Restriction(one) => writing.add(one),
        OfLand::Note(one) => writing.add(one),
        OfLand::SearchDay(one) => writing.add(one),
    }
}

/// Land by its id, or by one that looks like it.
pub(super) fn land(db: &Connection, id: &str) -> Result<Land, ShelfFault> {
    let found: Vec<Land> = values(db, "folded = ?1", &[&text::folded(id.trim())])?;
    found.into_iter().next().ok_or_else(|| {
        ShelfFault::new(
            Kind::Unknown,
            format!("land: there is none of the id {:?}", id.trim()),
            "see the ids with: lynchet land list",
        )
    })
}

fn keys_of(db: &Connection, table: &str, land: i64) -> Result<Vec<i64>, ShelfFault> {
    let sql = format!("SELECT key FROM \"{table}\" WHERE land = ?1 ORDER BY key");
    let mut asked = db.prepare_cached(&sql)?;
    let keys = asked.query_map([land], |row| row.get(0))?;
    Ok(keys.collect::<Result<_, _>>()?)
}

/// Refuses an id that is taken, or that looks like one that is.
fn free(land: &Land, db: &Connection) -> Result<(), ShelfFault> {
    let sql = "SELECT id FROM land WHERE folded = ?1 AND key <> ?2";
    let mut asked = db.prepare_cached(sql)?;
    let taken: Option<String> = asked
        .query_row((&land.folded, land.key), |row| row.get(0))
        .optional()?;
    taken.map_or(Ok(()), |taken| Err(text::taken("land", &land.id, &taken)))
}

fn checked(land: &mut Land, db: &Connection) -> Result<(), ShelfFault> {
    land.id = text::id("id", &land.id)?;
    land.folded = text::folded(&land.id);
    land.name = text::line("name", &land.name)?;
    if land.name.is_empty() {
        land.name.clone_from(&land.id);
    }
    land.notes = text::long("notes", &land.notes)?;
    text::maybe_line("landuse", &mut land.landuse)?;
    text::maybe_line("country", &mut land.country)?;
    let Some(parent) = land.parent else {
        return Ok(());
    };
    let row = super::write::row(db, "land", parent)?;
    let parent: Option<Land> = row.map(value_of).transpose()?;
    match parent {
        Some(parent) if parent.kind == LandKind::Holding && land.kind == LandKind::Field => Ok(()),
        Some(parent) => Err(ShelfFault::field(
            "parent",
            format_args!("{} cannot hold {}", parent.id, land.id),
            "a field belongs to a holding, and a holding to nothing",
        )),
        None => Err(ShelfFault::field(
            "parent",
            "there is no such holding",
            "keep the holding first",
        )),
    }
}

fn days(from: &Option<String>, to: &Option<String>) -> Result<(), ShelfFault> {
    match (from, to) {
        (Some(from), Some(to)) if to < from && !from.starts_with(to.as_str()) => {
            Err(ShelfFault::field(
                "to",
                format_args!("{to} is before {from}"),
                "put the first day under from and the last under to",
            ))
        }
        _ => Ok(()),
    }
}

fn of_land(what: &mut OfLand, key: i64) -> Result<(), ShelfFault> {
    match what {
        OfLand::Person(one) => {
            one.land = Some(key);
            one.name = needed("name", text::line("name", &one.name)?)?;
            text::maybe_long("contact", &mut one.contact)
        }
        OfLand::Leave(one) => {
            one.land = key;
            text::maybe_line("given by", &mut one.given_by)?;
            text::day("from", &mut one.from_day)?;
            text::day("to", &mut one.to_day)?;
            text::maybe_long("terms", &mut one.terms)?;
            text::maybe_line("split", &mut one.split)?;
            text::maybe_line("document", &mut one.document_name)?;
            days(&one.from_day, &one.to_day)
        }
        OfLand::Boundary(one) => {
            one.land = key;
            boundary(one)
        }
        OfLand::Restriction(one) => {
            one.land = key;
            text::maybe_long("note", &mut one.note)?;
            text::day("from", &mut one.from_day)?;
            text::day("to", &mut one.to_day)?;
            days(&one.from_day, &one.to_day)
        }
        OfLand::Note(one) => {
            one.land = key;
            text::day("day", &mut one.day)?;
            text::maybe_line("source", &mut one.source)?;
            one.text = needed("note", text::long("note", &one.text)?)?;
            Ok(())
        }
        OfLand::SearchDay(one) => {
            one.land = key;
            let mut day = Some(one.day.clone());
            text::day("day", &mut day)?;
            one.day = needed("day", day.unwrap_or_default())?;
            let hours = |hours: &f64| !(*hours > 0.0 && *hours <= 24.0);
            if let Some(hours) = one.hours.filter(hours) {
                let mend = "give the hours of that day, above 0 and at most 24";
                return Err(ShelfFault::field(
                    "hours",
                    format_args!("{hours} is not possible"),
                    mend,
                ));
            }
            text::maybe_line("who", &mut one.who)?;
            text::maybe_long("text", &mut one.text)
        }
    }
}

fn needed(field: &str, text: String) -> Result<String, ShelfFault> {
    match text.is_empty() {
        true => Err(ShelfFault::field(
            field,
            "nothing was given",
            "say it, or leave the entry out",
        )),
        false => Ok(text),
    }
}

/// Squares are read and written in one form; GeoJSON is held to be JSON of a form that has a place.
fn boundary(one: &mut Boundary) -> Result<(), ShelfFault> {
    if one.text.len() > BOUNDARY_MOST {
        let what = format!("{} bytes; at most {BOUNDARY_MOST} are kept", one.text.len());
        return Err(ShelfFault::field(
            "boundary",
            what,
            "draw it with fewer corners",
        ));
    }
    if one.form == Form::Squares {
        let parts = one.text.split([',', ';', '\n']).map(str::trim);
        let squares = parts.filter(|part| !part.is_empty()).map(|part| {
            let read = crate::findspot::read(part);
            read.map(|found| found.square.to_string())
                .map_err(|fault| ShelfFault::field("boundary", fault.what, fault.mend))
        });
        let squares: Vec<String> = squares.collect::<Result<_, _>>()?;
        one.text = needed("boundary", squares.join(", "))?;
        return Ok(());
    }
    let shape = || {
        let mend = "give a Feature, a FeatureCollection, a Polygon or a MultiPolygon in degrees";
        ShelfFault::field("boundary", "this is no GeoJSON of an area", mend)
    };
    let read: serde_json::Value = serde_json::from_str(&one.text).map_err(|_| shape())?;
    let kind = read.get("type").and_then(serde_json::Value::as_str);
    let areas = ["Feature", "FeatureCollection", "Polygon", "MultiPolygon"];
    kind.filter(|kind| areas.contains(kind))
        .map(|_| ())
        .ok_or_else(shape)
}
