//! The rest: what the library does not list of a coinage that it does list.
//!
//! No library is whole. A sestertius of a reverse that nobody entered is still a sestertius of its
//! emperor, and should not be pressed into whichever listed type lies nearest. So each denomination
//! of each ruler (of one period and one look of metal) has one row more, which says of a piece what
//! all of them share: years, weights, size, make, the fronts and the legends of all the ruler's fronts;
//! of the back it says nothing.
//! A ruler of whom much is listed has a row also for each denomination that others of the realm
//! struck in his years and of which nothing is listed under his name: his fronts, their flans.
//! Reads only what is listed; states no fact of its own.
//!
//! Invariant: the rows of the rest stand after all listed types, one a coinage, and say nothing that
//! no listed type says.

use std::collections::BTreeMap;
use std::hash::Hash;

use super::resolved::*;
use crate::find::{MetalSeen, Span};

/// A motif stands on the fronts of a coinage when it stands on one in so many of those described.
const SHARED_BY: usize = 5;
/// Weights closer than this, as a share, are one standard.
const ONE_STANDARD: f64 = 0.08;
/// Most standards that a row of the rest keeps.
const STANDARDS_MOST: usize = 6;
/// Deviations that half a type's range of diameters is taken for.
const HALF_RANGE: f64 = 1.6;

/// Listed types of a ruler from which on he is taken to have struck what others struck in his years,
/// and types of others that show that it was struck.
const RULER_LEAST: usize = 8;
/// See [`RULER_LEAST`].
const OTHERS_LEAST: usize = 3;

/// Period, ruler, denomination and look: what a coinage has in common.
pub(crate) type Coinage = (usize, usize, usize, usize);

/// The coinage of a type, if it is official and its ruler is known.
pub(crate) fn coinage(coin: &CoinType, metals: &[Metal]) -> Option<Coinage> {
    let look = metals[coin.metal].looks;
    let look = MetalSeen::ALL.iter().position(|one| *one == look)?;
    let official = coin.copy.is_none();
    official.then_some((coin.period, coin.ruler?, coin.denomination, look))
}

/// The rows of the rest of a library's types.
pub(super) fn rest(catalogue: &Catalogue) -> Vec<CoinType> {
    let mut coinages: BTreeMap<Coinage, Vec<&CoinType>> = BTreeMap::new();
    for coin in catalogue.listed() {
        if let Some(coinage) = coinage(coin, &catalogue.metals) {
            coinages.entry(coinage).or_default().push(coin);
        }
    }
    let mut rulers: BTreeMap<(usize, usize), Vec<&CoinType>> = BTreeMap::new();
    for ((period, ruler, ..), coins) in &coinages {
        rulers.entry((*period, *ruler)).or_default().extend(coins);
    }
    let own = coinages.iter().map(|((period, ruler, ..), coins)| {
        // A titulature stood on all that was struck under it.
        row(coins, &rulers[&(*period, *ruler)], coins, catalogue)
    });
    let mut rows: Vec<CoinType> = own.collect();
    rows.extend(not_listed_at_all(&coinages, &rulers, catalogue));
    rows
}

/// Denominations of which nothing is listed for a ruler in whose years others struck them.
fn not_listed_at_all(
    coinages: &BTreeMap<Coinage, Vec<&CoinType>>,
    rulers: &BTreeMap<(usize, usize), Vec<&CoinType>>,
    catalogue: &Catalogue,
) -> Vec<CoinType> {
    let mut kinds: BTreeMap<(usize, &str, usize, usize), Vec<&CoinType>> = BTreeMap::new();
    for ((period, ruler, denomination, look), coins) in coinages {
        let realm = catalogue.rulers[*ruler].realm.as_str();
        let kind = (*period, realm, *denomination, *look);
        kinds.entry(kind).or_default().extend(coins);
    }
    let mut rows = Vec::new();
    for ((period, ruler), fronts) in rulers
        .iter()
        .filter(|(_, coins)| coins.len() >= RULER_LEAST)
    {
        let years = years(fronts);
        for ((_, realm, denomination, look), flans) in &kinds {
            let known = coinages.contains_key(&(*period, *ruler, *denomination, *look));
            if known || catalogue.rulers[*ruler].realm != *realm {
                continue;
            }
            let of_his_time =
                |coin: &&&CoinType| coin.period == *period && coin.span.overlaps(years);
            let flans: Vec<&CoinType> = flans.iter().filter(of_his_time).copied().collect();
            if flans.len() >= OTHERS_LEAST {
                rows.push(row(fronts, fronts, &flans, catalogue));
            }
        }
    }
    rows
}

/// A row of the rest: the ruler and the fronts of some types, the titles of others, the flans of
/// others again and their years within the ruler's.
fn row(
    fronts: &[&CoinType],
    titled: &[&CoinType],
    coins: &[&CoinType],
    catalogue: &Catalogue,
) -> CoinType {
    let (first, front) = (coins[0], fronts[0]);
    let (his, theirs) = (years(fronts), years(coins));
    let both = Span::new(his.from.max(theirs.from), his.to.min(theirs.to));
    let denomination = &catalogue.denominations[first.denomination];
    let ruler = front.ruler.map(|ruler| &catalogue.rulers[ruler]);
    let metal = commonest(coins, |coin| coin.metal);
    let (ruler_id, ruler) = ruler.map_or(("", ""), |one| (one.id.as_str(), one.name.as_str()));
    CoinType {
        id: format!(
            "rest-{}-{ruler_id}-{}-{}",
            catalogue.periods[first.period].id, denomination.id, catalogue.metals[metal].id
        ),
        name: format!(
            "{} of {ruler}, design not listed",
            capital(&denomination.name)
        ),
        rest: true,
        series: commonest(coins, |coin| coin.series),
        period: first.period,
        ruler: front.ruler,
        denomination: first.denomination,
        span: both.unwrap_or(his),
        metal,
        mints: Vec::new(),
        weights: weights(coins),
        diameter: diameter(coins),
        thickness: None,
        axis: match coins.iter().all(|coin| coin.axis == first.axis) {
            true => first.axis,
            false => AxisHabit::Unstated,
        },
        made: commonest(coins, |coin| coin.made),
        obverse: Face {
            motifs: motifs(fronts),
            inscriptions: inscriptions(titled),
        },
        reverse: Face::default(),
        edge: None,
        marks: Vec::new(),
        habits: habits(coins),
        copy: None,
        common: Common::VeryRare,
        regions: Vec::new(),
        refs: Vec::new(),
        apart: Vec::new(),
        note: None,
        sources: Vec::new(),
        standing: Standing::Recalled,
    }
}

/// From the first to the last year of some types, of which there is at least one.
fn years(coins: &[&CoinType]) -> Span {
    let spans = coins.iter().map(|coin| coin.span);
    spans.fold(coins[0].span, Span::hull)
}

fn capital(name: &str) -> String {
    let mut letters = name.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// What most of them are; of two alike the one met first.
fn commonest<T: Copy + Eq + Hash>(coins: &[&CoinType], of: impl Fn(&CoinType) -> T) -> T {
    let count = |one: T| coins.iter().filter(|coin| of(coin) == one).count();
    let mut best = (of(coins[0]), 0);
    for coin in coins {
        let one = of(coin);
        let held = count(one);
        if held > best.1 {
            best = (one, held);
        }
    }
    best.0
}

/// The standards of all of them, each coin's weights counting alike, neighbours put together.
fn weights(coins: &[&CoinType]) -> Vec<WeightPart> {
    let weighed = coins.iter().filter(|coin| !coin.weights.is_empty());
    let each = 1.0 / weighed.clone().count().max(1) as f64;
    let mut parts: Vec<WeightPart> = weighed
        .flat_map(|coin| &coin.weights)
        .map(|part| WeightPart {
            share: part.share * each,
            ..*part
        })
        .collect();
    parts.sort_by(|a, b| a.grams.total_cmp(&b.grams));
    while let Some((at, near)) = nearest(&parts) {
        if near > ONE_STANDARD && parts.len() <= STANDARDS_MOST {
            break;
        }
        let other = parts.remove(at + 1);
        parts[at] = together(parts[at], other);
    }
    parts
}

/// The two neighbours that lie nearest, and how far apart as a share.
fn nearest(parts: &[WeightPart]) -> Option<(usize, f64)> {
    let apart = parts
        .windows(2)
        .map(|two| two[1].grams / two[0].grams - 1.0);
    apart.enumerate().min_by(|a, b| a.1.total_cmp(&b.1))
}

/// Two standards as one, of the mean and spread that both have together.
fn together(a: WeightPart, b: WeightPart) -> WeightPart {
    let share = a.share + b.share;
    let mean = |of: fn(&WeightPart) -> f64| (a.share * of(&a) + b.share * of(&b)) / share;
    let grams = mean(|part| part.grams);
    let square = mean(|part| part.grams * part.grams * (1.0 + part.cv * part.cv));
    WeightPart {
        grams,
        cv: (square / (grams * grams) - 1.0).max(0.0).sqrt(),
        share,
    }
}

/// The range that the ranges of all of them have together.
fn diameter(coins: &[&CoinType]) -> Option<(f64, f64)> {
    let ranges: Vec<(f64, f64)> = coins.iter().filter_map(|coin| coin.diameter).collect();
    let count = ranges.len() as f64;
    let middle = |range: &(f64, f64)| (range.0 + range.1) / 2.0;
    let mean = ranges.iter().map(middle).sum::<f64>() / count;
    let own = |range: &(f64, f64)| ((range.1 - range.0) / 2.0 / HALF_RANGE).powi(2);
    let square = |range: &(f64, f64)| (middle(range) - mean).powi(2) + own(range);
    let spread = (ranges.iter().map(square).sum::<f64>() / count).sqrt();
    let half = HALF_RANGE * spread;
    (!ranges.is_empty()).then(|| ((mean - half).max(mean / 2.0), mean + half))
}

/// What the fronts show that are described; none when none is.
fn motifs(coins: &[&CoinType]) -> Option<Vec<usize>> {
    let described: Vec<&Vec<usize>> = coins
        .iter()
        .filter_map(|coin| coin.obverse.motifs.as_ref())
        .collect();
    let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
    for motif in described.iter().flat_map(|shown| shown.iter()) {
        *counts.entry(*motif).or_default() += 1;
    }
    let shared = counts
        .into_iter()
        .filter(|(_, count)| count * SHARED_BY >= described.len());
    (!described.is_empty()).then(|| shared.map(|(motif, _)| motif).collect())
}

/// Every legend of the fronts; none when none is given.
fn inscriptions(coins: &[&CoinType]) -> Option<Vec<usize>> {
    let given = coins
        .iter()
        .filter_map(|coin| coin.obverse.inscriptions.as_ref());
    let mut all: Vec<usize> = given.flatten().copied().collect();
    all.sort_unstable();
    all.dedup();
    (!all.is_empty()).then_some(all)
}

/// What is usual on at least half of them.
fn habits(coins: &[&CoinType]) -> Vec<Habit> {
    let all = [
        Habit::Clipped,
        Habit::Halved,
        Habit::Quartered,
        Habit::Pierced,
        Habit::Plated,
        Habit::Cracked,
    ];
    let usual = |habit: &Habit| {
        let held = coins.iter().filter(|coin| coin.habits.contains(habit));
        held.count() * 2 >= coins.len()
    };
    all.into_iter().filter(usual).collect()
}
