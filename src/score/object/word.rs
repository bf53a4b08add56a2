//! Other words against the names, forms and notes of each row.
//!
//! A word of a type's own name tells much if few have it. What was heard as a form or a class has
//! spoken already and counts for less.
//!
//! Invariant: neither one word nor all together speak beyond their bounds.

use std::collections::HashMap;

use super::constants::{WORD_BOUND, WORD_LOUD, WORD_PLACE, WORD_RIGHT};
use super::ground::ObjectGroundwork;
use super::sum::{About, Column, normed};
use crate::find::Object;

/// The columns of all words.
pub(super) fn columns(object: &Object, ground: &ObjectGroundwork) -> Vec<Column> {
    let mut columns = Vec::new();
    let mut wholes: HashMap<u32, f64> = HashMap::new();
    for at in 0..ground.types {
        *wholes.entry(ground.class_of[at]).or_default() += ground.prior[at].exp();
    }
    for (place, word) in object.words.iter().enumerate() {
        let Some(rows) = ground.words.get(&word.stem) else {
            continue;
        };
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
        columns.push(Column {
            about: About::Word(place),
            nats,
            outside: 0.0,
        });
    }
    bounded(&mut columns, ground.hypotheses());
    columns
}

/// Shrinks the words of each hypothesis so that together they stay within their bound.
fn bounded(columns: &mut [Column], hypotheses: usize) {
    for at in 0..hypotheses {
        let whole: f64 = columns.iter().map(|column| column.nats[at]).sum();
        if whole.abs() > WORD_BOUND.2 {
            let share = WORD_BOUND.2 / whole.abs();
            columns
                .iter_mut()
                .for_each(|column| column.nats[at] *= share);
        }
    }
}
