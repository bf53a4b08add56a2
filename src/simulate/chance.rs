//! A seeded row of numbers and the laws drawn from it.
//!
//! Asks no clock and nothing of the machine.
//! Invariant: a seed gives the same row anywhere.

use super::rates::COMMON_LETTERS;

/// A small generator (the published splitmix64): the same row of numbers for a seed anywhere.
pub struct Chance(pub u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Evenly from nought to below one.
    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Evenly between two numbers.
    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.share()
    }

    /// True this often.
    pub fn falls(&mut self, often: f64) -> bool {
        self.share() < often
    }

    /// Evenly one of the whole numbers below a count.
    pub fn below(&mut self, count: usize) -> usize {
        ((self.share() * count as f64) as usize).min(count.saturating_sub(1))
    }

    /// One of a list, each as likely.
    pub fn one<'a, T>(&mut self, among: &'a [T]) -> Option<&'a T> {
        among.get(self.below(among.len()))
    }

    /// A letter that is common in legends.
    pub fn letter(&mut self) -> char {
        COMMON_LETTERS[self.below(COMMON_LETTERS.len())]
    }

    /// A normal deviate.
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.share()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.share()).cos()
    }

    /// An exponential deviate of this mean.
    pub fn exponential(&mut self, mean: f64) -> f64 {
        -mean * (1.0 - self.share()).ln()
    }

    /// A place in a list of weights, as often as its weight.
    pub fn weighted(&mut self, weights: &[f64]) -> usize {
        let mut left = self.share() * weights.iter().sum::<f64>();
        for (place, weight) in weights.iter().enumerate() {
            left -= weight;
            if left < 0.0 {
                return place;
            }
        }
        weights.len().saturating_sub(1)
    }
}
