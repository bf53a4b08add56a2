//! Making: struck by hand, milled or cast, as it looks against as it was.

use super::constants::MAKING_RIGHT;
use super::evidence::{Detail, Evidence, Witness};
use crate::find::Making;

/// Chance that a finder names this making; `None` is a find that is not in the library, of which
/// most are taken as struck by hand, some milled, few cast.
pub(super) fn chance(named: Making, made: Option<Making>) -> f64 {
    match (made, named) {
        (Some(made), _) if made == named => MAKING_RIGHT,
        (Some(_), _) => (1.0 - MAKING_RIGHT) / 2.0,
        (None, Making::Hammered) => 0.5,
        (None, Making::Milled) => 0.35,
        (None, Making::Cast) => 0.15,
    }
}

/// The term for a making named by the finder.
pub(super) fn evidence(named: Making, made: Making) -> Evidence {
    Evidence {
        witness: Witness::Making,
        nats: (chance(named, Some(made)) / chance(named, None)).ln(),
        detail: Detail::Making {
            agrees: named == made,
        },
    }
}
