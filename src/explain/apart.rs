//! What the library itself says sets the leaders apart.
//!
//! Only things a finder can look at without scraping or cleaning. What else may be looked at, the
//! scorer's looks say; this file asks nothing.
//!
//! Invariant: no line is given twice.

use super::phrase::type_name;
use crate::catalogue::{Catalogue, CoinType};
use crate::score::Ranking;

/// Leaders that are held against one another.
const LEADERS: usize = 4;
/// Least probability of a leader.
const LEAST: f64 = 0.03;

/// What sets the first of the leaders apart from each of the others, the likeliest first.
pub(super) fn notes(catalogue: &Catalogue, ranking: &Ranking) -> Vec<String> {
    let leaders = ranking.judged.iter().take(LEADERS);
    let mut leaders = leaders.filter(|j| j.probability >= LEAST).map(|j| j.coin);
    let Some(first) = leaders.next() else {
        return Vec::new();
    };
    let mut notes: Vec<String> = Vec::new();
    for note in leaders.filter_map(|other| said_by_library(first, other, catalogue)) {
        if !notes.contains(&note) {
            notes.push(note);
        }
    }
    notes
}

fn said_by_library(first: usize, second: usize, catalogue: &Catalogue) -> Option<String> {
    let (a, b) = (&catalogue.types[first], &catalogue.types[second]);
    let noted = |of: &CoinType, from: usize| {
        of.apart
            .iter()
            .find(|apart| apart.from == from)
            .map(|apart| apart.by.clone())
    };
    let by = noted(a, second)
        .map(|by| (a, b, by))
        .or_else(|| noted(b, first).map(|by| (b, a, by)));
    by.map(|(this, that, by)| {
        format!(
            "{} rather than {}: {by}",
            type_name(this, catalogue),
            type_name(that, catalogue)
        )
    })
}
