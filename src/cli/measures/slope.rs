//! The recalibration slope: by how much the odds that were said must be stretched to hold.
//!
//! Logistic regression of "right" on the logit of what was said (Cox 1958), by Newton's steps.
//! One is well held; below one the forecasts are too sure, above one too timid.
//!
//! Invariant: a slope that the finds cannot tell is not given.

use serde::Serialize;

use super::calibration::Top;

/// Fewest right and fewest wrong from which a slope is told.
const LEAST: usize = 5;
/// Chances nearer to nought or one than this are taken as this.
const NEAREST: f64 = 1e-6;
/// Most of Newton's steps.
const STEPS: usize = 60;
/// A slope beyond this comes of finds that part without overlap.
const STEEPEST: f64 = 50.0;

/// The line of the odds that held upon the odds that were said.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub(in super::super) struct Slope {
    /// Slope.
    pub(in super::super) value: f64,
    /// Its standard error.
    pub(in super::super) error: f64,
    /// Where the line stands when even odds were said, nats.
    pub(in super::super) intercept: f64,
}

/// The slope, unless there are too few finds right or wrong, or no spread, to tell it.
pub(in super::super) fn slope(tops: &[Top]) -> Option<Slope> {
    let right = tops.iter().filter(|top| top.right).count();
    if right < LEAST || tops.len() - right < LEAST {
        return None;
    }
    let points: Vec<(f64, f64)> = tops
        .iter()
        .map(|top| {
            let said = top.said.clamp(NEAREST, 1.0 - NEAREST);
            let logit = (said / (1.0 - said)).ln();
            (logit, f64::from(u8::from(top.right)))
        })
        .collect();
    let (mut intercept, mut slope) = (0.0, 1.0);
    let mut loss = lost(&points, intercept, slope);
    for _ in 0..STEPS {
        let curve = curve(&points, intercept, slope)?;
        let (mut by, mut tilt) = curve.step;
        if by.abs().max(tilt.abs()) < 1e-10 {
            let told = slope.abs() <= STEEPEST;
            return told.then_some(Slope {
                value: slope,
                error: curve.variance.sqrt(),
                intercept,
            });
        }
        // A step that overshoots is halved until it gains.
        let mut next = lost(&points, intercept + by, slope + tilt);
        while next > loss + 1e-12 && by.abs().max(tilt.abs()) > 1e-12 {
            (by, tilt) = (by / 2.0, tilt / 2.0);
            next = lost(&points, intercept + by, slope + tilt);
        }
        (intercept, slope, loss) = (intercept + by, slope + tilt, next);
    }
    None
}

fn held(intercept: f64, slope: f64, logit: f64) -> f64 {
    1.0 / (1.0 + (-(intercept + slope * logit)).exp())
}

/// What the line loses, nats.
fn lost(points: &[(f64, f64)], intercept: f64, slope: f64) -> f64 {
    let one = |(logit, right): &(f64, f64)| {
        let p = held(intercept, slope, *logit).clamp(1e-300, 1.0 - 1e-16);
        -right * p.ln() - (1.0 - right) * (1.0 - p).ln()
    };
    points.iter().map(one).sum()
}

/// Newton's step from a line, and the variance of its slope there.
struct Curve {
    step: (f64, f64),
    variance: f64,
}

/// None where the finds have no spread to tell a slope by.
fn curve(points: &[(f64, f64)], intercept: f64, slope: f64) -> Option<Curve> {
    let (mut up, mut tilt) = (0.0, 0.0);
    let (mut plain, mut mixed, mut square) = (0.0, 0.0, 0.0);
    for (logit, right) in points {
        let p = held(intercept, slope, *logit);
        let weight = p * (1.0 - p);
        up += right - p;
        tilt += (right - p) * logit;
        plain += weight;
        mixed += weight * logit;
        square += weight * logit * logit;
    }
    let whole = plain * square - mixed * mixed;
    if whole.is_nan() || whole <= 1e-9 * plain * square.max(1e-300) {
        return None;
    }
    Some(Curve {
        step: (
            (square * up - mixed * tilt) / whole,
            (plain * tilt - mixed * up) / whole,
        ),
        variance: plain / whole,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::simulate::Chance;

    fn several(said: f64, right: usize, of: usize) -> impl Iterator<Item = Top> {
        (0..of).map(move |place| Top {
            said,
            right: place < right,
        })
    }

    /// With two chances said the line goes through both shares: by hand, 5 of 10 right at 0.5 and 9
    /// of 10 at 0.8 give ln 9 / ln 4 = 1.58496, and (1/2.5 + 1/0.9) / (ln 4)^2 for the variance.
    #[test]
    fn two_chances_give_the_line_through_both() {
        let tops: Vec<Top> = several(0.5, 5, 10).chain(several(0.8, 9, 10)).collect();
        let told = slope(&tops).expect("a slope");
        let expected = 9f64.ln() / 4f64.ln();
        assert!((told.value - expected).abs() < 1e-8, "{told:?}");
        assert!(told.intercept.abs() < 1e-8, "{told:?}");
        let error = ((1.0 / 2.5 + 1.0 / 0.9) / 4f64.ln().powi(2)).sqrt();
        assert!((told.error - error).abs() < 1e-8, "{told:?}");
    }

    #[test]
    fn a_known_slope_is_found_again() {
        for (seed, true_slope, true_intercept) in [(1, 1.0, 0.0), (2, 0.6, 0.3), (3, 1.4, -0.2)] {
            let mut chance = Chance(seed);
            let tops: Vec<Top> = (0..20_000)
                .map(|_| {
                    let said = chance.between(0.05, 0.99);
                    let logit = (said / (1.0 - said)).ln();
                    Top {
                        said,
                        right: chance.falls(held(true_intercept, true_slope, logit)),
                    }
                })
                .collect();
            let told = slope(&tops).expect("a slope");
            assert!(told.error < 0.04, "{told:?}");
            assert!(
                (told.value - true_slope).abs() < 3.0 * told.error,
                "{told:?}"
            );
            assert!((told.intercept - true_intercept).abs() < 0.08, "{told:?}");
        }
    }

    #[test]
    fn a_slope_that_cannot_be_told_is_not_given() {
        let none = |tops: Vec<Top>| assert_eq!(slope(&tops), None);
        none(Vec::new());
        // All right; too few wrong; one chance said of all; parted without overlap.
        none(several(0.8, 40, 40).collect());
        none(several(0.8, 36, 40).chain(several(0.3, 20, 20)).collect());
        none(several(0.7, 20, 40).collect());
        none(several(0.9, 20, 20).chain(several(0.2, 0, 20)).collect());
    }
}
