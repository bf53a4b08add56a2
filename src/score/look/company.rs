//! The company: the types that a look may tell apart, with their chances and what is asked of them.
//!
//! The likeliest types of a ranking and "not in the library", made to sum to one, gathered into the
//! groups between which there is doubt. Weighs laws that others bring and makes none. What is asked
//! of groups of types is weighed by the chances of the totals, which is what a reply moves: shares
//! tempered as types are do not sum to those of a ruler.
//!
//! Invariant: the order in which the ranking names its types changes nothing.

use std::collections::{BTreeMap, HashMap};

use super::{Law, MOST_REPLIES, information_gain};
use crate::catalogue::{Catalogue, CoinType, Face};
use crate::find::{Find, Side};
use crate::score::answer::Level;
use crate::score::constants::LOOKED_OVER;
use crate::score::groundwork::Groundwork;
use crate::score::sum::{Judged, Ranking};
use crate::score::temper;

/// What the finder wants to know of the find, broadest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Aim {
    /// Its period.
    Period,
    /// Its denomination.
    Denomination,
    /// Its ruler.
    Ruler,
    /// The very type.
    Type,
}

impl Aim {
    /// Every aim, broadest first.
    pub const ALL: [Aim; 4] = [Aim::Period, Aim::Denomination, Aim::Ruler, Aim::Type];

    /// The word printed for it.
    pub fn name(self) -> &'static str {
        match self {
            Aim::Period => "period",
            Aim::Denomination => "denomination",
            Aim::Ruler => "ruler",
            Aim::Type => "type",
        }
    }

    /// The aim next below what a level of answer says: where the doubt begins.
    pub fn below(level: Level) -> Aim {
        match level {
            Level::Open | Level::Unlisted => Aim::Period,
            Level::Period | Level::Ruler => Aim::Denomination,
            Level::Denomination
            | Level::PeriodAndDenomination
            | Level::Series
            | Level::SeriesAndDenomination => Aim::Ruler,
            Level::RulerAndDenomination | Level::Type => Aim::Type,
        }
    }

    /// The group of a type: two types are one just when their groups are. Types without a ruler
    /// stand together by their series.
    fn group(self, position: usize, coin: &CoinType) -> (usize, usize) {
        match self {
            Aim::Period => (0, coin.period),
            Aim::Denomination => (0, coin.denomination),
            Aim::Ruler => coin.ruler.map_or((1, coin.series), |ruler| (0, ruler)),
            Aim::Type => (0, position),
        }
    }

    /// The level at which it is answered.
    fn level(self) -> Level {
        match self {
            Aim::Period => Level::Period,
            Aim::Denomination => Level::Denomination,
            Aim::Ruler => Level::Ruler,
            Aim::Type => Level::Type,
        }
    }

    /// The likeliest group of a ranking at this aim: its probability as it is told, and its likeliest
    /// type.
    pub fn leader(self, ranking: &Ranking, catalogue: &Catalogue) -> Option<(f64, usize)> {
        let leads = |a: &(f64, usize), b: &(f64, usize)| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1));
        let judged = ranking.judged.iter();
        if self == Aim::Type {
            return judged.map(|one| (one.probability, one.coin)).max_by(leads);
        }
        // In order, so that the sums of the temper are the same to the last bit each time.
        let mut sums: BTreeMap<(usize, usize), (f64, f64, usize)> = BTreeMap::new();
        for judged in judged {
            let group = self.group(judged.coin, &catalogue.types[judged.coin]);
            let sum = sums.entry(group).or_insert((0.0, -1.0, judged.coin));
            sum.0 += judged.raw;
            let better = judged.raw > sum.1;
            if better || (judged.raw == sum.1 && judged.coin < sum.2) {
                (sum.1, sum.2) = (judged.raw, judged.coin);
            }
        }
        let (mut shares, firsts): (Vec<f64>, Vec<usize>) =
            sums.into_values().map(|(p, _, coin)| (p, coin)).unzip();
        let listed = 1.0 - ranking.unlisted;
        temper::told(self.level(), &ranking.sharpness, &mut shares, listed);
        shares.into_iter().zip(firsts).max_by(leads)
    }

    /// True when two types are one and the same to somebody who wants to know this.
    pub fn alike(self, one: usize, other: usize, catalogue: &Catalogue) -> bool {
        let group = |position: usize| self.group(position, &catalogue.types[position]);
        group(one) == group(other)
    }
}

/// The types weighed.
pub(super) struct Company<'a> {
    pub(super) find: &'a Find,
    pub(super) catalogue: &'a Catalogue,
    pub(super) groundwork: &'a Groundwork,
    /// Positions of the types, the likeliest first.
    pub(super) coins: Vec<usize>,
    /// For each, the first of them that has the same pictures: a look at a figure has one law for both.
    pub(super) pictured: Vec<usize>,
    /// Their chances, and last that of "not in the library".
    pub(super) chances: Vec<f64>,
    /// The group of each, counted from nought; "not in the library" is one of its own.
    pub(super) group_of: Vec<usize>,
    /// Chances of the groups.
    pub(super) groups: Vec<f64>,
}

impl<'a> Company<'a> {
    pub(super) fn new(
        find: &'a Find,
        catalogue: &'a Catalogue,
        groundwork: &'a Groundwork,
        ranking: &Ranking,
        aim: Aim,
    ) -> Company<'a> {
        let chance = |one: &Judged| match aim {
            Aim::Type => one.probability,
            _ => one.raw,
        };
        let judged = ranking.judged.iter().map(|one| (chance(one), one.coin));
        let mut judged: Vec<(f64, usize)> = judged.filter(|one| one.0 > 0.0).collect();
        judged.sort_unstable_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let listed: f64 = judged.iter().map(|one| one.0).sum();
        let unlisted = (1.0 - listed).max(0.0);
        judged.truncate(LOOKED_OVER);
        let whole: f64 = judged.iter().map(|one| one.0).sum::<f64>() + unlisted;
        let whole = if whole > 0.0 { whole } else { 1.0 };
        let coins: Vec<usize> = judged.iter().map(|one| one.1).collect();
        let mut first: HashMap<u32, usize> = HashMap::new();
        let pictured = coins.iter().enumerate().map(|(place, coin)| {
            let picture = groundwork.picture_of[*coin];
            *first.entry(picture).or_insert(place)
        });
        let pictured = pictured.collect();
        let listed = judged.iter().map(|one| one.0 / whole);
        let chances: Vec<f64> = listed.chain([unlisted / whole]).collect();
        let mut places: HashMap<(usize, usize), usize> = HashMap::new();
        let mut group_of: Vec<usize> = Vec::with_capacity(chances.len());
        for coin in &coins {
            let next = places.len();
            let group = aim.group(*coin, &catalogue.types[*coin]);
            group_of.push(*places.entry(group).or_insert(next));
        }
        group_of.push(places.len());
        let mut groups = vec![0.0; places.len() + 1];
        for (group, chance) in group_of.iter().zip(&chances) {
            groups[*group] += chance;
        }
        Company {
            find,
            catalogue,
            groundwork,
            coins,
            pictured,
            chances,
            group_of,
            groups,
        }
    }

    /// The types in order.
    pub(super) fn types(&self) -> impl Iterator<Item = &'a CoinType> + '_ {
        self.coins.iter().map(|coin| &self.catalogue.types[*coin])
    }

    /// A law for each type, and last for a find that is not in the library.
    pub(super) fn laws(&self, law: impl Fn(Option<&'a CoinType>) -> Law) -> Vec<Law> {
        let listed = self.types().map(Some);
        listed.chain([None]).map(law).collect()
    }

    /// Chance of each reply over the whole company.
    pub(super) fn replies(&self, laws: &[Law]) -> Law {
        let mut sums = [0.0; MOST_REPLIES];
        for (chance, law) in self.chances.iter().zip(laws) {
            for (sum, told) in sums.iter_mut().zip(law) {
                *sum += chance * told;
            }
        }
        sums
    }

    /// Bits that a look with these laws brings to a finder who can say what is there.
    pub(super) fn bits(&self, laws: &[Law]) -> f64 {
        let mut joint = vec![[0.0; MOST_REPLIES]; self.groups.len()];
        for ((chance, group), law) in self.chances.iter().zip(&self.group_of).zip(laws) {
            for (sum, told) in joint[*group].iter_mut().zip(law) {
                *sum += chance * told;
            }
        }
        for (law, chance) in joint.iter_mut().zip(&self.groups) {
            if *chance > 0.0 {
                law.iter_mut().for_each(|told| *told /= chance);
            }
        }
        information_gain(&self.groups, &joint)
    }
}

/// The face of a side that is known.
pub(super) fn face(coin: &CoinType, side: Side) -> &Face {
    match side {
        Side::Reverse => &coin.reverse,
        _ => &coin.obverse,
    }
}
