//! How likely a type is before anything is seen of the piece.
//!
//! Period first, from the published profile of finds; within a stretch of time by
//! how common the type is as a field find. The rest of a coinage has a share of what
//! is listed of it.
//! Invariant: the priors of all rows, those of the rest among them, sum to one.

use std::collections::HashMap;

use super::constants::{COMMONNESS, FLATTENING, REST_OTHER, REST_SHARE, SLICES, Slice};
use crate::catalogue::{Catalogue, CoinType, Common, coinage};
use crate::find::{Making, Span};

/// Log prior of each type among the types of the library, by their positions; the chances of those
/// listed sum to one.
pub fn log_priors(catalogue: &Catalogue) -> Vec<f64> {
    let mut weight = vec![0.0; catalogue.listed().len()];
    for slice in SLICES {
        let years = Span {
            from: slice.from,
            to: slice.to,
        };
        let period = catalogue.periods.iter().position(|p| p.id == slice.period);
        let inside: Vec<(usize, f64)> = catalogue
            .listed()
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
    with_rest(weight, catalogue)
}

/// Log prior of each type when all listed types are alike beforehand.
pub(super) fn log_even(catalogue: &Catalogue) -> Vec<f64> {
    with_rest(vec![1.0; catalogue.listed().len()], catalogue)
}

/// Log shares of all rows, from the weights of the listed ones.
fn with_rest(mut weight: Vec<f64>, catalogue: &Catalogue) -> Vec<f64> {
    let (listed, metals) = (catalogue.listed().len(), &catalogue.metals);
    let (mut coinages, mut rulers) = (HashMap::new(), HashMap::new());
    for (coin, weight) in catalogue.types.iter().zip(&weight) {
        if let Some(coinage) = coinage(coin, metals) {
            *coinages.entry(coinage).or_insert(0.0) += weight;
            let ruler = rulers.entry((coinage.0, coinage.1));
            let (held, years) = ruler.or_insert((0.0, coin.span));
            (*held, *years) = (*held + weight, years.hull(coin.span));
        }
    }
    for coin in &catalogue.types[listed..] {
        let own = coinage(coin, metals);
        let of_coinage = own.and_then(|own| coinages.get(&own));
        let of_ruler = own.and_then(|own| rulers.get(&(own.0, own.1)));
        let share = match coin.made {
            Making::Hammered => REST_SHARE.0,
            Making::Milled | Making::Cast => REST_SHARE.1,
        };
        let held = of_coinage.map(|held: &f64| share * held);
        // Others may have struck it in one year of his alone.
        let other = of_ruler.map_or(0.0, |(held, years)| {
            REST_OTHER * held * overlap(*years, coin.span)
        });
        weight.push(held.unwrap_or(other).max(1e-12));
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
