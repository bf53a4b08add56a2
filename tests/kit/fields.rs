//! Simulated fields: what is lost on a Roman site, at a medieval market, anywhere; some of its finds
//! confirmed, others held out.
//!
//! A field is the national profile, and beside it a window of years in some periods that it has more
//! of. It is no law of the scorer's: windows are of years and know no period's shares.
//!
//! Invariant: a seed gives the same finds everywhere.

use lynchet::catalogue::Catalogue;
use lynchet::find::{Find, Grams, Millimetres};
use lynchet::score::{Confirmed, Groundwork, Learnt};
use lynchet::simulate;
use lynchet::{House, IdentifyOptions};
use rayon::prelude::*;

/// Share of the finds, middle year, and deviation in years of one window.
pub type Window = (f64, f64, f64);

/// A field.
#[derive(Clone, Debug)]
pub struct Field {
    /// Its name.
    pub name: &'static str,
    /// What it has more of: share, middle year, deviation.
    pub windows: [Window; 2],
}

const fn field(name: &'static str, first: Window, second: Window) -> Field {
    Field {
        name,
        windows: [first, second],
    }
}

/// Fields that are measured.
pub const FIELDS: [Field; 10] = [
    field(
        "small Roman site of the 330s to 350s",
        (0.75, 342.0, 10.0),
        (0.15, 365.0, 15.0),
    ),
    field(
        "Roman villa of the radiates",
        (0.6, 272.0, 8.0),
        (0.2, 300.0, 30.0),
    ),
    field(
        "temple of the first century",
        (0.5, 60.0, 25.0),
        (0.3, 0.0, 30.0),
    ),
    field(
        "medieval market",
        (0.75, 1240.0, 45.0),
        (0.15, 1400.0, 60.0),
    ),
    field(
        "fair of Tudor and Stuart times",
        (0.7, 1610.0, 35.0),
        (0.1, 1350.0, 60.0),
    ),
    field("ordinary field 1", (0.0, 0.0, 1.0), (0.0, 0.0, 1.0)),
    field("ordinary field 2", (0.0, 0.0, 1.0), (0.0, 0.0, 1.0)),
    field("ordinary field 3", (0.0, 0.0, 1.0), (0.0, 0.0, 1.0)),
    field("ordinary field 4", (0.0, 0.0, 1.0), (0.0, 0.0, 1.0)),
    field("ordinary field 5", (0.0, 0.0, 1.0), (0.0, 0.0, 1.0)),
];

impl Field {
    /// A field like any other.
    pub fn ordinary() -> Field {
        FIELDS[FIELDS.len() - 1].clone()
    }

    /// True when it has more of something.
    pub fn is_peculiar(&self) -> bool {
        self.windows[0].0 > 0.0
    }

    /// How often each type is lost there, from how often it is anywhere.
    pub fn often(&self, catalogue: &Catalogue, national: &[f64]) -> Vec<f64> {
        let within = |(_, middle, wide): &Window| -> Vec<f64> {
            let types = catalogue.types.iter().zip(national);
            let weights = types.map(|(coin, usual)| {
                let year = f64::from(coin.span.from + coin.span.to) / 2.0;
                // A type of many years is lost over all of them.
                let years = f64::from(coin.span.to - coin.span.from) / 3.5;
                let spread = wide.hypot(years);
                usual * wide / spread * (-0.5 * ((year - middle) / spread).powi(2)).exp()
            });
            weights.collect()
        };
        let whole: f64 = national.iter().sum();
        let rest: f64 = 1.0 - self.windows.iter().map(|window| window.0).sum::<f64>();
        let mut often: Vec<f64> = national.iter().map(|usual| rest * usual / whole).collect();
        for window in self.windows.iter().filter(|window| window.0 > 0.0) {
            let weights = within(window);
            let whole: f64 = weights.iter().sum();
            for (often, weight) in often.iter_mut().zip(weights) {
                *often += window.0 * weight / whole;
            }
        }
        often
    }
}

/// Finds of a field: so many confirmed, and so many held out with the type that each is of.
pub fn told(
    house: &House,
    field: &Field,
    seed: u64,
    confirmed: usize,
    held_out: usize,
) -> (Vec<Confirmed>, Vec<(usize, Find)>) {
    let catalogue = &house.catalogue;
    let groundwork = Groundwork::new(catalogue);
    let national: Vec<f64> = groundwork.log_priors().iter().map(|p| p.exp()).collect();
    let often = field.often(catalogue, &national);
    let mut finds = simulate::finds(catalogue, &often, seed, confirmed + held_out);
    let held = finds.split_off(confirmed);
    let one = |(place, (truth, find)): (usize, (usize, Find))| {
        let own = &catalogue.types[truth];
        let like = |same: &dyn Fn(usize) -> bool| {
            (0..catalogue.types.len()).filter(|c| same(*c)).collect()
        };
        let (types, exact): (Vec<usize>, bool) = match place % 10 {
            0..5 => (vec![truth], true),
            5..8 => {
                let same = |other: usize| {
                    let other = &catalogue.types[other];
                    (other.ruler, other.denomination) == (own.ruler, own.denomination)
                };
                (like(&same), false)
            }
            _ => (
                like(&|other| catalogue.types[other].period == own.period),
                false,
            ),
        };
        Confirmed {
            types,
            exact,
            here: true,
            group: None,
            find,
        }
    };
    (finds.into_iter().enumerate().map(one).collect(), held)
}

/// How often the truth stood where, at period, ruler and type.
#[derive(Clone, Copy, Debug, Default)]
pub struct Tally {
    /// Finds.
    pub finds: f64,
    /// Truth first, by level.
    pub first: [f64; 3],
    /// Truth among the first five, by level.
    pub five: [f64; 3],
    /// Sum of the logs of the share of the truth, by level.
    pub log: [f64; 3],
}

impl Tally {
    /// Adds another.
    pub fn add(&mut self, other: &Tally) {
        self.finds += other.finds;
        for level in 0..3 {
            self.first[level] += other.first[level];
            self.five[level] += other.five[level];
            self.log[level] += other.log[level];
        }
    }
}

/// Judges finds with what was learnt, or without.
pub fn judged(house: &House, held: &[(usize, Find)], learnt: Option<&Learnt>) -> Tally {
    let mut sum = Tally::default();
    let each = each(house, held, learnt);
    each.iter().for_each(|tally| sum.add(tally));
    sum
}

/// The same find by find.
pub fn each(house: &House, held: &[(usize, Find)], learnt: Option<&Learnt>) -> Vec<Tally> {
    let each = held.par_iter();
    each.map(|(truth, find)| one(house, *truth, find, learnt))
        .collect()
}

fn one(house: &House, truth: usize, find: &Find, learnt: Option<&Learnt>) -> Tally {
    let options = IdentifyOptions {
        learnt,
        answer_only: true,
        ..IdentifyOptions::default()
    };
    let said = house.identify(find, options);
    let coin = &house.catalogue.types[truth];
    let types: Vec<(bool, f64)> = said
        .ranking
        .judged
        .iter()
        .map(|one| (one.coin == truth, one.probability))
        .collect();
    let shares = |list: &[lynchet::score::Share], of: Option<usize>| -> Vec<(bool, f64)> {
        list.iter().map(|share| (share.of == of, share.p)).collect()
    };
    let levels = [
        shares(&said.shares.period, Some(coin.period)),
        shares(&said.shares.ruler, coin.ruler),
        types,
    ];
    let mut tally = Tally {
        finds: 1.0,
        ..Tally::default()
    };
    for (level, list) in levels.iter().enumerate() {
        let rank = list.iter().position(|(right, _)| *right);
        tally.first[level] = f64::from(u8::from(rank == Some(0)));
        tally.five[level] = f64::from(u8::from(rank.is_some_and(|rank| rank < 5)));
        let p = rank.map_or(0.0, |rank| list[rank].1);
        tally.log[level] = p.max(1e-6).ln();
    }
    tally
}

/// Measures as instruments show them that read high.
pub fn read_high(find: &mut Find, scale: f64, callipers: f64) {
    if let Some(weight) = &mut find.weight {
        weight.value = Grams::new(weight.value.get() * scale).unwrap_or(weight.value);
    }
    if let Some(wide) = &mut find.diameter {
        wide.value = Millimetres::new(wide.value.get() * callipers).unwrap_or(wide.value);
    }
}
