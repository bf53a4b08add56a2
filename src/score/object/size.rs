//! Sizes against the ranges of a whole piece.
//!
//! A range is even in its logarithm with soft edges. A fragment gives a lower bound only: the whole
//! was at least so large. A size without a direction is tried on each.
//!
//! Invariant: never beyond the bound of a size.

use super::constants::{
    FRAGMENT_LEAST, SIZE_ANY, SIZE_BOUND, SIZE_EDGE, SIZE_OTHER_WAY, SIZE_STRAY, SIZES_TOGETHER,
};
use super::ground::ObjectGroundwork;
use super::sum::{About, Column};
use crate::catalogue::{Artefacts, Sizes};
use crate::find::{Dimension, Left, Object, SizeSaid};

/// Density of a log size under a range with soft edges, of a whole piece or of what is left of one.
pub(super) fn ranged(x: f64, spread: f64, (least, most): (f64, f64), edge: f64, left: Left) -> f64 {
    let (low, high) = (least.ln(), most.ln());
    let soft = (edge * edge + spread * spread).sqrt();
    let whole = soft_edged(x, low, high, soft);
    match left {
        Left::Unsaid | Left::Whole => whole,
        Left::Incomplete => {
            0.6 * whole + 0.4 * soft_edged(x, low + FRAGMENT_LEAST / 2.0, high, soft)
        }
        Left::Fragment => soft_edged(x, low + FRAGMENT_LEAST, high, soft),
    }
}

fn soft_edged(x: f64, low: f64, high: f64, soft: f64) -> f64 {
    let beyond = (low - x).max(x - high).max(0.0) / soft;
    let tails = soft * (2.0 * std::f64::consts::PI).sqrt();
    (-0.5 * beyond * beyond).exp() / (high - low + tails)
}

/// Density of a log size of anything.
pub(super) fn any(x: f64, (centre, spread): (f64, f64)) -> f64 {
    let away = (x - centre) / spread;
    (-0.5 * away * away).exp() / (spread * (2.0 * std::f64::consts::PI).sqrt())
}

/// Directions by which a size that was said may have been taken, with how likely each is.
fn ways(dimension: Dimension) -> [(Dimension, f64); 3] {
    use Dimension::{Diameter, Height, Length, Thickness, Width};
    match dimension {
        Length => [(Length, 1.0), (Height, 0.8), (Diameter, 0.8)],
        Width => [(Width, 1.0), (Diameter, 0.8), (Length, SIZE_OTHER_WAY)],
        Thickness => [(Thickness, 1.0), (Height, 0.5), (Width, 0.05)],
        Height => [(Height, 1.0), (Length, 0.8), (Thickness, 0.4)],
        Diameter => [(Diameter, 1.0), (Width, 0.5), (Length, 0.5)],
    }
}

/// Density under a row's sizes; none where it gives none that this could be.
fn density(said: &SizeSaid, rank: usize, sizes: &Sizes, left: Left) -> Option<f64> {
    let value = said.size.value.get();
    let (x, spread) = (value.ln(), said.size.error / value);
    let own = |dimension: Dimension| {
        let range = sizes.of(dimension)?;
        Some(ranged(x, spread, range, SIZE_EDGE, left))
    };
    let Some(dimension) = said.dimension else {
        return unsaid(rank, sizes, own);
    };
    let given: Vec<(f64, f64)> = ways(dimension)
        .into_iter()
        .filter_map(|(way, often)| Some((own(way)?, often)))
        .collect();
    let (first, rest) = given.split_first()?;
    // The nearest way that the row gives is what was meant; the others are slips.
    let slips: f64 = rest.iter().map(|(density, _)| *density).fold(0.0, f64::max);
    let swapped = match dimension {
        Dimension::Length => own(Dimension::Width).unwrap_or(0.0),
        _ => slips,
    };
    Some((1.0 - SIZE_OTHER_WAY) * first.0 + SIZE_OTHER_WAY * slips.max(swapped))
}

/// A size without a direction: the largest said is mostly the largest of the piece.
fn unsaid(rank: usize, sizes: &Sizes, own: impl Fn(Dimension) -> Option<f64>) -> Option<f64> {
    let mut given: Vec<(Dimension, f64)> = sizes
        .given()
        .filter(|(dimension, _)| *dimension != Dimension::Thickness)
        .map(|(dimension, (least, most))| (dimension, least * most))
        .collect();
    given.sort_by(|a, b| b.1.total_cmp(&a.1));
    let at = |place: usize| given.get(place).and_then(|(dimension, _)| own(*dimension));
    let mean = at(rank).or_else(|| at(given.len().checked_sub(1)?))?;
    let other = at(if rank == 0 { 1 } else { 0 }).unwrap_or(mean);
    Some(0.75 * mean + 0.25 * other)
}

/// The columns of all sizes said.
pub(super) fn columns(
    object: &Object,
    artefacts: &Artefacts,
    ground: &ObjectGroundwork,
) -> Vec<Column> {
    let mut columns = Vec::new();
    let larger = |one: &SizeSaid| {
        let open = object
            .sizes
            .iter()
            .filter(|other| other.dimension.is_none());
        open.filter(|other| other.size.value > one.size.value)
            .count()
    };
    for (place, said) in object.sizes.iter().enumerate() {
        let rank = larger(said);
        let background = SIZE_ANY[said.dimension.unwrap_or(Dimension::Length) as usize];
        let any = any(said.size.value.get().ln(), background).max(0.02);
        let nats = |sizes: &Sizes| {
            let own = density(said, rank, sizes, object.left)?;
            let ratio = (1.0 - SIZE_STRAY) * own / any + SIZE_STRAY;
            Some(SIZES_TOGETHER * ratio.ln().clamp(-SIZE_BOUND, SIZE_BOUND))
        };
        let types = artefacts.types.iter().map(|one| &one.sizes);
        let all = types
            .chain(&ground.rest_sizes)
            .map(|sizes| nats(sizes).unwrap_or(0.0));
        columns.push(Column {
            about: About::Size(place),
            nats: all.collect(),
            outside: 0.0,
        });
    }
    columns
}
