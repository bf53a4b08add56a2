//! Pieces whose state stands out: worn or fresh against their time, altered, cut.
//!
//! Knows only what was said of the state; an unsaid state is never odd.
//!
//! Invariant: a state that more than one piece in five shares is no oddity.

use super::closing::Dates;
use super::group::{Group, Piece};
use super::unusual::{OTHERS_LEAST, Unusual, Why, middle, one};
use crate::find::{Completeness, Treatment, Wear};

/// Pieces worn more or less than their place in time lets one expect.
pub(super) fn worn(group: &Group, read: &[Dates], out: &mut Vec<Unusual>) {
    let mut middles: Vec<(f64, f64)> = group
        .pieces
        .iter()
        .zip(read)
        .filter_map(|(piece, dates)| Some((middle(dates)?, piece.number() * piece.dated())))
        .collect();
    middles.sort_by(|a, b| a.0.total_cmp(&b.0));
    let whole: f64 = middles.iter().map(|(_, weight)| weight).sum();
    if whole < OTHERS_LEAST {
        return;
    }
    let at = |share: f64| {
        let mut below = 0.0;
        let reached = middles.iter().find(|(_, weight)| {
            below += weight;
            below >= share * whole
        });
        reached.map_or(0.0, |(at, _)| *at)
    };
    let (early, late) = (at(0.25), at(0.75));
    for (place, (piece, dates)) in group.pieces.iter().zip(read).enumerate() {
        let (Some(own), Some(wear)) = (middle(dates), piece.wear) else {
            continue;
        };
        let name = &piece.name;
        if own >= late && matches!(wear, Wear::Heavy | Wear::Extreme) {
            let text = format!(
                "{name}: among the latest, and yet much worn: it was long in use, so the group may have been closed well after it was made"
            );
            out.push(one(place, Why::WornLate, None, text));
        } else if own <= early && late - own >= FRESH_YEARS && wear == Wear::Little {
            let text = format!(
                "{name}: among the earliest, and yet hardly worn: it may have been put aside early, so the group may have been gathered over time"
            );
            out.push(one(place, Why::FreshEarly, None, text));
        }
    }
}

/// Years that an unworn piece must be older than the latest to be told of; a judgement.
const FRESH_YEARS: f64 = 40.0;

/// Pieces pierced, mounted, bent, marked or cut, where few are.
pub(super) fn altered(group: &Group, out: &mut Vec<Unusual>) {
    let number = group.count() as f64;
    let word = |treatment: &Treatment| match treatment {
        Treatment::Pierced => Some("pierced"),
        Treatment::Mounted => Some("mounted"),
        Treatment::Gilded => Some("gilded"),
        Treatment::Bent => Some("bent"),
        Treatment::Countermarked => Some("countermarked"),
        _ => None,
    };
    let rare = |of: &dyn Fn(&Piece) -> bool| {
        let with = group.pieces.iter().filter(|piece| of(piece));
        with.map(Piece::number).sum::<f64>() <= 0.2 * number
    };
    for (place, piece) in group.pieces.iter().enumerate() {
        for treatment in &piece.treatments {
            let Some(word) = word(treatment) else {
                continue;
            };
            if rare(&|other| other.treatments.contains(treatment)) {
                let text = format!(
                    "{}: {word}, where the others are not: worn, kept or marked before it came here",
                    piece.name
                );
                out.push(one(place, Why::Altered, None, text));
            }
        }
        let cut = |piece: &Piece| {
            matches!(
                piece.completeness,
                Some(Completeness::Half | Completeness::Quarter)
            )
        };
        if cut(piece) && rare(&cut) {
            let text = format!("{}: a cut piece among whole ones", piece.name);
            out.push(one(place, Why::Cut, None, text));
        }
    }
}
