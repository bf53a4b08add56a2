//! What the shelf has taught, and what it was told before: `collection learning` and `collection
//! review`.
//!
//! `review` judges anew what was kept and lists where the answer differs. Changes no find; only the
//! switches of the learning are written.
//!
//! Invariant: no find teaches of itself.

use std::collections::HashMap;
use std::io::{self, Write};

use rayon::prelude::*;
use serde_json::{Value, json};

use crate::House;
use crate::cli::error::Trouble;
use crate::cli::learning::{Pupils, SETTINGS, heard_again, wanted};
use crate::cli::shelf::ShelfFlags;
use crate::cli::{Outcome, ids, print_json};
use crate::collect::{Access, Identified, Shelf, Whole};
use crate::explain::chance_in_figures;
use crate::score::{Learnt, LetterHabits};
use crate::{HouseFault, Identification, IdentifyOptions};

/// Most finds that one review judges.
const REVIEWED_MOST: usize = 20_000;
/// Change of the share that is worth a line when the answer is the same.
const SHARE_MOVED: f64 = 0.1;

/// Shows what is learnt, or switches a part of it.
pub(super) fn learning(
    (what, state): (Option<&str>, Option<&str>),
    land: Option<&str>,
    flags: &ShelfFlags,
    open: impl FnOnce() -> Result<&'static House, Trouble>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    if let Some(what) = what {
        switch(what, state, flags)?;
    }
    let shelf = flags.open(Access::Read)?;
    let house = open()?;
    let wanted = wanted(&shelf)?;
    let key = land.map(|land| shelf.land_key(land)).transpose()?;
    let mut pupils = Pupils::of(&shelf, key, house)?;
    let learnt = pupils.learnt(key, None, house).unwrap_or_default();
    let (all, here) = pupils.count(key);
    let on = [wanted.field, wanted.sizes, wanted.habits];
    if flags.json {
        let switches = SETTINGS.iter().zip(on);
        let switches: serde_json::Map<String, Value> = switches
            .map(|((name, _), on)| ((*name).to_string(), json!(on)))
            .collect();
        let view = json!({
            "confirmed": all, "of_the_land": land.map(|_| here), "switches": switches,
            "learnt": told(&learnt, house),
        });
        print_json(&view, out)?;
        return Ok(Outcome::Answer);
    }
    for ((name, _), on) in SETTINGS.iter().zip(on) {
        writeln!(out, "{name:<8} {}", if on { "on" } else { "off" })?;
    }
    writeln!(
        out,
        "{all} confirmed find(s) of coins that the library knows"
    )?;
    if let Some(land) = land {
        writeln!(out, "{here} of them from {land}")?;
    }
    let lines = told(&learnt, house);
    for line in &lines {
        writeln!(out, "  - {line}")?;
    }
    if lines.is_empty() {
        writeln!(
            out,
            "nothing is learnt yet: confirm finds with: lynchet collection confirm FIND --by officer"
        )?;
    }
    Ok(Outcome::Answer)
}

fn switch(what: &str, state: Option<&str>, flags: &ShelfFlags) -> Result<(), Trouble> {
    let known = SETTINGS.iter().find(|(name, _)| *name == what);
    let state = state.filter(|state| ["on", "off"].contains(state));
    let (Some((_, setting)), Some(state)) = (known, state) else {
        let what = format!(
            "learning: \"{}\" cannot be switched so",
            ids::shortened(what)
        );
        let mend = "say field, sizes or habits, and then on or off";
        return Err(Trouble::new(what, mend));
    };
    // A switch is no reason to make a shelf.
    drop(flags.open(Access::Read)?);
    let stamp = flags.stamp()?;
    let mut shelf = flags.open(Access::Write)?;
    Ok(shelf.set_setting(&stamp, setting, state)?)
}

/// What was learnt, a line each.
fn told(learnt: &Learnt, house: &House) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(field) = &learnt.field {
        lines.push(format!(
            "field: {} find(s) of this land counted",
            field.finds
        ));
    }
    let mut sizes: Vec<_> = learnt.sizes.iter().collect();
    sizes.sort_by_key(|(coin, _)| **coin);
    for (coin, own) in sizes {
        let id = &house.catalogue.types[*coin].id;
        let change = |log: f64| 100.0 * (log.exp() - 1.0);
        lines.push(format!(
            "size of {id}: weight {:+.1} %, diameter {:+.1} %, by {} finds",
            change(own.weight),
            change(own.diameter),
            own.finds
        ));
    }
    for (name, reads) in [("scale", learnt.scale), ("callipers", learnt.callipers)] {
        if let Some(reads) = reads {
            lines.push(format!(
                "{name}: reads {}, by {} finds",
                reads.text(),
                reads.finds
            ));
        }
    }
    if let Some(letters) = &learnt.letters {
        let LetterHabits {
            finds,
            letters,
            misread,
            passed_over,
            ..
        } = letters;
        lines.push(format!(
            "letters: of {letters} on {finds} finds {misread} were read as others and {passed_over} passed over"
        ));
    }
    lines
}

/// That what stands was judged with another library or Lynchet than today's, and how to judge anew.
pub(super) fn older(
    whole: &Whole,
    digest: impl FnOnce() -> Result<String, HouseFault>,
) -> Option<String> {
    let stands = whole.identified.first()?;
    // A person's decision does not age with a library.
    stands.share?;
    let version = stands.version.as_deref() == Some(env!("CARGO_PKG_VERSION"));
    if version && stands.library == digest().ok() {
        return None;
    }
    let id = &whole.entry.id;
    Some(format!(
        "judged with an older library; to judge it anew: lynchet collection edit {id} --again"
    ))
}

/// A find of which today's answer differs.
struct Differs {
    id: String,
    then: Identified,
    level: &'static str,
    text: String,
    share: f64,
}

/// Judges anew what was kept, and lists where the answer differs.
pub(super) fn review(
    land: Option<&str>,
    top: usize,
    flags: &ShelfFlags,
    open: impl FnOnce() -> Result<&'static House, Trouble>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let shelf = flags.open(Access::Read)?;
    let house = open()?;
    let key = land.map(|land| shelf.land_key(land)).transpose()?;
    let keys = shelf.judged(key, REVIEWED_MOST)?;
    let differs = differing(&shelf, &keys, house)?;
    if flags.json {
        let rows = differs.iter().take(top).map(|one| {
            json!({
                "find": one.id, "confirmed": one.then.confirmed_by,
                "then": { "level": one.then.level, "text": one.then.text, "share": one.then.share,
                    "library": one.then.library, "version": one.then.version },
                "now": { "level": one.level, "text": one.text, "share": one.share },
            })
        });
        let view = json!({
            "judged": keys.len(), "differ": differs.len(), "finds": rows.collect::<Vec<_>>(),
        });
        print_json(&view, out)?;
        return Ok(Outcome::Answer);
    }
    for one in differs.iter().take(top) {
        print(one, out)?;
    }
    let (count, all) = (differs.len(), keys.len());
    writeln!(
        out,
        "{count} of {all} find(s) would be answered otherwise today; nothing was changed"
    )?;
    if count > 0 {
        writeln!(
            out,
            "to judge one anew: lynchet collection edit FIND --again"
        )?;
    }
    Ok(Outcome::Answer)
}

fn print(one: &Differs, out: &mut dyn Write) -> io::Result<()> {
    let then = &one.then;
    let by = then.confirmed_by;
    let confirmed = by.map_or(String::new(), |by| format!(", confirmed by {}", by.word()));
    let (level, share) = (
        then.level.as_deref().unwrap_or("?"),
        then.share.unwrap_or(0.0),
    );
    writeln!(out, "{}", one.id)?;
    writeln!(
        out,
        "    then  {} ({level}, {}{confirmed})",
        then.text,
        chance_in_figures(share)
    )?;
    writeln!(
        out,
        "    now   {} ({}, {})",
        one.text,
        one.level,
        chance_in_figures(one.share)
    )
}

fn differing(shelf: &Shelf, keys: &[i64], house: &House) -> Result<Vec<Differs>, Trouble> {
    let mut pupils = Pupils::of(shelf, None, house)?;
    let mut by_land: HashMap<Option<i64>, Vec<(Whole, Identified)>> = HashMap::new();
    for key in keys {
        let whole = shelf.whole(*key)?;
        if let Some(then) = whole.identified.first().cloned() {
            by_land
                .entry(whole.entry.land)
                .or_default()
                .push((whole, then));
        }
    }
    let mut lands: Vec<_> = by_land.into_iter().collect();
    lands.sort_by_key(|(land, _)| *land);
    let mut differs = Vec::new();
    for (land, finds) in lands {
        let shared = pupils.learnt(land, None, house);
        let mut jobs = Vec::with_capacity(finds.len());
        for (whole, then) in finds {
            let own = match pupils.holds(whole.entry.key) {
                // A confirmed find is no witness in its own case.
                true => Some(pupils.learnt(land, Some(whole.entry.key), house)),
                false => None,
            };
            jobs.push((whole, then, own));
        }
        let found: Vec<(i64, Differs)> = jobs
            .par_iter()
            .filter_map(|(whole, then, own)| {
                let learnt = own.as_ref().unwrap_or(&shared).as_ref();
                Some((whole.entry.key, differs_in(whole, then, learnt, house)?))
            })
            .collect();
        differs.extend(found);
    }
    differs.sort_by_key(|(key, _)| *key);
    Ok(differs.into_iter().map(|(_, one)| one).collect())
}

fn differs_in(
    whole: &Whole,
    then: &Identified,
    learnt: Option<&Learnt>,
    house: &House,
) -> Option<Differs> {
    let entry = &whole.entry;
    let (find, _) = heard_again(&entry.said, &entry.words, house);
    if find.says_nothing() {
        return None;
    }
    let options = IdentifyOptions {
        learnt,
        answer_only: true,
        ..IdentifyOptions::default()
    };
    let now: Identification = house.identify(&find, options);
    let level = now.answer.level.name();
    let text: String = now.text.chars().take(280).collect();
    let moved = (then.share.unwrap_or(0.0) - now.answer.p).abs() >= SHARE_MOVED;
    let same = then.level.as_deref() == Some(level) && then.text == text && !moved;
    (!same).then(|| Differs {
        id: entry.id.clone(),
        then: then.clone(),
        level,
        text,
        share: now.answer.p,
    })
}
