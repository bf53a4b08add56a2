//! Making: struck by hand, milled or cast, as it looks against as it was.

use super::constants::MAKING_RIGHT;
use super::evidence::{Detail, Evidence, Witness};
use crate::find::Making;

/// The term for a making named by the finder.
pub(super) fn evidence(named: Making, made: Making) -> Evidence {
    let agrees = named == made;
    let told = if agrees {
        MAKING_RIGHT
    } else {
        (1.0 - MAKING_RIGHT) / 2.0
    };
    // Unlisted pieces are taken as mostly struck by hand, some milled, few cast.
    let unlisted = match named {
        Making::Hammered => 0.5,
        Making::Milled => 0.35,
        Making::Cast => 0.15,
    };
    Evidence {
        witness: Witness::Making,
        nats: (told / unlisted).ln(),
        detail: Detail::Making { agrees },
    }
}
