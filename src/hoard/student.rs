//! The tail of Student's law: how far out a further value would lie by chance.
//!
//! By the finite sums for whole degrees of freedom (Abramowitz and Stegun 1964, 26.7.3 and 26.7.4,
//! from memory; held in the tests against the printed tables).
//!
//! Invariant: a chance between 0 and 1, falling as the distance grows.

/// Degrees of freedom beyond which more change nothing that is shown.
const MOST: u32 = 200;

/// The chance of a value as far from the middle as `t` or farther, on either side, with so many
/// degrees of freedom (at least one).
pub fn tails(t: f64, freedom: u32) -> f64 {
    let freedom = freedom.clamp(1, MOST);
    let t = t.abs();
    if !t.is_finite() {
        return 0.0;
    }
    let theta = (t / f64::from(freedom).sqrt()).atan();
    let (sine, cosine) = theta.sin_cos();
    let within = if freedom.is_multiple_of(2) {
        sine * series(cosine, 1.0, freedom / 2, |k| (2.0 * k - 1.0) / (2.0 * k))
    } else {
        let sum = series(cosine, cosine, (freedom - 1) / 2, |k| {
            2.0 * k / (2.0 * k + 1.0)
        });
        (theta + sine * sum) * std::f64::consts::FRAC_2_PI
    };
    (1.0 - within).clamp(0.0, 1.0)
}

/// `first` and the terms after it, each the last times the square of the cosine and a ratio.
fn series(cosine: f64, first: f64, terms: u32, ratio: impl Fn(f64) -> f64) -> f64 {
    let (mut term, mut sum) = (first, 0.0);
    for k in 1..=terms {
        sum += term;
        term *= cosine * cosine * ratio(f64::from(k));
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed in every table of Student's law: the distances beyond which 5 and 1 in 100 lie, as
    /// in Fisher and Yates 1938, table III (from memory).
    #[test]
    fn the_printed_tables() {
        for (freedom, five, one) in [
            (1, 12.706, 63.657),
            (2, 4.303, 9.925),
            (3, 3.182, 5.841),
            (4, 2.776, 4.604),
            (5, 2.571, 4.032),
            (10, 2.228, 3.169),
            (15, 2.131, 2.947),
            (30, 2.042, 2.750),
            (120, 1.980, 2.617),
        ] {
            assert!((tails(five, freedom) - 0.05).abs() < 2e-4, "{freedom}");
            assert!((tails(one, freedom) - 0.01).abs() < 1e-4, "{freedom}");
        }
        assert_eq!(tails(0.0, 7), 1.0);
        assert_eq!(tails(f64::INFINITY, 7), 0.0);
    }
}
