//! What a find is said to be, held against the library: by its finder, or of what lay with it.
//!
//! Says only whether a type is meant; weighs nothing.
//!
//! Invariant: a type that has nothing to hold a saying against neither agrees nor disagrees.

use super::resolved::{Catalogue, CoinType};
use crate::find::{Companion, Opinion, OpinionLevel};

impl Catalogue {
    /// True when a type may be what a companion is said to be, at every level of which it was said.
    pub fn may_be(&self, coin: &CoinType, companion: &Companion) -> bool {
        let mut means = companion.means.iter();
        means.all(|one| self.is_said(coin, one) == Some(true))
    }

    /// True when a type is what is said, at the level of which it is said; none when the type has
    /// nothing to hold it against.
    pub fn is_said(&self, coin: &CoinType, one: &Opinion) -> Option<bool> {
        let said = |id: &str| one.ids.iter().any(|other| other == id);
        Some(match one.level {
            OpinionLevel::Period => said(&self.periods[coin.period].id),
            OpinionLevel::Denomination => said(&self.denominations[coin.denomination].id),
            OpinionLevel::Ruler => {
                let ruler = &self.rulers[coin.ruler?];
                let mut members = ruler.members.iter();
                said(&ruler.id) || members.any(|member| said(&self.rulers[*member].id))
            }
            OpinionLevel::Mint if coin.mints.is_empty() => return None,
            OpinionLevel::Mint => coin.mints.iter().any(|mint| said(&self.mints[*mint].id)),
        })
    }
}
