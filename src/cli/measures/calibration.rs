//! Calibration: whether what was said with so much chance was right so often.
//!
//! Expected calibration error in ten even bins (Naeini 2015), its interval by drawing the finds
//! anew, and what a forecaster without fault would show over as few finds. Seeded, without a clock.
//!
//! Invariant: the same forecasts give the same figures anywhere.

use serde::Serialize;

use super::interval::wilson;
use super::{mean, quantile};
use crate::simulate::Chance;

/// Bins of equal width from nought to one.
const BINS: usize = 10;
/// How often finds, or what became of them, are drawn anew.
const DRAWS: usize = 1000;
/// Seed of the draws.
const SEED: u64 = 1950;

/// What a forecast said was likeliest: with how much chance, and whether it was right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in super::super) struct Top {
    /// Chance given to it.
    pub(in super::super) said: f64,
    /// True when it was right.
    pub(in super::super) right: bool,
}

/// Forecasts that said about the same.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub(in super::super) struct Bin {
    /// Least chance of the bin.
    pub(in super::super) from: f64,
    /// Most.
    pub(in super::super) to: f64,
    /// Forecasts in it.
    pub(in super::super) n: usize,
    /// Mean chance said.
    pub(in super::super) said: f64,
    /// Share that was right.
    pub(in super::super) right: f64,
    /// Wilson's interval of that share.
    pub(in super::super) interval: [f64; 2],
}

/// The bins that hold any forecast, in order.
pub(in super::super) fn bins(tops: &[Top]) -> Vec<Bin> {
    let full = filled(tops.iter().copied()).into_iter().enumerate();
    full.filter_map(|(place, (n, said, right))| {
        let count = n as f64;
        Some(Bin {
            from: place as f64 / BINS as f64,
            to: (place + 1) as f64 / BINS as f64,
            n,
            said: said / count,
            right: right as f64 / count,
            interval: wilson(right, n)?,
        })
    })
    .collect()
}

/// The calibration error beside what chance alone would show.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub(in super::super) struct CalibrationError {
    /// Expected calibration error of the likeliest outcome.
    pub(in super::super) value: f64,
    /// 95 in 100 of the errors over finds drawn anew from these, less what drawing adds to their
    /// mean: an error is never below nought, so each draw makes it larger.
    pub(in super::super) interval: [f64; 2],
    /// Mean error of a forecaster without fault who says the same of as many finds.
    pub(in super::super) noise: f64,
    /// What 95 in 100 of such a forecaster's errors stay below.
    pub(in super::super) noise_most: f64,
    /// True when the error is no larger than that.
    pub(in super::super) within_noise: bool,
}

/// The calibration error of forecasts; none of none.
pub(in super::super) fn calibration_error(tops: &[Top]) -> Option<CalibrationError> {
    if tops.is_empty() {
        return None;
    }
    let value = error(tops.iter().copied());
    let mut chance = Chance(SEED);
    let mut anew = drawn(|| error(tops.iter().map(|_| tops[chance.below(tops.len())])));
    let mut chance = Chance(SEED + 1);
    let mut faultless = drawn(|| {
        error(tops.iter().map(|top| Top {
            right: chance.falls(top.said),
            ..*top
        }))
    });
    let noise = mean(faultless.iter().copied());
    anew.sort_by(f64::total_cmp);
    faultless.sort_by(f64::total_cmp);
    let noise_most = quantile(&faultless, 0.95);
    let added = mean(anew.iter().copied()) - value;
    let end = |share: f64| (quantile(&anew, share) - added).clamp(0.0, 1.0);
    Some(CalibrationError {
        value,
        interval: [end(0.025), end(0.975)],
        noise,
        noise_most,
        within_noise: value <= noise_most + 1e-12,
    })
}

fn drawn(mut draw: impl FnMut() -> f64) -> Vec<f64> {
    (0..DRAWS).map(|_| draw()).collect()
}

/// Count, sum of what was said and count of what was right, by bin.
fn filled(tops: impl Iterator<Item = Top>) -> [(usize, f64, usize); BINS] {
    let mut bins = [(0, 0.0, 0); BINS];
    for top in tops {
        let bin = &mut bins[((top.said * BINS as f64) as usize).min(BINS - 1)];
        bin.0 += 1;
        bin.1 += top.said;
        bin.2 += usize::from(top.right);
    }
    bins
}

/// Mean over forecasts of how far what their bin said is from what was right in it.
fn error(tops: impl Iterator<Item = Top>) -> f64 {
    let bins = filled(tops);
    let gaps: f64 = bins
        .iter()
        .map(|(_, said, right)| (said - *right as f64).abs())
        .sum();
    gaps / bins.iter().map(|bin| bin.0).sum::<usize>().max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tops(of: &[(f64, bool)]) -> Vec<Top> {
        of.iter()
            .map(|(said, right)| Top {
                said: *said,
                right: *right,
            })
            .collect()
    }

    /// By hand: the bin of 0.95 is off by .05 with half of the finds, that of 0.85 by .85 and that
    /// of 0.55 by .45 with a quarter each: .025 + .2125 + .1125 = .35.
    #[test]
    fn the_error_is_the_mean_gap_of_the_bins() {
        let four = tops(&[(0.95, true), (0.95, true), (0.85, false), (0.55, true)]);
        let told = calibration_error(&four).expect("an error");
        assert!((told.value - 0.35).abs() < 1e-12, "{told:?}");
        let [low, high] = told.interval;
        assert!(low <= told.value && told.value <= high, "{told:?}");
        assert_eq!(calibration_error(&[]), None);
    }

    #[test]
    fn bins_hold_their_ends_and_say_how_many_they_hold() {
        let held = bins(&tops(&[
            (1.0, true),
            (0.9, false),
            (0.1, false),
            (0.05, false),
        ]));
        let counts: Vec<(f64, usize, f64)> = held.iter().map(|b| (b.from, b.n, b.right)).collect();
        assert_eq!(counts, [(0.0, 1, 0.0), (0.1, 1, 0.0), (0.9, 2, 0.5)]);
        assert!((held[2].said - 0.95).abs() < 1e-12);
        assert!(held[2].interval[0] < 0.5 && held[2].interval[1] > 0.5);
    }

    /// One find at 0.7 is off by .3 seven times in ten and by .7 else: .42 in the mean. A hundred
    /// finds at a half are off by the mean of |k/100 - 1/2|, 0.0398 (summed exactly in Python from
    /// `math.comb`).
    #[test]
    fn the_noise_is_what_a_faultless_forecaster_shows() {
        let one = calibration_error(&tops(&[(0.7, true)])).expect("an error");
        assert!((one.noise - 0.42).abs() < 0.03, "{one:?}");
        assert!((one.noise_most - 0.7).abs() < 1e-12 && one.within_noise);
        let even: Vec<Top> = (0..100)
            .map(|place| Top {
                said: 0.5,
                right: place % 2 == 0,
            })
            .collect();
        let even = calibration_error(&even).expect("an error");
        assert!((even.noise - 0.0398).abs() < 0.004, "{even:?}");
        assert!(even.within_noise && even.value < 1e-12);
    }

    #[test]
    fn a_forecaster_too_sure_of_itself_is_beyond_the_noise() {
        let sure: Vec<Top> = (0..100)
            .map(|place| Top {
                said: 0.95,
                right: place % 3 != 0,
            })
            .collect();
        let told = calibration_error(&sure).expect("an error");
        assert!(
            !told.within_noise && told.interval[0] > told.noise_most,
            "{told:?}"
        );
        assert_eq!(Some(told), calibration_error(&sure));
    }
}
