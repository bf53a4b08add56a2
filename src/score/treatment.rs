//! Treatment: clipped, pierced, cut in half or quarters, where some series usually were.
//!
//! Bending, gilding and mounts say nothing here: they befell every coinage.

use super::constants::{CLIPPED_SAID, CUT_SAID, PIERCED_SAID};
use super::evidence::{Detail, Evidence, Witness};
use crate::catalogue::{CoinType, Habit};
use crate::find::{Completeness, Find, Making, Treatment};

/// Hands over the terms for what was done to the piece.
pub(super) fn evidence(find: &Find, coin: &CoinType, mut take: impl FnMut(Evidence)) {
    let mut say = |name: &'static str, present: bool, usual: bool, told: f64, unlisted: f64| {
        let (told, unlisted) = if present {
            (told, unlisted)
        } else {
            (1.0 - told, 1.0 - unlisted)
        };
        let nats = (told / unlisted).ln();
        take(Evidence {
            witness: Witness::Treatment,
            nats,
            detail: Detail::Treatment {
                name,
                present,
                usual,
            },
        });
    };
    let clipped = coin.habits.contains(&Habit::Clipped);
    let clipping = match (clipped, coin.made) {
        (true, _) => CLIPPED_SAID.0,
        (false, Making::Hammered) => CLIPPED_SAID.1,
        (false, _) => CLIPPED_SAID.2,
    };
    let pierced = coin.habits.contains(&Habit::Pierced);
    let piercing = if pierced {
        PIERCED_SAID.0
    } else {
        PIERCED_SAID.1
    };
    for (list, present) in [(&find.treatments, true), (&find.treatments_absent, false)] {
        if list.contains(&Treatment::Clipped) {
            say("clipped", present, clipped, clipping, CLIPPED_SAID.3);
        }
        if list.contains(&Treatment::Pierced) {
            say("pierced", present, pierced, piercing, PIERCED_SAID.2);
        }
    }
    let (name, usual) = match find.completeness {
        Some(Completeness::Half) => ("half", coin.habits.contains(&Habit::Halved)),
        Some(Completeness::Quarter) => ("quarter", coin.habits.contains(&Habit::Quartered)),
        _ => return,
    };
    say(
        name,
        true,
        usual,
        if usual { CUT_SAID.0 } else { CUT_SAID.1 },
        CUT_SAID.2,
    );
}
