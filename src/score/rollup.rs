//! Roll-ups: what the ranking says of periods, rulers, denominations and series.
//!
//! Sums of the raw probabilities of types, group by group, then tempered as their level is.
//!
//! Invariant: the shares of a level and "not in the library" sum to one.

use std::collections::HashMap;

use super::answer::Level;
use super::fitted::NINE_IN_TEN;
use super::sum::Ranking;
use super::temper;
use crate::catalogue::{Catalogue, CoinType};

/// A share of the probability.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// Position in the library's list; `None` for types that name none (no known ruler).
    pub of: Option<usize>,
    /// Probability.
    pub p: f64,
}

/// Marginals at every level, largest first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shares {
    /// By period.
    pub period: Vec<Share>,
    /// By ruler.
    pub ruler: Vec<Share>,
    /// By denomination.
    pub denomination: Vec<Share>,
    /// By series.
    pub series: Vec<Share>,
}

/// Types that are one at a level.
pub(super) struct Group {
    /// What they have in common; none for types without a ruler, where the level wants one.
    pub(super) key: Option<Key>,
    /// Rank of the likeliest of them.
    pub(super) first: usize,
    /// Share.
    pub(super) p: f64,
}

/// What the types of a group have in common.
pub type Key = (usize, usize);

/// What decides whether two types are one at a level.
pub fn key(level: Level, position: usize, coin: &CoinType) -> Option<Key> {
    let denomination = coin.denomination;
    Some(match level {
        // What is not listed is no type of its own.
        Level::Type if coin.rest => return None,
        Level::Type => (position, 0),
        Level::RulerAndDenomination => (coin.ruler?, denomination),
        Level::SeriesAndDenomination => (coin.series, denomination),
        Level::Ruler => (coin.ruler?, 0),
        Level::PeriodAndDenomination => (coin.period, denomination),
        Level::Series => (coin.series, 0),
        Level::Denomination => (denomination, 0),
        Level::Period => (coin.period, 0),
        Level::Open | Level::Unlisted => return None,
    })
}

/// The groups of a level, in the order in which their likeliest types stand.
pub(super) fn groups(level: Level, ranking: &Ranking, catalogue: &Catalogue) -> Vec<Group> {
    let mut groups = gathered(level, ranking, catalogue);
    let mut shares: Vec<f64> = groups.iter().map(|group| group.p).collect();
    let power = temper::of(&ranking.sharpness, level);
    temper::temper(&mut shares, power, 1.0 - ranking.unlisted);
    for (group, share) in groups.iter_mut().zip(shares) {
        group.p = share;
    }
    groups
}

/// The groups of a level with their raw shares.
fn gathered(level: Level, ranking: &Ranking, catalogue: &Catalogue) -> Vec<Group> {
    let mut place: HashMap<Option<Key>, usize> = HashMap::new();
    let mut groups: Vec<Group> = Vec::new();
    for (first, judged) in ranking.judged.iter().enumerate() {
        let key = key(level, judged.coin, &catalogue.types[judged.coin]);
        let at = *place.entry(key).or_insert_with(|| {
            groups.push(Group { key, first, p: 0.0 });
            groups.len() - 1
        });
        groups[at].p += judged.raw;
    }
    groups
}

/// The raw shares of the groups of a level, before they are tempered, and what they have in common;
/// for fitting.
pub fn untempered(
    level: Level,
    ranking: &Ranking,
    catalogue: &Catalogue,
) -> Vec<(Option<Key>, f64)> {
    let groups = gathered(level, ranking, catalogue).into_iter();
    groups.map(|group| (group.key, group.p)).collect()
}

/// The likeliest types that together held the true one nine times in ten on the finds they were
/// fitted on, of those that the library has (split conformal prediction with summed shares). It
/// is no promise for one find, and says nothing of finds that are not in the library.
pub fn nine_in_ten(ranking: &Ranking, catalogue: &Catalogue) -> Vec<usize> {
    let types = ranking.judged.iter();
    let types = types.filter(|judged| !catalogue.types[judged.coin].rest);
    let listed: f64 = types.clone().map(|judged| judged.probability).sum();
    let mut held = 0.0;
    let mut set = Vec::new();
    for judged in types {
        if held >= NINE_IN_TEN * listed {
            break;
        }
        held += judged.probability;
        set.push(judged.coin);
    }
    set
}

impl Shares {
    /// The marginals of a ranking.
    pub fn of(ranking: &Ranking, catalogue: &Catalogue) -> Shares {
        let by = |level: Level| {
            let groups = groups(level, ranking, catalogue).into_iter();
            let share = |group: Group| Share {
                of: group.key.map(|key| key.0),
                p: group.p,
            };
            let mut shares: Vec<Share> = groups.map(share).collect();
            shares.sort_by(|a, b| b.p.total_cmp(&a.p).then(a.of.cmp(&b.of)));
            shares
        };
        Shares {
            period: by(Level::Period),
            ruler: by(Level::Ruler),
            denomination: by(Level::Denomination),
            series: by(Level::Series),
        }
    }
}
