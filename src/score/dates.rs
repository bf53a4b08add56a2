//! The date of a find as a density over years.
//!
//! A mixture of the candidates' spans, each spread evenly over its years with both
//! ends counted (the aoristic rule); there is no year 0.
//!
//! Invariant: the density sums to one over its years when any type has mass.

use super::sum::Ranking;
use crate::catalogue::Catalogue;
use crate::find::{Span, Year, ordinal, year_at};

/// Probability year by year.
#[derive(Clone, Debug, PartialEq)]
pub struct DateCurve {
    /// First year of the density.
    pub from: Year,
    /// Probability of each year from `from` on (1 BC is followed by AD 1).
    pub density: Vec<f64>,
}

impl DateCurve {
    /// The mixture of weighted spans; `None` when nothing has weight.
    pub fn mixture(spans: &[(Span, f64)]) -> Option<DateCurve> {
        let weighted: Vec<(Span, f64)> = spans.iter().copied().filter(|(_, w)| *w > 0.0).collect();
        let first = weighted.iter().map(|(s, _)| ordinal(s.from)).min()?;
        let last = weighted.iter().map(|(s, _)| ordinal(s.to)).max()?;
        let whole: f64 = weighted.iter().map(|(_, w)| w).sum();
        // Steps up where a span begins and down after it ends; summed once at the end.
        let mut steps = vec![0.0; (last - first + 2) as usize];
        for (span, weight) in weighted {
            let each = weight / whole / f64::from(span.years());
            steps[(ordinal(span.from) - first) as usize] += each;
            steps[(ordinal(span.to) - first + 1) as usize] -= each;
        }
        let mut level = 0.0;
        let density = steps[..steps.len() - 1]
            .iter()
            .map(|step| {
                level += step;
                f64::max(level, 0.0)
            })
            .collect();
        Some(DateCurve {
            from: year_at(first),
            density,
        })
    }

    /// The date density of a ranking; types below one in ten thousand are left out.
    pub fn of(ranking: &Ranking, catalogue: &Catalogue) -> Option<DateCurve> {
        let spans: Vec<(Span, f64)> = ranking
            .judged
            .iter()
            .filter(|j| j.probability > 1e-4)
            .map(|j| {
                let span = j.years.unwrap_or(catalogue.types[j.coin].span);
                (span, j.probability)
            })
            .collect();
        DateCurve::mixture(&spans)
    }

    /// The year at a place of the density.
    pub fn year(&self, place: usize) -> Year {
        year_at(ordinal(self.from) + place as i32)
    }

    /// The year before and after which the find is equally likely.
    pub fn median(&self) -> Year {
        let half = self.density.iter().sum::<f64>() / 2.0;
        let mut below = 0.0;
        for (place, p) in self.density.iter().enumerate() {
            below += p;
            if below >= half {
                return self.year(place);
            }
        }
        self.from
    }

    /// Shortest runs of years that hold these shares of the probability, largest share first, each
    /// sought within the one before it, so that a narrower range never lies outside a wider.
    pub fn nested<const N: usize>(&self, shares: [f64; N]) -> [Span; N] {
        let (mut first, mut last) = (0, self.density.len().saturating_sub(1));
        shares.map(|share| {
            let inside = &self.density[first..=last];
            let within = share * self.density.iter().sum::<f64>() / inside.iter().sum::<f64>();
            let (from, to) = densest(inside, within.min(1.0));
            (first, last) = (first + from, first + to);
            Span {
                from: self.year(first),
                to: self.year(last),
            }
        })
    }

    /// Shortest run of years that holds this share of the probability.
    pub fn shortest(&self, share: f64) -> Span {
        self.nested([share])[0]
    }

    /// The ranges that are shown: 95, 80 and 50 in 100.
    pub fn ranges(&self) -> Ranges {
        let [p95, p80, p50] = self.nested([0.95, 0.80, 0.50]);
        Ranges { p50, p80, p95 }
    }
}

/// Ranges of years that hold half, four fifths and nineteen twentieths of the probability, each
/// within the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ranges {
    /// Half.
    pub p50: Span,
    /// 80 in 100.
    pub p80: Span,
    /// 95 in 100.
    pub p95: Span,
}

/// First and last place of the shortest run that holds this share of the whole; of runs as
/// short, the one that holds most.
pub fn densest(density: &[f64], share: f64) -> (usize, usize) {
    let wanted = density.iter().sum::<f64>() * share - 1e-12;
    let mut best = (0, density.len().saturating_sub(1), 0.0);
    let (mut first, mut held) = (0, 0.0);
    for (last, p) in density.iter().enumerate() {
        held += p;
        while held - density[first] >= wanted && first < last {
            held -= density[first];
            first += 1;
        }
        let (length, shortest) = (last - first, best.1 - best.0);
        if held >= wanted && (length < shortest || (length == shortest && held > best.2 + 1e-12)) {
            best = (first, last, held);
        }
    }
    (best.0, best.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn span(from: Year, to: Year) -> Span {
        Span { from, to }
    }

    #[test]
    fn a_single_span_is_flat_and_sums_to_one() {
        let curve = DateCurve::mixture(&[(span(-2, 2), 3.0)]).expect("has weight");
        assert_eq!(curve.density.len(), 4);
        assert!((curve.density.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert_eq!(curve.median(), -1);
    }

    #[test]
    fn the_shortest_run_prefers_the_dense_years() {
        let curve = DateCurve::mixture(&[(span(100, 199), 0.4), (span(150, 154), 0.6)])
            .expect("has weight");
        assert_eq!(curve.shortest(0.5), span(150, 154));
        assert_eq!(curve.shortest(1.0), span(100, 199));
    }

    #[test]
    fn narrower_ranges_lie_within_wider_ones() {
        let curve = DateCurve::mixture(&[
            (span(1154, 1367), 0.55),
            (span(70, 120), 0.30),
            (span(1500, 1900), 0.15),
        ])
        .expect("has weight");
        let ranges = curve.ranges();
        assert!(
            ranges.p95.contains(ranges.p80) && ranges.p80.contains(ranges.p50),
            "{ranges:?}"
        );
    }
}
