//! `collection`: the user's finds, from identifying and keeping to looking up and taking back.
//!
//! Turns flags into values of the shelf and prints them; judges nothing but through the house.
//!
//! Invariant: what is kept of a find comes with what is to be heeded of its land.

mod args;
mod demo;
pub(super) mod gather;
mod import;
pub(super) mod judged;
mod keep;
pub(super) mod labels;
mod lists;
mod print;
pub(super) mod stats;
mod taught;

pub(super) use args::{CollectionArgs, EXAMPLES};
pub(super) use gather::Typed;
pub(super) use keep::KeepFlags;

use std::io::Write;

use serde_json::json;

use super::error::Trouble;
use super::judging::Judging;
use super::land::{heed, undo};
use super::opened::Opened;
use super::shelf::{ShelfFlags, acts_json, print_acts};
use super::{Outcome, learning, print_json, safety};
use crate::collect::{Access, Beside, Confirmer, FindKind, NewFind, Shelf, Stamp, Status, Whole};
use args::CollectionVerb;
use lists::filter;

/// Does what is asked with finds.
pub(super) fn run(
    asked: &CollectionArgs,
    opened: &Opened<'_>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let flags = &asked.shelf;
    match &asked.verb {
        CollectionVerb::Add { .. } => add(&asked.verb, flags, opened, out),
        CollectionVerb::Edit { .. } => edit(&asked.verb, flags, opened, out),
        CollectionVerb::Export(what) => safety::export(what, flags, out),
        CollectionVerb::Import { table, .. } if table.is_dir() => safety::import(table, flags, out),
        CollectionVerb::Import { .. } => import::run(&asked.verb, flags, opened, out),
        CollectionVerb::List { filter, page } => lists::list(&[], (filter, page), flags, out),
        CollectionVerb::Find {
            words,
            filter,
            page,
        } => lists::list(words, (filter, page), flags, out),
        CollectionVerb::Stats { filter, write } => {
            stats::run(filter, write.as_deref(), flags, opened, out)
        }
        CollectionVerb::Labels { filter, how } => labels::run(filter, how, flags, out),
        CollectionVerb::Demo => demo::run(flags, opened, out),
        CollectionVerb::Show { find } => {
            let shelf = flags.open(Access::Read)?;
            let whole = shelf.find_by_code(find)?;
            let older = taught::older(&whole, || opened.digest());
            let notes: Vec<String> = older.into_iter().collect();
            shown(&shelf, &whole, &notes, flags, out)
        }
        CollectionVerb::History { about, top } => {
            let shelf = flags.open(Access::Read)?;
            let acts = shelf.history(about.as_deref(), *top)?;
            match flags.json {
                true => print_json(&acts_json(&acts), out)?,
                false => print_acts(&acts, out)?,
            }
            Ok(Outcome::Answer)
        }
        CollectionVerb::Learning { what, state, land } => {
            let asked = (what.as_deref(), state.as_deref());
            taught::learning(asked, land.as_deref(), flags, || opened.house(), out)
        }
        CollectionVerb::Review { land, top } => {
            taught::review(land.as_deref(), *top, flags, || opened.house(), out)
        }
        CollectionVerb::Undo { act } => undo(*act, flags, out),
        CollectionVerb::Check { quick } => check(*quick, flags, out),
        CollectionVerb::Remove { find } => remove(find, flags, out),
        CollectionVerb::Group { group, finds } => grouped(group, finds, flags, out),
        _ => change(&asked.verb, flags, opened, out),
    }
}

fn remove(find: &str, flags: &ShelfFlags, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let stamp = flags.stamp()?;
    flags.open(Access::Write)?.remove_find(&stamp, find)?;
    match flags.json {
        true => print_json(&json!({ "removed": find }), out)?,
        false => writeln!(
            out,
            "{find} was taken away; to have it back: lynchet collection undo"
        )?,
    }
    Ok(Outcome::Answer)
}

fn grouped(
    group: &str,
    finds: &[String],
    flags: &ShelfFlags,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let stamp = flags.stamp()?;
    let count = flags.open(Access::Write)?.group(&stamp, group, finds)?;
    match flags.json {
        true => print_json(&json!({ "group": group, "finds": count }), out)?,
        false => writeln!(out, "{count} find(s) in the group {group}")?,
    }
    Ok(Outcome::Answer)
}

/// Changes something beside the find itself: confirmation, status, photographs, tags.
fn change(
    verb: &CollectionVerb,
    flags: &ShelfFlags,
    opened: &Opened<'_>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let stamp = flags.stamp()?;
    let mut shelf = flags.open(Access::Write)?;
    let mut notes = Vec::new();
    let whole = match verb {
        CollectionVerb::Confirm {
            find,
            by,
            reference,
            on,
            decided,
        } => {
            let by = Confirmer::read(by)?;
            let decided = match decided {
                Some(what) => Some(judged::decided(what, opened)?),
                None => None,
            };
            let day = on.clone().or(Some(flags.today()?.iso()));
            shelf.confirm(&stamp, find, by, reference.clone(), day, decided)?
        }
        CollectionVerb::Status {
            find,
            status,
            on,
            note,
        } => {
            let day = on.clone().or(Some(flags.today()?.iso()));
            shelf.set_status(&stamp, find, Status::read(status)?, day, note.clone())?
        }
        CollectionVerb::Photo {
            find,
            photos,
            view,
            remove,
        } => {
            notes = pictures(&mut shelf, &stamp, find, (photos, view, *remove))?;
            shelf.find(find)?
        }
        CollectionVerb::Tag { find, tags, remove } => shelf.tag(&stamp, find, tags, remove)?,
        _ => return Ok(Outcome::Answer),
    };
    shown(&shelf, &whole, &notes, flags, out)
}

/// Takes a photograph away, says what one shows, keeps others; gives what there is to say of them.
fn pictures(
    shelf: &mut Shelf,
    stamp: &Stamp,
    find: &str,
    (photos, view, remove): (&[String], &Option<String>, Option<i64>),
) -> Result<Vec<String>, Trouble> {
    let photographs = gather::photographs(photos)?;
    if photographs.is_empty() && view.is_none() && remove.is_none() {
        return Err(Trouble::new(
            "no photograph was given",
            "name files, for example: lynchet collection photo LA-1 front.jpg=obverse",
        ));
    }
    if let Some(place) = remove {
        shelf.remove_photograph(stamp, find, place)?;
    }
    if let Some(view) = view {
        let (place, view) = numbered(view)?;
        shelf.edit_photograph(stamp, find, place, Some(view))?;
    }
    if photographs.is_empty() {
        return Ok(Vec::new());
    }
    Ok(shelf.add_photographs(stamp, find, photographs)?.1)
}

fn numbered(text: &str) -> Result<(i64, String), Trouble> {
    let parts = text.split_once('=');
    let read = parts.and_then(|(number, view)| Some((number.trim().parse().ok()?, view.into())));
    read.ok_or_else(|| {
        let what = format!(
            "--view: \"{}\" names no photograph",
            super::ids::shortened(text)
        );
        Trouble::new(what, "write its number and what it shows, as 2=edge")
    })
}

fn add(
    verb: &CollectionVerb,
    flags: &ShelfFlags,
    opened: &Opened<'_>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let CollectionVerb::Add {
        words,
        traits,
        thing,
        kept,
        photos,
        tag,
        object,
        plain,
    } = verb
    else {
        return Ok(Outcome::Answer);
    };
    let photographs = gather::photographs(photos)?;
    opened.house()?;
    let stamp = flags.stamp()?;
    let mut shelf = flags.open(Access::Write)?;
    let told = gather::Typed {
        words: words.join(" "),
        traits: traits.fields(),
        thing: thing.said(),
    };
    let mut entry = told.entry(|| Ok(shelf.next_id()?))?;
    if let Some(object) = object {
        entry.kind = FindKind::Artefact;
        entry.said.push(("object".into(), object.clone()));
    }
    gather::tell(&mut entry, kept, &shelf)?;
    let learnt = match *plain {
        true => None,
        false => learning::learnt(&shelf, kept.land.as_deref(), None, opened.house()?)?,
    };
    let judging = Judging::taught(learnt);
    let mut judged = judged::judged(&mut entry, !plain, &judging, opened)?;
    if entry.words.is_empty() && entry.said.is_empty() && photographs.is_empty() {
        return Err(super::identify::nothing_said(
            &judged.remarks,
            "lynchet collection add",
        ));
    }
    if let Some(object) = object {
        judged.identified = Some(judged::decided(object, opened)?);
    }
    let mut new = NewFind::of(entry);
    new.tags.clone_from(tag);
    new.photographs = photographs;
    new.identified = judged.identified;
    let (whole, mut notes) = shelf.add_find(&stamp, new)?;
    notes.extend(judged.notes);
    shown(&shelf, &whole, &notes, flags, out)
}

/// What was typed field by field, but for the id.
fn edit(
    verb: &CollectionVerb,
    flags: &ShelfFlags,
    opened: &Opened<'_>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let CollectionVerb::Edit {
        find,
        words,
        traits,
        thing,
        kept,
        again,
    } = verb
    else {
        return Ok(Outcome::Answer);
    };
    let stamp = flags.stamp()?;
    let mut shelf = flags.open(Access::Write)?;
    let mut entry = shelf.find(find)?.entry;
    let fields = gather::typed(&traits.fields(), &thing.said());
    if let Some(words) = words {
        entry.words.clone_from(words);
    }
    let given = |name: &str| fields.iter().any(|(field, _)| field == name);
    entry.said.retain(|(name, _)| !given(name));
    for (field, text) in &fields {
        match field.as_str() {
            "id" => entry.id.clone_from(text),
            // A blank trait takes away what was said.
            _ if !text.trim().is_empty() => entry.said.push((field.clone(), text.clone())),
            _ => {}
        }
    }
    gather::tell(&mut entry, kept, &shelf)?;
    let (mut notes, mut identified) = (Vec::new(), None);
    if words.is_some() || !fields.is_empty() || *again {
        let land = entry.land.map(|land| shelf.land_of(land)).transpose()?;
        let land = land.flatten().map(|land| land.id);
        let house = opened.house()?;
        let learnt = match *again {
            true => learning::learnt(&shelf, land.as_deref(), Some(entry.key), house)?,
            false => None,
        };
        let judging = Judging::taught(learnt);
        let judged = judged::judged(&mut entry, *again, &judging, opened)?;
        notes.extend(judged.notes);
        identified = judged.identified;
        if !*again {
            notes.push("its identification stands as it was; to identify it anew: --again".into());
        }
    }
    let beside = Beside {
        identified,
        ..Beside::default()
    };
    let whole = shelf.edit_find_with(&stamp, find, |held| *held = entry, beside)?;
    shown(&shelf, &whole, &notes, flags, out)
}

fn shown(
    shelf: &Shelf,
    whole: &Whole,
    notes: &[String],
    flags: &ShelfFlags,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let today = flags.today()?;
    let day = whole.entry.found_on.clone().unwrap_or_else(|| today.iso());
    let heed = match &whole.land {
        Some((land, _)) => heed(shelf, land, &day, today)?,
        None => Vec::new(),
    };
    match flags.json {
        true => print_json(&print::view(whole, &heed, notes), out)?,
        false => print::whole(whole, &heed, notes, out)?,
    }
    Ok(Outcome::Answer)
}

fn check(quick: bool, flags: &ShelfFlags, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let shelf = flags.open(Access::Read)?;
    let mut health = shelf.check(!quick);
    if let Some(why) = shelf.index_fault() {
        let mended = flags
            .open(Access::Write)
            .and_then(|shelf| Ok(shelf.rebuild_index()?));
        health.notes.push(match mended {
            Ok(()) => format!("the search index was broken ({why}) and was made anew"),
            Err(trouble) => format!(
                "the search index is broken ({why}) and could not be made anew: {}; until then \
                 searching takes longer, and nothing is missed",
                trouble.told()
            ),
        });
    }
    match flags.json {
        true => print_json(&print::health_view(&health), out)?,
        false => print::health(&health, out)?,
    }
    Ok(match health.faults.is_empty() {
        true => Outcome::Answer,
        false => Outcome::NothingFits,
    })
}
