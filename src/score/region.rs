//! Region: where a type is mostly found, against where this one was.
//!
//! Weak on purpose: coin travelled, and people write down where they searched, not where a coin
//! belongs. Says nothing of a type that the library gives no region.
//!
//! Invariant: never beyond two nats.

use super::constants::{REGION_KEPT, region_share};
use super::evidence::{Detail, Evidence, Witness};
use crate::catalogue::CoinType;
use crate::find::Region;

/// The term for the region a find comes from.
pub(super) fn evidence(found: Region, coin: &CoinType) -> Option<Evidence> {
    if coin.regions.is_empty() {
        return None;
    }
    let usual = coin.regions.contains(&found);
    let home: f64 = coin
        .regions
        .iter()
        .map(|region| region_share(*region))
        .sum();
    // Against any find of that region: what strays is spread as all finds are.
    let ratio = (1.0 - REGION_KEPT) + if usual { REGION_KEPT / home } else { 0.0 };
    Some(Evidence {
        witness: Witness::Region,
        nats: ratio.ln().clamp(-2.0, 2.0),
        detail: Detail::Region { usual },
    })
}
