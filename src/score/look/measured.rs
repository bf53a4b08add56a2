//! Measures: how wide and how heavy, in a few bands.
//!
//! The bands are cut where they part the likely types evenly, at figures that callipers or a
//! kitchen scale can show; the law of each is the measures' own. A finder who measures says the
//! figure instead. Asks for no measure that was given.
//!
//! Invariant: the edges of the bands rise.

use std::collections::HashMap;

use super::company::Company;
use super::{Asks, Band, Law, MOST_REPLIES, Question, Seen};
use crate::find::Completeness;
use crate::score::measure::{Profile, background_shares};

/// The questions about size and weight.
pub(super) fn questions(company: &Company<'_>) -> Vec<Question> {
    let find = company.find;
    let mut questions = Vec::new();
    if find.diameter.is_none() && find.completeness != Some(Completeness::Fragment) {
        let likely = |profile: &Profile| profile.likely_diameter(find);
        let edges = edges(company, likely, |mm| (mm * 2.0).round() / 2.0);
        let shares = |profile: &Profile| profile.diameter_shares(find, &edges);
        let laws = laws(company, shares, &background_shares(&edges, true));
        questions.push(Question {
            asks: Asks::Diameter,
            seen: bands(&edges).map(Seen::Diameter).collect(),
            laws,
        });
    }
    if find.weight.is_none() {
        let likely = |profile: &Profile| profile.likely_weight(find);
        let edges = edges(company, likely, |grams| match grams {
            g if g < 2.0 => (g * 20.0).round().max(1.0) / 20.0,
            g => (g * 5.0).round() / 5.0,
        });
        let shares = |profile: &Profile| profile.weight_shares(find, &edges);
        let laws = laws(company, shares, &background_shares(&edges, false));
        questions.push(Question {
            asks: Asks::Weight,
            seen: bands(&edges).map(Seen::Weight).collect(),
            laws,
        });
    }
    questions
}

fn profile<'a>(company: &Company<'a>, coin: usize) -> &'a Profile {
    let groundwork = company.groundwork;
    &groundwork.profiles[groundwork.profile_of[coin]]
}

/// Edges that part the types into quarters by their likely measure; fewer where many are alike.
fn edges(
    company: &Company<'_>,
    likely: impl Fn(&Profile) -> Option<f64>,
    rounded: impl Fn(f64) -> f64,
) -> Vec<f64> {
    let types = company.coins.iter().zip(&company.chances);
    let mut measures: Vec<(f64, f64)> = types
        .filter_map(|(coin, chance)| Some((likely(profile(company, *coin))?, *chance)))
        .collect();
    measures.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let whole: f64 = measures.iter().map(|one| one.1).sum();
    let mut edges: Vec<f64> = Vec::new();
    for quarter in 1..MOST_REPLIES {
        let wanted = whole * quarter as f64 / MOST_REPLIES as f64;
        let mut sum = 0.0;
        let reached = measures.iter().position(|one| {
            sum += one.1;
            sum >= wanted
        });
        let Some(at) = reached else { continue };
        // Between this measure and the next that differs, so that alike ones stay in one band.
        let next = measures[at..].iter().find(|one| one.0 > measures[at].0);
        let edge = rounded(next.map_or(measures[at].0, |next| (measures[at].0 * next.0).sqrt()));
        if edge > edges.last().copied().unwrap_or(0.0) {
            edges.push(edge);
        }
    }
    edges
}

fn bands(edges: &[f64]) -> impl Iterator<Item = Band> + '_ {
    (0..=edges.len()).map(|place| Band {
        from: place.checked_sub(1).map(|before| edges[before]),
        to: edges.get(place).copied(),
    })
}

fn laws(
    company: &Company<'_>,
    shares: impl Fn(&Profile) -> Option<Vec<f64>>,
    background: &[f64],
) -> Vec<Law> {
    let law = |shares: &[f64]| -> Law {
        std::array::from_fn(|reply| shares.get(reply).copied().unwrap_or(0.0))
    };
    // Types that weigh and measure alike share a profile, and so a law.
    let mut known: HashMap<usize, Law> = HashMap::new();
    let mut laws: Vec<Law> = Vec::with_capacity(company.chances.len());
    for coin in &company.coins {
        let place = company.groundwork.profile_of[*coin];
        let told = known.entry(place).or_insert_with(|| {
            shares(profile(company, *coin)).map_or_else(|| law(background), |told| law(&told))
        });
        laws.push(*told);
    }
    laws.push(law(background));
    laws
}

impl Band {
    /// The middle of the band and half its width; an open band reaches a third beyond its edge.
    pub(super) fn measured(self) -> (f64, f64) {
        let (from, to) = match (self.from, self.to) {
            (Some(from), Some(to)) => (from, to),
            (Some(from), None) => (from, from * 4.0 / 3.0),
            (None, Some(to)) => (to * 3.0 / 4.0, to),
            (None, None) => (1.0, 1.0),
        };
        (f64::midpoint(from, to), (to - from) / 2.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bands_meet_and_their_middles_rise() {
        let edges = [15.0, 18.5, 22.0];
        let bands: Vec<Band> = bands(&edges).collect();
        assert_eq!(bands.len(), 4);
        assert!(bands.windows(2).all(|two| two[0].to == two[1].from));
        let middles: Vec<f64> = bands.iter().map(|band| band.measured().0).collect();
        assert!(middles.windows(2).all(|two| two[0] < two[1]), "{middles:?}");
    }
}
