//! The aoristic sum: how many pieces are to be expected of each year.
//!
//! A piece made in one of the `n` years of a span counts `1/n` for each of them (Ratcliffe 2000,
//! *Int. J. Geographical Information Science* 14, for crimes; Johnson 2004 and Crema 2012,
//! *J. Archaeological Method and Theory* 19, for archaeology); with several spans, each by its
//! chance; with a count, so many times. Knows no law of the group, so it is as wide as the
//! spans are.
//!
//! Invariant: what lies on the line, outside it and undated sums to the number of pieces.

use super::axis::Axis;
use super::group::Piece;
use crate::find::{Span, ordinal};

/// The sum over a line of years.
#[derive(Clone, Debug, PartialEq)]
pub struct Aoristic {
    /// The line.
    pub axis: Axis,
    /// Pieces to be expected of each step.
    pub expected: Vec<f64>,
    /// Pieces to be expected before or after the line.
    pub outside: f64,
    /// Pieces that may be of any time.
    pub undated: f64,
}

impl Aoristic {
    /// The sum over a line; exact, not sampled.
    pub fn over(axis: Axis, pieces: &[Piece]) -> Aoristic {
        let mut expected = vec![0.0; axis.bins];
        let (mut dated, mut all) = (0.0, 0.0);
        for piece in pieces {
            all += piece.number();
            for (span, chance) in &piece.dates {
                let weight = piece.number() * chance;
                dated += weight;
                spread(axis, *span, weight, &mut expected);
            }
        }
        let inside: f64 = expected.iter().sum();
        Aoristic {
            axis,
            outside: (dated - inside).max(0.0),
            undated: (all - dated).max(0.0),
            expected,
        }
    }

    /// The same for spans of any kind, such as the periods of a table; they may overlap.
    pub fn by_spans(pieces: &[Piece], spans: &[Span]) -> Vec<f64> {
        let sum = |over: &Span| -> f64 {
            let each = pieces.iter().flat_map(|piece| {
                let dates = piece.dates.iter();
                dates.map(move |(span, chance)| (*span, piece.number() * chance))
            });
            let shared = |span: Span| f64::from(span.shared_years(*over));
            each.map(|(span, weight)| weight * shared(span) / f64::from(span.years()))
                .sum()
        };
        spans.iter().map(sum).collect()
    }

    /// First and last step of the stretch that holds all but one in twenty of the pieces on either
    /// side; what a picture need show.
    pub fn main_stretch(&self) -> (usize, usize) {
        let edge = self.expected.iter().sum::<f64>() / 20.0;
        let last = self.expected.len().saturating_sub(1);
        let from = past(self.expected.iter(), edge);
        let to = last - past(self.expected.iter().rev(), edge).min(last);
        (from.min(to), to)
    }

    /// The sum as a law: its steps summing to one; none where nothing lies on the line.
    pub fn normalised(&self) -> Option<Vec<f64>> {
        let inside: f64 = self.expected.iter().sum();
        (inside > 0.0).then(|| self.expected.iter().map(|one| one / inside).collect())
    }
}

/// The first step at which more than so much has been passed.
fn past<'s>(mut steps: impl Iterator<Item = &'s f64>, edge: f64) -> usize {
    let mut below = 0.0;
    let reached = steps.position(|step| {
        below += step;
        below > edge
    });
    reached.unwrap_or(0)
}

/// Adds a weight, even over the years of a span, to the steps that it touches.
pub(super) fn spread(axis: Axis, span: Span, weight: f64, steps: &mut [f64]) {
    let Some((first, last)) = axis.touched(span) else {
        return;
    };
    let each = weight / f64::from(span.years());
    for (bin, step) in steps.iter_mut().enumerate().take(last + 1).skip(first) {
        let from = axis.start(bin).max(ordinal(span.from));
        let to = (axis.start(bin) + axis.width - 1).min(ordinal(span.to));
        *step += each * f64::from((to - from + 1).max(0));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: ten pieces of 101-110 give one a year; one of 110 gives one; four of which half
    /// may be of 106-107 and half of any time give one a year there.
    #[test]
    fn a_sum_worked_by_hand() {
        let pieces = [
            Piece::of_years(10, &[(101, 110, 1.0)]),
            Piece::of_years(1, &[(110, 110, 1.0)]),
            Piece::of_years(4, &[(106, 107, 0.5)]),
        ];
        let axis = Axis::of(&pieces).expect("years");
        let sum = Aoristic::over(axis, &pieces);
        let wanted = [1.0, 1.0, 1.0, 1.0, 1.0, 2.0, 2.0, 1.0, 1.0, 2.0];
        for (got, wanted) in sum.expected.iter().zip(wanted) {
            assert!((got - wanted).abs() < 1e-12, "{:?}", sum.expected);
        }
        assert!((sum.undated - 2.0).abs() < 1e-12 && sum.outside.abs() < 1e-12);
        let by = Aoristic::by_spans(&pieces, &[Span { from: 101, to: 105 }]);
        assert!((by[0] - 5.0).abs() < 1e-12);
    }

    #[test]
    fn what_lies_outside_is_counted() {
        let pieces = [
            Piece::of_years(1, &[(-10_000, 300, 1.0)]),
            Piece::of_years(1, &[(201, 210, 1.0)]),
        ];
        let axis = Axis::of(&pieces).expect("years");
        let sum = Aoristic::over(axis, &pieces);
        let inside: f64 = sum.expected.iter().sum();
        assert!((inside + sum.outside - 2.0).abs() < 1e-9);
        assert!(sum.outside > 0.99);
    }

    #[test]
    fn there_is_no_year_nought() {
        let pieces = [Piece::of_years(1, &[(-1, 1, 1.0)])];
        let sum = Aoristic::over(Axis::of(&pieces).expect("years"), &pieces);
        assert_eq!(sum.expected, [0.5, 0.5]);
    }
}
