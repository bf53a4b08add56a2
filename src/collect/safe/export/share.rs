//! The export for sharing: what a find is, not where exactly, whose, or by whom.
//!
//! Only columns that are known to be harmless are written; what somebody typed freely is left out
//! unless it is asked for, and even then held against every name on the shelf. Photographs are made
//! anew from their pixels, so that no place or camera is in them.
//!
//! Invariant: no owner, tenant, finder, name of land or findspot finer than asked is in any file.

use std::collections::{HashMap, HashSet};
use std::io::Write;
use std::path::Path;

use rusqlite::types::Value;
use serde_json::{Map, json};

use super::super::super::Shelf;
use super::super::super::fault::ShelfFault;
use super::super::super::kept::Row;
use super::folder::Out;
use super::guard::Guard;
use super::sheets::{Column, columns, newest};
use super::walk::walk;
use super::whole::{ids, some, stem};
use super::{Exported, described, place};
use crate::findspot::Side;
use crate::photo;

/// How to share.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sharing {
    /// Findspots are squares of this side or larger.
    pub no_finer: Side,
    /// The finder's words, notes and tags too, where they tell no name and no place.
    pub notes: bool,
    /// The person's own types too, as they are.
    pub types: bool,
}

/// Columns of a find that are shared as they stand.
const PLAIN: [&str; 9] = [
    "kind",
    "found_on",
    "metal",
    "weight_g",
    "diameter_mm",
    "thickness_mm",
    "die_axis",
    "completeness",
    "status",
];
/// Traits that are shared as they were typed, if they tell no name and no place.
const TRAITS: [&str; 11] = [
    "obverse-legend",
    "reverse-legend",
    "legend",
    "obverse-motif",
    "reverse-motif",
    "motif",
    "date-on-piece",
    "wear",
    "corrosion",
    "making",
    "treatment",
];
/// Columns of what it was identified as.
const NAMED: [&str; 12] = [
    "period",
    "ruler",
    "denomination",
    "series",
    "type_id",
    "class",
    "level",
    "text",
    "share",
    "from_year",
    "to_year",
    "confirmed_by",
];
/// Words of views that may show where a find lay.
const SHOWS_PLACE: [&str; 6] = ["ground", "field", "site", "place", "hole", "view"];

/// What runs through a sharing.
struct Share<'s> {
    shelf: &'s Shelf,
    sharing: Sharing,
    guard: Guard,
    /// Ids by key, as they are told.
    told: HashMap<i64, String>,
    /// Numbers of land and of groups in the place of their names.
    land: HashMap<i64, String>,
    groups: HashMap<String, String>,
    withheld: u64,
}

/// Writes what may be shared.
pub(super) fn export(
    shelf: &Shelf,
    out: &mut Out,
    sharing: Sharing,
) -> Result<Exported, ShelfFault> {
    let mut share = Share {
        shelf,
        sharing,
        guard: guard(shelf)?,
        told: HashMap::new(),
        land: HashMap::new(),
        groups: HashMap::new(),
        withheld: 0,
    };
    let mut finds: Vec<(i64, String)> = ids(shelf, "find")?.into_iter().collect();
    finds.sort();
    for (key, id) in finds {
        let told = match share.guard.tells(&id) {
            true => format!("find-{key}"),
            false => id,
        };
        share.told.insert(key, told);
    }
    let mut exported = Exported::default();
    share.photographs(out, &mut exported)?;
    share.finds(out, &mut exported)?;
    exported.withheld = share.withheld;
    if sharing.types {
        super::whole::own(shelf, out, &mut exported)?;
    }
    described::shared(shelf, out, &cut(sharing))?;
    Ok(exported)
}

fn cut(sharing: Sharing) -> String {
    let notes = match sharing.notes {
        true => {
            "The finder's words, notes and tags are in it where they tell no name and no place."
        }
        false => "The finder's words, notes and tags were left out.",
    };
    format!(
        "Findspots are squares of {} or larger. Owners, tenants, finders, names of land, leave, \
         places of storage and the history were left out, land and groups stand as numbers, and \
         photographs were made anew from their pixels, without place, time or camera. {notes}",
        sharing.no_finer.text()
    )
}

/// Every name on the shelf that must not be told.
fn guard(shelf: &Shelf) -> Result<Guard, ShelfFault> {
    let mut guard = Guard::default();
    for (table, names) in [
        ("person", &["key", "name", "contact"][..]),
        ("land", &["key", "id", "name"]),
        ("leave", &["key", "given_by"]),
        ("search_day", &["key", "who"]),
        ("find", &["key", "finder"]),
    ] {
        let mut seen = HashSet::new();
        walk(&shelf.db, table, &some(names), &mut |_, row| {
            for value in &row[1..] {
                if let Value::Text(name) = value
                    && seen.insert(name.clone())
                {
                    guard.add(name);
                }
            }
            Ok(())
        })?;
    }
    Ok(guard)
}

impl Share<'_> {
    /// A text that may be told, or nothing.
    fn told(&mut self, text: &str) -> String {
        if self.guard.tells(text) {
            self.withheld += 1;
            return String::new();
        }
        text.to_string()
    }

    fn finds(&mut self, out: &mut Out, exported: &mut Exported) -> Result<(), ShelfFault> {
        let known = newest()?;
        let (of_find, of_named) = (columns(&known, "find")?, columns(&known, "identification")?);
        let mut heading = vec!["id", "land", "group", "square", "square_m"];
        heading.extend(PLAIN);
        heading.extend(["official_number"]);
        heading.extend(TRAITS);
        heading.extend(NAMED.map(|name| if name == "text" { "identified" } else { name }));
        if self.sharing.notes {
            heading.extend(["reference", "words", "notes", "tags"]);
        }
        let mut table = out.table("finds.csv", "the finds", &heading)?;
        let mut places = Vec::new();
        let shelf = self.shelf;
        let lost = walk(&shelf.db, "find", &of_find, &mut |key, row| {
            let find = held(&of_find, row);
            let named = stands(shelf, key, &of_named);
            let cells = self.find(key, &find, &named, &mut places);
            table.row(cells.iter().map(|cell| {
                super::super::super::cells::cell_to_write(cell)
                    .into_owned()
                    .into_bytes()
            }))
        })?;
        if lost.rows > 0 {
            let what = format!(
                "finds.csv: {} find(s) could not be read ({})",
                lost.rows, lost.why
            );
            exported.lost.push(what);
        }
        let rows = out.end_table(table)?;
        exported.rows.push(("finds.csv".into(), rows));
        let what = "where the finds lay: squares no finer than agreed";
        let mut open = out.open("finds.geojson", "application/geo+json", what)?;
        let text = places.join(",\n");
        let written = write!(
            open,
            "{{\"type\":\"FeatureCollection\",\"features\":[\n{text}\n]}}\n"
        );
        written.map_err(|error| ShelfFault::of_io(&error, Path::new("finds.geojson")))?;
        exported
            .rows
            .push(("finds.geojson".into(), places.len() as u64));
        out.end(open)
    }

    /// The cells of one find.
    fn find(&mut self, key: i64, find: &Row, named: &Row, places: &mut Vec<String>) -> Vec<String> {
        let whole = |name: &str| find.get(name).and_then(serde_json::Value::as_i64);
        let text = |name: &str| find.get(name).and_then(serde_json::Value::as_str);
        let id = self.told.get(&key).cloned().unwrap_or_default();
        let next = self.land.len() + 1;
        let land = whole("land").map_or(String::new(), |land| {
            self.land
                .entry(land)
                .or_insert_with(|| format!("land-{next}"))
                .clone()
        });
        let next = self.groups.len() + 1;
        let group = text("grouped").map_or(String::new(), |group| {
            let group = group.to_string();
            self.groups
                .entry(group)
                .or_insert_with(|| format!("group-{next}"))
                .clone()
        });
        let finer = Some(self.sharing.no_finer);
        let square = place::square(whole("east"), whole("north"), whole("side_m"), finer);
        let identified = shown(named.get("text"));
        let identified = self.told(&identified);
        if let Some(square) = square {
            let said = Map::from_iter([
                ("id".to_string(), json!(id)),
                ("identified".to_string(), json!(identified)),
            ]);
            places.push(place::feature(square, said).to_string());
        }
        let mut cells = vec![id, land, group];
        cells.push(square.map_or(String::new(), |square| square.to_string()));
        cells.push(square.map_or(String::new(), |square| square.side().metres().to_string()));
        cells.extend(PLAIN.map(|name| shown(find.get(name))));
        cells.push(self.told(&shown(find.get("official_number"))));
        let said = text("said").and_then(|said| serde_json::from_str(said).ok());
        let said: Vec<(String, String)> = said.unwrap_or_default();
        for name in TRAITS {
            let same = |field: &str| field.replace('_', "-") == name;
            let of = said.iter().filter(|(field, _)| same(field));
            let all: Vec<&str> = of.map(|(_, text)| text.as_str()).collect();
            cells.push(self.told(&all.join("; ")));
        }
        for name in NAMED {
            cells.push(match name {
                "text" => identified.clone(),
                _ => shown(named.get(name)),
            });
        }
        if self.sharing.notes {
            let tags = tags(self.shelf, key).join("; ");
            let (words, notes) = (shown(find.get("words")), shown(find.get("notes")));
            for text in [shown(named.get("reference")), words, notes, tags] {
                cells.push(self.told(&text));
            }
        }
        cells
    }

    fn photographs(&mut self, out: &mut Out, exported: &mut Exported) -> Result<(), ShelfFault> {
        let wanted = some(&["key", "find", "place", "view", "digest"]);
        let heading = ["find", "place", "view", "width", "height", "file"];
        let mut table = out.table("photographs.csv", "the photographs of the finds", &heading)?;
        let shelf = self.shelf;
        walk(&shelf.db, "photograph", &wanted, &mut |key, row| {
            let (Value::Integer(find), Value::Integer(place), Value::Text(digest)) =
                (&row[1], &row[2], &row[4])
            else {
                return Ok(());
            };
            let view = match &row[3] {
                Value::Text(view) => view.clone(),
                _ => String::new(),
            };
            let shows = |word: &&str| view.to_lowercase().contains(*word);
            if !self.sharing.notes && SHOWS_PLACE.iter().any(shows) {
                self.withheld += 1;
                return Ok(());
            }
            let (jpeg, width, height) = match anew(shelf, digest) {
                Ok(made) => made,
                Err(what) => {
                    exported.lost.push(what);
                    return Ok(());
                }
            };
            let view = self.told(&view);
            let id = self.told.get(find).cloned().unwrap_or_default();
            let path = format!("photographs/{key}{}{}.jpg", stem_of(&id), stem_of(&view));
            out.put(
                &path,
                "image/jpeg",
                "a photograph, from its pixels alone",
                &jpeg,
            )?;
            exported.files += 1;
            let (place, width, height) = (place.to_string(), width.to_string(), height.to_string());
            let cells = [id, place, view, width, height, path];
            table.row(cells.iter().map(|cell| {
                super::super::super::cells::cell_to_write(cell)
                    .into_owned()
                    .into_bytes()
            }))
        })?;
        let rows = out.end_table(table)?;
        exported.rows.push(("photographs.csv".into(), rows));
        Ok(())
    }
}

/// A photograph made anew from its pixels, and its width and height.
fn anew(shelf: &Shelf, digest: &str) -> Result<(Vec<u8>, usize, usize), String> {
    let bytes = shelf.bytes_of(digest).map_err(|fault| fault.what)?;
    let named =
        |fault: photo::Fault| format!("{}: {}", shelf.path_of(digest).display(), fault.what);
    let picture = photo::open(&bytes).map_err(named)?.picture;
    let jpeg = photo::packed(&picture, photo::Form::Jpeg, None).map_err(named)?;
    Ok((jpeg, picture.width, picture.height))
}

fn stem_of(text: &str) -> String {
    match text.is_empty() {
        true => String::new(),
        false => stem(text),
    }
}

/// A row with the names of its columns.
fn held(columns: &[Column], row: &[Value]) -> Row {
    let named = columns.iter().zip(row).map(|(column, value)| {
        let value = match value {
            Value::Integer(whole) => json!(whole),
            Value::Real(real) => json!(real),
            Value::Text(text) => json!(text),
            Value::Null | Value::Blob(_) => serde_json::Value::Null,
        };
        (column.name.clone(), value)
    });
    named.collect()
}

/// What a find stands as.
fn stands(shelf: &Shelf, find: i64, columns: &[Column]) -> Row {
    let names: Vec<String> = columns
        .iter()
        .map(|column| format!("\"{}\"", column.name))
        .collect();
    let sql = format!(
        "SELECT {} FROM identification WHERE find = ?1 AND standing = 'current'",
        names.join(", ")
    );
    let read = shelf.db.prepare_cached(&sql).and_then(|mut asked| {
        asked.query_row([find], |row| {
            (0..columns.len())
                .map(|at| row.get::<_, Value>(at))
                .collect::<Result<Vec<_>, _>>()
        })
    });
    read.map_or(Row::new(), |row| held(columns, &row))
}

fn tags(shelf: &Shelf, find: i64) -> Vec<String> {
    let read = shelf
        .db
        .prepare_cached("SELECT tag FROM tag WHERE find = ?1 ORDER BY tag");
    let tags = read.and_then(|mut asked| {
        let rows = asked.query_map([find], |row| row.get::<_, String>(0))?;
        rows.collect()
    });
    tags.unwrap_or_default()
}

fn shown(value: Option<&serde_json::Value>) -> String {
    match value {
        None | Some(serde_json::Value::Null) => String::new(),
        Some(serde_json::Value::String(text)) => text.clone(),
        Some(other) => other.to_string(),
    }
}
