//! Types by words they hold.
//!
//! Finds plain parts of words, all of them in one type; never ranks by likeness.
//!
//! Invariant: the commonest come first, then the oldest, then by id.

use super::things;
use crate::catalogue::{ArtefactType, Artefacts, Catalogue, CoinType};

/// Positions of the coin types that hold all words, in order; every listed type where none is given.
pub fn types_holding(words: &str, library: &Catalogue) -> Vec<usize> {
    let wanted = wanted(words);
    let types = library.listed();
    let holds = |at: &usize| holds_all(|| searchable(&types[*at], library), &wanted);
    let mut hits: Vec<usize> = (0..types.len()).filter(holds).collect();
    let order = |at: &usize| (&types[*at].span, &types[*at].id);
    hits.sort_by(|a, b| {
        let commonest = types[*b].common.cmp(&types[*a].common);
        commonest.then_with(|| order(a).cmp(&order(b)))
    });
    hits
}

/// Positions of the artefact types that hold all words, in order; every type where none is given.
pub fn things_holding(words: &str, artefacts: &Artefacts, library: &Catalogue) -> Vec<usize> {
    let wanted = wanted(words);
    let types: &[ArtefactType] = &artefacts.types;
    let text = |at: usize| things::searchable(&types[at], artefacts, library);
    let holds = |at: &usize| holds_all(|| text(*at), &wanted);
    let mut hits: Vec<usize> = (0..types.len()).filter(holds).collect();
    let order = |at: &usize| (&types[*at].span, &types[*at].id);
    hits.sort_by(|a, b| {
        let commonest = types[*b].common.cmp(&types[*a].common);
        commonest.then_with(|| order(a).cmp(&order(b)))
    });
    hits
}

/// Most words that are sought.
const WORDS_MOST: usize = 40;

fn wanted(words: &str) -> Vec<String> {
    let words = words.split_whitespace().take(WORDS_MOST);
    words.map(str::to_lowercase).collect()
}

fn holds_all(text: impl Fn() -> String, wanted: &[String]) -> bool {
    if wanted.is_empty() {
        return true;
    }
    let text = text();
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
