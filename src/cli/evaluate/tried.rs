//! One find judged: its truth beside what was said of it.
//!
//! Says where an answer was right, wrong or off in time; counts nothing.
//!
//! Invariant: a level of which nothing is known is neither right nor wrong.

use super::super::resolve::Meant;
use super::truth::Truth;
use crate::find::ordinal;
use crate::score::{Level, Share};
use crate::{House, Identification};

/// One find judged.
pub(super) struct Tried {
    pub(super) id: String,
    pub(super) truth: Truth,
    pub(super) said: Identification,
}

impl Tried {
    /// Shares and truth of one level.
    pub(super) fn shares(&self, level: &str) -> (Vec<Share>, &Meant) {
        match level {
            "period" => (self.said.shares.period.clone(), &self.truth.period),
            "ruler" => (self.said.shares.ruler.clone(), &self.truth.ruler),
            "denomination" => (
                self.said.shares.denomination.clone(),
                &self.truth.denomination,
            ),
            _ => {
                let types = self.said.ranking.judged.iter().map(|j| Share {
                    of: Some(j.coin),
                    p: j.probability,
                });
                (types.collect(), &self.truth.coin_type)
            }
        }
    }

    /// True when the find's denomination or type is one the library has.
    pub(super) fn in_catalogue(&self) -> bool {
        !self.truth.denomination.is_empty() || !self.truth.coin_type.is_empty()
    }

    /// True when the answer names a period, ruler or denomination that is not the truth's.
    pub(super) fn wrong(&self, house: &House) -> bool {
        let Some(like) = self.said.answer.like else {
            return false;
        };
        let coin = &house.catalogue.types[like];
        let differs = |of: Option<usize>, truth: &Meant| {
            of.is_some_and(|of| !truth.is_empty() && !truth.contains(&of))
        };
        let (period, ruler, denomination) =
            (Some(coin.period), coin.ruler, Some(coin.denomination));
        let truth = &self.truth;
        match self.said.answer.level {
            Level::Type | Level::RulerAndDenomination => {
                differs(period, &truth.period)
                    || differs(ruler, &truth.ruler)
                    || differs(denomination, &truth.denomination)
            }
            Level::SeriesAndDenomination | Level::PeriodAndDenomination => {
                differs(period, &truth.period) || differs(denomination, &truth.denomination)
            }
            Level::Ruler => differs(period, &truth.period) || differs(ruler, &truth.ruler),
            Level::Denomination => differs(denomination, &truth.denomination),
            Level::Series | Level::Period => differs(period, &truth.period),
            Level::Open | Level::Unlisted => false,
        }
    }

    /// Years between the median of the date and the published range; nought within it.
    pub(super) fn date_distance(&self) -> Option<f64> {
        let (date, known) = (self.said.date.as_ref()?, self.truth.dates?);
        let median = ordinal(date.median());
        Some(f64::from(
            (ordinal(known.from) - median)
                .max(median - ordinal(known.to))
                .max(0),
        ))
    }
}

/// True when the share is of what the truth means.
pub(super) fn is_right(share: &Share, truth: &Meant) -> bool {
    share.of.is_some_and(|of| truth.contains(&of))
}
