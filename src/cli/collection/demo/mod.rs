//! `collection demo`: a shelf of an invented parish, to look round in.
//!
//! Makes land, leave, finds, photographs and what became of them from tables in this folder. Every
//! part says that it is invented; the photographs are drawings that say so. Never touches a shelf
//! that is there.
//!
//! Invariant: two demo shelves are alike but for the times at which they were made, and a folder is
//! a whole one or not there.

mod ground;

use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use serde::Deserialize;
use serde_json::json;

use super::judged;
use crate::cli::error::Trouble;
use crate::cli::judging::Judging;
use crate::cli::opened::Opened;
use crate::cli::shelf::{INVENTED, ShelfFlags};
use crate::cli::{Outcome, print_json};
use crate::collect::{
    Access, Confirmer, Entry, FindKind, NewFind, NewPhotograph, Shelf, Stamp, Status,
};
use crate::photo::{Form, Shape, packed, stand_in};

/// What is said of the shelf wherever it is listed.
const SAYS: &str = "invented: a demo shelf of a parish, people and finds that never were";
/// What is noted with each find.
const NOTE: &str = "Invented, for the demo shelf: no such find was made.";
/// The finds.
const FINDS: &str = include_str!("finds.csv");

/// A row of the table of finds.
#[derive(Deserialize)]
struct Row {
    id: String,
    words: String,
    land: String,
    found: String,
    at: String,
    depth: f64,
    storage: String,
    number: String,
    group: String,
    tags: String,
    status: String,
    day: String,
    /// By whom; the reference; the day.
    confirm: String,
    /// What is drawn on the front, and after a slash on the back.
    letters: String,
}

/// Makes the demo shelf.
pub(super) fn run(
    flags: &ShelfFlags,
    opened: &Opened<'_>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let folder = place(flags)?;
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    let making = folder.with_file_name(format!(".{name}.{}.making", std::process::id()));
    let stamp = flags.stamp()?;
    let fault = |error: std::io::Error| {
        let what = format!("--shelf: {}: {error}", folder.display());
        Trouble::new(what, "name a new folder in one that can be written to")
    };
    fs::create_dir(&making).map_err(fault)?;
    let made = made(&making, &stamp, opened).and_then(|finds| {
        if folder.is_dir() {
            // Only an empty one can be taken away.
            fs::remove_dir(&folder).map_err(fault)?;
        }
        fs::rename(&making, &folder).map_err(fault)?;
        Ok(finds)
    });
    let finds = made.inspect_err(|_| {
        let _ = fs::remove_dir_all(&making);
    })?;
    match flags.json {
        true => {
            let shelf = folder.display().to_string();
            print_json(
                &json!({ "shelf": shelf, "finds": finds, "invented": SAYS }),
                out,
            )?;
        }
        false => writeln!(
            out,
            "{finds} invented finds in {0}; look round with: lynchet collection list --shelf {0}",
            folder.display()
        )?,
    }
    Ok(Outcome::Answer)
}

/// The folder, which must be named, so that nobody's own shelf becomes a demo.
fn place(flags: &ShelfFlags) -> Result<PathBuf, Trouble> {
    let named = std::env::var_os("LYNCHET_SHELF").is_some_and(|folder| !folder.is_empty());
    if flags.shelf.is_none() && !named {
        return Err(Trouble::new(
            "--shelf: a demo shelf is not made where your own is kept",
            "name a new folder, for example: lynchet collection demo --shelf demo-shelf",
        ));
    }
    let folder: PathBuf = flags.folder()?.components().collect();
    let taken = match fs::read_dir(&folder) {
        Ok(mut held) => held.next().is_some(),
        Err(_) => folder.symlink_metadata().is_ok(),
    };
    if taken {
        let what = format!("--shelf: something is in {} already", folder.display());
        return Err(Trouble::new(
            what,
            "name a new folder: no shelf is ever written over",
        ));
    }
    match folder.file_name() {
        Some(_) => Ok(folder),
        None => Err(Trouble::new(
            "--shelf: this names no folder",
            "name a new one",
        )),
    }
}

fn made(folder: &Path, stamp: &Stamp, opened: &Opened<'_>) -> Result<usize, Trouble> {
    let mut shelf = Shelf::open(folder, Access::Write)?;
    shelf.set_setting(stamp, INVENTED, SAYS)?;
    ground::laid(&mut shelf, stamp)?;
    let rows = csv::Reader::from_reader(FINDS.as_bytes())
        .into_deserialize::<Row>()
        .collect::<Result<Vec<Row>, _>>()
        .map_err(|error| Trouble::new(format!("the demo's table: {error}"), ""))?;
    // Every day with a find is a day on which was searched.
    let days: BTreeSet<(&str, &str)> = rows
        .iter()
        .filter(|row| row.found.len() == 10)
        .map(|row| (row.found.as_str(), row.land.as_str()))
        .collect();
    for (at, (day, land)) in days.into_iter().enumerate() {
        ground::searched(&mut shelf, stamp, (land, day), 3.0 + (at % 4) as f64)?;
    }
    let mut finds = Vec::with_capacity(rows.len());
    for row in &rows {
        finds.push(find(row, &shelf, opened)?);
    }
    let count = shelf.add_finds(stamp, finds)?;
    for row in &rows {
        became(row, &mut shelf, stamp)?;
    }
    Ok(count)
}

fn some(text: &str) -> Option<String> {
    Some(text.to_string()).filter(|text| !text.is_empty())
}

/// A find as it is kept first.
fn find(row: &Row, shelf: &Shelf, opened: &Opened<'_>) -> Result<NewFind, Trouble> {
    let mut entry = Entry::new(&row.id);
    entry.words.clone_from(&row.words);
    entry.land = Some(shelf.land(&row.land)?.key);
    entry.found_on = some(&row.found);
    entry.findspot = some(&row.at);
    entry.depth_cm = Some(row.depth);
    entry.storage = some(&row.storage);
    entry.official_number = some(&row.number);
    entry.grouped = some(&row.group);
    entry.finder = Some("C. Walker (invented)".into());
    entry.notes = NOTE.into();
    // The table knows which are things, and says so where words alone would leave it open.
    if row.id.starts_with("NT") {
        entry
            .said
            .push((judged::KIND.into(), FindKind::Artefact.word().into()));
    }
    let judged = judged::judged(&mut entry, true, &Judging::taught(None), opened)?;
    let photographs = pictures(row, &entry)?;
    let mut new = NewFind::of(entry);
    new.identified = judged.identified;
    new.tags = vec!["invented".into()];
    new.tags.extend(some(&row.tags));
    new.photographs = photographs;
    Ok(new)
}

/// Drawings in place of photographs.
fn pictures(row: &Row, entry: &Entry) -> Result<Vec<NewPhotograph>, Trouble> {
    let tone = match entry.metal.as_deref() {
        Some("silver") => [186, 188, 192],
        Some("gold") => [214, 178, 84],
        Some("lead") => [138, 140, 146],
        _ => [146, 116, 78],
    };
    let (shape, views) = match entry.kind {
        FindKind::Coin => (Shape::Disc, ["obverse", "reverse"]),
        FindKind::Artefact => (Shape::Plate, ["front", "back"]),
    };
    let words = row.letters.split('/').filter(|words| !words.is_empty());
    let one = |(words, view): (&str, &str)| {
        let drawn = stand_in(shape, tone, words).and_then(|drawn| packed(&drawn, Form::Png, None));
        let bytes = drawn.map_err(|fault| Trouble::new(fault.what, fault.mend))?;
        Ok(NewPhotograph {
            bytes,
            name: format!("{}-{view}-drawn.png", row.id.to_lowercase()),
            view: Some(format!("{view} (drawn, invented)")),
            taken: None,
        })
    };
    words.zip(views).map(one).collect()
}

/// What became of a find.
fn became(row: &Row, shelf: &mut Shelf, stamp: &Stamp) -> Result<(), Trouble> {
    if !row.status.is_empty() {
        let status = Status::read(&row.status)?;
        shelf.set_status(stamp, &row.id, status, some(&row.day), None)?;
    }
    let mut parts = row.confirm.splitn(3, ';');
    let (by, reference, day) = (parts.next(), parts.next(), parts.next());
    let Some(by) = by.filter(|by| !by.is_empty()) else {
        return Ok(());
    };
    // Nobody confirms that nothing is known.
    let whole = shelf.find(&row.id)?;
    let level = whole.identified.first().and_then(|one| one.level.clone());
    if matches!(level.as_deref(), None | Some("open" | "unlisted")) {
        return Ok(());
    }
    let (reference, day) = (reference.and_then(some), day.and_then(some));
    shelf.confirm(stamp, &row.id, Confirmer::read(by)?, reference, day, None)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_holds_coins_and_things_and_every_part_that_is_shown() {
        let rows: Vec<Row> = csv::Reader::from_reader(FINDS.as_bytes())
            .into_deserialize()
            .collect::<Result<_, _>>()
            .unwrap();
        let things = rows.iter().filter(|row| row.id.starts_with("NT")).count();
        assert_eq!((rows.len(), things), (60, 20));
        for land in [
            "LONGACRE",
            "KILNPIECE",
            "GALLOWLEA",
            "WELLSIDE",
            "RINGCLOSE",
        ] {
            assert!(rows.iter().any(|row| row.land == land), "{land}");
        }
        let group = rows.iter().filter(|row| row.group == "three from one hole");
        assert!(group.filter(|row| row.words.contains("silver")).count() == 3);
        let statuses: std::collections::BTreeSet<&str> =
            rows.iter().map(|row| row.status.as_str()).collect();
        for row in &rows {
            let confirmed = row.confirm.rsplit(';').next().unwrap_or_default();
            for day in [row.day.as_str(), confirmed] {
                let after = day.is_empty() || day >= row.found.as_str();
                assert!(after, "{}: {day} is before it was found", row.id);
            }
        }
        assert_eq!(statuses.len(), 7, "every status is shown: {statuses:?}");
    }
}
