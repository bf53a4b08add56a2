//! `collection import`: every find of a table, all rows or none.
//!
//! Checks the whole table before anything is kept, and lists what is wrong by line and column. Takes
//! off the apostrophe that Lynchet's own tables put before what a spreadsheet would reckon.
//!
//! Invariant: a table with a fault leaves the shelf as it was.

use std::collections::HashMap;
use std::io::Write;
use std::path::Path;

use serde_json::json;

use super::args::{CollectionVerb, KeptFlags};
use super::{gather, judged};
use crate::cli::error::Trouble;
use crate::cli::judging::Judging;
use crate::cli::opened::Opened;
use crate::cli::shelf::ShelfFlags;
use crate::cli::table::{Row, Table};
use crate::cli::{Outcome, print_json};
use crate::collect::{
    Access, Entry, FINDS_MOST, FindKind, Identified, NewFind, Shelf, Status, cell_as_read, folded,
};
use crate::parse::Field;

/// Most faults that are listed.
const FAULTS_SHOWN: usize = 50;
/// The fields that are no traits.
const TOLD: [&str; 18] = [
    "found",
    "findspot",
    "land",
    "depth",
    "finder",
    "group",
    "storage",
    "official-number",
    "status",
    "notes",
    "tags",
    "kind",
    "identified",
    "type",
    "class",
    "length",
    "width",
    "height",
];

/// What a mapping says: the field and its column's place.
type Columns = Vec<(String, usize)>;

/// Checks a table, and keeps its finds.
pub(super) fn run(
    verb: &CollectionVerb,
    flags: &ShelfFlags,
    opened: &Opened<'_>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let CollectionVerb::Import {
        table: path,
        map,
        keep_map,
        plain,
        only_check,
    } = verb
    else {
        return Ok(Outcome::Answer);
    };
    let mut table = Table::open(path)?;
    let mut shelf = flags.open(Access::Write)?;
    let pairs = pairs(map, &shelf, &table)?;
    let columns = placed(&pairs, &table)?;
    opened.house()?;
    let (finds, faults) = read(&mut table, &columns, &shelf, opened, *plain)?;
    if !faults.is_empty() {
        return Err(refused(path, &faults));
    }
    let count = finds.len();
    if !only_check {
        let stamp = flags.stamp()?;
        if let Some(name) = keep_map {
            shelf.keep_mapping(&stamp, name, pairs.clone())?;
        }
        if count > 0 {
            shelf.add_finds(&stamp, finds)?;
        }
    }
    let unused: Vec<&String> = unused(&table, &columns);
    match flags.json {
        true => print_json(
            &json!({ "finds": count, "kept": !only_check, "columns_not_used": unused }),
            out,
        )?,
        false => {
            let done = if *only_check { "could be kept" } else { "kept" };
            writeln!(out, "{count} find(s) {done}")?;
            if !unused.is_empty() {
                let unused: Vec<&str> = unused.into_iter().map(String::as_str).collect();
                writeln!(out, "columns not used: {}", unused.join(", "))?;
            }
        }
    }
    Ok(Outcome::Answer)
}

fn refused(path: &Path, faults: &[String]) -> Trouble {
    let mut what = format!(
        "{}: {} fault(s); nothing was kept",
        path.display(),
        faults.len()
    );
    for fault in faults.iter().take(FAULTS_SHOWN) {
        what.push_str(&format!("\n  {fault}"));
    }
    if faults.len() > FAULTS_SHOWN {
        what.push_str(&format!("\n  and {} more", faults.len() - FAULTS_SHOWN));
    }
    Trouble::new(what, "mend the table and import it again")
}

/// Which column holds which field: by the flags, by a mapping that was kept, or by their names.
fn pairs(map: &[String], shelf: &Shelf, table: &Table) -> Result<Vec<(String, String)>, Trouble> {
    let mut pairs = Vec::new();
    for given in map.iter().flat_map(|given| given.split(',')) {
        match given.split_once('=') {
            Some((field, column)) => pairs.push((known(field)?, column.trim().to_string())),
            None => pairs.extend(shelf.mapping(given)?.columns),
        }
    }
    // Columns that are named as a field is are taken as such, where nothing else was said.
    for column in &table.columns {
        let mapped = |(_, held): &(String, String)| held.eq_ignore_ascii_case(column);
        if let Ok(field) = known(column)
            && !pairs.iter().any(mapped)
            && !pairs.iter().any(|(held, _)| *held == field)
        {
            pairs.push((field, column.clone()));
        }
    }
    match pairs.iter().any(|(field, _)| field == "id") {
        true => Ok(pairs),
        false => Err(Trouble::new(
            "no column holds the ids of the finds",
            "say which does, for example: --map id=Number",
        )),
    }
}

/// The field that is meant.
fn known(name: &str) -> Result<String, Trouble> {
    let plain = name.trim().to_lowercase().replace([' ', '_'], "-");
    let told = TOLD.iter().find(|told| **told == plain);
    let told = told.map(|told| told.to_string());
    let field = told.or_else(|| Field::column(name).map(|field| field.name().to_string()));
    field.ok_or_else(|| {
        let fields = Field::ALL.iter().map(|field| field.name());
        let all: Vec<&str> = fields.chain(TOLD).collect();
        let what = format!("--map: {:?} is no field", crate::cli::ids::shortened(name));
        Trouble::new(what, format!("the fields are: {}", all.join(", ")))
    })
}

fn placed(pairs: &[(String, String)], table: &Table) -> Result<Columns, Trouble> {
    let place = |(field, column): &(String, String)| {
        let mut names = table.columns.iter();
        let place = names.position(|name| name.eq_ignore_ascii_case(column));
        let place = place.ok_or_else(|| {
            let what = format!("--map: the table has no column {column:?}");
            Trouble::new(
                what,
                format!("its columns are: {}", table.columns.join(", ")),
            )
        })?;
        Ok((field.clone(), place))
    };
    pairs.iter().map(place).collect()
}

fn unused<'t>(table: &'t Table, columns: &Columns) -> Vec<&'t String> {
    let names = table.columns.iter().enumerate();
    let unused = names.filter(|(place, _)| !columns.iter().any(|(_, held)| held == place));
    unused
        .map(|(_, name)| name)
        .filter(|name| !name.is_empty())
        .collect()
}

/// Reads every row; gives the finds, and what is wrong with which line and column.
fn read(
    table: &mut Table,
    columns: &Columns,
    shelf: &Shelf,
    opened: &Opened<'_>,
    plain: bool,
) -> Result<(Vec<NewFind>, Vec<String>), Trouble> {
    let (mut finds, mut faults) = (Vec::new(), Vec::new());
    let mut seen: HashMap<String, (u64, String)> = HashMap::new();
    let mut lands: HashMap<String, i64> = HashMap::new();
    while let Some(row) = table.next()? {
        if row.cells.iter().all(String::is_empty) {
            continue;
        }
        let line = row.line;
        for remark in &row.remarks {
            faults.push(format!("line {line}: {}; {}", remark.what, remark.mend));
        }
        let read = one(&row, columns, &table.columns, shelf, &mut lands)
            .and_then(|new| heard(new, opened, plain).map_err(|trouble| trouble.told()))
            .and_then(|new| match shelf.try_find(&new) {
                Ok(()) => Ok(new),
                Err(fault) => Err(fault.to_string()),
            });
        match read {
            Ok(new) => {
                let id = new.entry.id.clone();
                match seen.insert(folded(&id), (line, id.clone())) {
                    Some((before, other)) => faults.push(format!(
                        "line {line}: id: {id} is the same as {other} of line {before}; give each \
                         find its own"
                    )),
                    None => finds.push(new),
                }
            }
            Err(fault) => faults.push(format!("line {line}: {fault}")),
        }
        if finds.len() > FINDS_MOST {
            return Err(Trouble::new(
                format!("the table has more than {FINDS_MOST} finds"),
                "import it in several parts",
            ));
        }
    }
    Ok((finds, faults))
}

/// Hears the traits, and identifies them.
fn heard(mut new: NewFind, opened: &Opened<'_>, plain: bool) -> Result<NewFind, Trouble> {
    let given = new.identified.take();
    let identify = !plain && given.is_none();
    let judged = judged::judged(&mut new.entry, identify, &Judging::taught(None), opened)?;
    new.identified = match given {
        None => judged.identified,
        Some(given) => {
            let decided = judged::decided(&given.text, opened)?;
            if decided.class.is_some() && gather::said(&new.entry, judged::KIND).is_none() {
                new.entry.kind = FindKind::Artefact;
            }
            Some(decided)
        }
    };
    Ok(new)
}

fn one(
    row: &Row,
    columns: &Columns,
    names: &[String],
    shelf: &Shelf,
    lands: &mut HashMap<String, i64>,
) -> Result<NewFind, String> {
    let mut new = NewFind::of(Entry::new(""));
    let mut told = KeptFlags::default();
    for (field, place) in columns {
        let text = cell_as_read(row.cells[*place].as_str());
        if text.is_empty() {
            continue;
        }
        let at = |what: String| format!("column {:?}: {what}", names[*place]);
        let entry = &mut new.entry;
        match field.as_str() {
            "id" => entry.id = text.into(),
            "words" => entry.words = text.into(),
            "land" => {
                let key = match lands.get(text) {
                    Some(key) => *key,
                    None => shelf.land(text).map_err(|fault| at(fault.to_string()))?.key,
                };
                lands.insert(text.into(), key);
                entry.land = Some(key);
            }
            "found" => told.found = Some(text.into()),
            "findspot" => told.at = Some(text.into()),
            "depth" => told.depth = Some(text.into()),
            "finder" => told.finder = Some(text.into()),
            "group" => told.group = Some(text.into()),
            "storage" => told.storage = Some(text.into()),
            "official-number" => told.official_number = Some(text.into()),
            "notes" => told.notes = Some(text.into()),
            "status" => entry.status = Status::read(text).map_err(|fault| at(fault.to_string()))?,
            "kind" => {
                entry.kind = FindKind::read(text).map_err(|fault| at(fault.to_string()))?;
                entry.said.push((field.clone(), entry.kind.word().into()));
            }
            "tags" => new.tags = text.split(';').map(|tag| tag.trim().into()).collect(),
            "identified" if new.identified.is_none() => {
                new.identified = Some(Identified::new(text));
            }
            "identified" => {}
            "type" => new.identified = Some(Identified::new(text)),
            _ => entry.said.push((field.clone(), text.into())),
        }
    }
    gather::tell(&mut new.entry, &told, shelf).map_err(|trouble| trouble.told())?;
    Ok(new)
}
