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
            .map(|j| (catalogue.types[j.coin].span, j.probability))
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

    /// Shortest run of years that holds this share of the probability.
    pub fn shortest(&self, share: f64) -> Span {
        let (first, last) = densest(&self.density, share);
        Span {
            from: self.year(first),
            to: self.year(last),
        }
    }
}

/// First and last place of the shortest run that holds this share of the whole.
pub fn densest(density: &[f64], share: f64) -> (usize, usize) {
    let wanted = density.iter().sum::<f64>() * share - 1e-12;
    let mut best = (0, density.len().saturating_sub(1));
    let (mut first, mut held) = (0, 0.0);
    for (last, p) in density.iter().enumerate() {
        held += p;
        while held - density[first] >= wanted && first < last {
            held -= density[first];
            first += 1;
        }
        if held >= wanted && last - first < best.1 - best.0 {
            best = (first, last);
        }
    }
    best
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
}
