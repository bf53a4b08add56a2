//! The fits: how loud "not in the library" is, the powers and the lapses.
//!
//! What is common to all periods is fitted on real finds, of which there are few: so the lapse of all
//! levels but that of types is one, and each level has its own power. How a period stands to all of
//! them is fitted on simulated and real finds together, each kind as heavy, and counts as far as it
//! rests on many.
//!
//! Invariant: a fit is made of the finds it is handed and of nothing else.

use lynchet::House;
use lynchet::find::MetalSeen;
use lynchet::score::{beside_unlisted, temper, unlisted_group, unlisted_prior, unlisted_shift};
use rayon::prelude::*;

use crate::cases::{Case, Known, LEVELS, Origin};

/// Finds of a period, counted as Kish does, that weigh as much as all periods together.
const SHRUNK: f64 = 50.0;
/// Foreign pieces of a metal that weigh as much as those of all metals together.
const SHRUNK_FOREIGN: f64 = 10.0;
/// How heavy a real find is that is judged with its types taken out, beside itself with them in. Of
/// the real finds one in eight has no type of its own in the library; more do in a field.
const WITHOUT: f64 = 0.1;
/// Chance given to a truth that is not among what was judged.
pub const LEAST: f64 = 1e-6;
/// Lapses that are tried.
const LAPSES: [f64; 15] = [
    0.0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.065, 0.08, 0.1, 0.12, 0.15, 0.18, 0.21, 0.25, 0.3,
];

/// Nats in the mean by which a level may lose more under a smaller lapse: so few finds do not tell them
/// apart, and a lapse takes from every sure answer.
const ALIKE: f64 = 0.002;

/// Powers and lapses, level by level.
#[derive(Clone, Copy)]
pub struct Fit {
    pub powers: [f64; 8],
    pub lapses: [f64; 8],
}

impl Fit {
    /// What leaves the shares as they are.
    pub const BARE: Fit = Fit {
        powers: [1.0; 8],
        lapses: [0.0; 8],
    };
}

/// The fit of all periods first, then that of each.
pub type Rows = Vec<(String, Fit)>;

/// The fit for a case.
pub fn of<'r>(case: &Case, rows: &'r Rows) -> &'r Fit {
    let own = rows.iter().find(|row| row.0 == case.period);
    &own.unwrap_or(&rows[0]).1
}

/// A case and how heavy it is.
type Weighed<'c> = (f64, &'c Case);

/// Cases weighed: real finds one each, a tenth more with their types taken out, simulated ones all
/// together so many times as heavy as the former, foreign pieces as heavy by metal as finds that no
/// library lists are taken to be.
fn weighed<'c>(cases: &[&'c Case], simulated: f64) -> Vec<Weighed<'c>> {
    let count = |origin: Origin| cases.iter().filter(|case| case.origin == origin).count() as f64;
    let each = simulated * count(Origin::Real) / count(Origin::Simulated).max(1.0);
    let plain = |case: &Case| match case.origin {
        Origin::Simulated => each,
        Origin::Without => WITHOUT,
        _ => 1.0,
    };
    let mut foreign = [0.0; 4];
    for (metal, weight) in foreign.iter_mut().enumerate() {
        let of = cases.iter().filter(|c| unlisted_group(c.metal) == metal);
        let listed = of.clone().filter(|c| c.listed == Some(true));
        let listed: f64 = listed.map(|c| plain(c)).sum();
        let pieces = of.filter(|c| c.origin == Origin::Foreign).count() as f64;
        *weight = listed / pieces.max(1.0);
    }
    let weight = |case: &'c Case| match case.origin {
        Origin::Foreign => {
            let share = unlisted_prior(case.metal);
            (
                foreign[unlisted_group(case.metal)] * share / (1.0 - share),
                case,
            )
        }
        _ => (plain(case), case),
    };
    let all = cases.iter().map(|case| weight(case));
    all.filter(|one| one.0 > 0.0).collect()
}

/// Where a sum that has one valley is least, by golden section.
fn least(mut low: f64, mut high: f64, of: impl Fn(f64) -> f64) -> f64 {
    let golden = (5f64.sqrt() - 1.0) / 2.0;
    let (mut a, mut b) = (high - golden * (high - low), low + golden * (high - low));
    let (mut at_a, mut at_b) = (of(a), of(b));
    while high - low > 5e-4 {
        if at_a < at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - golden * (high - low);
            at_a = of(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + golden * (high - low);
            at_b = of(b);
        }
    }
    (low + high) / 2.0
}

/// What "not in the library" is told to be when it is so many nats louder.
pub fn louder(case: &Case, nats: f64, fit: &Fit) -> Option<f64> {
    let mut shares = case.levels[0].as_ref()?.shares.clone();
    raise(&mut shares, nats);
    let unlisted = shares.pop()?;
    Some(beside_unlisted(
        &mut shares,
        unlisted,
        fit.powers[0],
        fit.lapses[0],
    ))
}

/// Makes the last of the shares so many nats louder.
fn raise(shares: &mut [f64], nats: f64) {
    if let Some(last) = shares.last_mut() {
        *last *= nats.exp();
    }
    let sum: f64 = shares.iter().sum();
    shares.iter_mut().for_each(|share| *share /= sum);
}

/// How loud "not in the library" is by metal, beside what the scorer has already: fitted on listed
/// finds, simulated and real as heavy, and foreign pieces, as it is told when tempered, so that one
/// find gone astray does not swing it.
pub fn unlisted(cases: &[&Case], fit: &Fit) -> [f64; 4] {
    let fitting = weighed(cases, 1.0);
    let loss = |nats: f64, wanted: &(dyn Fn(&Case) -> bool + Sync)| {
        let one = |(weight, case): &Weighed<'_>| {
            let listed = case.listed.filter(|_| wanted(case))?;
            let share = louder(case, nats, fit)?;
            let right = if listed { 1.0 - share } else { share };
            Some(-weight * right.max(LEAST).ln())
        };
        let lost: Vec<f64> = fitting.par_iter().filter_map(one).collect();
        lost.iter().sum::<f64>()
    };
    let all = least(-4.0, 4.0, |nats| loss(nats, &|_| true));
    let mut shifts = [0.0; 4];
    for (metal, shift) in shifts.iter_mut().enumerate() {
        let of = |case: &Case| unlisted_group(case.metal) == metal;
        let alone = least(-4.0, 4.0, |nats| loss(nats, &of));
        let foreign = cases
            .iter()
            .filter(|c| of(c) && c.origin == Origin::Foreign);
        let count = foreign.count() as f64;
        *shift = (count * alone + SHRUNK_FOREIGN * all) / (count + SHRUNK_FOREIGN);
    }
    shifts
}

/// Makes "not in the library" louder in all cases.
pub fn shift(cases: &mut [Case], shifts: &[f64; 4]) {
    for case in cases {
        let nats = shifts[unlisted_group(case.metal)];
        let known = case.levels.iter_mut().flatten();
        known.for_each(|known| raise(&mut known.shares, nats));
    }
}

/// What the scorer has already and what was fitted beside it.
pub fn in_all(shifts: &[f64; 4]) -> [f64; 4] {
    let first = [MetalSeen::Gold, MetalSeen::Silver, MetalSeen::CopperAlloy].map(Some);
    let known = first.into_iter().chain([None]).map(unlisted_shift);
    let mut sums = *shifts;
    sums.iter_mut()
        .zip(known)
        .for_each(|(sum, had)| *sum += had);
    sums
}

/// The shares of types under a fit, that of "not in the library" last.
fn types(known: &Known, fit: &Fit) -> Vec<f64> {
    let mut shares = known.shares.clone();
    let unlisted = shares.pop().unwrap_or(0.0);
    let unlisted = beside_unlisted(&mut shares, unlisted, fit.powers[0], fit.lapses[0]);
    shares.push(unlisted);
    shares
}

/// The shares of what is listed at a level under a fit; they come to sum to `whole`.
fn listed(known: &Known, level: usize, fit: &Fit, whole: f64) -> Vec<f64> {
    let (_, shares) = known.shares.split_last().unwrap_or((&0.0, &[]));
    let mut shares = shares.to_vec();
    temper(&mut shares, fit.powers[level], fit.lapses[level], whole);
    shares
}

/// The shares of a case at a level under a fit, that of "not in the library" last; none where nothing
/// is known at that level.
pub fn told(case: &Case, level: usize, fit: &Fit) -> Option<Vec<f64>> {
    let known = case.levels[level].as_ref()?;
    let (unlisted, types) = match case.levels[0].as_ref() {
        Some(known) => {
            let types = types(known, fit);
            (types.last().copied()?, types)
        }
        None => (*known.shares.last()?, Vec::new()),
    };
    if level == 0 {
        return Some(types);
    }
    let mut shares = listed(known, level, fit, 1.0 - unlisted);
    shares.push(unlisted);
    Some(shares)
}

/// What a level loses under a fit, in the mean; beyond the types of what is listed alone, since how
/// much is not was shared out with them.
fn loss(cases: &[Weighed<'_>], level: usize, fit: &Fit) -> f64 {
    let one = |(weight, case): &Weighed<'_>| {
        let known = case.levels[level].as_ref()?;
        // What is taken out is a type: of its ruler and denomination others are left as a rule.
        if level > 0 && case.origin == Origin::Without {
            return None;
        }
        let shares = match level {
            0 => types(known, fit),
            _ => listed(known, level, fit, 1.0),
        };
        let held: f64 = known
            .right
            .iter()
            .filter_map(|place| shares.get(*place))
            .sum();
        Some((-weight * held.max(LEAST).ln(), *weight))
    };
    let (lost, weight) = cases
        .iter()
        .filter_map(one)
        .fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
    lost / f64::max(weight, 1e-9)
}

/// The power of a level that loses least, and what it loses.
fn best(cases: &[Weighed<'_>], level: usize, fit: &Fit) -> (f64, f64) {
    let with = |power: f64| {
        let mut tried = *fit;
        tried.powers[level] = power;
        loss(cases, level, &tried)
    };
    let power = least(0.4, 1.6, with);
    (power, with(power))
}

/// What is common to all periods.
pub fn common(cases: &[&Case], simulated: f64) -> Fit {
    let fitting = weighed(cases, simulated);
    let tried: Vec<Vec<(f64, f64)>> = LAPSES
        .par_iter()
        .map(|lapse| {
            let mut tried = Fit::BARE;
            tried.lapses = [*lapse; 8];
            (0..LEVELS.len())
                .map(|level| best(&fitting, level, &tried))
                .collect()
        })
        .collect();
    // What the levels from one to another lose together under each lapse: the place of the least lapse
    // that loses no more than the best but for noise.
    let place_of = |from: usize, to: usize| {
        let lost = |place: &usize| {
            let levels = tried[*place][from..to].iter();
            levels.map(|level| level.1).sum::<f64>()
        };
        let least = (0..LAPSES.len()).map(|place| lost(&place));
        let least = least.fold(f64::INFINITY, f64::min) + ALIKE * (to - from) as f64;
        (0..LAPSES.len())
            .find(|place| lost(place) <= least)
            .unwrap_or(0)
    };
    let (of_types, of_others) = (place_of(0, 1), place_of(1, LEVELS.len()));
    let place = |level: usize| if level == 0 { of_types } else { of_others };
    Fit {
        powers: std::array::from_fn(|level| tried[place(level)][level].0),
        lapses: std::array::from_fn(|level| LAPSES[place(level)]),
    }
}

/// Kish's effective count: as many finds of one weight say as much.
fn effective(cases: &[Weighed<'_>], level: usize) -> f64 {
    let known = cases.iter().filter(|one| one.1.levels[level].is_some());
    let (sum, squares) = known.fold((0.0, 0.0), |(sum, squares), (weight, _)| {
        (sum + weight, squares + weight * weight)
    });
    if squares > 0.0 {
        sum * sum / squares
    } else {
        0.0
    }
}

/// The fit of all periods, and of each how it stands to that. What is common rests on real finds and
/// on simulated ones so many times as heavy as these.
pub fn rows(cases: &[&Case], simulated: f64, house: &House) -> Rows {
    let all = common(cases, simulated);
    let mixed = weighed(cases, 1.0);
    let over_all: Vec<f64> = (0..LEVELS.len())
        .into_par_iter()
        .map(|level| best(&mixed, level, &all).0)
        .collect();
    let periods = house.catalogue.periods.par_iter().map(|period| {
        let mut those = mixed.clone();
        those.retain(|one| one.1.period == period.id);
        let mut own = all;
        for (level, over_all) in over_all.iter().enumerate() {
            let count = effective(&those, level);
            if count > 0.0 {
                let apart = best(&those, level, &all).0 - over_all;
                own.powers[level] += apart * count / (count + SHRUNK);
            }
        }
        (period.id.clone(), own)
    });
    let mut rows = vec![("all".to_string(), all)];
    rows.extend(periods.collect::<Vec<_>>());
    rows
}
