//! Sizes: the middle weight and diameter of types by the finder's own pieces, and how the finder's
//! scale and callipers read.
//!
//! Of each whole piece that was confirmed as of one type, the log of what was measured is held against
//! what the library and the wear it is said to have let expect. What all types share is the
//! instrument's; what one type has for itself is the type's. Both are normal laws about nought, the
//! library's middle weighing as a few finds.
//!
//! Invariant: fewer finds than the floor teach nothing; a middle never moves by more than the spread
//! of the pieces as struck.

use std::collections::BTreeMap;

use super::Confirmed;
use crate::catalogue::Catalogue;
use crate::find::{Completeness, Corrosion, Find, Grams, Millimetres, Treatment};
use crate::score::constants::{
    OWN_SIZE_LEAST, OWN_SIZE_STRAYS, READS_CLEAR, READS_LEAST, READS_OFF,
};
use crate::score::groundwork::Groundwork;
use crate::score::measure::Profile;

/// How far a type's own pieces lie from the library's.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct OwnSize {
    /// Finds that say so.
    pub finds: u32,
    /// Shift of the log of the weight.
    pub weight: f64,
    /// Shift of the log of the diameter.
    pub diameter: f64,
}

/// How an instrument reads.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Reads {
    /// Finds that say so.
    pub finds: u32,
    /// Log of what it shows over what is there.
    pub log: f64,
}

impl Reads {
    /// Such as `3.1 % high`.
    pub fn text(self) -> String {
        let share = self.log.exp() - 1.0;
        let way = if share < 0.0 { "low" } else { "high" };
        format!("{:.1} % {way}", 100.0 * share.abs())
    }
}

impl OwnSize {
    /// A profile with its middles moved.
    pub(super) fn laid_on(&self, profile: &Profile) -> Profile {
        let mut own = profile.clone();
        for part in &mut own.weights {
            part.grams *= self.weight.exp();
        }
        let wider = self.diameter.exp();
        own.diameter = own
            .diameter
            .map(|(least, most)| (least * wider, most * wider));
        own
    }
}

/// What the pieces of one type say of one measure.
#[derive(Clone, Copy, Debug, Default)]
struct Sum {
    finds: u32,
    precision: f64,
    weighed: f64,
    /// Deviation of the log among pieces as struck.
    spread: f64,
}

impl Sum {
    fn add(&mut self, off: f64, deviation: f64, counts: f64, spread: f64) {
        let precision = counts / (deviation * deviation);
        self.finds += 1;
        self.precision += precision;
        self.weighed += precision * off;
        self.spread = spread;
    }

    /// Variance of the library's middle.
    fn strays(&self) -> f64 {
        (OWN_SIZE_STRAYS * self.spread).powi(2)
    }

    /// The shift of the middle, when the instrument reads so far off; nought below the floor.
    fn shift(&self, reads: f64) -> f64 {
        if self.finds < OWN_SIZE_LEAST || self.precision <= 0.0 {
            return 0.0;
        }
        let mean = self.weighed / self.precision - reads;
        let strays = self.strays();
        let shift = mean * strays / (strays + 1.0 / self.precision);
        shift.clamp(-self.spread, self.spread)
    }
}

/// What confirmed finds say of the measures, by type: weight and diameter.
pub(super) struct Told {
    types: BTreeMap<usize, [Sum; 2]>,
}

impl Told {
    /// Of the finds that are whole, measured and confirmed as of one type.
    pub(super) fn of(
        confirmed: &[Confirmed],
        weights: &[f64],
        catalogue: &Catalogue,
        groundwork: &Groundwork,
    ) -> Told {
        let mut types: BTreeMap<usize, [Sum; 2]> = BTreeMap::new();
        for (one, counts) in confirmed.iter().zip(weights) {
            let ([coin], true) = (one.types.as_slice(), one.exact && is_whole(&one.find)) else {
                continue;
            };
            if *coin >= catalogue.types.len() {
                continue;
            }
            let profile = &groundwork.profiles[groundwork.profile_of[*coin]];
            let held = types.entry(*coin).or_default();
            let weight = one.find.weight.map(|weight| weight.value.get());
            if let (Some(weight), Some((mean, deviation, spread))) =
                (weight, profile.expected_weight(&one.find))
            {
                held[0].add(weight.ln() - mean, deviation, *counts, spread);
            }
            let diameter = one.find.diameter.map(|wide| wide.value.get());
            if let (Some(diameter), Some((mean, deviation, spread))) =
                (diameter, profile.expected_diameter(&one.find))
            {
                held[1].add(diameter.ln() - mean, deviation, *counts, spread);
            }
        }
        Told { types }
    }

    /// How scale and callipers read, where they clearly do not read right.
    pub(super) fn reads(&self) -> (Option<Reads>, Option<Reads>) {
        (self.reads_of(0), self.reads_of(1))
    }

    fn reads_of(&self, measure: usize) -> Option<Reads> {
        let sums = || self.types.values().map(|sums| &sums[measure]);
        let told = || sums().filter(|sum| sum.precision > 0.0);
        let finds: u32 = told().map(|sum| sum.finds).sum();
        if finds < READS_LEAST.0 || told().count() < READS_LEAST.1 {
            return None;
        }
        let mut precision = 1.0 / (READS_OFF * READS_OFF);
        let mut weighed = 0.0;
        for sum in told() {
            // A type's middle may be off by itself, so many pieces of one type say little.
            let own = 1.0 / (1.0 / sum.precision + sum.strays());
            precision += own;
            weighed += own * sum.weighed / sum.precision;
        }
        let log = weighed / precision;
        let clear = log.abs() * precision.sqrt() >= READS_CLEAR;
        clear.then_some(Reads { finds, log })
    }

    /// The sizes of types that the finds move.
    pub(super) fn sizes(
        &self,
        scale: Option<Reads>,
        callipers: Option<Reads>,
    ) -> std::collections::HashMap<usize, OwnSize> {
        let off = |reads: Option<Reads>| reads.map_or(0.0, |reads| reads.log);
        let own = |(coin, sums): (&usize, &[Sum; 2])| {
            let own = OwnSize {
                finds: sums[0].finds.max(sums[1].finds),
                weight: sums[0].shift(off(scale)),
                diameter: sums[1].shift(off(callipers)),
            };
            (own.weight != 0.0 || own.diameter != 0.0).then_some((*coin, own))
        };
        self.types.iter().filter_map(own).collect()
    }
}

/// A piece of which it was said that all of it is there, and of which nothing else speaks against it.
fn is_whole(find: &Find) -> bool {
    let hurt = find.treatments.iter().any(|one| {
        matches!(
            one,
            Treatment::Clipped | Treatment::Pierced | Treatment::Mounted
        )
    });
    let eaten = matches!(find.corrosion, Some(Corrosion::Heavy | Corrosion::Extreme));
    find.completeness == Some(Completeness::Whole) && !hurt && !eaten
}

/// Puts measures right by how the instruments read.
pub(super) fn put_right(find: &mut Find, scale: Option<Reads>, callipers: Option<Reads>) {
    if let (Some(weight), Some(reads)) = (&mut find.weight, scale) {
        let right = Grams::new(weight.value.get() / reads.log.exp());
        weight.value = right.unwrap_or(weight.value);
    }
    if let (Some(wide), Some(reads)) = (&mut find.diameter, callipers) {
        let right = Millimetres::new(wide.value.get() / reads.log.exp());
        wide.value = right.unwrap_or(wide.value);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum(finds: u32, off: f64) -> Sum {
        let mut sum = Sum::default();
        (0..finds).for_each(|_| sum.add(off, 0.08, 1.0, 0.05));
        sum
    }

    #[test]
    fn few_finds_move_nothing_and_very_many_move_all_the_way() {
        assert_eq!(sum(OWN_SIZE_LEAST - 1, 0.04).shift(0.0), 0.0);
        let few = sum(OWN_SIZE_LEAST, 0.04).shift(0.0);
        assert!(few > 0.0 && few < 0.02, "{few}");
        assert!((sum(1_000_000, 0.04).shift(0.0) - 0.04).abs() < 1e-4);
        assert_eq!(
            sum(1_000_000, 0.9).shift(0.0),
            0.05,
            "bounded by the spread"
        );
        assert!(
            sum(1_000_000, 0.04).shift(0.04).abs() < 1e-12,
            "the scale's"
        );
    }

    /// The precision-weighted mean of a normal law with a normal prior, worked by hand: twelve pieces
    /// of six types, 5 % high each.
    #[test]
    fn instruments_are_put_right_only_where_it_is_clear() {
        let told = |off: f64, types: usize, each: u32| Told {
            types: (0..types)
                .map(|coin| (coin, [sum(each, off), Sum::default()]))
                .collect(),
        };
        assert_eq!(told(0.05, 4, 20).reads().0, None, "too few types");
        assert_eq!(told(0.05, 6, 1).reads().0, None, "too few finds");
        assert_eq!(told(0.0, 20, 10).reads(), (None, None), "they read right");
        let reads = told(0.05, 10, 10).reads().0.expect("clear");
        let own = 1.0 / (0.08f64.powi(2) / 10.0 + 0.025f64.powi(2));
        let by_hand = 10.0 * own * 0.05 / (10.0 * own + 1.0 / 0.03f64.powi(2));
        assert!((reads.log - by_hand).abs() < 1e-12, "{}", reads.log);
        assert_eq!(reads.text(), "4.5 % high");
    }
}
