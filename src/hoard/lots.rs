//! One lot or two: whether the pieces are better explained by two times than by one.
//!
//! One normal law of dates against two, each fitted by expectation-maximisation to the spans of
//! the pieces; two are told of only where the Bayesian information criterion gains by ten (Kass
//! and Raftery 1995, from memory: "very strong") and the two are well apart (Ashman, Bird and Zepf
//! 1994, *Astronomical Journal* 108: a distance above two). Coin in use for long trails off towards
//! its early end and can look like a lot of its own, so the answer is a hint with its doubt.
//!
//! Invariant: fewer than [`PIECES_LEAST`] dated pieces, or rows, are never parted.

use super::axis::Axis;
use super::group::Piece;
use super::mixture::{Lane, lanes, pull};
use crate::find::{Span, Year, year_at};

/// Fewest dated pieces, and fewest rows that differ, that are asked about; a judgement of this
/// program.
pub const PIECES_LEAST: usize = 8;
/// Fewest rows of different years.
const ROWS_LEAST: usize = 4;
/// Least gain of the criterion.
const GAIN: f64 = 10.0;
/// Least distance of the two, in their spreads.
const APART: f64 = 2.0;
/// Least share of the smaller lot.
const SMALLER: f64 = 0.1;
/// Fewest pieces of the smaller lot.
const SMALLER_PIECES: f64 = 3.0;
/// Least spread of a lot, years; a judgement of this program.
const SPREAD_LEAST: f64 = 4.0;
/// Steps of each search.
const STEPS: usize = 120;

/// Pieces of one time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lot {
    /// Share of the pieces.
    pub share: f64,
    /// Its middle year.
    pub middle: Year,
    /// Its spread, years, as a standard deviation.
    pub spread: f64,
}

impl Lot {
    /// The middle two thirds of it, about.
    pub fn span(&self) -> Span {
        let middle = crate::find::ordinal(self.middle);
        let spread = self.spread.round() as i32;
        Span {
            from: year_at(middle - spread),
            to: year_at(middle + spread),
        }
    }
}

/// One lot, and two.
#[derive(Clone, Debug, PartialEq)]
pub struct Lots {
    /// As one.
    pub one: Lot,
    /// As two, the earlier first.
    pub two: [Lot; 2],
    /// What the criterion gains by two; above nought speaks for two.
    pub gain: f64,
    /// Distance of the two, in their spreads.
    pub apart: f64,
    /// Two explain the pieces better, and are well apart.
    pub parted: bool,
}

/// One normal part of a law.
#[derive(Clone, Copy)]
struct Part {
    share: f64,
    mean: f64,
    spread: f64,
}

/// Holds one lot against two; none where there are too few pieces to ask.
pub(super) fn lots(pieces: &[Piece], axis: Axis) -> Option<Lots> {
    let lanes = lanes(axis, pieces);
    let number: f64 = pieces
        .iter()
        .map(|piece| piece.number() * piece.dated())
        .sum();
    let rows = pieces
        .iter()
        .filter(|piece| !piece.dates.is_empty())
        .count();
    if number < PIECES_LEAST as f64 || lanes.len() < ROWS_LEAST || rows < ROWS_LEAST {
        return None;
    }
    let (one, one_fits) = fitted(axis, &lanes, vec![all(axis, &lanes)]);
    let starts = [0.15, 0.3, 0.5, 0.7, 0.85].map(|cut| halves(axis, &lanes, cut));
    let tried = starts.into_iter().map(|start| fitted(axis, &lanes, start));
    let best = tried.max_by(|a, b| a.1.total_cmp(&b.1))?;
    let (mut two, two_fits) = best;
    two.sort_by(|a, b| a.mean.total_cmp(&b.mean));
    // Pieces alike in years say the same once more, so rows bound what the count may claim.
    let weight = number.min(WEIGHT_A_ROW * lanes.len() as f64) / number;
    let penalty = 3.0 * (number * weight).ln();
    let gain = 2.0 * weight * (two_fits - one_fits) - penalty;
    let spreads = ((two[0].spread.powi(2) + two[1].spread.powi(2)) / 2.0).sqrt();
    let apart = (two[1].mean - two[0].mean) / spreads;
    let smaller = two[0].share.min(two[1].share);
    Some(Lots {
        one: lot(one[0]),
        two: [lot(two[0]), lot(two[1])],
        gain,
        apart,
        parted: gain >= GAIN
            && apart > APART
            && smaller >= SMALLER
            && smaller * number >= SMALLER_PIECES,
    })
}

/// Most pieces that a row of pieces alike counts for.
const WEIGHT_A_ROW: f64 = 5.0;

fn lot(part: Part) -> Lot {
    Lot {
        share: part.share,
        middle: year_at(part.mean.round() as i32),
        spread: part.spread,
    }
}

/// Where the evidence lies, even over each row's spans.
fn heaped(axis: Axis, lanes: &[Lane]) -> Vec<f64> {
    pull(lanes, &vec![1.0 / axis.bins as f64; axis.bins]).0
}

fn moments(axis: Axis, heap: &[f64], share: f64) -> Part {
    let whole: f64 = heap.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    let places = || {
        heap.iter()
            .enumerate()
            .map(|(bin, held)| (axis.middle(bin), held))
    };
    let mean = places().map(|(at, held)| at * held).sum::<f64>() / whole;
    let square = places()
        .map(|(at, held)| (at - mean).powi(2) * held)
        .sum::<f64>()
        / whole;
    Part {
        share,
        mean,
        spread: square
            .sqrt()
            .max(SPREAD_LEAST.max(f64::from(axis.width) / 2.0)),
    }
}

fn all(axis: Axis, lanes: &[Lane]) -> Part {
    moments(axis, &heaped(axis, lanes), 1.0)
}

/// Two parts to begin with: what lies before and after this share of the evidence.
fn halves(axis: Axis, lanes: &[Lane], cut: f64) -> Vec<Part> {
    let heap = heaped(axis, lanes);
    let whole: f64 = heap.iter().sum();
    let mut held = 0.0;
    let (mut early, mut late) = (heap.clone(), heap.clone());
    for bin in 0..heap.len() {
        held += heap[bin];
        if held <= cut * whole {
            late[bin] = 0.0;
        } else {
            early[bin] = 0.0;
        }
    }
    vec![moments(axis, &early, cut), moments(axis, &late, 1.0 - cut)]
}

/// The chance of each step under a part, times its share.
fn drawn(axis: Axis, part: Part) -> Vec<f64> {
    let one = |bin| (-0.5 * ((axis.middle(bin) - part.mean) / part.spread).powi(2)).exp();
    let raw: Vec<f64> = (0..axis.bins).map(one).collect();
    let whole: f64 = raw.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    raw.into_iter().map(|p| part.share * p / whole).collect()
}

/// Fits parts to the evidence; with the logarithm of its likelihood.
fn fitted(axis: Axis, lanes: &[Lane], mut parts: Vec<Part>) -> (Vec<Part>, f64) {
    let mut fits = f64::NEG_INFINITY;
    for _ in 0..STEPS {
        let laws: Vec<Vec<f64>> = parts.iter().map(|part| drawn(axis, *part)).collect();
        let mut law = vec![0.0; axis.bins];
        for one in &laws {
            law.iter_mut().zip(one).for_each(|(sum, p)| *sum += p);
        }
        let (pull, now) = pull(lanes, &law);
        let number: f64 = lanes.iter().map(|lane| lane.number).sum();
        for (part, own) in parts.iter_mut().zip(&laws) {
            let heap: Vec<f64> = own.iter().zip(&pull).map(|(p, f)| p * f).collect();
            let share = heap.iter().sum::<f64>() / number;
            *part = moments(axis, &heap, share);
        }
        if (now - fits).abs() < 1e-9 {
            break;
        }
        fits = now;
    }
    (parts, fits)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pieces(spans: &[(i32, i32)]) -> Vec<Piece> {
        let one = |&(from, to): &(i32, i32)| Piece::of_years(1, &[(from, to, 1.0)]);
        spans.iter().map(one).collect()
    }

    fn of(spans: &[(i32, i32)]) -> Option<Lots> {
        let pieces = pieces(spans);
        lots(&pieces, Axis::of(&pieces)?)
    }

    #[test]
    fn two_times_are_parted_and_one_is_not() {
        let early = [
            (98, 117),
            (103, 111),
            (112, 117),
            (117, 138),
            (119, 128),
            (98, 99),
        ];
        let late = [
            (260, 268),
            (268, 270),
            (269, 271),
            (271, 274),
            (270, 270),
            (266, 268),
        ];
        let both: Vec<(i32, i32)> = early.iter().chain(&late).copied().collect();
        let lots = of(&both).expect("enough");
        assert!(lots.parted, "{lots:?}");
        assert!((lots.two[0].share - 0.5).abs() < 0.05, "{lots:?}");
        assert!(
            (100..130).contains(&lots.two[0].middle) && (264..274).contains(&lots.two[1].middle)
        );
        let again: Vec<(i32, i32)> = late.iter().chain(&late).copied().collect();
        assert!(!of(&again).expect("enough").parted);
    }

    #[test]
    fn a_handful_is_never_parted() {
        assert_eq!(
            of(&[(100, 110), (100, 110), (270, 274), (1640, 1650)]),
            None
        );
        assert_eq!(of(&[(100, 110); 20]), None, "one row of years");
    }
}
