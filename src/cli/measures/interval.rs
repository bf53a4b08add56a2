//! Intervals: how far a share counted over so many finds may be off.
//!
//! Wilson 1927 for a share; the Beta law for the coverage of a split conformal set (its exact
//! form with whole-number parameters, as sums of binomial terms). Draws nothing by lot.

/// Standard normal deviate that 2.5 in 100 exceed.
const DEVIATE: f64 = 1.959_963_984_540_054;
/// Share of the finds that a set of nine in ten leaves out.
const LEFT_OUT: f64 = 0.1;

/// Wilson's 95 in 100 interval of a share; none of nothing.
pub(in super::super) fn wilson(right: usize, n: usize) -> Option<[f64; 2]> {
    if n == 0 {
        return None;
    }
    let (count, share) = (n as f64, right as f64 / n as f64);
    let square = DEVIATE * DEVIATE;
    let whole = 1.0 + square / count;
    let middle = (share + square / (2.0 * count)) / whole;
    let half =
        DEVIATE / whole * (share * (1.0 - share) / count + square / (4.0 * count * count)).sqrt();
    Some([(middle - half).max(0.0), (middle + half).min(1.0)])
}

/// The range in which the coverage of sets of nine in ten lies 95 times in 100 when it is counted
/// over so many finds: the Beta law with n + 1 - l and l, where l is a tenth of n + 1 rounded
/// down. None for fewer finds than ten leave one out.
pub(in super::super) fn beta_range(n: usize) -> Option<[f64; 2]> {
    // A tenth of a whole number may lie a hair below the whole number that it is.
    let l = ((n + 1) as f64 * LEFT_OUT + 1e-9).floor() as usize;
    if l == 0 {
        return None;
    }
    let logs = log_factorials(n);
    let at = |wanted: f64| {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if beta_below(middle, n, l, &logs) < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        f64::midpoint(low, high)
    };
    Some([at(0.025), at(0.975)])
}

/// Chance that Beta(n + 1 - l, l) is below x: that of n trials at x at most l - 1 fail.
fn beta_below(x: f64, n: usize, l: usize, logs: &[f64]) -> f64 {
    if x <= 0.0 || x >= 1.0 {
        return x;
    }
    let term = |failed: usize| {
        let ways = logs[n] - logs[failed] - logs[n - failed];
        (ways + failed as f64 * (1.0 - x).ln() + (n - failed) as f64 * x.ln()).exp()
    };
    (0..l).map(term).sum()
}

/// Logarithms of 0!, 1!, ... n!.
fn log_factorials(n: usize) -> Vec<f64> {
    let mut sum = 0.0;
    let mut logs = vec![0.0];
    for number in 1..=n {
        sum += (number as f64).ln();
        logs.push(sum);
    }
    logs
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The ends of Wilson's interval solve (p - x)^2 = z^2 x (1 - x) / n, from which it is made.
    #[test]
    fn the_ends_of_wilsons_interval_solve_its_equation() {
        for (right, n) in [(0, 5), (1, 10), (9, 10), (50, 100), (81, 263), (10, 10)] {
            let share = right as f64 / n as f64;
            for end in wilson(right, n).expect("an interval") {
                let off = (share - end).powi(2) - DEVIATE * DEVIATE * end * (1.0 - end) / n as f64;
                assert!(off.abs() < 1e-12, "{right} of {n}: {end}");
            }
        }
        assert_eq!(wilson(0, 0), None);
    }

    /// 81 of 263 is the example of Newcombe, Statistics in Medicine 17 (1998), table I, whose score
    /// method without correction gives 0.2553 to 0.3662 (cited from memory; the equation above
    /// gives the same). 0 of 5 gives z^2 / (5 + z^2) = 0.4345 by hand.
    #[test]
    fn wilsons_interval_matches_worked_numbers() {
        let [low, high] = wilson(81, 263).expect("an interval");
        assert!(
            (low - 0.2553).abs() < 5e-5 && (high - 0.3662).abs() < 5e-5,
            "{low} {high}"
        );
        let [low, high] = wilson(0, 5).expect("an interval");
        assert!(low == 0.0 && (high - 0.4345).abs() < 5e-5, "{low} {high}");
    }

    /// Quantiles of the Beta density by trapezoids over 200,000 steps in Python with `math.lgamma`,
    /// which shares nothing with the sums of binomial terms here; for n = 9 the law is x^9, so the
    /// lower end is also the ninth root of 0.025.
    #[test]
    fn the_beta_range_matches_quantiles_found_by_integration() {
        let worked = [
            (9, 0.66373, 0.99719),
            (19, 0.73972, 0.98699),
            (50, 0.80766, 0.96672),
            (100, 0.83602, 0.95100),
            (1000, 0.88079, 0.91789),
            (7500, 0.89312, 0.90670),
        ];
        for (n, least, most) in worked {
            let [low, high] = beta_range(n).expect("a range");
            assert!((low - least).abs() < 2e-5, "{n}: {low}");
            assert!((high - most).abs() < 2e-5, "{n}: {high}");
        }
        let [low, _] = beta_range(9).expect("a range");
        assert!((low - 0.025_f64.powf(1.0 / 9.0)).abs() < 1e-9);
        assert_eq!(beta_range(8), None);
        assert_eq!(beta_range(0), None);
    }
}
