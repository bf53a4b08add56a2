//! Wear: how fast a kind of coin loses weight, beside hammered silver.
//!
//! Invariant: a table has the losses of every rate, clipping and wear of the grid.

use std::sync::LazyLock;

use crate::score::constants::{
    CLIP_LOSS, WEAR_LOSS, WEAR_SHARE_GOLD, WEAR_SHARE_MILLED, WEAR_SHARE_MILLED_GOLD,
};

/// How fast a coin wears beside hammered silver.
#[derive(Clone, Copy)]
pub(super) enum WearRate {
    Hammered,
    Milled,
    Gold,
    MilledGold,
}

impl WearRate {
    const ALL: [WearRate; 4] = [
        WearRate::Hammered,
        WearRate::Milled,
        WearRate::Gold,
        WearRate::MilledGold,
    ];

    pub(super) fn share(self) -> f64 {
        match self {
            WearRate::Hammered => 1.0,
            WearRate::Milled => WEAR_SHARE_MILLED,
            WearRate::Gold => WEAR_SHARE_GOLD,
            WearRate::MilledGold => WEAR_SHARE_MILLED_GOLD,
        }
    }
}

/// Log of the share of weight left, by rate of wear, clipping and wear: the same for every find.
pub(super) static LOG_LEFT: LazyLock<[[[f64; WEAR_LOSS.len()]; CLIP_LOSS.len()]; 4]> =
    LazyLock::new(|| {
        WearRate::ALL.map(|rate| {
            CLIP_LOSS.map(|clipped| {
                WEAR_LOSS.map(|worn| ((1.0 - worn * rate.share()) * (1.0 - clipped)).ln())
            })
        })
    });
