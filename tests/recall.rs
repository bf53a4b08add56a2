//! The index shuts no likely type out, and answers stay as good as they were, over
//! simulated finds.
//!
//! The figures are of simulated finds only: they guard against loss from one change
//! to the next, and say nothing of how often a real find is named rightly.
//!
//! Invariant: the seed is fixed and bars only tighten.

use lynchet::IdentifyOptions;
use lynchet::catalogue::{Catalogue, CoinType};
use lynchet::find::Find;
use lynchet::score::{Answer, Level, Share};
use rayon::prelude::*;

use lynchet::simulate;

use crate::kit::house;

const SEED: u64 = 1279;
const FINDS: usize = 2_000;

/// Least share of finds whose likeliest type is among the candidates.
const RECALL_LEAST: f64 = 0.995;
/// Most of the library that is judged for a find, on average.
const JUDGED_MOST: f64 = 0.31;
/// Least shares right, of finds with at least this many traits.
const TRAITS_LEAST: usize = 4;
const PERIOD_LEAST: f64 = 0.955;
const RULER_LEAST: f64 = 0.785;
const DENOMINATION_LEAST: f64 = 0.92;
/// Answers this sure ...
const SURE: f64 = 0.8;
/// ... are right at least this often.
const SURE_RIGHT_LEAST: f64 = 0.95;

/// What one find came to.
struct Tried {
    truth: usize,
    find: Find,
    /// Likeliest type of the whole library, and its probability.
    likeliest: (usize, f64),
    /// Whether the index gave it.
    given: bool,
    judged: usize,
    /// Period, ruler and denomination rightly first.
    right: [bool; 3],
    answer: Answer,
}

fn tried(truth: usize, find: Find) -> Tried {
    let house = house();
    let all = IdentifyOptions {
        judge_all: true,
        ..IdentifyOptions::default()
    };
    let best = &house.identify(&find, all).ranking.judged[0];
    let likeliest = (best.coin, best.probability);
    let candidates = house.candidates(&find).expect("the index answers");
    let said = house.identify(&find, IdentifyOptions::default());
    let coin = &house.catalogue.types[truth];
    let first = |shares: &[Share], of| shares.first().is_some_and(|share| share.of == of);
    let right = [
        first(&said.shares.period, Some(coin.period)),
        first(&said.shares.ruler, coin.ruler),
        first(&said.shares.denomination, Some(coin.denomination)),
    ];
    Tried {
        truth,
        find,
        likeliest,
        given: candidates.contains(&likeliest.0),
        judged: candidates.len(),
        right,
        answer: said.answer,
    }
}

fn all_tried() -> Vec<Tried> {
    let library = &house().catalogue;
    let finds = simulate::finds(library, &simulate::every_period(library), SEED, FINDS);
    finds
        .into_par_iter()
        .map(|(truth, find)| tried(truth, find))
        .collect()
}

/// True when an answer covers the type that the find was made from.
fn covers(answer: &Answer, truth: usize, catalogue: &Catalogue) -> bool {
    let Some(like) = answer.like else {
        return false;
    };
    let (a, b): (&CoinType, &CoinType) = (&catalogue.types[like], &catalogue.types[truth]);
    let denomination = a.denomination == b.denomination;
    let ruler = a.ruler.is_some() && a.ruler == b.ruler;
    match answer.level {
        Level::Type => like == truth,
        Level::RulerAndDenomination => ruler && denomination,
        Level::SeriesAndDenomination => a.series == b.series && denomination,
        Level::Ruler => ruler,
        Level::PeriodAndDenomination => a.period == b.period && denomination,
        Level::Series => a.series == b.series,
        Level::Denomination => denomination,
        Level::Period => a.period == b.period,
        Level::Open | Level::Unlisted => false,
    }
}

/// What was said of a find, on a line.
fn told(one: &Tried) -> String {
    let (catalogue, find) = (&house().catalogue, &one.find);
    let readings: Vec<&str> = find.readings.iter().map(|r| r.said.as_str()).collect();
    let seen = find.sightings.iter().filter(|s| s.present);
    let seen: Vec<&str> = seen.map(|s| s.motif.as_str()).collect();
    format!(
        "made from {}, likeliest {} ({:.3}): {:?} {:?} g {:?} mm {:?} {readings:?} {seen:?}",
        catalogue.types[one.truth].id,
        catalogue.types[one.likeliest.0].id,
        one.likeliest.1,
        find.metal.map(|(metal, _)| metal),
        find.weight.map(|w| w.value.get()),
        find.diameter.map(|d| d.value.get()),
        find.completeness,
    )
}

fn share(count: usize, of: usize) -> f64 {
    count as f64 / of as f64
}

#[test]
fn over_simulated_finds_the_index_shuts_no_likely_type_out_and_answers_hold() {
    let tried = all_tried();
    let types = house().catalogue.types.len();

    let missed: Vec<&Tried> = tried.iter().filter(|one| !one.given).collect();
    let recall = 1.0 - share(missed.len(), FINDS);
    let lines: Vec<String> = missed.iter().map(|one| told(one)).collect();
    assert!(
        recall >= RECALL_LEAST,
        "recall {recall:.4}; missed:\n{}",
        lines.join("\n")
    );
    let judged = share(tried.iter().map(|one| one.judged).sum(), FINDS * types);
    assert!(judged <= JUDGED_MOST, "share of types judged {judged:.3}");

    let described = |one: &&Tried| one.find.trait_count() >= TRAITS_LEAST;
    let described: Vec<&Tried> = tried.iter().filter(described).collect();
    let bars = [
        ("period", PERIOD_LEAST),
        ("ruler", RULER_LEAST),
        ("denomination", DENOMINATION_LEAST),
    ];
    for (at, (level, least)) in bars.into_iter().enumerate() {
        let right = described.iter().filter(|one| one.right[at]).count();
        let right = share(right, described.len());
        assert!(right >= least, "{level} rightly first: {right:.4}");
    }

    let sure: Vec<&Tried> = tried.iter().filter(|one| one.answer.p >= SURE).collect();
    let right = sure
        .iter()
        .filter(|one| covers(&one.answer, one.truth, &house().catalogue));
    let right = share(right.count(), sure.len());
    assert!(
        right >= SURE_RIGHT_LEAST,
        "answers at {SURE} or more that are right: {right:.4} of {}",
        sure.len()
    );
}
