//! The shared state by which all that is read and weighed of a piece hangs together: how spoilt it
//! is for reading, and how much of it is there to be read.
//!
//! Invariant: a state falls on two neighbouring places of the grid with weights that sum to one.

use super::super::rates::*;

/// How spoilt a piece is: places between which is drawn a straight line.
pub(super) const SPOILT: [f64; 10] = [
    0.0,
    0.05,
    0.1,
    0.15,
    0.22,
    0.3,
    0.4,
    0.55,
    0.75,
    SPOILT_MOST,
];
/// Steps of what is left of a piece, and where they begin; the last step is a piece whose letters
/// are not limited.
pub(super) const STEPS: usize = 16;
pub(super) const STEP_FROM: f64 = 0.15;
pub(super) const STEP: f64 = 0.05;
/// Cells of the grid.
pub(super) const CELLS: usize = STEPS * SPOILT.len();
/// First cell of the pieces whose letters are not limited.
pub(super) const WHOLE: usize = CELLS - SPOILT.len();

/// A value for each cell.
pub(super) type Grid = [f64; CELLS];

/// The step of what is left.
pub(super) fn step(left: f64) -> usize {
    if left >= LEFT_LIMITS {
        return STEPS - 1;
    }
    (((left - STEP_FROM) / STEP) as usize).min(STEPS - 2)
}

/// Adds what falls on a state to the two cells beside it.
pub(super) fn lay(grid: &mut Grid, step: usize, spoilt: f64, value: f64) {
    let (at, share) = beside(spoilt);
    let cell = step * SPOILT.len() + at;
    grid[cell] += value * (1.0 - share);
    grid[cell + 1] += value * share;
}

/// The place of the grid below this, and how far from it to the next.
pub(super) fn beside(spoilt: f64) -> (usize, f64) {
    let at = SPOILT[1..SPOILT.len() - 1]
        .iter()
        .filter(|place| **place <= spoilt)
        .count();
    let share = (spoilt - SPOILT[at]) / (SPOILT[at + 1] - SPOILT[at]);
    (at, share.clamp(0.0, 1.0))
}

/// How much of what is not nothing can be read, given how spoilt it is.
struct Legible {
    nothing: f64,
    all: f64,
    /// Most that is read when neither nothing nor all is.
    top: f64,
}

fn legible(spoilt: f64) -> Legible {
    Legible {
        nothing: NOTHING_READ.0 + NOTHING_READ.1 * spoilt,
        all: 1.0 - NOT_ALL_READ.0 - NOT_ALL_READ.1 * spoilt,
        top: 1.0 - READ_LESS * spoilt,
    }
}

/// A function of the share that is read, averaged over that share for each cell: `at` gives its
/// value and `up_to` its integral from nought.
pub(super) fn averaged(at: impl Fn(f64) -> f64, up_to: impl Fn(f64) -> f64) -> Grid {
    const WITHIN: usize = 8;
    let mut grid = [0.0; CELLS];
    let (at_nought, at_one) = (at(0.0), at(1.0));
    for step in 0..STEPS {
        let whole = step == STEPS - 1;
        let parts = if whole { 1 } else { WITHIN };
        for part in 0..parts {
            let within = (part as f64 + 0.5) / WITHIN as f64;
            let most = STEP_FROM + STEP * (step as f64 + within);
            let most = if whole { 1.0 } else { most };
            let at_most = if whole { at_one } else { at(most) };
            for (place, spoilt) in SPOILT.iter().enumerate() {
                let l = legible(*spoilt);
                let rest = (1.0 - l.nothing - l.all) / l.top;
                let between = up_to(l.top.min(most)) + (l.top - most).max(0.0) * at_most;
                let value = l.nothing * at_nought + l.all * at_most + rest * between;
                grid[step * SPOILT.len() + place] += value / parts as f64;
            }
        }
    }
    grid
}

/// What a share of the places read comes to, for every legend of so many places: a stretch of each
/// length, and scattered places of each number.
pub(super) struct Shares {
    /// For each number of places, the chance of a stretch of each length.
    pub stretch: Vec<Grid>,
    /// The same for one set of scattered places of each size, before the choice of the set.
    pub scattered: Vec<Grid>,
}

impl Shares {
    pub fn of(places: usize) -> Shares {
        let length = |share: f64| (share * places as f64).round() as usize;
        let n = places as f64;
        let stretch = (0..=places).map(|wanted| {
            let at = |share: f64| f64::from(u8::from(length(share) == wanted)) * (1.0 - SCATTERED);
            let (from, to) = (
                (wanted as f64 - 0.5).max(0.0) / n,
                (wanted as f64 + 0.5) / n,
            );
            averaged(at, |share| {
                (share.min(to) - from).max(0.0) * (1.0 - SCATTERED)
            })
        });
        let scattered = (0..=places).map(|seen| powers(seen, places - seen));
        Shares {
            stretch: stretch.collect(),
            scattered: scattered.collect(),
        }
    }
}

/// Places seen, and places lost, each on its own chance.
fn powers(seen: usize, lost: usize) -> Grid {
    let at = |u: f64| u.powi(seen as i32) * (1.0 - u).powi(lost as i32) * SCATTERED;
    summed(at)
}

/// As [`averaged`], with the integral taken by a fine sum.
pub(super) fn summed(at: impl Fn(f64) -> f64) -> Grid {
    const FINE: usize = 256;
    let wide = 1.0 / FINE as f64;
    let mut sums = vec![0.0; FINE + 1];
    for k in 0..FINE {
        let u = k as f64 * wide;
        let part = at(u) + 4.0 * at(u + wide / 2.0) + at(u + wide);
        sums[k + 1] = sums[k] + part * wide / 6.0;
    }
    averaged(&at, |u| {
        let place = u * FINE as f64;
        let k = (place as usize).min(FINE - 1);
        sums[k] + (sums[k + 1] - sums[k]) * (place - k as f64)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lengths_of_a_stretch_share_out_the_whole() {
        let shares = Shares::of(7);
        for cell in [0, 77, WHOLE, CELLS - 1] {
            let sum: f64 = shares.stretch.iter().map(|grid| grid[cell]).sum();
            assert!((sum - (1.0 - SCATTERED)).abs() < 1e-9, "{cell}: {sum}");
            let choose = |v: usize| (0..v).fold(1.0, |c, k| c * (7 - k) as f64 / (k + 1) as f64);
            let seen = shares.scattered.iter().enumerate();
            let sum: f64 = seen.map(|(v, grid)| choose(v) * grid[cell]).sum();
            assert!((sum - SCATTERED).abs() < 1e-4, "{cell}: {sum}");
        }
    }
}
