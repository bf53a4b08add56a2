//! `catalogue search`: types by words they hold, coins first and artefacts in a part of their own.
//!
//! Finds plain parts of words, all of them in one type; never ranks by likeness.
//!
//! Invariant: the commonest come first, then the oldest, then by id.

use std::io::Write;

use serde::Serialize;

use super::super::Outcome;
use super::super::error::Trouble;
use super::{print_json, things};
use crate::House;
use crate::catalogue::{ArtefactType, Artefacts, Catalogue, CoinType};
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
    let wanted: Vec<String> = words
        .iter()
        .flat_map(|w| w.split_whitespace())
        .map(str::to_lowercase)
        .collect();
    let coins = holding(&wanted, library);
    let things = things_holding(&wanted, artefacts, library);
    let found = (coins.len(), things.len());
    let coins = coins.into_iter().take(top);
    let coins: Vec<HitView> = coins.map(|coin| hit_view(coin, library)).collect();
    let things = things.into_iter().take(top);
    let things: Vec<ThingView> = things.map(|one| thing_view(one, artefacts)).collect();
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

/// The types that hold all words, in order.
fn holding<'c>(wanted: &[String], library: &'c Catalogue) -> Vec<&'c CoinType> {
    let types = library.listed().iter();
    let mut hits: Vec<&CoinType> = types
        .filter(|coin| holds_all(&searchable(coin, library), wanted))
        .collect();
    hits.sort_by(|a, b| {
        b.common
            .cmp(&a.common)
            .then(a.span.cmp(&b.span))
            .then(a.id.cmp(&b.id))
    });
    hits
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
    }
}

/// The artefact types that hold all words, in order.
fn things_holding<'a>(
    wanted: &[String],
    artefacts: &'a Artefacts,
    library: &Catalogue,
) -> Vec<&'a ArtefactType> {
    let types = artefacts.types.iter();
    let mut hits: Vec<&ArtefactType> = types
        .filter(|one| holds_all(&things::searchable(one, artefacts, library), wanted))
        .collect();
    hits.sort_by(|a, b| {
        let commonest = b.common.cmp(&a.common);
        commonest.then(a.span.cmp(&b.span)).then(a.id.cmp(&b.id))
    });
    hits
}

fn thing_view(artefact: &ArtefactType, artefacts: &Artefacts) -> ThingView {
    ThingView {
        kind: "artefact",
        id: artefact.id.clone(),
        name: artefact.name.clone(),
        class: artefacts.classes[artefact.class].name.clone(),
        from: artefact.span.from,
        to: artefact.span.to,
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
        writeln!(out, "{:<34} {}: {}, {years}", hit.id, hit.class, hit.name)?;
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
        writeln!(
            out,
            "{:<34} {}{of}: {}, {years}",
            hit.id, hit.denomination, hit.name
        )?;
    }
    let more = more(found, top);
    writeln!(out, "{found} type(s) found{more}")?;
    Ok(())
}

fn holds_all(text: &str, wanted: &[String]) -> bool {
    wanted.iter().all(|word| text.contains(word.as_str()))
}

/// All words of a type, lower case.
fn searchable(coin: &CoinType, library: &Catalogue) -> String {
    let mut words: Vec<&str> = vec![
        &coin.id,
        &coin.name,
        &library.series[coin.series].name,
        &library.periods[coin.period].name,
    ];
    if let Some(ruler) = coin.ruler {
        words.push(&library.rulers[ruler].name);
        words.extend(library.rulers[ruler].words.iter().map(String::as_str));
    }
    let denomination = &library.denominations[coin.denomination];
    words.push(&denomination.name);
    words.extend(denomination.words.iter().map(String::as_str));
    words.extend(coin.refs.iter().map(String::as_str));
    words.extend(coin.mints.iter().map(|m| library.mints[*m].name.as_str()));
    for face in Catalogue::faces(coin) {
        for motif in face.motifs.iter().flatten() {
            words.push(&library.motifs[*motif].name);
            words.extend(library.motifs[*motif].words.iter().map(String::as_str));
        }
        words.extend(face.inscriptions.iter().flatten().map(|i| {
            library.legends[library.inscriptions[*i].legend]
                .text
                .as_str()
        }));
    }
    words.join("\n").to_lowercase()
}
