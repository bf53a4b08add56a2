//! Words against what they tell of each type, and against the names, forms and notes of each row.
//!
//! What the library's weights tell of a word, and of two side by side, speaks for every word of the
//! text; a word of a type's own name tells more if few rows have it.
//!
//! Invariant: neither one word nor all together speak beyond their bounds.

use std::collections::HashMap;

use super::constants::{WORD_BOUND, WORD_LOUD, WORD_PLACE, WORD_RIGHT, WORDING_BOUND};
use super::ground::ObjectGroundwork;
use super::sum::{About, Column, normed};
use crate::catalogue::Artefacts;
use crate::find::{Object, WordSaid};

/// The words of a thing, and each two that follow one another in a clause, as the library's weights
/// know them, each once, in order.
pub fn wording_features(told: &[Vec<String>]) -> Vec<String> {
    let mut features: Vec<String> = Vec::new();
    for clause in told {
        let pairs = clause.windows(2).map(|two| two.join(" "));
        features.extend(clause.iter().cloned().chain(pairs));
    }
    features.sort_unstable();
    features.dedup();
    features
}

/// The columns of all words.
pub(super) fn columns(
    object: &Object,
    artefacts: &Artefacts,
    ground: &ObjectGroundwork,
) -> Vec<Column> {
    let mut wholes: HashMap<u32, f64> = HashMap::new();
    for at in 0..ground.types {
        *wholes.entry(ground.class_of[at]).or_default() += ground.prior[at].exp();
    }
    let words = object.words.iter().enumerate();
    let rows = words.filter_map(|(at, word)| Some((at, of_rows(word, &wholes, ground)?)));
    let column = |(at, mut nats): (usize, Vec<f64>)| {
        nats.iter_mut().for_each(|nats| *nats *= ground.loud.rows);
        Column {
            about: About::Word(at),
            nats,
            outside: 0.0,
        }
    };
    let mut rows: Vec<Column> = rows.map(column).collect();
    bounded(&mut rows, WORD_BOUND.2, ground.hypotheses());
    let mut columns = of_wording(object, artefacts, ground);
    for row in rows {
        match columns.iter_mut().find(|column| column.about == row.about) {
            Some(column) => add(&mut column.nats, &row.nats, 1.0),
            None => columns.push(row),
        }
    }
    columns.sort_by_key(|column| column.about);
    columns
}

fn add(nats: &mut [f64], more: &[f64], share: f64) {
    for (nats, more) in nats.iter_mut().zip(more) {
        *nats += share * more;
    }
}

/// What the library's weights tell: a column for each word of the text. What two words tell side by
/// side is shared between them.
fn of_wording(object: &Object, artefacts: &Artefacts, ground: &ObjectGroundwork) -> Vec<Column> {
    let place = |word: &str| {
        let kept = object.words.iter().position(|one| one.stem == word);
        let told = || object.told.iter().flatten().position(|one| one == word);
        kept.map_or_else(|| About::Told(told().unwrap_or_default()), About::Word)
    };
    let mut by_word: HashMap<About, Vec<f64>> = HashMap::new();
    for feature in wording_features(&object.told) {
        let Some(gains) = artefacts.wording.gains(&feature) else {
            continue;
        };
        let nats = ground.with_rests(gains);
        let words: Vec<&str> = feature.split(' ').collect();
        for word in &words {
            let held = by_word.entry(place(word));
            let held = held.or_insert_with(|| vec![0.0; ground.hypotheses()]);
            add(held, &nats, ground.loud.wording / words.len() as f64);
        }
    }
    let columns = by_word.into_iter().map(|(about, mut nats)| {
        against_mean(&mut nats, ground);
        let most = WORDING_BOUND.0;
        nats.iter_mut()
            .for_each(|nats| *nats = nats.clamp(-most, most));
        Column {
            about,
            nats,
            outside: 0.0,
        }
    });
    let mut columns: Vec<Column> = columns.collect();
    columns.sort_by_key(|column| column.about);
    bounded(&mut columns, WORDING_BOUND.1, ground.hypotheses());
    columns
}

/// Measures nats against the mean of the library.
fn against_mean(nats: &mut [f64], ground: &ObjectGroundwork) {
    let top = nats.iter().copied().fold(0.0, f64::max);
    let likely = nats.iter().zip(&ground.prior);
    let whole: f64 = likely.map(|(nats, prior)| (nats - top + prior).exp()).sum();
    let all: f64 = ground.prior.iter().map(|prior| prior.exp()).sum();
    let mean = top + (whole / all).ln();
    nats.iter_mut().for_each(|nats| *nats -= mean);
}

/// Nats of a word by the rows in which it stands.
fn of_rows(
    word: &WordSaid,
    wholes: &HashMap<u32, f64>,
    ground: &ObjectGroundwork,
) -> Option<Vec<f64>> {
    let rows = ground.words.get(&word.stem)?;
    let mut often = vec![0.02; ground.hypotheses()];
    let mut classes: HashMap<u32, f64> = HashMap::new();
    for (at, loud) in rows {
        let at = usize::from(*at);
        // What was heard as a form was weighed there; only a name adds to it.
        if word.heard && *loud < WORD_PLACE.0 {
            continue;
        }
        let loud = f64::from(*loud) / f64::from(WORD_PLACE.0);
        often[at] = loud;
        *classes.entry(ground.class_of[at]).or_default() += loud * ground.prior[at].exp();
    }
    for (rest, often) in often.iter_mut().enumerate().skip(ground.types) {
        let class = &ground.class_of[rest];
        let held = classes.get(class).copied().unwrap_or(0.0);
        let whole = wholes.get(class).copied().unwrap_or(1.0);
        *often += (held / whole).min(1.0);
    }
    let (right, bound, loud) = match word.heard {
        true => (WORD_RIGHT.1, WORD_BOUND.1, WORD_LOUD.1),
        false => (WORD_RIGHT.0, WORD_BOUND.0, WORD_LOUD.0),
    };
    let mut nats = normed(often, right, bound / loud, ground);
    nats.iter_mut().for_each(|nats| *nats *= loud);
    Some(nats)
}

/// Shrinks the words of each hypothesis so that together they stay within a bound.
fn bounded(columns: &mut [Column], bound: f64, hypotheses: usize) {
    for at in 0..hypotheses {
        let whole: f64 = columns.iter().map(|column| column.nats[at]).sum();
        if whole.abs() > bound {
            let share = bound / whole.abs();
            columns
                .iter_mut()
                .for_each(|column| column.nats[at] *= share);
        }
    }
}
