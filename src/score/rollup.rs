//! Roll-ups: what the ranking says of periods, rulers, denominations and series.
//!
//! Sums of the raw probabilities of types, group by group, then tempered as their level is.
//!
//! Invariant: the shares of a level and "not in the library" sum to one.

use std::cell::OnceCell;
use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

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
    Kin::of(position, coin).key(level)
}

/// What a type is one with others by.
#[derive(Clone, Copy)]
struct Kin {
    /// None for the rest of a coinage: what is not listed is no type of its own.
    coin: Option<usize>,
    ruler: Option<usize>,
    denomination: usize,
    series: usize,
    period: usize,
}

impl Kin {
    fn of(position: usize, coin: &CoinType) -> Kin {
        Kin {
            coin: (!coin.rest).then_some(position),
            ruler: coin.ruler,
            denomination: coin.denomination,
            series: coin.series,
            period: coin.period,
        }
    }

    fn key(&self, level: Level) -> Option<Key> {
        let denomination = self.denomination;
        Some(match level {
            Level::Type => (self.coin?, 0),
            Level::RulerAndDenomination => (self.ruler?, denomination),
            Level::SeriesAndDenomination => (self.series, denomination),
            Level::Ruler => (self.ruler?, 0),
            Level::PeriodAndDenomination => (self.period, denomination),
            Level::Series => (self.series, 0),
            Level::Denomination => (denomination, 0),
            Level::Period => (self.period, 0),
            Level::Open | Level::Unlisted => return None,
        })
    }
}

/// A ranking rolled up: each level's groups are worked out once, when they are first asked for.
pub struct Rolled<'r> {
    pub(super) ranking: &'r Ranking,
    pub(super) catalogue: &'r Catalogue,
    kin: Vec<Kin>,
    levels: [OnceCell<Vec<Group>>; Level::NARROWEST_FIRST.len()],
}

impl<'r> Rolled<'r> {
    /// Makes a ranking ready to be rolled up.
    pub fn new(ranking: &'r Ranking, catalogue: &'r Catalogue) -> Rolled<'r> {
        let judged = ranking.judged.iter();
        Rolled {
            ranking,
            catalogue,
            kin: judged
                .map(|one| Kin::of(one.coin, &catalogue.types[one.coin]))
                .collect(),
            levels: std::array::from_fn(|_| OnceCell::new()),
        }
    }

    /// The groups of a level, in the order in which their likeliest types stand.
    pub(super) fn groups(&self, level: Level) -> &[Group] {
        self.levels
            .get(level as usize)
            .map_or(&[], |groups| groups.get_or_init(|| self.tempered(level)))
    }

    fn tempered(&self, level: Level) -> Vec<Group> {
        let mut groups = self.gathered(level);
        let mut shares: Vec<f64> = groups.iter().map(|group| group.p).collect();
        let listed = 1.0 - self.ranking.unlisted;
        temper::told(level, &self.ranking.sharpness, &mut shares, listed);
        for (group, share) in groups.iter_mut().zip(shares) {
            group.p = share;
        }
        groups
    }

    /// The groups of a level with their raw shares.
    fn gathered(&self, level: Level) -> Vec<Group> {
        let mut place: HashMap<Option<Key>, usize, Quick> = HashMap::default();
        let mut groups: Vec<Group> = Vec::new();
        let judged = self.ranking.judged.iter().zip(&self.kin);
        for (first, (judged, kin)) in judged.enumerate() {
            let key = kin.key(level);
            let at = *place.entry(key).or_insert_with(|| {
                groups.push(Group { key, first, p: 0.0 });
                groups.len() - 1
            });
            groups[at].p += judged.raw;
        }
        groups
    }

    /// The ranks of the types of a group, the likeliest first.
    pub(super) fn ranks(&self, level: Level, key: Option<Key>) -> impl Iterator<Item = usize> {
        let kin = self.kin.iter().enumerate();
        kin.filter(move |(_, kin)| kin.key(level) == key)
            .map(|(rank, _)| rank)
    }

    /// The marginals.
    pub fn shares(&self) -> Shares {
        let by = |level: Level| {
            let share = |group: &Group| Share {
                of: group.key.map(|key| key.0),
                p: group.p,
            };
            let mut shares: Vec<Share> = self.groups(level).iter().map(share).collect();
            // Of two alike but for rounding the one that stands first in the library.
            let rounded = |share: &Share| (share.p * 1e9).round();
            shares.sort_unstable_by(|a, b| {
                let alike = rounded(b).total_cmp(&rounded(a));
                alike.then(a.of.cmp(&b.of))
            });
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

/// Keys are small whole numbers and nobody's enemies choose them, so they are spread by a multiplication.
type Quick = BuildHasherDefault<Spread>;

#[derive(Default)]
struct Spread(u64);

impl Hasher for Spread {
    fn finish(&self) -> u64 {
        self.0.rotate_left(26)
    }

    fn write(&mut self, bytes: &[u8]) {
        bytes
            .iter()
            .for_each(|byte| self.write_u64(u64::from(*byte)));
    }

    fn write_u64(&mut self, number: u64) {
        self.0 = (self.0.rotate_left(5) ^ number).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }

    fn write_usize(&mut self, number: usize) {
        self.write_u64(number as u64);
    }

    fn write_isize(&mut self, number: isize) {
        self.write_u64(number as u64);
    }
}

/// The raw shares of the groups of a level, before they are tempered, and what they have in common;
/// for fitting.
pub fn untempered(
    level: Level,
    ranking: &Ranking,
    catalogue: &Catalogue,
) -> Vec<(Option<Key>, f64)> {
    let groups = Rolled::new(ranking, catalogue).gathered(level).into_iter();
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
        Rolled::new(ranking, catalogue).shares()
    }
}
