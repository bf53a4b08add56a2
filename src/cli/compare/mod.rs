//! `compare`: two or three types side by side, and a find against them.
//!
//! Reads ids and a find, and prints, writes out or draws what the house makes of them; judges
//! nothing.
//!
//! Invariant: a file that was there is written over only when that was asked for, and a picture
//! that cannot be written ends the verb before anything is printed.

pub(super) mod layout;
mod table;
mod view;

use std::fs::OpenOptions;
use std::io::{self, Write};
use std::path::Path;

use super::args::CompareArgs;
use super::error::Trouble;
use super::identify::{heard, nothing_said};
use super::{Outcome, ids, print_json, whole};
use crate::drawn::{Setting, measures};
use crate::find::Find;
use crate::parse::Remark;
use crate::{Compared, House};

/// Fewest and most types that stand side by side on a screen.
const SIDE_BY_SIDE: (usize, usize) = (2, 3);

/// All that is printed.
struct Asked<'a> {
    house: &'a House,
    compared: &'a Compared,
    find: Option<&'a Find>,
    remarks: &'a [Remark],
    /// Ids that were moved, and whither.
    moved: &'a [(String, String)],
    /// Where the picture was written.
    picture: Option<&'a Path>,
}

/// Sets types side by side and prints what differs.
pub(super) fn run(
    asked: &CompareArgs,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let (types, moved) = types(&asked.types, house)?;
    let given = !asked.find.is_empty() || !asked.traits.fields().is_empty();
    let (find, remarks) = heard(&asked.traits, &asked.find, house);
    if given && find.says_nothing() {
        let call = format!("lynchet compare {} --find", asked.types.join(" "));
        return Err(nothing_said(&remarks, &call));
    }
    let find = given.then_some(&find);
    let compared = house.compare(&types, find, asked.flat_prior);
    if let Some(file) = &asked.svg {
        let drawn = measures(
            &types,
            [&compared.struck, &compared.found],
            find,
            &house.catalogue,
            Setting::Alone,
        )
        .ok_or_else(|| {
            let what = "the library gives neither weight nor diameter of these types";
            Trouble::new(what, "leave out --svg: there is nothing to draw")
        })?;
        put(&drawn, file, asked.force)?;
    }
    let asked_for = Asked {
        house,
        compared: &compared,
        find,
        remarks: &remarks,
        moved: &moved,
        picture: asked.svg.as_deref(),
    };
    if asked.json {
        print_json(&view::view(&asked_for), out)?;
    } else {
        table::print(&asked_for, out)?;
    }
    Ok(Outcome::Answer)
}

/// Positions of types, and ids that were moved.
type Named = (Vec<usize>, Vec<(String, String)>);

/// The types meant by ids, and which of the ids they once had.
fn types(given: &[String], house: &House) -> Result<Named, Trouble> {
    let (least, most) = SIDE_BY_SIDE;
    if !(least..=most).contains(&given.len()) {
        let what = format!("two or three types can be compared, not {}", given.len());
        return Err(Trouble::new(
            what,
            "name them by their ids, for example: lynchet compare sterling-3g sterling-9",
        ));
    }
    let library = &house.catalogue;
    let (mut found, mut moved) = (Vec::new(), Vec::new());
    for id in given {
        let id = id.trim();
        let known = || library.listed().iter().map(|coin| &coin.id);
        let place = library
            .type_by_id(id)
            .ok_or_else(|| ids::not_held("no type of the library has", id, known()))?;
        let now = &library.types[place].id;
        if found.contains(&place) {
            let what = format!("{now} is named twice: a type does not differ from itself");
            return Err(Trouble::new(what, "name two or three different types"));
        }
        if now != id {
            moved.push((id.to_string(), now.clone()));
        }
        found.push(place);
    }
    Ok((found, moved))
}

/// Writes a picture, over a file that is there only with `force`.
pub(super) fn put(drawn: &str, file: &Path, force: bool) -> Result<(), Trouble> {
    let written = if force && file.is_file() {
        whole::write(file, drawn.as_bytes())
    } else {
        let new = OpenOptions::new().write(true).create_new(true).open(file);
        new.and_then(|mut new| new.write_all(drawn.as_bytes()))
    };
    written.map_err(|error| {
        let there = error.kind() == io::ErrorKind::AlreadyExists && file.is_file();
        let hint = if there {
            "name a new file, or write over this one with: --force"
        } else {
            "name a file in a folder that can be written to"
        };
        Trouble::new(format!("{}: {error}", file.display()), hint)
    })
}
