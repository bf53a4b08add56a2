//! What would tell the leaders apart.
//!
//! First what the library itself says of two neighbours, then what one of the
//! leaders shows and the other does not. Only things a finder can look at without
//! scraping or cleaning. The scorer says how much each look is expected to bring.

use super::phrase::type_name;
use crate::catalogue::{Catalogue, CoinType, Face};
use crate::find::Find;
use crate::score::{Ranking, information_gain, report_law};

/// Leaders that are held against one another.
const LEADERS: usize = 4;
/// Least probability of a leader.
const LEAST: f64 = 0.03;
/// Notes given.
const MOST: usize = 4;

/// What to look at next, the look that is expected to tell most first.
pub(super) fn notes(catalogue: &Catalogue, ranking: &Ranking, find: &Find) -> Vec<String> {
    let leaders = ranking
        .judged
        .iter()
        .take(LEADERS)
        .filter(|j| j.probability >= LEAST);
    let (leaders, chances): (Vec<usize>, Vec<f64>) =
        leaders.map(|j| (j.coin, j.probability)).unzip();
    let Some((first, others)) = leaders.split_first() else {
        return Vec::new();
    };
    let mut notes: Vec<(f64, String)> = Vec::new();
    for (place, second) in others.iter().enumerate() {
        let note = said_by_library(*first, *second, catalogue)
            .or_else(|| seen(*first, *second, catalogue, find));
        let Some(note) = note.filter(|note| notes.iter().all(|known| known.1 != *note)) else {
            continue;
        };
        // The look speaks of these two; of the other leaders it may say anything.
        let shows = |leader: usize| match leader {
            0 => Some(true),
            l if l == place + 1 => Some(false),
            _ => None,
        };
        let answers: Vec<Vec<f64>> = (0..leaders.len()).map(|l| report_law(shows(l))).collect();
        notes.push((information_gain(&chances, &answers), note));
    }
    notes.sort_by(|a, b| b.0.total_cmp(&a.0));
    notes.into_iter().take(MOST).map(|note| note.1).collect()
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

/// A motif or a legend that one shows and the other does not, not yet reported.
fn seen(first: usize, second: usize, catalogue: &Catalogue, find: &Find) -> Option<String> {
    let (a, b) = (&catalogue.types[first], &catalogue.types[second]);
    let sides = [
        ("obverse", &a.obverse, &b.obverse),
        ("reverse", &a.reverse, &b.reverse),
    ];
    sides.iter().find_map(|(side, ours, theirs)| {
        let look = |face: &Face, other: &Face| only_on(face, other, catalogue, find);
        let (ours_only, theirs_only) = (look(ours, theirs), look(theirs, ours));
        let halves = match (ours_only, theirs_only) {
            (None, None) => return None,
            (Some(x), Some(y)) => format!(
                "{x} points to {}, {y} to {}",
                type_name(a, catalogue),
                type_name(b, catalogue)
            ),
            (Some(x), None) => format!(
                "{x} points to {} rather than {}",
                type_name(a, catalogue),
                type_name(b, catalogue)
            ),
            (None, Some(y)) => format!(
                "{y} points to {} rather than {}",
                type_name(b, catalogue),
                type_name(a, catalogue)
            ),
        };
        Some(format!("on the {side}, {halves}"))
    })
}

fn only_on(face: &Face, other: &Face, catalogue: &Catalogue, find: &Find) -> Option<String> {
    let shown = face.motifs.as_deref().unwrap_or(&[]);
    let there = other.motifs.as_deref()?;
    let asked = |motif: usize| {
        find.sightings
            .iter()
            .any(|s| s.motif == catalogue.motifs[motif].id)
    };
    let motif = shown.iter().find(|m| {
        !there.contains(m)
            && !there
                .iter()
                .any(|t| catalogue.motifs[*t].ancestors.contains(m))
            && !asked(**m)
    });
    if let Some(motif) = motif {
        return Some(format!(
            "\"{}\"",
            catalogue.motifs[*motif].name.to_lowercase()
        ));
    }
    let (ours, theirs) = (
        face.inscriptions.as_deref()?.first()?,
        other.inscriptions.as_deref()?.first()?,
    );
    let text = |inscription: usize| &catalogue.inscriptions[inscription].forms[0].text;
    (text(*ours) != text(*theirs)).then(|| format!("the legend {}", text(*ours)))
}
