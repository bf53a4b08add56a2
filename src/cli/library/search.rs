//! `catalogue search`: types by words they hold.
//!
//! Finds plain parts of words, all of them in one type; never ranks by likeness.
//!
//! Invariant: the commonest come first, then the oldest, then by id.

use std::io::Write;

use serde::Serialize;

use super::super::Outcome;
use super::super::error::Trouble;
use super::print_json;
use crate::House;
use crate::catalogue::{Catalogue, CoinType};
use crate::find::Span;

/// A type found.
#[derive(Serialize)]
struct HitView {
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
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let library = &house.catalogue;
    let hits = holding(words, library);
    let found = hits.len();
    let shown = hits.into_iter().take(top);
    let views: Vec<HitView> = shown.map(|coin| hit_view(coin, library)).collect();
    if json {
        print_json(&views, out)?;
    } else {
        print(&views, found, top, out)?;
    }
    Ok(if found == 0 {
        Outcome::NothingFits
    } else {
        Outcome::Answer
    })
}

/// The types that hold all words, in order.
fn holding<'c>(words: &[String], library: &'c Catalogue) -> Vec<&'c CoinType> {
    let wanted: Vec<String> = words
        .iter()
        .flat_map(|w| w.split_whitespace())
        .map(str::to_lowercase)
        .collect();
    let types = library.listed().iter();
    let mut hits: Vec<&CoinType> = types
        .filter(|coin| holds_all(&searchable(coin, library), &wanted))
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
        id: coin.id.clone(),
        name: coin.name.clone(),
        ruler: ruler.unwrap_or_default(),
        denomination: library.denominations[coin.denomination].name.clone(),
        from: coin.span.from,
        to: coin.span.to,
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
    let more = if found > top {
        format!(", {top} shown; see more with --top {found}")
    } else {
        String::new()
    };
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
