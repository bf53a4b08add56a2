//! Levels, places and marks: how a method's answer to one find is marked at each level.
//!
//! Invariant: answers that stand level share their place evenly.

use std::collections::HashMap;

use lynchet::catalogue::{Catalogue, CoinType};

/// What is asked of a find.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Level {
    Type,
    Ruler,
    Denomination,
    Period,
}

pub const LEVELS: [(Level, &str); 4] = [
    (Level::Type, "type"),
    (Level::Ruler, "ruler"),
    (Level::Denomination, "denomination"),
    (Level::Period, "period"),
];

/// Least probability that the log score counts.
pub const LEAST: f64 = 1e-6;

/// What types have in common at a level; types without a ruler are one another's.
pub fn key(level: Level, position: usize, coin: &CoinType) -> usize {
    match level {
        Level::Type => position,
        Level::Ruler => coin.ruler.unwrap_or(usize::MAX),
        Level::Denomination => coin.denomination,
        Level::Period => coin.period,
    }
}

/// How one find came off at one level.
#[derive(Clone, Copy, Debug)]
pub struct Mark {
    /// Answers above the true one.
    pub above: f64,
    /// Answers level with it, itself among them.
    pub level: f64,
    pub p: Option<f64>,
}

impl Mark {
    /// Chance that the true answer is among the first so many, when those level are drawn by lot.
    pub fn among(&self, first: f64) -> f64 {
        ((first - self.above) / self.level).clamp(0.0, 1.0)
    }

    /// Log score.
    pub fn log(&self) -> Option<f64> {
        self.p.map(|p| p.max(LEAST).ln())
    }
}

/// What a method gives each type: shares that may be added up, or figures that only rank.
pub enum Given {
    Shares(Vec<f64>),
    Figures(Vec<f64>),
}

/// The marks of one find at every level.
pub fn marks(given: &Given, truth: usize, library: &Catalogue) -> [Mark; 4] {
    LEVELS.map(|(level, _)| {
        let mut groups: HashMap<usize, f64> = HashMap::new();
        let (figures, adds) = match given {
            Given::Shares(shares) => (shares, true),
            Given::Figures(figures) => (figures, false),
        };
        for (position, figure) in figures.iter().enumerate() {
            let key = key(level, position, &library.types[position]);
            let held = groups
                .entry(key)
                .or_insert(if adds { 0.0 } else { f64::NEG_INFINITY });
            *held = if adds {
                *held + figure
            } else {
                held.max(*figure)
            };
        }
        let held = groups[&key(level, truth, &library.types[truth])];
        // Sums of the same shares in another order differ in the last place.
        let even = held.abs() * 1e-12;
        let others = || groups.values();
        Mark {
            above: others().filter(|other| **other > held + even).count() as f64,
            level: others()
                .filter(|other| (**other - held).abs() <= even)
                .count()
                .max(1) as f64,
            p: adds.then_some(held),
        }
    })
}
