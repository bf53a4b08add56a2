//! `backup` and `restore`: the shelf in one file, and back.
//!
//! Says what was done and what was not. Does no work of its own: the shelf's room does it.
//!
//! Invariant: exit code 2 when anything of the shelf is not in what was made.

mod args;
mod export;

use std::io::{self, Write};

use serde_json::json;

use args::{BackupArgs, RestoreArgs};
pub(super) use args::{EXPORT_EXAMPLES, ExportArgs, SafetyVerb};
pub(super) use export::{export, import};

use super::error::Trouble;
use super::{Outcome, print_json};
use crate::collect::{self, Access};

/// How many of one sort are told one by one.
const TOLD_MOST: usize = 20;

/// Runs a verb of safety.
pub(super) fn run(verb: &SafetyVerb, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    match verb {
        SafetyVerb::Backup(asked) => backup(asked, out),
        SafetyVerb::Restore(asked) => restore(asked, out),
    }
}

fn backup(asked: &BackupArgs, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let shelf = asked.shelf.open(Access::Read)?;
    if shelf.holds(&asked.file) {
        let what = format!(
            "{} would lie in the shelf's own folder",
            asked.file.display()
        );
        let hint = "name a file elsewhere, best on another disk: what befalls the shelf would \
                    befall it as well";
        return Err(Trouble::new(what, hint));
    }
    let done = shelf.backup(&asked.file)?;
    tell("not in the backup", &done.missing);
    if asked.shelf.json {
        let view = json!({
            "file": asked.file, "bytes": done.bytes, "finds": done.finds, "files": done.files,
            "last_act": done.last_act, "missing": done.missing,
        });
        print_json(&view, out)?;
    } else {
        let file = asked.file.display();
        writeln!(
            out,
            "{} and {}, up to act {}, are in {file} ({})",
            count(done.finds, "find"),
            count(done.files, "file"),
            done.last_act,
            size(done.bytes)
        )?;
        if done.own > 0 {
            writeln!(out, "with {} of your own types", count(done.own, "file"))?;
        }
        writeln!(
            out,
            "keep it on another disk; it comes back with: lynchet restore {file}"
        )?;
    }
    Ok(whole(done.missing.is_empty()))
}

fn restore(asked: &RestoreArgs, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let place = asked.shelf.folder()?;
    let done = collect::restore(&asked.file, &place)?;
    tell(
        "was missing already when the backup was made",
        &done.missing,
    );
    if asked.shelf.json {
        let view = json!({
            "folder": place, "finds": done.finds, "files": done.files,
            "last_act": done.last_act, "missing": done.missing,
        });
        print_json(&view, out)?;
    } else {
        let (finds, files) = (count(done.finds, "find"), count(done.files, "file"));
        let (act, place) = (done.last_act, place.display());
        writeln!(
            out,
            "{finds} and {files}, up to act {act}, are on the shelf in {place}"
        )?;
        writeln!(
            out,
            "every sum was right; see what is there with: lynchet collection list"
        )?;
    }
    Ok(whole(done.missing.is_empty()))
}

fn whole(is: bool) -> Outcome {
    match is {
        true => Outcome::Answer,
        false => Outcome::PartlyUnread,
    }
}

/// Says on the error stream what something could not hold.
fn tell(what: &str, lines: &[String]) {
    let mut told = io::stderr();
    for line in lines.iter().take(TOLD_MOST) {
        let _ = writeln!(told, "{what}: {line}");
    }
    if lines.len() > TOLD_MOST {
        let _ = writeln!(told, "{what}: and {} more", lines.len() - TOLD_MOST);
    }
}

fn count(of: u64, what: &str) -> String {
    let s = if of == 1 { "" } else { "s" };
    format!("{of} {what}{s}")
}

fn size(bytes: u64) -> String {
    match bytes {
        0..1_000_000 => format!("{} kB", bytes.div_ceil(1000)),
        _ => format!("{:.1} MB", bytes as f64 / 1e6),
    }
}
