//! Round things and their shadows: where a border strays outwards from the round that most of it
//! lies on.
//!
//! A hard shadow has an edge of its own beside the thing's. The round (an ellipse, as a circle is
//! seen) is laid through the border so that what lies outside it hardly pulls; places that stray
//! outwards are put back on it, and the edge is to be looked for again from there. Looks at no
//! picture itself: whoever asks holds both borders against the picture.
//!
//! Invariant: a border that is not round for the most part, or that strays inwards, is left alone.

use super::picture::Point;
use super::shape;

/// Times that the round is laid anew by what lies near it.
const ROUNDS: usize = 14;
/// Least and most of the border that may stray.
const STRAYS: (f64, f64) = (0.03, 0.55);
/// Most of the border that may lie within the round and off it: a clipped coin has more.
const WITHIN_MOST: f64 = 0.03;
/// Second wave of the radius, as a share of it, of the longest ellipse as which a coin is seen: a
/// tilt of ten degrees gives 0.008, its edge some thousandths more.
const LONGEST: f64 = 0.013;
/// How far off the round is off: in pixels, and as a share of the radius, whichever is more.
const OFF: (f64, f64) = (1.6, 0.014);

/// The border with its strays put back on the round, and which those are; none where the border is
/// not round, or nothing strays.
pub(super) fn put_back(ring: &[Point], clear: &[f64]) -> Option<(Vec<Point>, Vec<bool>)> {
    let middle = shape::middle(ring);
    let polar: Vec<[f64; 2]> = ring
        .iter()
        .map(|point| {
            let (x, y) = (point[0] - middle[0], point[1] - middle[1]);
            [x.hypot(y), y.atan2(x)]
        })
        .collect();
    let terms = laid(&polar, clear)?;
    let near = OFF.0.max(OFF.1 * terms[0]);
    let off: Vec<f64> = polar
        .iter()
        .map(|[r, angle]| r - at(&terms, *angle))
        .collect();
    let share = |is: &dyn Fn(f64) -> bool| {
        off.iter().filter(|off| is(**off)).count() as f64 / off.len() as f64
    };
    let (out, within) = (share(&|off| off > near), share(&|off| off < -near));
    if !(STRAYS.0..=STRAYS.1).contains(&out) || within > WITHIN_MOST {
        return None;
    }
    let strays: Vec<bool> = off.iter().map(|off| *off > 0.5 * near).collect();
    let back = polar
        .iter()
        .zip(ring)
        .zip(&strays)
        .map(|(([_, angle], point), stray)| {
            let r = at(&terms, *angle);
            match stray {
                true => [middle[0] + r * angle.cos(), middle[1] + r * angle.sin()],
                false => *point,
            }
        });
    Some((back.collect(), strays))
}

/// The terms of least squares, the ellipse no longer than a circle can look.
fn fitted(polar: &[[f64; 2]], weights: &[f64]) -> Option<[f64; 5]> {
    let free = solve(polar, weights)?;
    let long = free[3].hypot(free[4]) / free[0].abs().max(1e-9);
    if long <= LONGEST {
        return Some(free);
    }
    let [cos2, sin2] = [free[3], free[4]].map(|part| part * LONGEST / long);
    let bent = [0.0, 0.0, 0.0, cos2, sin2];
    let straight: Vec<[f64; 2]> = polar
        .iter()
        .map(|[r, angle]| [r - at(&bent, *angle), *angle])
        .collect();
    let terms = solve(&straight, weights)?;
    Some([terms[0], terms[1], terms[2], cos2, sin2])
}

/// The round's terms: mean radius, and the first two waves of the radius about the middle.
fn laid(polar: &[[f64; 2]], clear: &[f64]) -> Option<[f64; 5]> {
    let usual = super::ground::median(clear.to_vec()).max(1e-9);
    // The edge of a thing is clearer than that of its shadow, which may be as long.
    let sharp: Vec<f64> = clear
        .iter()
        .map(|clear| (clear / usual).clamp(0.05, 2.0).powi(6))
        .collect();
    let mut weights = sharp.clone();
    let mut terms = fitted(polar, &weights)?;
    for _ in 0..ROUNDS {
        let off: Vec<f64> = polar
            .iter()
            .map(|[r, angle]| r - at(&terms, *angle))
            .collect();
        let inwards = off.iter().filter(|off| **off < 0.0).map(|off| -off);
        let usual = 1.5 * super::ground::median(inwards.collect());
        let usual = usual.clamp(0.3, (0.012 * terms[0]).max(0.3));
        for ((weight, off), sharp) in weights.iter_mut().zip(&off).zip(&sharp) {
            // What lies outside is shadow sooner than metal.
            let near = if *off <= usual {
                1.0
            } else {
                (usual / off).powi(3)
            };
            *weight = sharp * near;
        }
        terms = fitted(polar, &weights)?;
    }
    (terms[0] > 0.0).then_some(terms)
}

fn waves(angle: f64) -> [f64; 5] {
    let (sin, cos) = angle.sin_cos();
    let (sin2, cos2) = (2.0 * angle).sin_cos();
    [1.0, cos, sin, cos2, sin2]
}

fn at(terms: &[f64; 5], angle: f64) -> f64 {
    terms.iter().zip(waves(angle)).map(|(a, b)| a * b).sum()
}

/// Weighed least squares by elimination.
fn solve(polar: &[[f64; 2]], weights: &[f64]) -> Option<[f64; 5]> {
    let mut matrix = [[0.0_f64; 6]; 5];
    for ([r, angle], weight) in polar.iter().zip(weights) {
        let waves = waves(*angle);
        for i in 0..5 {
            for j in 0..5 {
                matrix[i][j] += weight * waves[i] * waves[j];
            }
            matrix[i][5] += weight * waves[i] * r;
        }
    }
    for i in 0..5 {
        let best = (i..5).max_by(|a, b| matrix[*a][i].abs().total_cmp(&matrix[*b][i].abs()))?;
        matrix.swap(i, best);
        if matrix[i][i].abs() < 1e-9 {
            return None;
        }
        let pivot = matrix[i];
        for (row, line) in matrix.iter_mut().enumerate() {
            if row != i {
                let factor = line[i] / pivot[i];
                line.iter_mut()
                    .zip(pivot)
                    .for_each(|(value, above)| *value -= factor * above);
            }
        }
    }
    Some([0, 1, 2, 3, 4].map(|i| matrix[i][5] / matrix[i][i]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::TAU;

    fn ring(radius: impl Fn(f64) -> f64) -> Vec<Point> {
        (0..360)
            .map(|at| {
                let angle = TAU * f64::from(at) / 360.0;
                let r = radius(angle);
                [200.0 + r * angle.cos(), 150.0 + r * angle.sin()]
            })
            .collect()
    }

    // An ellipse as a circle is seen at ten degrees, its shadow cast ten pixels to one side; the
    // shadow's edge is fainter than the thing's.
    #[test]
    fn a_shadow_is_put_back_on_the_round() {
        let round = |angle: f64| 90.0 * (1.0 - 0.0075 * (2.0 * angle).cos());
        let cast = |angle: f64| 10.0 * (angle - 2.0).cos().max(0.0);
        let shaded = ring(|angle| round(angle) + cast(angle));
        let clear: Vec<f64> = (0..360)
            .map(|at| match cast(TAU * f64::from(at) / 360.0) > 0.5 {
                true => 8.0,
                false => 20.0,
            })
            .collect();
        let (back, strays) = put_back(&shaded, &clear).expect("it strays");
        assert!(strays.iter().filter(|stray| **stray).count() > 60);
        for (point, whole) in back.iter().zip(ring(round)) {
            let off = (point[0] - whole[0]).hypot(point[1] - whole[1]);
            assert!(off < 1.5, "{off}");
        }
    }

    #[test]
    fn what_is_round_clipped_or_square_is_left_alone() {
        assert!(put_back(&ring(|_| 90.0), &[1.0; 360]).is_none());
        let clipped = |angle: f64| match angle.cos() > 0.8 {
            true => 90.0_f64.min(72.0 / angle.cos()),
            false => 90.0,
        };
        assert!(put_back(&ring(clipped), &[1.0; 360]).is_none());
        let square = |angle: f64| 80.0 / angle.cos().abs().max(angle.sin().abs());
        assert!(put_back(&ring(square), &[1.0; 360]).is_none());
    }
}
