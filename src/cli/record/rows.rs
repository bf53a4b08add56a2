//! The finds of a table, one draft a row.
//!
//! A cell that cannot be used is told with its line, and the rest of the row drafted. Flags hold
//! for every row whose cell is blank.
//!
//! Invariant: drafts stand in the order of the rows.

use std::io::{self, Write};
use std::path::Path;

use super::super::Outcome;
use super::super::error::Trouble;
use super::super::opened::Opened;
use super::super::table::{Row, Table, tell_of, traits};
use super::args::{ArtefactFlags, RecordArgs, ToldFlags};
use super::{Described, gather, thing};
use crate::House;
use crate::parse;
use crate::record::{Draft, Kind};
use crate::treasure::CalendarDay;

/// Most rows of one table.
const ROWS_MOST: usize = 2000;

/// Columns that tell of the circumstances, by the names they may have.
const COLUMNS: [(&str, &[&str]); 17] = [
    ("number", &["number", "find_number"]),
    ("found", &["found", "date_found"]),
    ("findspot", &["findspot", "grid_reference"]),
    ("method", &["method"]),
    ("landuse", &["landuse", "land_use"]),
    ("finder", &["finder"]),
    ("landowner", &["landowner"]),
    ("consent", &["consent"]),
    ("depth", &["depth", "depth_cm"]),
    ("group", &["group"]),
    ("moneyer", &["moneyer"]),
    ("notes", &["notes", "remarks"]),
    ("images", &["images", "image"]),
    ("as", &["as"]),
    ("by", &["by"]),
    ("object", &["object", "object_type"]),
    ("made", &["made"]),
];

/// The drafts of a table.
pub(super) fn drafts(
    path: &Path,
    asked: &RecordArgs,
    opened: &Opened<'_>,
    today: CalendarDay,
) -> Result<(Vec<Draft>, Outcome), Trouble> {
    let house = opened.house()?;
    if !asked.traits.fields().is_empty() {
        return Err(Trouble::new(
            "the traits of a find by flag do not go with --table",
            "put them into the table's columns",
        ));
    }
    tried(&asked.told, &asked.artefact, house, today)?;
    let mut table = Table::open(path)?;
    table.needs_a_trait()?;
    let columns = table.columns.clone();
    let rows = table.take(ROWS_MOST + 1)?;
    if rows.len() > ROWS_MOST {
        let what = format!("{} has more than {ROWS_MOST} rows", path.display());
        return Err(Trouble::new(what, "split the table"));
    }
    let mut drafts = Vec::with_capacity(rows.len());
    let mut whole = true;
    for row in &rows {
        whole &= row.remarks.is_empty();
        tell_of(row);
        let (draft, faults) = drafted(row, &columns, asked, opened, today)?;
        for fault in &faults {
            whole = false;
            let _ = writeln!(io::stderr(), "line {}: {fault}", row.line);
        }
        drafts.push(draft);
    }
    if drafts.is_empty() {
        let what = format!("{} has no rows below its heading", path.display());
        return Err(Trouble::new(what, "give one row a find"));
    }
    let outcome = if whole {
        Outcome::Answer
    } else {
        Outcome::PartlyUnread
    };
    Ok((drafts, outcome))
}

/// The draft of a row, and what of the row could not be used.
fn drafted(
    row: &Row,
    columns: &[String],
    asked: &RecordArgs,
    opened: &Opened<'_>,
    today: CalendarDay,
) -> Result<(Draft, Vec<String>), Trouble> {
    let house = opened.house()?;
    let said = traits(columns, row);
    let (find, remarks) = parse::form(&said, &house.lexicon);
    let mut faults = Vec::new();
    let (mut told, mut object) = (asked.told.clone(), asked.artefact.clone());
    for (name, known) in COLUMNS {
        let cell = known.iter().map(|column| row.cell(columns, column));
        let Some(cell) = cell.into_iter().find(|cell| !cell.is_empty()) else {
            continue;
        };
        let before = (told.clone(), object.clone());
        put(name, cell, &mut told, &mut object);
        if let Err(fault) = tried(&told, &object, house, today) {
            faults.push(fault.told().replace("--", ""));
            (told, object) = before;
        }
    }
    let kind = match object.object {
        Some(_) => Kind::Artefact,
        None => Kind::Coin,
    };
    let decided = gather::decided(&told, house).unwrap_or_default();
    let circumstances =
        gather::circumstances(&told, &object, &house.lexicon, today).unwrap_or_default();
    let described = Described {
        kind,
        find: &find,
        said: &said,
        remarks: &remarks,
        told: &decided,
        circumstances: &circumstances,
    };
    let draft = match kind {
        Kind::Artefact => thing::drafted(&described, &object, opened, today)?,
        _ => described.drafted(house, today),
    };
    Ok((draft, faults))
}

/// Whether all that was told so far can be.
fn tried(
    told: &ToldFlags,
    object: &ArtefactFlags,
    house: &House,
    today: CalendarDay,
) -> Result<(), Trouble> {
    gather::decided(told, house)?;
    gather::circumstances(told, object, &house.lexicon, today).map(drop)
}

fn put(name: &str, cell: &str, told: &mut ToldFlags, object: &mut ArtefactFlags) {
    let text = Some(cell.to_string());
    match name {
        "number" => told.number = text,
        "found" => told.found = text,
        "findspot" => told.findspot = text,
        "method" => told.method = text,
        "landuse" => told.landuse = text,
        "finder" => told.finder = text,
        "landowner" => told.landowner = text,
        "consent" => told.consent = text,
        "depth" => told.depth = text,
        "group" => told.group = text,
        "moneyer" => told.moneyer = text,
        "notes" => told.notes.push(cell.to_string()),
        "images" => told.images = cell.split(';').map(str::to_string).collect(),
        "as" => told.decided = cell.split(';').map(str::to_string).collect(),
        "by" => told.by = text,
        "object" => object.object = text,
        _ => object.made = text,
    }
}
