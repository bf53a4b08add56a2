//! Metal: what is seen by eye against what the type is made of.
//!
//! A table of how often each look is called each metal, never an exclusion: base
//! silver is called bronze, tin is called silver, plated pieces pass.

use super::constants::{METAL_UNLISTED, METAL_UNSURE, PLATED, metal_called};
use super::evidence::{Detail, Evidence, Witness};
use crate::catalogue::{CoinType, CopyKind, Habit};
use crate::find::MetalSeen;

/// How a type's metal looks, with how often: plated copies pass among some types.
fn looks(coin: &CoinType, metal: MetalSeen) -> [(MetalSeen, f64); 2] {
    if coin.copy == Some(CopyKind::Plated) {
        return [(MetalSeen::Plated, 1.0), (metal, 0.0)];
    }
    let plated = if coin.habits.contains(&Habit::Plated) {
        PLATED
    } else {
        0.0
    };
    [(metal, 1.0 - plated), (MetalSeen::Plated, plated)]
}

/// How often a finder calls a piece of the type each metal, in the order of [`MetalSeen::ALL`].
pub(super) fn called(coin: &CoinType, looks_like: MetalSeen) -> [f64; 8] {
    let mut called = [0.0; 8];
    for (look, share) in looks(coin, looks_like) {
        for (sum, often) in called.iter_mut().zip(metal_called(look)) {
            *sum += share * often;
        }
    }
    called
}

fn column(seen: MetalSeen) -> usize {
    MetalSeen::ALL.iter().position(|m| *m == seen).unwrap_or(0)
}

/// Chance of a metal called, as far as the finder is sure.
fn soften(called: f64, column: usize, sure: bool) -> f64 {
    if sure {
        called
    } else {
        METAL_UNSURE * called + (1.0 - METAL_UNSURE) * METAL_UNLISTED[column]
    }
}

/// Chance that a piece of an often plated type that looks like this when official is a plated
/// copy, once its metal has been named.
pub(super) fn chance_plated(official: MetalSeen, named: Option<(MetalSeen, bool)>) -> f64 {
    let Some((seen, sure)) = named else {
        return PLATED;
    };
    let column = column(seen);
    let of = |look: MetalSeen| soften(metal_called(look)[column], column, sure);
    let (copy, true_one) = (
        PLATED * of(MetalSeen::Plated),
        (1.0 - PLATED) * of(official),
    );
    copy / (copy + true_one)
}

/// The term for a metal named by the finder.
pub(super) fn evidence(
    seen: MetalSeen,
    sure: bool,
    coin: &CoinType,
    looks_like: MetalSeen,
) -> Evidence {
    let column = column(seen);
    let told = called(coin, looks_like)[column];
    let nats = (soften(told, column, sure) / METAL_UNLISTED[column]).ln();
    Evidence {
        witness: Witness::Metal,
        nats,
        detail: Detail::Metal {
            seen,
            looks: looks_like,
        },
    }
}
