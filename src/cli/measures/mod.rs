//! Measures of a judging: how often right, how well the probabilities held.
//!
//! Brier 1950 (sum over outcomes), log score in nats, skill over a plainer forecast; intervals,
//! calibration and its slope on pages of their own. Judges nothing itself.

mod calibration;
mod interval;
mod slope;

use serde::Serialize;

pub(super) use calibration::{Bin, CalibrationError, Top, bins, calibration_error};
pub(super) use interval::{beta_range, wilson};
pub(super) use slope::{Slope, slope};

/// Right among the first one, three and five, of so many.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub(super) struct Hits {
    /// Finds counted.
    pub(super) n: usize,
    /// Right first.
    pub(super) top1: usize,
    /// Right among the first two.
    pub(super) top2: usize,
    /// Right among the first three.
    pub(super) top3: usize,
    /// Right among the first five.
    pub(super) top5: usize,
}

impl Hits {
    /// Counts a find whose truth stood at this place (0 is first), if it stood at all.
    pub(super) fn count(&mut self, place: Option<usize>) {
        self.n += 1;
        let within = |most: usize| usize::from(place.is_some_and(|place| place < most));
        self.top1 += within(1);
        self.top2 += within(2);
        self.top3 += within(3);
        self.top5 += within(5);
    }
}

/// One forecast: probabilities of the outcomes, and the probability given to those that were right.
#[derive(Clone, Debug)]
pub(super) struct Forecast {
    /// Probabilities of all outcomes, "none of these" among them.
    pub(super) outcomes: Vec<f64>,
    /// Probability of the outcomes that were right, together.
    pub(super) right: f64,
}

/// Brier score: sum over outcomes of the squared distance to what happened.
/// Several right outcomes are taken together as one.
pub(super) fn brier(forecasts: &[Forecast]) -> f64 {
    mean(forecasts.iter().map(|f| {
        let squares: f64 = f.outcomes.iter().map(|p| p * p).sum();
        // (p_right - 1)^2 in place of p_right^2.
        squares - 2.0 * f.right + 1.0
    }))
}

/// Mean log score, nats; the least probability counted is one in ten thousand.
pub(super) fn log_score(forecasts: &[Forecast]) -> f64 {
    mean(forecasts.iter().map(|f| -f.right.max(1e-4).ln()))
}

/// What share of a plainer forecast's score a forecast saves: 1 is perfect, 0 no better, below
/// nought worse. Nothing where the plainer one loses nothing.
pub(super) fn skill(score: f64, plainer: f64) -> Option<f64> {
    (plainer > 0.0).then(|| 1.0 - score / plainer)
}

/// Mean; nought for nothing.
pub(super) fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0usize), |(sum, count), value| {
        (sum + value, count + 1)
    });
    if count == 0 { 0.0 } else { sum / count as f64 }
}

/// Median; nought for nothing.
pub(super) fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    match values.len() {
        0 => 0.0,
        n if n % 2 == 1 => values[n / 2],
        n => (values[n / 2 - 1] + values[n / 2]) / 2.0,
    }
}

/// The value below which this share of an ordered list lies (nearest rank); nought for nothing.
fn quantile(ordered: &[f64], share: f64) -> f64 {
    let place = (share * ordered.len() as f64).ceil() as usize;
    let place = place.clamp(1, ordered.len().max(1)) - 1;
    ordered.get(place).copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn binary(p: f64, happened: bool) -> Forecast {
        let right = if happened { p } else { 1.0 - p };
        Forecast {
            outcomes: vec![p, 1.0 - p],
            right,
        }
    }

    /// Worked numbers of the project's notes on calibration: p = .9 .8 .7 .6, y = 1 1 0 1 give a
    /// one-sided Brier score of 0.1750 (half the two-sided one used here) and 0.5108 nats;
    /// p = (.7, .2, .1) with the second true gives 1.14 and 1.609.
    #[test]
    fn scores_match_the_worked_numbers() {
        let four: Vec<Forecast> = [(0.9, true), (0.8, true), (0.7, false), (0.6, true)]
            .iter()
            .map(|(p, y)| binary(*p, *y))
            .collect();
        assert!((brier(&four) / 2.0 - 0.1750).abs() < 1e-9);
        assert!((log_score(&four) - 0.5108).abs() < 5e-5);
        let three = [Forecast {
            outcomes: vec![0.7, 0.2, 0.1],
            right: 0.2,
        }];
        assert!((brier(&three) - 1.14).abs() < 1e-9);
        assert!((log_score(&three) - 1.609).abs() < 5e-4);
    }

    /// By hand: even shares of three outcomes lose 1 - 2/3 + 3/9 = 2/3; (.8 right, .1, .1) loses
    /// .04 + .01 + .01 = .06; so 1 - .06 / (2/3) = .91 is saved.
    #[test]
    fn skill_is_the_share_that_is_saved() {
        let plain = |right: f64, others: f64| {
            brier(&[Forecast {
                outcomes: vec![right, others, others],
                right,
            }])
        };
        let even = plain(1.0 / 3.0, 1.0 / 3.0);
        assert!((even - 2.0 / 3.0).abs() < 1e-12);
        let held = skill(plain(0.8, 0.1), even).expect("something to save");
        assert!((held - 0.91).abs() < 1e-12, "{held}");
        assert_eq!(skill(0.3, 0.0), None);
        assert!(skill(0.4, 0.2).expect("a skill") < 0.0);
    }

    #[test]
    fn places_are_counted_within_one_three_and_five() {
        let mut hits = Hits::default();
        for place in [Some(0), Some(2), Some(3), Some(5), None] {
            hits.count(place);
        }
        let expected = Hits {
            n: 5,
            top1: 1,
            top2: 1,
            top3: 2,
            top5: 3,
        };
        assert_eq!(hits, expected);
    }

    #[test]
    fn the_middle_and_the_quantiles_are_those_of_the_ordered_values() {
        assert_eq!(median(&mut [3.0, 1.0, 2.0]), 2.0);
        assert_eq!(median(&mut [4.0, 1.0, 2.0, 3.0]), 2.5);
        assert_eq!(median(&mut []), 0.0);
        let hundred: Vec<f64> = (1..=100).map(f64::from).collect();
        assert_eq!(quantile(&hundred, 0.025), 3.0);
        assert_eq!(quantile(&hundred, 0.975), 98.0);
        assert_eq!(quantile(&[], 0.5), 0.0);
    }
}
