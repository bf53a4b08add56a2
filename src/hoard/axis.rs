//! The line of years on which a group is spread: even steps of whole years.
//!
//! Knows no piece beyond its spans. Spans longer than a thousand years do not widen it, so that
//! one object "of the Bronze Age" does not make every coin a point; what of them lies outside is
//! counted as outside.
//!
//! Invariant: at most [`BINS_MOST`] steps, however long the spans.

use super::group::Piece;
use crate::find::{Span, Year, ordinal, year_at};

/// Most steps.
pub const BINS_MOST: usize = 400;
/// Spans longer than this, in years, do not widen the line where any is shorter.
const LONG: u32 = 1_000;
/// Spans less likely than this do not widen the line.
const UNLIKELY: f64 = 0.01;

/// A line of years in even steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Axis {
    /// First year, as a position on a line without a gap (see [`ordinal`]).
    pub first: i32,
    /// Years of a step.
    pub width: i32,
    /// How many steps.
    pub bins: usize,
}

impl Axis {
    /// A line that holds these years, both ends.
    pub fn over(span: Span) -> Axis {
        let first = ordinal(span.from);
        let years = span.years() as usize;
        let mut width = 1;
        'wide: for power in [1, 10, 100, 1_000, 10_000] {
            for step in [1, 2, 5] {
                width = step * power;
                if years.div_ceil(width) <= BINS_MOST {
                    break 'wide;
                }
            }
        }
        Axis {
            first,
            width: width as i32,
            bins: years.div_ceil(width).min(BINS_MOST),
        }
    }

    /// The line of a group; none where no piece has years.
    pub fn of(pieces: &[Piece]) -> Option<Axis> {
        let all = pieces.iter().flat_map(|piece| &piece.dates);
        let likely: Vec<Span> = all
            .filter(|(_, chance)| *chance >= UNLIKELY)
            .map(|(span, _)| *span)
            .collect();
        let short = likely.iter().copied().filter(|span| span.years() <= LONG);
        let hull = short.reduce(Span::hull);
        let hull = hull.or_else(|| likely.iter().copied().reduce(Span::hull));
        hull.map(Axis::over)
    }

    /// First position of a step.
    pub fn start(&self, bin: usize) -> i32 {
        self.first + bin as i32 * self.width
    }

    /// The years of a step.
    pub fn span(&self, bin: usize) -> Span {
        let from = self.start(bin);
        Span {
            from: year_at(from),
            to: year_at(from + self.width - 1),
        }
    }

    /// The middle of a step, as a position.
    pub fn middle(&self, bin: usize) -> f64 {
        f64::from(self.start(bin)) + f64::from(self.width - 1) / 2.0
    }

    /// First and last year of the line.
    pub fn whole(&self) -> Span {
        Span {
            from: self.span(0).from,
            to: self.span(self.bins.saturating_sub(1)).to,
        }
    }

    /// The steps that a span touches, first and last; none where it lies outside.
    pub fn touched(&self, span: Span) -> Option<(usize, usize)> {
        if !self.whole().overlaps(span) {
            return None;
        }
        let place = |year: Year| (ordinal(year) - self.first).div_euclid(self.width);
        let last = self.bins as i32 - 1;
        let (from, to) = (
            place(span.from).clamp(0, last),
            place(span.to).clamp(0, last),
        );
        Some((from as usize, to as usize))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_never_longer_than_allowed() {
        for (from, to) in [(1, 1), (1, 400), (1, 401), (-500_000, 9_999), (-5, 5)] {
            let axis = Axis::over(Span { from, to });
            assert!(axis.bins <= BINS_MOST && axis.bins >= 1, "{axis:?}");
            assert!(
                axis.whole().from == from && axis.whole().to >= to,
                "{axis:?}"
            );
        }
        assert_eq!(Axis::over(Span { from: 1, to: 400 }).width, 1);
        assert_eq!(Axis::over(Span { from: 1, to: 401 }).width, 2);
    }

    #[test]
    fn one_long_span_does_not_flatten_the_coins() {
        let axis = Axis::of(&[
            Piece::of_years(1, &[(-10_000, 43, 1.0)]),
            Piece::of_years(1, &[(260, 268, 1.0)]),
        ])
        .expect("years");
        assert_eq!(axis.whole(), Span { from: 260, to: 268 });
        let axis = Axis::of(&[Piece::of_years(1, &[(-10_000, 43, 1.0)])]).expect("years");
        assert_eq!(axis.whole().from, -10_000);
        assert_eq!(Axis::of(&[Piece::unsaid("x")]), None);
    }
}
