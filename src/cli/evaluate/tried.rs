//! One find judged: its truth beside what was said of it.
//!
//! Says where an answer was right, wrong or off in time; counts nothing.
//!
//! Invariant: a level of which nothing is known is neither right nor wrong.

use super::super::measures::{Forecast, Top};
use super::super::resolve::Meant;
use super::levels::Rung;
use super::truth::Truth;
use crate::find::{Find, ordinal};
use crate::score::{Level, Share};
use crate::{House, Identification};

/// One find judged.
pub(super) struct Tried {
    pub(super) label: String,
    pub(super) truth: Truth,
    /// What the judging was given.
    pub(super) find: Find,
    /// How many of its traits were made wrong.
    pub(super) wrong_traits: usize,
    pub(super) said: Identification,
}

/// Shares of a level, the largest first; "not in the library" has the rest.
pub(super) fn shares(said: &Identification, rung: Rung) -> Vec<Share> {
    match rung {
        Rung::Period => said.shares.period.clone(),
        Rung::Ruler => said.shares.ruler.clone(),
        Rung::Denomination => said.shares.denomination.clone(),
        Rung::Type => {
            let types = said.ranking.judged.iter().map(|j| Share {
                of: Some(j.coin),
                p: j.probability,
            });
            types.collect()
        }
    }
}

/// What was forecast of a level whose truth is known.
pub(super) fn forecast(said: &Identification, rung: Rung, truth: &Meant) -> Forecast {
    let shares = shares(said, rung);
    let right = shares.iter().filter(|s| is_right(s, truth)).map(|s| s.p);
    let right = right.sum();
    let listed = shares.iter().map(|share| share.p);
    Forecast {
        outcomes: listed.chain([said.ranking.unlisted]).collect(),
        right,
    }
}

/// True when the share is of what the truth means.
fn is_right(share: &Share, truth: &Meant) -> bool {
    share.of.is_some_and(|of| truth.contains(&of))
}

/// True when something is said, and is none of what is known to be true.
fn differs(of: Option<usize>, truth: &Meant) -> bool {
    of.is_some_and(|of| !truth.is_empty() && !truth.contains(&of))
}

impl Tried {
    /// Where the truth of a level stands among what the library lists (0 is first).
    pub(super) fn place(&self, rung: Rung) -> Option<usize> {
        let truth = self.truth.meant.at(rung);
        let shares = shares(&self.said, rung);
        shares.iter().position(|share| is_right(share, truth))
    }

    /// The likeliest outcome of a level, "not in the library" among them. None where nothing is
    /// known of it, or where several would be right: what was said is of one.
    pub(super) fn top(&self, rung: Rung) -> Option<Top> {
        let truth = self.truth.meant.at(rung);
        if truth.len() != 1 {
            return None;
        }
        let unlisted = self.said.ranking.unlisted;
        let listed = shares(&self.said, rung).into_iter().next();
        Some(match listed.filter(|share| share.p >= unlisted) {
            Some(share) => Top {
                said: share.p,
                right: is_right(&share, truth),
            },
            None => Top {
                said: unlisted,
                right: false,
            },
        })
    }

    /// True when the find's denomination or type is one the library has.
    pub(super) fn in_catalogue(&self) -> bool {
        let meant = &self.truth.meant;
        let known = !meant.denomination.is_empty() || !meant.coin_type.is_empty();
        known && !self.truth.lacking
    }

    /// True when enough is known of it for an answer to be right or wrong.
    pub(super) fn can_be_wrong(&self) -> bool {
        let truth = &self.truth;
        let known = truth.meant.each().any(|(_, meant)| !meant.is_empty());
        known || truth.lacking || truth.artefact
    }

    /// True when the answer names what the find is not: another period, ruler, series, denomination
    /// or type, a type where the library has none, a coin where it is none, or "not in the library"
    /// where it has the type.
    pub(super) fn wrong(&self, house: &House) -> bool {
        if self.said.answer.level == Level::Unlisted {
            return !self.truth.meant.coin_type.is_empty();
        }
        self.astray(house) || self.wrong_type(house)
    }

    /// True when the answer names a period, ruler or denomination that is not the find's, or a coin
    /// where it is none.
    pub(super) fn astray(&self, house: &House) -> bool {
        let level = self.said.answer.level;
        let Some(like) = self.said.answer.like else {
            return false;
        };
        if matches!(level, Level::Open | Level::Unlisted) {
            return false;
        }
        let (coin, meant) = (&house.catalogue.types[like], &self.truth.meant);
        let period = differs(Some(coin.period), &meant.period);
        let ruler = differs(coin.ruler, &meant.ruler);
        let denomination = differs(Some(coin.denomination), &meant.denomination);
        let named = match level {
            Level::Type | Level::RulerAndDenomination => period || ruler || denomination,
            Level::SeriesAndDenomination | Level::PeriodAndDenomination => period || denomination,
            Level::Ruler => period || ruler,
            Level::Denomination => denomination,
            Level::Series | Level::Period => period,
            Level::Open | Level::Unlisted => false,
        };
        self.truth.artefact || named
    }

    /// True when the answer names a type or series that is not the find's.
    fn wrong_type(&self, house: &House) -> bool {
        let Some(like) = self.said.answer.like else {
            return false;
        };
        let (truth, library) = (&self.truth, &house.catalogue.types);
        match self.said.answer.level {
            Level::Type => {
                let gone = truth.lacking || !truth.taken_out.is_empty();
                gone || differs(Some(like), &truth.meant.coin_type)
            }
            Level::Series | Level::SeriesAndDenomination => {
                let series: Meant = truth.types().iter().map(|t| library[*t].series).collect();
                differs(Some(library[like].series), &series)
            }
            _ => false,
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
