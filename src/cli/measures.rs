//! Measures of a judging: how often right, how well the probabilities held.
//!
//! Brier 1950 (sum over outcomes), log score in nats, expected calibration error in
//! ten bins (Naeini 2015). Judges nothing itself.

use serde::Serialize;

/// Right among the first one, three and five, of so many.
#[derive(Clone, Copy, Debug, Default, Serialize)]
pub(super) struct Hits {
    /// Finds counted.
    pub(super) n: usize,
    /// Right first.
    pub(super) top1: usize,
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
        self.top3 += within(3);
        self.top5 += within(5);
    }
}

/// One forecast: probabilities of the outcomes, and the probability given to those that were right.
#[derive(Clone, Debug)]
pub(super) struct Forecast {
    /// Probabilities of all outcomes; together with what is left they sum to one.
    pub(super) outcomes: Vec<f64>,
    /// Probability of the outcomes that were right, together.
    pub(super) right: f64,
    /// The largest of the outcomes.
    pub(super) top: f64,
    /// True when the largest was right.
    pub(super) top_right: bool,
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

/// Expected calibration error of the largest outcome, in ten bins.
pub(super) fn calibration_error(forecasts: &[Forecast]) -> f64 {
    let mut bins = [(0usize, 0.0, 0.0); 10];
    for f in forecasts {
        let bin = &mut bins[((f.top * 10.0) as usize).min(9)];
        bin.0 += 1;
        bin.1 += f.top;
        bin.2 += f64::from(u8::from(f.top_right));
    }
    let gaps: f64 = bins
        .iter()
        .map(|(_, said, right)| (said - right).abs())
        .sum();
    if forecasts.is_empty() {
        0.0
    } else {
        gaps / forecasts.len() as f64
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    fn binary(p: f64, happened: bool) -> Forecast {
        let right = if happened { p } else { 1.0 - p };
        Forecast {
            outcomes: vec![p, 1.0 - p],
            right,
            top: p.max(1.0 - p),
            top_right: right >= 0.5,
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
            top: 0.7,
            top_right: false,
        }];
        assert!((brier(&three) - 1.14).abs() < 1e-9);
        assert!((log_score(&three) - 1.609).abs() < 5e-4);
    }
}
