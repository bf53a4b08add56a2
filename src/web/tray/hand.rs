//! What is handed over from the tray: the pack for the officer, a backup, an export to share.
//!
//! Each is made by the shelf or the record room, into a file that is gone once it was sent.
//!
//! Invariant: what is shared is cut as the shelf's room for sharing cuts it; a backup is whole or
//! is not sent.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;
use std::sync::Arc;

use maud::{Markup, html};
use zip::ZipWriter;

use super::{asked_for, filter};
use crate::cli::shared::officers_pack;
use crate::collect::{Sharing, in_zip};
use crate::findspot::Side;
use crate::record;
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::find::drafted;
use crate::web::form::Wrong;
use crate::web::passing::Passing;
use crate::web::reply::{Fault, Reply};

/// Most finds of one pack.
const PACK_MOST: usize = 200;

/// What can be taken away from the tray.
pub(super) fn section(typed: &Fields) -> Markup {
    html! {
        section aria-labelledby="hand-h" {
            h2 id="hand-h" { "To hand over, to share, to be safe" }
            ul.plain-list {
                li { a href=(typed.address("/tray/pack.zip")) { "Pack for the officer" } ": the drafts of the finds chosen above, at most " (PACK_MOST) ", findspots as squares of 1 km, without names." }
                li { a href=(typed.address("/labels")) { "Labels" } ": for the bags and boxes of the finds chosen above, to print or as PDF." }
                li { a href="/export.zip" { "Export to share" } ": the finds without owners, finders, names of land or exact places. Look through it before you pass it on." }
                li { a href="/backup.zip" { "Backup" } ": the whole shelf in one file. It holds exact findspots and names; keep it safe, on another disk." }
                li { a href="/history" { "History" } ": what was done, and taking it back." }
            }
        }
    }
}

/// The drafts of the finds that are chosen.
pub(super) fn pack(desk: &Desk, asked: &Asked) -> Reply {
    let made = (|| -> Result<Reply, Fault> {
        let shelf = desk.shelf()?.ok_or_else(nothing)?;
        let (mut filter, _) = filter(desk, &shelf, &asked_for(asked))?;
        filter.most = Some(PACK_MOST + 1);
        let rows = shelf.list(&filter)?;
        if rows.is_empty() {
            return Err(nothing());
        }
        if rows.len() > PACK_MOST {
            let what = format!("these are more than {PACK_MOST} finds");
            return Err(Fault::new(422, what, "choose fewer in the tray"));
        }
        let today = desk.today()?;
        let mut drafts = Vec::new();
        for row in rows {
            drafts.push(drafted(&shelf, &shelf.whole(row.key)?, desk.house, today)?);
        }
        let sharing = record::Sharing {
            names: false,
            findspot: Some(Side::Kilometre),
        };
        let bytes = officers_pack(&drafts, sharing, None, today).map_err(Wrong::from)?;
        Ok(Reply::File {
            kind: "application/zip",
            bytes,
            save_as: Some(format!("for-the-officer-{}.zip", today.iso())),
            lasting: false,
        })
    })();
    made.into()
}

fn nothing() -> Fault {
    Fault::new(
        404,
        "there is nothing to hand over",
        "keep a find first, or choose others in the tray",
    )
}

fn no_room(error: &io::Error) -> Fault {
    Fault::new(
        500,
        format!("the file could not be made: {error}"),
        "make room on the disk and try again; the shelf is untouched",
    )
}

/// The whole shelf in one file.
pub(super) fn backup(desk: &Desk, _: &Asked) -> Reply {
    let made = (|| -> Result<Reply, Fault> {
        let shelf = desk.shelf()?.ok_or_else(nothing)?;
        let name = format!("shelf-{}.zip", desk.today()?.iso());
        let passing = Passing::new("shelf.zip").map_err(|error| no_room(&error))?;
        let done = shelf.backup(passing.file())?;
        if !done.missing.is_empty() {
            let what = format!(
                "{} file(s) of the shelf are gone or changed",
                done.missing.len()
            );
            let mend = "look with: lynchet collection check; a backup of what there is: lynchet backup FILE";
            return Err(Fault::new(409, what, mend));
        }
        Ok(Reply::Passing {
            kind: "application/zip",
            file: Arc::new(passing),
            save_as: name,
        })
    })();
    made.into()
}

/// What may be shared, in one file.
pub(super) fn export(desk: &Desk, _: &Asked) -> Reply {
    let made = (|| -> Result<Reply, Fault> {
        let shelf = desk.shelf()?.ok_or_else(nothing)?;
        let name = format!("finds-{}.zip", desk.today()?.iso());
        let passing = Passing::new("finds.zip").map_err(|error| no_room(&error))?;
        let folder = passing.folder().join("finds");
        let sharing = Sharing {
            no_finer: Side::Kilometre,
            notes: false,
            types: false,
        };
        shelf.export(&folder, Some(sharing))?;
        zipped(&folder, passing.file()).map_err(|error| no_room(&error))?;
        Ok(Reply::Passing {
            kind: "application/zip",
            file: Arc::new(passing),
            save_as: name,
        })
    })();
    made.into()
}

/// A folder as one file, its parts in the order of their names.
fn zipped(folder: &Path, file: &Path) -> io::Result<()> {
    let mut pack = ZipWriter::new(File::create_new(file)?);
    let mut parts = Vec::new();
    walk(folder, &mut parts)?;
    parts.sort();
    for part in parts {
        let name = part.strip_prefix(folder).map_err(io::Error::other)?;
        let name = name.to_string_lossy().replace('\\', "/");
        let options = in_zip(&name);
        pack.start_file(name, options)?;
        io::copy(&mut File::open(&part)?, &mut pack)?;
    }
    pack.finish()?.flush()
}

fn walk(folder: &Path, parts: &mut Vec<std::path::PathBuf>) -> io::Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        match entry.file_type()?.is_dir() {
            true => walk(&entry.path(), parts)?,
            false => parts.push(entry.path()),
        }
    }
    Ok(())
}
