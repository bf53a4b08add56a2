//! The group's law of dates: what the pieces have in common, found by expectation-maximisation.
//!
//! Each piece is taken as made in a year drawn from one law that all share, of which is known only
//! that its evidence is even over each of its spans. The law of greatest likelihood is found by
//! the self-consistent step for data in intervals (Turnbull 1976, *J. Royal Statistical Society* B
//! 38; Dempster, Laird and Rubin 1977, the same, 39), smoothed a little after each (Silverman and
//! others 1990, the same, 52); the three are cited from memory. Narrower than the aoristic sum
//! where spans overlap, and no narrower than the evidence: one piece alone keeps its span.
//!
//! Invariant: a law sums to one; the work is bounded; the same group gives the same law.

use super::aoristic::spread;
use super::axis::Axis;
use super::closing::Dates;
use super::group::Piece;
use crate::find::Span;

/// Years over which a law is smoothed, as a standard deviation; a judgement of this program.
pub const SMOOTHED: f64 = 3.0;
/// Most steps of the search.
const STEPS_MOST: usize = 300;
/// The search is settled when no step of the law moves by more than this.
const SETTLED: f64 = 1e-7;
/// Most passes of the smoothing of one step.
const PASSES_MOST: usize = 60;
/// Rows that a background of any year within the line counts for, when a row is read in company;
/// a judgement of this program: with so few others the company says little.
const BACKGROUND: f64 = 2.0;

/// A row's evidence on the steps of a line: the steps that it touches and what it gives each.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Lane {
    pub(super) first: usize,
    pub(super) likelihood: Vec<f64>,
    pub(super) number: f64,
}

/// A law of dates over a line of years.
#[derive(Clone, Debug, PartialEq)]
pub struct DateLaw {
    /// The line.
    pub axis: Axis,
    /// Probability of each step.
    pub density: Vec<f64>,
    /// Steps of the search.
    pub steps: usize,
    /// The search came to rest.
    pub settled: bool,
    /// Natural logarithm of the likelihood of the pieces under the law.
    pub log_likelihood: f64,
}

/// The evidence of the rows that touch the line; rows alike in their years are put together.
pub(super) fn lanes(axis: Axis, pieces: &[Piece]) -> Vec<Lane> {
    let mut lanes: Vec<Lane> = Vec::new();
    for piece in pieces {
        let Some(lane) = lane(axis, &piece.dates, piece.number()) else {
            continue;
        };
        let alike =
            |other: &&mut Lane| other.first == lane.first && other.likelihood == lane.likelihood;
        match lanes.iter_mut().find(alike) {
            Some(other) => other.number += lane.number,
            None => lanes.push(lane),
        }
    }
    lanes
}

/// The evidence of one row, as even over its spans as they are, for each step of the line.
fn lane(axis: Axis, dates: &Dates, number: f64) -> Option<Lane> {
    let mut all = vec![0.0; axis.bins];
    for (span, chance) in dates {
        spread(axis, *span, *chance, &mut all);
    }
    let first = all.iter().position(|given| *given > 0.0)?;
    let last = all.iter().rposition(|given| *given > 0.0)?;
    Some(Lane {
        first,
        likelihood: all[first..=last].to_vec(),
        number,
    })
}

/// How likely a row's evidence is under a law.
pub(super) fn under(lane: &Lane, law: &[f64]) -> f64 {
    let law = &law[lane.first..];
    lane.likelihood.iter().zip(law).map(|(l, p)| l * p).sum()
}

/// What each step of a law is multiplied by in one step of the search: its share of each row,
/// summed over the rows. Also the logarithm of the likelihood.
pub(super) fn pull(lanes: &[Lane], law: &[f64]) -> (Vec<f64>, f64) {
    let mut pull = vec![0.0; law.len()];
    let mut log_likelihood = 0.0;
    for lane in lanes {
        let whole = under(lane, law).max(f64::MIN_POSITIVE);
        log_likelihood += lane.number * whole.ln();
        let each = lane.number / whole;
        for (sum, given) in pull[lane.first..].iter_mut().zip(&lane.likelihood) {
            *sum += each * given;
        }
    }
    (pull, log_likelihood)
}

/// The law of a group over its line; none where no piece has years.
pub fn law(pieces: &[Piece]) -> Option<DateLaw> {
    law_of(pieces, Axis::of(pieces)?, SMOOTHED)
}

/// The law over a line, smoothed over so many years; 0 for the bare law of greatest likelihood.
pub fn law_of(pieces: &[Piece], axis: Axis, smoothed: f64) -> Option<DateLaw> {
    let lanes = lanes(axis, pieces);
    let whole: f64 = lanes.iter().map(|lane| lane.number).sum();
    if whole <= 0.0 {
        return None;
    }
    let passes = passes(axis, smoothed);
    let mut density = vec![1.0 / axis.bins as f64; axis.bins];
    let (mut steps, mut settled) = (0, false);
    while steps < STEPS_MOST && !settled {
        let (pull, _) = pull(&lanes, &density);
        let mut next: Vec<f64> = density
            .iter()
            .zip(&pull)
            .map(|(p, f)| p * f / whole)
            .collect();
        smooth(&mut next, passes);
        let sum: f64 = next.iter().sum();
        next.iter_mut().for_each(|p| *p /= sum);
        let moved = density.iter().zip(&next).map(|(a, b)| (a - b).abs());
        settled = moved.fold(0.0, f64::max) < SETTLED;
        density = next;
        steps += 1;
    }
    let (_, log_likelihood) = pull(&lanes, &density);
    Some(DateLaw {
        axis,
        density,
        steps,
        settled,
        log_likelihood,
    })
}

/// Passes of the kernel 1-2-1, each of a variance of half a step, that smooth over so many years.
fn passes(axis: Axis, smoothed: f64) -> usize {
    let steps = smoothed / f64::from(axis.width);
    ((2.0 * steps * steps).round() as usize).min(PASSES_MOST)
}

/// Smooths in place; what would leave at an end stays there.
fn smooth(law: &mut [f64], passes: usize) {
    let last = law.len() - 1;
    for _ in 0..passes {
        let mut before = law[0];
        for place in 0..=last {
            let own = law[place];
            let after = law[(place + 1).min(last)];
            law[place] = (before + 2.0 * own + after) / 4.0;
            before = own;
        }
    }
}

/// The dates of each row, weighed by the law of all the others: what may be of two times is
/// likelier of that of its company. A row of one span keeps it.
pub fn in_company(pieces: &[Piece], law: Option<&DateLaw>) -> Vec<Dates> {
    let Some(law) = law else {
        return pieces.iter().map(|piece| piece.dates.clone()).collect();
    };
    let whole: f64 = lanes(law.axis, pieces).iter().map(|lane| lane.number).sum();
    let one = |piece: &Piece| {
        let Some(lane) = lane(law.axis, &piece.dates, piece.number()) else {
            return piece.dates.clone();
        };
        let others = without(law, &lane, whole);
        weighed(&piece.dates, law.axis, &others)
    };
    pieces.iter().map(one).collect()
}

/// The law of the others, with a background of any year, as a density a step relative to even.
pub(super) fn without(law: &DateLaw, lane: &Lane, whole: f64) -> Vec<f64> {
    let held = under(lane, &law.density).max(f64::MIN_POSITIVE);
    let left = (whole - lane.number).max(0.0);
    let even = 1.0 / law.axis.bins as f64;
    let own = |bin: usize| {
        let given = bin
            .checked_sub(lane.first)
            .and_then(|at| lane.likelihood.get(at));
        given.map_or(0.0, |given| lane.number * law.density[bin] * given / held)
    };
    let one = |bin: usize| {
        let others = (whole * law.density[bin] - own(bin)).max(0.0);
        (others + BACKGROUND * even) / (left + BACKGROUND) / even
    };
    (0..law.axis.bins).map(one).collect()
}

fn weighed(dates: &Dates, axis: Axis, others: &[f64]) -> Dates {
    let told: f64 = dates.iter().map(|(_, chance)| chance).sum();
    // Outside the line nothing but the background speaks, which is its least anywhere within.
    let least = others.iter().copied().fold(f64::INFINITY, f64::min);
    let mean = |span: Span| {
        let mut years = vec![0.0; axis.bins];
        spread(axis, span, 1.0, &mut years);
        let inside: f64 = years.iter().sum();
        let held: f64 = years
            .iter()
            .zip(others)
            .map(|(share, law)| share * law)
            .sum();
        held + (1.0 - inside).max(0.0) * least
    };
    let new: Vec<(Span, f64)> = dates
        .iter()
        .map(|(span, p)| (*span, p * mean(*span)))
        .collect();
    // What may be of any time is weighed as an even law over the line is: by one.
    let whole = new.iter().map(|(_, p)| p).sum::<f64>() + (1.0 - told).max(0.0);
    if whole <= 0.0 {
        return dates.clone();
    }
    new.into_iter().map(|(span, p)| (span, p / whole)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// By hand: spans 1-2 and 2-3: year 2 alone explains both, so all of the bare law lies there.
    #[test]
    fn what_two_spans_share_is_found() {
        let pieces = [
            Piece::of_years(1, &[(1, 2, 1.0)]),
            Piece::of_years(1, &[(2, 3, 1.0)]),
        ];
        let axis = Axis::of(&pieces).expect("years");
        let law = law_of(&pieces, axis, 0.0).expect("a law");
        assert!(law.density[1] > 0.999, "{:?}", law.density);
        // From even thirds the first step is a quarter, a half, a quarter.
        let (first, _) = pull(&lanes(axis, &pieces), &[1.0 / 3.0; 3]);
        let first: Vec<f64> = first.iter().map(|f| f / 3.0 / 2.0).collect();
        for (got, wanted) in first.iter().zip([0.25, 0.5, 0.25]) {
            assert!((got - wanted).abs() < 1e-12, "{first:?}");
        }
    }

    #[test]
    fn one_piece_keeps_its_span() {
        let pieces = [Piece::of_years(1, &[(100, 199, 1.0)])];
        let law = law(&pieces).expect("a law");
        assert!(law.density.iter().all(|p| (p - 0.01).abs() < 1e-6));
        let read = in_company(&pieces, Some(&law));
        assert_eq!(read[0][0].0, Span { from: 100, to: 199 });
        assert!((read[0][0].1 - 1.0).abs() < 1e-12);
    }

    /// A worn coin that may be of either of two times is drawn to that of its company.
    #[test]
    fn a_doubtful_piece_follows_its_company() {
        let mut pieces: Vec<Piece> = (0..9)
            .map(|_| Piece::of_years(1, &[(271, 274, 1.0)]))
            .collect();
        pieces.push(Piece::of_years(1, &[(270, 275, 0.5), (1640, 1650, 0.3)]));
        let law = law(&pieces).expect("a law");
        let read = in_company(&pieces, Some(&law));
        assert!(read[9][0].1 > 0.8 && read[9][1].1 < 0.1, "{:?}", read[9]);
        assert_eq!(read[0], vec![(Span { from: 271, to: 274 }, 1.0)]);
    }

    fn groups() -> impl Strategy<Value = Vec<Piece>> {
        let span = (-60..400_i32, 0..60_i32, 0.05..0.5_f64);
        let row = (proptest::collection::vec(span, 1..3), 1..5_u32);
        proptest::collection::vec(row, 1..12).prop_map(|rows| {
            let one = |(spans, count): (Vec<(i32, i32, f64)>, u32)| {
                let year = |y: i32| if y == 0 { 1 } else { y };
                let spans = spans.into_iter();
                let spans: Vec<(i32, i32, f64)> = spans
                    .map(|(from, long, p)| (year(from), year(from + long).max(year(from)), p))
                    .collect();
                Piece::of_years(count, &spans)
            };
            rows.into_iter().map(one).collect()
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        /// The bare law is the likeliest: no step of it would gain by more weight (the condition
        /// of Kuhn and Tucker for a law: the pull is at most the number of pieces everywhere).
        #[test]
        fn the_bare_law_is_nearly_the_likeliest(pieces in groups()) {
            let axis = Axis::of(&pieces).expect("years");
            let lanes = lanes(axis, &pieces);
            let whole: f64 = lanes.iter().map(|lane| lane.number).sum();
            let law = law_of(&pieces, axis, 0.0).expect("a law");
            let (pull, _) = pull(&lanes, &law.density);
            let most = pull.iter().copied().fold(0.0, f64::max);
            // The gap to the greatest likelihood is at most the number of pieces times this.
            prop_assert!(most / whole - 1.0 < 0.02, "{}", most / whole);
            prop_assert!((law.density.iter().sum::<f64>() - 1.0).abs() < 1e-9);
        }

        #[test]
        fn each_step_of_the_search_is_no_worse(pieces in groups()) {
            let axis = Axis::of(&pieces).expect("years");
            let lanes = lanes(axis, &pieces);
            let whole: f64 = lanes.iter().map(|lane| lane.number).sum();
            let mut density = vec![1.0 / axis.bins as f64; axis.bins];
            let mut last = f64::NEG_INFINITY;
            for _ in 0..20 {
                let (pull, log_likelihood) = pull(&lanes, &density);
                prop_assert!(log_likelihood >= last - 1e-9);
                last = log_likelihood;
                density.iter_mut().zip(&pull).for_each(|(p, f)| *p *= f / whole);
            }
        }

        #[test]
        fn chances_read_in_company_stay_chances(pieces in groups()) {
            let law = law(&pieces).expect("a law");
            for (read, piece) in in_company(&pieces, Some(&law)).iter().zip(&pieces) {
                let sum: f64 = read.iter().map(|(_, p)| p).sum();
                prop_assert!(sum <= 1.0 + 1e-9 && read.len() == piece.dates.len());
            }
        }
    }
}
