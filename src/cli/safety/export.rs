//! `collection export` and `collection import` of a folder: the shelf as tables, and back.
//!
//! Says what was written and what was not; the shelf's room does the work.
//!
//! Invariant: exit code 2 when anything that was to be written could not be read.

use std::io::Write;
use std::path::Path;

use serde_json::json;

use super::super::shelf::ShelfFlags;
use super::args::{ExportArgs, Square};
use super::{Outcome, Trouble, count, print_json, tell, whole};
use crate::collect::{self, Access, Sharing};
use crate::findspot::Side;

/// Writes the shelf, or what of it may be shared, into a folder.
pub(in crate::cli) fn export(
    asked: &ExportArgs,
    flags: &ShelfFlags,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let shelf = flags.open(Access::Read)?;
    let no_finer = match asked.square {
        Square::HundredMetres => Side::HundredMetres,
        Square::Kilometre => Side::Kilometre,
        Square::TenKilometres => Side::TenKilometres,
    };
    let sharing = asked.share.then_some(Sharing {
        no_finer,
        notes: asked.with_notes,
        types: asked.with_types,
    });
    let done = shelf.export(&asked.folder, sharing)?;
    tell("could not be read", &done.lost);
    if flags.json {
        let rows = counts(&done.rows);
        let view = json!({
            "folder": asked.folder, "shared": asked.share, "rows": rows, "files": done.files,
            "lost": done.lost, "withheld": done.withheld,
        });
        print_json(&view, out)?;
        return Ok(whole(done.lost.is_empty()));
    }
    let rows = done.rows.iter().find(|(table, _)| table == "finds.csv");
    let finds = count(rows.map_or(0, |(_, rows)| *rows), "find");
    let (files, place) = (count(done.files, "file"), asked.folder.display());
    writeln!(
        out,
        "{finds} and {files} are in {place}; README.md there says what is what"
    )?;
    if asked.share {
        writeln!(
            out,
            "findspots are squares of {} or larger; owners, tenants, finders and names of land are \
             left out; photographs carry nothing but their pixels",
            no_finer.text()
        )?;
        if done.withheld > 0 {
            let withheld = done.withheld;
            writeln!(
                out,
                "{withheld} text(s) or photograph(s) were left out that may tell more"
            )?;
        }
        writeln!(out, "look through it before you pass it on")?;
    } else {
        writeln!(
            out,
            "it is whole: exact findspots and names of owners are in it; to share, use --share"
        )?;
    }
    Ok(whole(done.lost.is_empty()))
}

/// Makes a shelf of a whole export.
pub(in crate::cli) fn import(
    export: &Path,
    flags: &ShelfFlags,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let place = flags.folder()?;
    let done = collect::import(export, &place)?;
    tell("is lacking in the export", &done.missing);
    if flags.json {
        let rows = counts(&done.rows);
        let view = json!({
            "folder": place, "rows": rows, "files": done.files, "missing": done.missing,
        });
        print_json(&view, out)?;
    } else {
        let rows = done.rows.iter().find(|(table, _)| table == "finds.csv");
        let finds = count(rows.map_or(0, |(_, rows)| *rows), "find");
        let (files, place) = (count(done.files, "file"), place.display());
        writeln!(
            out,
            "{finds} and {files}, with their whole history, are on the shelf in {place}"
        )?;
    }
    Ok(whole(done.missing.is_empty()))
}

/// How many rows of each table, for other programs.
fn counts(rows: &[(String, u64)]) -> serde_json::Map<String, serde_json::Value> {
    let counted = rows
        .iter()
        .map(|(table, rows)| (table.clone(), json!(rows)));
    counted.collect()
}
