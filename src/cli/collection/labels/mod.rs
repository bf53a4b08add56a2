//! `collection labels`: labels for bags and boxes, on plain paper or sheets of labels.
//!
//! Each has the find's code, what it is, when it was found and where it is kept; no findspot unless
//! told. Chooses what stands on a label; the sheet says where, the two pages draw it.
//!
//! Invariant: every find chosen has one label, and nothing stands outside its own.

mod html;
mod paper;
mod picture;
mod sheet;

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args as ClapArgs;

use super::args::FilterFlags;
use crate::cli::error::Trouble;
use crate::cli::shelf::{ShelfFlags, invented};
use crate::cli::{Outcome, print_json, whole};
use crate::collect::{Access, Filter, Listed, Shelf, Whole, code};
use crate::find::Span;
use crate::findspot::{self, Side};
pub(crate) use paper::pdf;
pub(crate) use picture::sheets;
pub(crate) use sheet::SheetFlags;

/// Most labels of one file.
pub(crate) const LABELS_MOST: usize = 5_000;

/// How labels are made and where they go.
#[derive(ClapArgs, Clone, Debug)]
pub(super) struct LabelFlags {
    /// The file: .html to print from a browser, or .pdf
    #[arg(long, value_name = "FILE")]
    write: PathBuf,
    #[command(flatten)]
    sheet: SheetFlags,
    /// Put the findspot on, cut to squares of so many metres: 100, 1000 or 10000
    #[arg(long, value_name = "METRES", conflicts_with = "exact_findspot")]
    findspot_to: Option<u32>,
    /// Put the findspot on as it is kept
    #[arg(long)]
    exact_findspot: bool,
    /// Write over a file that is there
    #[arg(long)]
    force: bool,
}

/// What stands on a label.
pub(crate) struct Label {
    /// The code.
    pub(super) code: String,
    /// What it is, when it was made, where it lay, when it was found, where it is kept; those that
    /// are known.
    pub(super) lines: Vec<String>,
}

/// Makes the labels of the finds chosen.
pub(super) fn run(
    asked: &FilterFlags,
    how: &LabelFlags,
    flags: &ShelfFlags,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let sheet = how.sheet.sheet()?;
    let form = form(&how.write)?;
    if how.write.exists() && !how.force {
        let what = format!("--write: {} is there already", how.write.display());
        return Err(Trouble::new(
            what,
            "name another file, or write over it with: --force",
        ));
    }
    let labels = asked_for(asked, how, flags)?;
    let bytes = match form {
        Form::Html => html::page(&labels, &sheet).into_bytes(),
        Form::Pdf => pdf(&labels, &sheet)?,
    };
    whole::write(&how.write, &bytes).map_err(|error| {
        let what = format!("--write: {}: {error}", how.write.display());
        Trouble::new(what, "name a file in a folder that can be written to")
    })?;
    let (count, sheets) = (labels.len(), sheet.sheets(labels.len()));
    match flags.json {
        true => print_json(
            &serde_json::json!({
                "labels": count, "sheets": sheets, "file": how.write.display().to_string(),
                "codes": labels.iter().map(|label| &label.code).collect::<Vec<_>>(),
            }),
            out,
        )?,
        false => writeln!(
            out,
            "{count} label(s) on {sheets} sheet(s): {}\nprint at 100 %, not fitted to the page; a \
             code is typed back with: lynchet collection show {}",
            how.write.display(),
            labels[0].code
        )?,
    }
    Ok(Outcome::Answer)
}

/// The labels that flags ask for.
fn asked_for(
    asked: &FilterFlags,
    how: &LabelFlags,
    flags: &ShelfFlags,
) -> Result<Vec<Label>, Trouble> {
    let side = how.findspot_to.map(|metres| {
        Side::of_metres(metres).ok_or_else(|| {
            let what = format!("--findspot-to: {metres} is no side of a square");
            Trouble::new(what, "say 100, 1000 or 10000")
        })
    });
    let place = match (side.transpose()?, how.exact_findspot) {
        (_, true) => Place::Exact,
        (Some(side), false) => Place::Square(side),
        (None, false) => Place::Left,
    };
    let shelf = flags.open(Access::Read)?;
    labels(&shelf, super::filter(asked)?, place, LABELS_MOST)
}

/// What of its findspot stands on a label.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Place {
    /// Nothing.
    Left,
    /// The square of this side.
    Square(Side),
    /// The findspot as it is kept.
    Exact,
}

/// A label for every find that a filter lets through; at least one, and at most so many.
pub(crate) fn labels(
    shelf: &Shelf,
    filter: Filter,
    place: Place,
    most: usize,
) -> Result<Vec<Label>, Trouble> {
    let rows = shelf.list(&Filter {
        most: Some(most + 1),
        ..filter
    })?;
    if rows.is_empty() {
        return Err(Trouble::new(
            "no find fits: there is nothing to put on a label",
            "see which there are with: lynchet collection list",
        ));
    }
    if rows.len() > most {
        let what = format!("more than {most} finds fit");
        return Err(Trouble::new(
            what,
            "choose fewer, for example by the days on which they were found",
        ));
    }
    let invented = invented(shelf)?.map(|_| "invented".to_string());
    let one = |row: &Listed| {
        let mut label = label(&shelf.whole(row.key)?, place);
        label.lines.extend(invented.clone());
        Ok(label)
    };
    rows.iter().map(one).collect()
}

enum Form {
    Html,
    Pdf,
}

fn form(path: &Path) -> Result<Form, Trouble> {
    let ending = path.extension().and_then(|ending| ending.to_str());
    match ending.map(str::to_ascii_lowercase).as_deref() {
        Some("html" | "htm") => Ok(Form::Html),
        Some("pdf") => Ok(Form::Pdf),
        _ => Err(Trouble::new(
            format!("--write: {} says no form", path.display()),
            "let its name end with .html or .pdf",
        )),
    }
}

fn label(whole: &Whole, place: Place) -> Label {
    let entry = &whole.entry;
    let stands = whole
        .identified
        .first()
        .filter(|one| one.level.as_deref() != Some("unlisted"));
    let object = entry.said.iter().find(|(field, _)| field == "object");
    let what = stands
        .map(|one| one.text.clone())
        .or_else(|| object.map(|(_, what)| what.clone()))
        .unwrap_or_else(|| entry.words.clone());
    let years = stands.and_then(|one| {
        let year = |year: Option<i64>| i32::try_from(year?).ok();
        let (from, to) = (year(one.from_year)?, year(one.to_year)?);
        let text = Span { from, to }.text();
        // The phrase mostly says them already.
        (!what.contains(&text)).then_some(text)
    });
    let findspot = entry.findspot.as_deref().and_then(|text| match place {
        Place::Left => None,
        Place::Exact => Some(text.to_string()),
        Place::Square(side) => {
            let read = findspot::read(text).ok()?;
            Some(read.redacted(side).square.to_string())
        }
    });
    let found = entry.found_on.as_ref().map(|day| format!("found {day}"));
    let lines = [Some(what), years, findspot, found, entry.storage.clone()];
    let lines = lines
        .into_iter()
        .flatten()
        .filter(|line| !line.trim().is_empty());
    Label {
        code: code(&entry.id),
        lines: lines.collect(),
    }
}
