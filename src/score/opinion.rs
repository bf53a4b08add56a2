//! What the finder thinks it is, and a date read on the piece itself.
//!
//! An opinion is a hint, weighed lightly and the same for every type.

use super::constants::{
    DATE_BACKGROUND_YEARS, DATES_BEGIN, OPINION_AGREES, OPINION_DISAGREES, TRAIT_BOUND,
};
use super::evidence::{Detail, Evidence, Witness};
use crate::catalogue::{Catalogue, CoinType};
use crate::find::{Opinion, Year};

/// The term for an opinion; none when the type has nothing to hold it against.
pub(super) fn evidence(
    position: usize,
    opinion: &Opinion,
    coin: &CoinType,
    catalogue: &Catalogue,
) -> Option<Evidence> {
    let agrees = catalogue.is_said(coin, opinion)?;
    let nats = if agrees {
        OPINION_AGREES
    } else {
        OPINION_DISAGREES
    };
    Some(Evidence {
        witness: Witness::Opinion,
        nats,
        detail: Detail::Opinion {
            opinion: position,
            agrees,
        },
    })
}

/// The term for a date read on the piece.
pub(super) fn date_on_piece(year: Year, coin: &CoinType) -> Evidence {
    let within = coin.span.from <= year && year <= coin.span.to;
    let nats = if within && coin.span.from >= DATES_BEGIN {
        (DATE_BACKGROUND_YEARS / f64::from(coin.span.years()))
            .ln()
            .clamp(0.5, TRAIT_BOUND)
    } else {
        -TRAIT_BOUND
    };
    Evidence {
        witness: Witness::DateOnPiece,
        nats,
        detail: Detail::DateOnPiece { within },
    }
}
