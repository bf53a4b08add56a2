//! Other words against the names, forms and notes of each row, and against what finders might say.
//!
//! A word of a type's own name tells much if few have it; so does one that stands in the descriptions
//! of few. What was heard as a form or a class has spoken already and counts for less.
//!
//! Invariant: neither one word nor all together speak beyond their bounds.

use std::collections::HashMap;

use super::constants::{
    SAID_BOUND, SAID_LOUD, SAID_RIGHT, WORD_BOUND, WORD_LOUD, WORD_PLACE, WORD_RIGHT,
};
use super::ground::ObjectGroundwork;
use super::sum::{About, Column, normed};
use crate::find::{Object, WordSaid};

/// The columns of all words.
pub(super) fn columns(object: &Object, ground: &ObjectGroundwork) -> Vec<Column> {
    let mut wholes: HashMap<u32, f64> = HashMap::new();
    for at in 0..ground.types {
        *wholes.entry(ground.class_of[at]).or_default() += ground.prior[at].exp();
    }
    let words = object.words.iter().enumerate();
    let column = |(place, nats): (usize, Vec<f64>)| Column {
        about: About::Word(place),
        nats,
        outside: 0.0,
    };
    let rows = words
        .clone()
        .filter_map(|(at, word)| Some((at, of_rows(word, &wholes, ground)?)));
    let mut rows: Vec<Column> = rows.map(column).collect();
    bounded(&mut rows, WORD_BOUND.2, ground.hypotheses());
    let said = words.filter_map(|(at, word)| Some((at, of_sayings(word, ground)?)));
    let mut columns: Vec<Column> = said.map(column).collect();
    bounded(&mut columns, SAID_BOUND.1, ground.hypotheses());
    for row in rows {
        match columns.iter_mut().find(|column| column.about == row.about) {
            Some(column) => {
                let both = column.nats.iter_mut().zip(&row.nats);
                both.for_each(|(nats, more)| *nats += more);
            }
            None => columns.push(row),
        }
    }
    columns.sort_by_key(|column| column.about);
    columns
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

/// Nats of a word by the descriptions in which it stands.
fn of_sayings(word: &WordSaid, ground: &ObjectGroundwork) -> Option<Vec<f64>> {
    let often = ground.said.often(&word.stem, &ground.class_of)?;
    let loud = match word.heard {
        true => SAID_LOUD.1,
        false => SAID_LOUD.0,
    };
    let mut nats = normed(often, SAID_RIGHT, SAID_BOUND.0 / loud, ground);
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
