//! The scorer beside exact enumeration of the simulated law, and beside the plainer methods.
//!
//! Exact enumeration is the most that any method can reach on simulated finds, so what lies between
//! is the scorer's own loss. `docs/yardsticks.md` has the figures of many more finds.
//!
//! Invariant: the seed is fixed and bars only tighten.

use lynchet::IdentifyOptions;
use lynchet::find::Find;
use lynchet::score::Groundwork;
use lynchet::simulate::{self, Law};
use rayon::prelude::*;

use crate::kit::house;
use crate::kit::yardsticks::exam::{Given, LEVELS, Mark, marks};
use crate::kit::yardsticks::marks_of_answer;
use crate::kit::yardsticks::nearest::Nearest;
use crate::kit::yardsticks::words::Words;

const SEED: u64 = 1344;
const FINDS: usize = 200;
const TRAITS_LEAST: usize = 4;
/// Most that the scorer may stand behind exact enumeration at type, ruler, denomination and period,
/// in the share of finds rightly first.
const BEHIND_MOST: [f64; 4] = [0.09, 0.11, 0.08, 0.055];
/// Standard errors by which exact enumeration may miss what it says of itself.
const OFF_MOST: f64 = 3.0;

/// One find under each method, and what exact enumeration says of its likeliest type.
struct Tried {
    described: bool,
    exact: [Mark; 4],
    scorer: [Mark; 4],
    others: Vec<(&'static str, [Mark; 4])>,
    top: (f64, bool),
}

fn share(tried: &[&Tried], of: impl Fn(&Tried) -> Mark) -> f64 {
    tried.iter().map(|one| of(one).among(1.0)).sum::<f64>() / tried.len() as f64
}

fn all_tried() -> Vec<Tried> {
    let library = &house().catalogue;
    let groundwork = Groundwork::new(library);
    let often: Vec<f64> = groundwork.log_priors().iter().map(|p| p.exp()).collect();
    let sum: f64 = often.iter().sum();
    let (law, nearest) = (Law::new(library), Nearest::of(library));
    let words = Words::of(library).expect("an index in memory");
    let try_one = |(truth, find): (usize, Find)| {
        let shares = law.shares(&find, &often);
        let best = (0..shares.len()).max_by(|a, b| shares[*a].total_cmp(&shares[*b]));
        let best = best.expect("a library with types");
        let top = (shares[best], best == truth);
        let said = house().identify(&find, IdentifyOptions::default());
        let mark = |given: &Given| marks(given, truth, library);
        let prior = Given::Shares(often.iter().map(|often| often / sum).collect());
        Tried {
            described: find.trait_count() >= TRAITS_LEAST,
            exact: mark(&Given::Shares(shares)),
            scorer: marks_of_answer(&said, truth, library),
            others: vec![
                (
                    "BM25",
                    mark(&words.given(&find).expect("the index answers")),
                ),
                ("nearest", mark(&nearest.given(&find, false))),
                ("nearest of the metal", mark(&nearest.given(&find, true))),
                ("the commonest", mark(&prior)),
            ],
            top,
        }
    };
    let finds = simulate::finds(library, &often, SEED, FINDS);
    finds.into_par_iter().map(try_one).collect()
}

#[test]
fn the_scorer_stands_close_to_exact_enumeration_and_before_the_plainer_methods() {
    let tried = all_tried();
    let described: Vec<&Tried> = tried.iter().filter(|one| one.described).collect();
    let all: Vec<&Tried> = tried.iter().collect();
    let mut told = String::new();
    let mut holds = true;
    for those in [&described, &all] {
        for (at, (_, level)) in LEVELS.iter().enumerate() {
            let exact = share(those, |one| one.exact[at]);
            let scorer = share(those, |one| one.scorer[at]);
            let count = those.len();
            told += &format!("\n{level} of {count}: exact {exact:.3}, scorer {scorer:.3}");
            holds &= scorer >= exact - BEHIND_MOST[at];
            for (place, (name, _)) in those[0].others.iter().enumerate() {
                let other = share(those, |one| one.others[place].1[at]);
                told += &format!(", {name} {other:.3}");
                holds &= scorer > other;
            }
        }
    }
    // No method can have a better log score than the law itself, but by luck.
    let log = |of: &dyn Fn(&Tried) -> Mark| -> f64 {
        let each = all.iter().filter_map(|one| of(one).log());
        each.sum::<f64>() / all.len() as f64
    };
    let (exact, scorer) = (log(&|one| one.exact[0]), log(&|one| one.scorer[0]));
    told += &format!("\nlog score by type: exact {exact:.3}, scorer {scorer:.3}");
    holds &= exact >= scorer;

    // The law bears itself out: what it says of its likeliest types is how often they are right.
    let said: f64 = tried.iter().map(|one| one.top.0).sum();
    let right = tried.iter().filter(|one| one.top.1).count() as f64;
    let spread: f64 = tried.iter().map(|one| one.top.0 * (1.0 - one.top.0)).sum();
    let off = (right - said) / spread.sqrt();
    told += &format!("\n{right} right, {said:.1} said: {off:.2} standard errors");
    holds &= off.abs() < OFF_MOST;
    assert!(holds, "{told}");
}
