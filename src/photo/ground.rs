//! The ground: what the picture would be without an object.
//!
//! A surface of the second degree for each colour, so that light that falls off to one side or to
//! the corners is part of the ground. Decides nothing about objects.
//!
//! Invariant: the fit is held by the larger part of what it is given, so that an object or a ruler
//! over some of the border does not bend it.

use super::picture::Small;

/// Times that what lies far off is left out and the surface laid again.
const ROUNDS: usize = 8;
/// Of how many places the surface is made at most.
const PLACES_MOST: usize = 6000;

/// The surface of each colour, over x and y from -1 to 1.
#[derive(Clone, Debug)]
pub(super) struct Ground {
    terms: [[f64; 6]; 3],
    /// How far the ground itself strays from the surface, in levels of 255 (one sigma).
    pub(super) stray: f64,
    /// Share of the places that lie on the surface.
    pub(super) share: f64,
}

impl Ground {
    /// The ground by a band along the border of the copy.
    pub(super) fn of_border(small: &Small, colours: &[[f32; 3]]) -> Ground {
        let band = (small.width.min(small.height) / 25).max(1);
        let within = |x: usize, y: usize| {
            x < band || y < band || x + band >= small.width || y + band >= small.height
        };
        Ground::of(small, colours, within)
    }

    /// The ground by all places of which this is true.
    pub(super) fn of(
        small: &Small,
        colours: &[[f32; 3]],
        within: impl Fn(usize, usize) -> bool,
    ) -> Ground {
        let mut places = Vec::new();
        for y in 0..small.height {
            for x in 0..small.width {
                if within(x, y) {
                    places.push((x, y));
                }
            }
        }
        let step = places.len().div_ceil(PLACES_MOST).max(1);
        let rows: Vec<([f64; 6], [f32; 3])> = places
            .into_iter()
            .step_by(step)
            .map(|(x, y)| (basis(small, x, y), colours[y * small.width + x]))
            .collect();
        fit(&rows)
    }

    /// The colour of the ground at a pixel of the copy.
    pub(super) fn at(&self, small: &Small, x: usize, y: usize) -> [f32; 3] {
        let basis = basis(small, x, y);
        self.terms.map(|terms| dot(&terms, &basis) as f32)
    }
}

fn basis(small: &Small, x: usize, y: usize) -> [f64; 6] {
    let along = |at: usize, length: usize| 2.0 * (at as f64 + 0.5) / length as f64 - 1.0;
    let (x, y) = (along(x, small.width), along(y, small.height));
    [1.0, x, y, x * x, x * y, y * y]
}

fn dot(a: &[f64; 6], b: &[f64; 6]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn fit(rows: &[([f64; 6], [f32; 3])]) -> Ground {
    let mut ground = Ground {
        terms: [0, 1, 2].map(|c| {
            let middle = median(
                rows.iter()
                    .map(|(_, colour)| f64::from(colour[c]))
                    .collect(),
            );
            [middle, 0.0, 0.0, 0.0, 0.0, 0.0]
        }),
        stray: 1.0,
        share: 1.0,
    };
    for round in 0..ROUNDS {
        let off: Vec<f64> = rows.iter().map(|row| furthest(&ground, row)).collect();
        let typical = median(off.clone()).max(0.7);
        let near: Vec<_> = rows
            .iter()
            .zip(&off)
            .filter(|(_, off)| **off <= 3.0 * typical)
            .map(|(row, _)| row)
            .collect();
        ground.share = near.len() as f64 / rows.len().max(1) as f64;
        // The greatest of three colours' strays is 1.1 sigma or so in the median.
        ground.stray = (typical / 1.1).max(0.7);
        // The slope before the bend: few places bend a surface by chance.
        let degree = if round < 2 { 3 } else { 6 };
        for c in 0..3 {
            if let Some(terms) = solve(&near, c, degree) {
                ground.terms[c] = terms;
            }
        }
    }
    ground
}

fn furthest(ground: &Ground, (basis, colour): &([f64; 6], [f32; 3])) -> f64 {
    let off = |c: usize| (f64::from(colour[c]) - dot(&ground.terms[c], basis)).abs();
    off(0).max(off(1)).max(off(2))
}

pub(super) fn median(mut values: Vec<f64>) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let middle = values.len() / 2;
    *values.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// Least squares of one colour over the first terms.
fn solve(rows: &[&([f64; 6], [f32; 3])], colour: usize, degree: usize) -> Option<[f64; 6]> {
    let mut matrix = [[0.0_f64; 7]; 6];
    for (basis, value) in rows {
        for i in 0..degree {
            for j in 0..degree {
                matrix[i][j] += basis[i] * basis[j];
            }
            matrix[i][6] += basis[i] * f64::from(value[colour]);
        }
    }
    for i in 0..degree {
        let best =
            (i..degree).max_by(|a, b| matrix[*a][i].abs().total_cmp(&matrix[*b][i].abs()))?;
        matrix.swap(i, best);
        if matrix[i][i].abs() < 1e-9 {
            return None;
        }
        for row in 0..degree {
            if row != i {
                let factor = matrix[row][i] / matrix[i][i];
                let pivot = matrix[i];
                for (value, above) in matrix[row].iter_mut().zip(pivot) {
                    *value -= factor * above;
                }
            }
        }
    }
    let mut terms = [0.0; 6];
    for (i, term) in terms.iter_mut().enumerate().take(degree) {
        *term = matrix[i][6] / matrix[i][i];
    }
    Some(terms)
}
