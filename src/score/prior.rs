//! How likely a type is before anything is seen of the piece.
//!
//! Period first, from the published profile of finds; within a stretch of time by
//! how common the type is as a field find.
//! Invariant: the priors of the listed types sum to one.

use super::constants::{COMMONNESS, FLATTENING, SLICES, Slice};
use crate::catalogue::{Catalogue, CoinType, Common};
use crate::find::Span;

/// Log prior of each type among the listed types.
pub(super) fn log_priors(catalogue: &Catalogue) -> Vec<f64> {
    let mut weight = vec![0.0; catalogue.types.len()];
    for slice in SLICES {
        let years = Span {
            from: slice.from,
            to: slice.to,
        };
        let period = catalogue.periods.iter().position(|p| p.id == slice.period);
        let inside: Vec<(usize, f64)> = catalogue
            .types
            .iter()
            .enumerate()
            .filter(|(_, coin)| Some(coin.period) == period && coin.span.overlaps(years))
            .map(|(position, coin)| (position, commonness(coin) * overlap(coin.span, years)))
            .filter(|(_, w)| *w > 0.0)
            .collect();
        let total: f64 = inside.iter().map(|(_, w)| w).sum();
        for (position, w) in inside {
            weight[position] += slice.share.powf(FLATTENING) * w / total;
        }
    }
    // A type outside every stretch (a period the profile does not know) keeps a small share.
    let least = SLICES
        .iter()
        .map(|s: &Slice| s.share.powf(FLATTENING))
        .fold(f64::INFINITY, f64::min)
        * 1e-2;
    for w in &mut weight {
        *w = w.max(least);
    }
    let total: f64 = weight.iter().sum();
    weight.into_iter().map(|w| (w / total).ln()).collect()
}

fn commonness(coin: &CoinType) -> f64 {
    let step = match coin.common {
        Common::VeryRare => 0,
        Common::Rare => 1,
        Common::Uncommon => 2,
        Common::Common => 3,
        Common::VeryCommon => 4,
    };
    COMMONNESS[step]
}

/// Share of a type's years that lie within a stretch.
fn overlap(coin: Span, stretch: Span) -> f64 {
    f64::from(coin.shared_years(stretch)) / f64::from(coin.years())
}
