//! `catalogue search`: types by words they hold, coins first and artefacts in a part of their own.
//!
//! Prints what the library room finds; never ranks.
//!
//! Invariant: the two parts are counted whole, however few of them are printed.

use std::io::Write;

use serde::Serialize;

use super::super::Outcome;
use super::super::error::Trouble;
use super::print_json;
use crate::House;
use crate::catalogue::{
    ArtefactType, Artefacts, Catalogue, CoinType, OWN, things_holding, types_holding,
};
use crate::find::Span;

/// A type found.
#[derive(Serialize)]
#[serde(untagged)]
enum Hit {
    Coin(HitView),
    Artefact(ThingView),
}

/// An artefact type found.
#[derive(Serialize)]
struct ThingView {
    kind: &'static str,
    id: String,
    name: String,
    class: String,
    from: i32,
    to: i32,
    /// True for one of the person's own types.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    own: bool,
}

/// A coin type found.
#[derive(Serialize)]
struct HitView {
    kind: &'static str,
    id: String,
    name: String,
    ruler: String,
    denomination: String,
    from: i32,
    to: i32,
    /// True for one of the person's own types.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    own: bool,
}

/// Searches the types and shows the first `top` that hold all words.
pub(super) fn run(
    words: &[String],
    top: usize,
    json: bool,
    (house, artefacts): (&House, &Artefacts),
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let library = &house.catalogue;
    let words = words.join(" ");
    let coins = types_holding(&words, library);
    let things = things_holding(&words, artefacts, library);
    let found = (coins.len(), things.len());
    let coins = coins.into_iter().take(top);
    let coins: Vec<HitView> = coins
        .map(|coin| hit_view(&library.types[coin], library))
        .collect();
    let things = things.into_iter().take(top);
    let things: Vec<ThingView> = things
        .map(|one| thing_view(&artefacts.types[one], artefacts))
        .collect();
    if json {
        let hits = coins.into_iter().map(Hit::Coin);
        let hits: Vec<Hit> = hits.chain(things.into_iter().map(Hit::Artefact)).collect();
        print_json(&hits, out)?;
    } else {
        // A part that holds nothing is left out, unless both do.
        if found.0 > 0 || found.1 == 0 {
            print(&coins, found.0, top, out)?;
        }
        if found.1 > 0 {
            print_things(&things, found.1, top, out)?;
        }
    }
    Ok(if found == (0, 0) {
        Outcome::NothingFits
    } else {
        Outcome::Answer
    })
}

fn hit_view(coin: &CoinType, library: &Catalogue) -> HitView {
    let ruler = coin.ruler.map(|ruler| library.rulers[ruler].name.clone());
    HitView {
        kind: "coin",
        id: coin.id.clone(),
        name: coin.name.clone(),
        ruler: ruler.unwrap_or_default(),
        denomination: library.denominations[coin.denomination].name.clone(),
        from: coin.span.from,
        to: coin.span.to,
        own: coin.id.starts_with(OWN),
    }
}

fn thing_view(artefact: &ArtefactType, artefacts: &Artefacts) -> ThingView {
    ThingView {
        kind: "artefact",
        id: artefact.id.clone(),
        name: artefact.name.clone(),
        class: artefacts.classes[artefact.class].name.clone(),
        from: artefact.span.from,
        to: artefact.span.to,
        own: artefact.id.starts_with(OWN),
    }
}

fn print_things(
    hits: &[ThingView],
    found: usize,
    top: usize,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    for hit in hits {
        let (from, to) = (hit.from, hit.to);
        let years = Span { from, to }.text();
        let own = if hit.own { ", own" } else { "" };
        writeln!(
            out,
            "{:<34} {}: {}, {years}{own}",
            hit.id, hit.class, hit.name
        )?;
    }
    let more = more(found, top);
    writeln!(out, "{found} artefact type(s) found{more}")?;
    Ok(())
}

/// How to see what is not shown.
fn more(found: usize, top: usize) -> String {
    if found > top {
        format!(", {top} shown; see more with --top {found}")
    } else {
        String::new()
    }
}

fn print(hits: &[HitView], found: usize, top: usize, out: &mut dyn Write) -> Result<(), Trouble> {
    for hit in hits {
        let of = if hit.ruler.is_empty() {
            String::new()
        } else {
            format!(" of {}", hit.ruler)
        };
        let years = Span {
            from: hit.from,
            to: hit.to,
        }
        .text();
        let own = if hit.own { ", own" } else { "" };
        writeln!(
            out,
            "{:<34} {}{of}: {}, {years}{own}",
            hit.id, hit.denomination, hit.name
        )?;
    }
    let more = more(found, top);
    writeln!(out, "{found} type(s) found{more}")?;
    Ok(())
}
