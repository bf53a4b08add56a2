//! `land`: whose land it is, with whose leave, where it ends, what to heed, what was found there.
//!
//! Turns flags into values of the shelf and prints them; judges nothing.
//!
//! Invariant: whatever is listed or kept comes with what is to be heeded of it today.

mod args;
mod heed;
pub(super) mod print;
pub(super) mod statement;

pub(super) use args::{EXAMPLES, LandArgs};
pub(crate) use heed::heed;

use std::io::Write;
use std::path::PathBuf;

use super::error::Trouble;
use super::shelf::{ShelfFlags, acts_json, bytes, name_of, print_acts};
use super::{Outcome, print_json};
use crate::collect::{
    Access, Barred, Boundary, CHANGES_LISTED, Form, Kind, Land, LandKind, LandNote, Leave,
    NewDocument, OfLand, Person, Restriction, Role, SearchDay, Shelf, Stamp,
};
use args::{LandVerb, SaidFlags};

/// Does what is asked with land.
pub(super) fn run(asked: &LandArgs, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let flags = &asked.shelf;
    match &asked.verb {
        LandVerb::List => return list(flags, out),
        LandVerb::Show { id } => {
            return shown(&flags.open(Access::Read)?, id, flags, out);
        }
        LandVerb::Statement { .. } => return statement::run(&asked.verb, flags, out),
        LandVerb::Undo { act } => return undo(*act, flags, out),
        _ => {}
    }
    let stamp = flags.stamp()?;
    let mut shelf = flags.open(Access::Write)?;
    let id = kept(&asked.verb, &mut shelf, &stamp)?;
    match id {
        Some(id) => shown(&shelf, &id, flags, out),
        None => {
            writeln!(out, "taken away; to have it back: lynchet land undo")?;
            Ok(Outcome::Answer)
        }
    }
}

/// Keeps what the verb says; gives the id of the land, where it is still there.
fn kept(verb: &LandVerb, shelf: &mut Shelf, stamp: &Stamp) -> Result<Option<String>, Trouble> {
    let (id, what) = match verb {
        LandVerb::Add { .. } => return add(verb, shelf, stamp).map(Some),
        LandVerb::Edit {
            id,
            new_id,
            name,
            said,
        } => {
            let landuse = landuse(said)?;
            let edited = shelf.edit_land(stamp, id, |land| {
                land.id = new_id.clone().unwrap_or(land.id.clone());
                land.name = name.clone().unwrap_or(land.name.clone());
                fill(land, said, landuse);
            })?;
            return Ok(Some(edited.id));
        }
        LandVerb::Remove { id } => {
            shelf.remove_land(stamp, id)?;
            return Ok(None);
        }
        LandVerb::Leave { .. } => return leave(verb, shelf, stamp).map(Some),
        _ => said_of(verb)?,
    };
    shelf.keep_for_land(stamp, id, what)?;
    Ok(Some(id.clone()))
}

/// What a verb says of land: people, boundaries, restrictions, notes, days.
fn said_of(verb: &LandVerb) -> Result<(&String, OfLand), Trouble> {
    Ok(match verb {
        LandVerb::Person {
            id,
            role,
            name,
            contact,
        } => {
            let person = person(Role::read(role)?, name, contact.clone());
            (id, OfLand::Person(person))
        }
        LandVerb::Boundary {
            id,
            squares,
            geojson,
        } => {
            let boundary = boundary(squares.as_deref(), geojson.as_ref())?;
            let boundary = boundary.ok_or_else(|| {
                Trouble::new(
                    "no boundary was given",
                    "give it with --squares or --geojson",
                )
            })?;
            (id, OfLand::Boundary(boundary))
        }
        LandVerb::Restrict {
            id,
            kind,
            note,
            from,
            to,
        } => {
            let restriction = Restriction {
                key: 0,
                land: 0,
                kind: Barred::read(kind)?,
                note: note.clone(),
                from_day: from.clone(),
                to_day: to.clone(),
            };
            (id, OfLand::Restriction(restriction))
        }
        _ => return told_of(verb),
    })
}

fn told_of(verb: &LandVerb) -> Result<(&String, OfLand), Trouble> {
    Ok(match verb {
        LandVerb::Note {
            id,
            text,
            source,
            day,
        } => {
            let note = LandNote {
                text: text.clone(),
                source: source.clone(),
                day: day.clone(),
                ..LandNote::default()
            };
            (id, OfLand::Note(note))
        }
        LandVerb::SearchDay {
            id,
            day,
            hours,
            by,
            text,
        } => {
            let searched = SearchDay {
                day: day.clone(),
                hours: *hours,
                who: by.clone(),
                text: text.clone(),
                ..SearchDay::default()
            };
            (id, OfLand::SearchDay(searched))
        }
        _ => {
            return Err(Trouble::new(
                "nothing was said of land",
                "see: lynchet land --help",
            ));
        }
    })
}

fn leave(verb: &LandVerb, shelf: &mut Shelf, stamp: &Stamp) -> Result<String, Trouble> {
    let LandVerb::Leave {
        id,
        from,
        to,
        given_by,
        terms,
        split,
        document,
    } = verb
    else {
        return Ok(String::new());
    };
    let leave = Leave {
        given_by: given_by.clone(),
        from_day: from.clone(),
        to_day: to.clone(),
        terms: terms.clone(),
        split: split.clone(),
        ..Leave::default()
    };
    let document = document.as_deref().map(|path| {
        let bytes = bytes("--document", path)?;
        Ok::<_, Trouble>(NewDocument {
            bytes,
            name: name_of(path),
        })
    });
    shelf.keep_leave(stamp, id, leave, document.transpose()?)?;
    Ok(id.clone())
}

fn person(role: Role, name: &str, contact: Option<String>) -> Person {
    Person {
        key: 0,
        land: None,
        role,
        name: name.into(),
        contact,
    }
}

fn add(verb: &LandVerb, shelf: &mut Shelf, stamp: &Stamp) -> Result<String, Trouble> {
    let LandVerb::Add {
        id,
        name,
        of,
        owner,
        tenant,
        squares,
        geojson,
        said,
    } = verb
    else {
        return Ok(String::new());
    };
    let kind = match of {
        Some(_) => LandKind::Field,
        None => LandKind::Holding,
    };
    let mut land = Land::new(id, kind, name);
    fill(&mut land, said, landuse(said)?);
    let parent = of.as_deref().map(|of| shelf.land(of)).transpose()?;
    land.parent = parent.map(|parent| parent.key);
    let boundary = boundary(squares.as_deref(), geojson.as_ref())?;
    let people = [(Role::Owner, owner), (Role::Tenant, tenant)];
    let people = people.into_iter();
    let people = people.filter_map(|(role, name)| Some(person(role, name.as_deref()?, None)));
    let people = people.map(OfLand::Person);
    let with = people.chain(boundary.map(OfLand::Boundary)).collect();
    Ok(shelf.add_land_with(stamp, land, with)?.id)
}

fn landuse(said: &SaidFlags) -> Result<Option<String>, Trouble> {
    use crate::record::Landuse;
    let Some(text) = &said.landuse else {
        return Ok(None);
    };
    let read = Landuse::read(text).ok_or_else(|| {
        let what = format!(
            "--landuse: \"{}\" is none of the words for it",
            super::ids::shortened(text)
        );
        Trouble::new(what, format!("say one of: {}", Landuse::CHOICES))
    })?;
    Ok(Some(read.text().into()))
}

fn fill(land: &mut Land, said: &SaidFlags, landuse: Option<String>) {
    land.landuse = landuse.or(land.landuse.take());
    land.country = said.country.clone().or(land.country.take());
    if let Some(notes) = &said.notes {
        land.notes.clone_from(notes);
    }
}

fn boundary(squares: Option<&str>, geojson: Option<&PathBuf>) -> Result<Option<Boundary>, Trouble> {
    let (form, text) = match (squares, geojson) {
        (Some(squares), _) => (Form::Squares, squares.to_string()),
        (None, Some(path)) => {
            let bytes = bytes("--geojson", path)?;
            let text = String::from_utf8(bytes).map_err(|_| {
                let what = format!("--geojson: {} is no text", path.display());
                Trouble::new(what, "name a GeoJSON file, saved as UTF-8")
            })?;
            (Form::GeoJson, text)
        }
        (None, None) => return Ok(None),
    };
    Ok(Some(Boundary {
        key: 0,
        land: 0,
        form,
        text,
    }))
}

fn list(flags: &ShelfFlags, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let today = flags.today()?;
    let shelf = match flags.open_or_none()? {
        Some(shelf) => shelf,
        None => return print::no_land(flags.json, out),
    };
    let mut rows = Vec::new();
    for land in shelf.lands()? {
        let heed = heed(&shelf, &land.id, &today.iso(), today)?;
        rows.push((shelf.holding(&land.id)?, heed));
    }
    match flags.json {
        true => {
            let rows: Vec<_> = rows
                .iter()
                .map(|(one, heed)| print::view(one, heed))
                .collect();
            print_json(&rows, out)?;
        }
        false => print::list(&rows, out)?,
    }
    Ok(Outcome::Answer)
}

fn shown(
    shelf: &Shelf,
    id: &str,
    flags: &ShelfFlags,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let today = flags.today()?;
    let holding = shelf.holding(id)?;
    let heed = heed(shelf, id, &today.iso(), today)?;
    match flags.json {
        true => print_json(&print::view(&holding, &heed), out)?,
        false => print::whole(&holding, &heed, out)?,
    }
    Ok(Outcome::Answer)
}

/// Takes back an act, or the last that stands and is itself no taking back.
pub(super) fn undo(
    act: Option<i64>,
    flags: &ShelfFlags,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let stamp = flags.stamp()?;
    // Nothing is made for the sake of taking back.
    drop(flags.open(Access::Read)?);
    let mut shelf = flags.open(Access::Write)?;
    let last = || shelf.last_standing();
    let seq = match act {
        Some(seq) => seq,
        None => last()?.ok_or_else(|| {
            Trouble::new(
                "there is nothing to take back",
                "see what was done with: lynchet collection history",
            )
        })?,
    };
    let undone = shelf.undo(&stamp, seq);
    let done = match undone {
        Err(fault) if fault.kind == Kind::InUse => {
            let what = format!("act {seq} cannot be taken back: {}", fault.what);
            return Err(Trouble::new(what, fault.mend));
        }
        other => other?,
    };
    match flags.json {
        true => print_json(&acts_json(&[done]), out)?,
        false => print_acts(&[shelf.act(seq, CHANGES_LISTED)?, done], out)?,
    }
    Ok(Outcome::Answer)
}
