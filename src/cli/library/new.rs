//! `catalogue new`: the beginning of a type of one's own, in a file to be filled in.
//!
//! Writes into the folder of the person's own types and over nothing that is there. What it writes is
//! read by the library's rules like any other file: what is not filled in yet is told as a fault, with
//! its line, and the type is left out until then.
//!
//! Invariant: a file that is there is never changed, and none is written that lies elsewhere.

use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::super::Outcome;
use super::super::args::Args;
use super::super::error::Trouble;
use super::super::{artefacts, ids, open, shelf};
use super::args::{NewArgs, NewOf};
use crate::catalogue::{OWN, TYPES};

/// Most letters of an id.
const ID_MOST: usize = 64;
/// The file of one's own sources, and its row.
const SOURCES: &str = "sources.toml";
const NOTES: &str = "\
# What your own types rest on.

[own-notes]
kind = \"record\"
author = \"\"  # your name
year = 0  # when you wrote them down
title = \"\"  # such as: My own notes
trust = \"\"  # what they are good for, in a few words
";
/// Stands at the head of a file.
const HEAD: &str = "\
# A type of your own. Fill in what stands empty, take the # from the lines that you can fill, and
# take out what you do not know; then run
#   lynchet catalogue check
# which names every line that is not right yet. Until then the type is left out.
# What each field means stands in catalogue/README.md; ids are found with
#   lynchet catalogue search WORDS
";

/// Writes the file.
pub(super) fn run(asked: &NewArgs, args: &Args, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    checked(asked, args)?;
    let folder = folder(asked)?;
    let (below, text) = match asked.of {
        NewOf::Coin => (format!("coins/{}.toml", asked.id), coin(asked)),
        NewOf::Thing => {
            let class = asked.class.as_deref().unwrap_or_default();
            let below = format!("artefacts/{class}/{}.toml", asked.id);
            (below, thing(asked, class))
        }
    };
    let file = folder.join(&below);
    if !written(&file, &text)? {
        return Err(Trouble::new(
            format!("{} is there already", file.display()),
            "write on in that file, or choose another id",
        ));
    }
    writeln!(out, "written: {}", file.display())?;
    let sources = folder.join(SOURCES);
    if written(&sources, NOTES)? {
        writeln!(out, "written: {}", sources.display())?;
    }
    writeln!(
        out,
        "fill in what stands empty there, then see what is left with: lynchet catalogue check"
    )?;
    Ok(Outcome::Answer)
}

/// Holds what was typed against the library, so that what is written names only what is there.
fn checked(asked: &NewArgs, args: &Args) -> Result<(), Trouble> {
    let id = &asked.id;
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if !id.starts_with(OWN) || id.len() > ID_MOST || id.len() == OWN.len() || !id.chars().all(plain)
    {
        let what = format!("\"{}\" is no id of a type of your own", ids::shortened(id));
        let mend = format!("begin it with {OWN} and write small letters, figures and hyphens");
        return Err(Trouble::new(what, mend));
    }
    let house = open(args)?;
    let library = &house.catalogue;
    let things = artefacts(args, house)?;
    if library.type_by_id(id).is_some() || things.type_by_id(id).is_some() {
        let what = format!("there is a type with the id {id} already");
        return Err(Trouble::new(what, "choose another"));
    }
    fn known<'k>(
        flag: &str,
        said: Option<&String>,
        mut all: impl Iterator<Item = &'k String> + Clone,
    ) -> Result<(), Trouble> {
        match said {
            Some(id) if !all.clone().any(|one| one == id) => {
                let what = format!("{flag}: nothing of that kind in the library has");
                Err(ids::not_held(&what, id, &mut all))
            }
            _ => Ok(()),
        }
    }
    let periods = things.periods.iter().map(|one| &one.id);
    let classes = things.classes.iter().map(|one| &one.id);
    let denominations = library.denominations.iter().map(|one| &one.id);
    known("--period", asked.period.as_ref(), periods)?;
    known("--class", asked.class.as_ref(), classes)?;
    known("--denomination", asked.denomination.as_ref(), denominations)
}

/// The folder of the person's own types.
fn folder(asked: &NewArgs) -> Result<PathBuf, Trouble> {
    let shelf = asked.shelf.clone().or_else(shelf::default_folder);
    let shelf = shelf.ok_or_else(|| {
        let what = "there is no folder for the user's data to keep types in";
        Trouble::new(what, "name the folder of your shelf with --shelf DIR")
    })?;
    Ok(shelf.join(TYPES))
}

/// Writes a new file and the folders above it; false where one is there.
fn written(file: &Path, text: &str) -> Result<bool, Trouble> {
    let named = |error: io::Error| {
        Trouble::new(
            format!("{}: {error}", file.display()),
            "see who may write in the folder of your shelf",
        )
    };
    // A link in the place of a folder of types would lead the writing elsewhere.
    let mut above = file.parent();
    while let Some(folder) = above {
        let link = fs::symlink_metadata(folder).is_ok_and(|about| about.file_type().is_symlink());
        if link {
            let what = format!("{} is a link to somewhere else", folder.display());
            return Err(Trouble::new(what, "put the folder itself there"));
        }
        if folder.file_name().is_some_and(|name| name == TYPES) {
            break;
        }
        above = folder.parent();
    }
    fs::create_dir_all(file.parent().unwrap_or(file)).map_err(named)?;
    let new = OpenOptions::new().write(true).create_new(true).open(file);
    let mut new = match new {
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => return Ok(false),
        other => other.map_err(named)?,
    };
    new.write_all(text.as_bytes()).map_err(named)?;
    Ok(true)
}

/// A text as TOML writes it.
fn quoted(text: Option<&String>) -> String {
    toml::Value::String(text.cloned().unwrap_or_default()).to_string()
}

fn coin(asked: &NewArgs) -> String {
    let [name, period, denomination] =
        [&asked.name, &asked.period, &asked.denomination].map(|said| quoted(said.as_ref()));
    let id = &asked.id;
    format!(
        "{HEAD}
[shared]
series = \"\"  # a heading for the types of this file
period = {period}
denomination = {denomination}
made = \"\"  # hammered, milled or cast
sources = [\"own-notes\"]
grade = \"recalled\"

[{id}]
name = {name}
# span = [1790, 1796]  # first and last year; years before Christ with a minus
# ruler = \"\"
# weights = [{{ g = 19.0, cv = 0.05, share = 1.0 }}]  # grams as struck, spread, share of the pieces
# diameter = [33, 34]  # least and most, in mm
obverse = {{ motifs = [], legends = [] }}
reverse = {{ motifs = [], legends = [] }}
common = \"rare\"
"
    )
}

fn thing(asked: &NewArgs, class: &str) -> String {
    let [name, period] = [&asked.name, &asked.period].map(|said| quoted(said.as_ref()));
    let id = &asked.id;
    format!(
        "{HEAD}
[shared]
series = \"\"  # a heading for the types of this file
class = \"{class}\"
period = {period}
materials = [\"copper-alloy\"]
made = \"\"  # cast, hammered, struck, wrought, sheet, wire, composite or drawn
sources = [\"own-notes\"]
grade = \"recalled\"

[{id}]
name = {name}
group = \"\"  # the group or type as you call it, in small letters and hyphens
# span = [1350, 1450]  # first and last year; years before Christ with a minus
# sizes = {{ length = [25, 40], width = [20, 30], thickness = [2, 4] }}  # of a whole piece, in mm
outline = []  # words of form: lynchet catalogue search
section = []
has = []  # what a whole piece shows
lacks = []  # what speaks against it
decoration = []
survives = []  # what usually survives alone, the commonest first
common = \"uncommon\"
"
    )
}
