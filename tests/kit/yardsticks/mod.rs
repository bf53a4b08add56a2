//! Reference methods that a find can be given to beside the scorer, and the marks they get.
//!
//! Shares nothing with the scorer or with `retrieve`; used by the tests and by
//! `examples/yardsticks`. Invariant: every method answers with a figure for every type.

pub mod exam;
pub mod nearest;
pub mod words;

use lynchet::Identification;
use lynchet::catalogue::Catalogue;

use exam::{Given, LEVELS, Level, Mark, key, marks};

/// The marks of the scorer's own answer, of what it gives to listed types: simulated finds are all of
/// the library.
pub fn marks_of_answer(said: &Identification, truth: usize, library: &Catalogue) -> [Mark; 4] {
    let listed = (1.0 - said.ranking.unlisted).max(1e-9);
    let mut shares = vec![0.0; library.types.len()];
    for judged in &said.ranking.judged {
        shares[judged.coin] = judged.probability / listed;
    }
    let types = marks(&Given::Shares(shares), truth, library);
    let coin = &library.types[truth];
    LEVELS.map(|(level, _)| {
        let rolled = match level {
            Level::Type => return types[0],
            Level::Ruler => &said.shares.ruler,
            Level::Denomination => &said.shares.denomination,
            Level::Period => &said.shares.period,
        };
        let truth = key(level, truth, coin);
        let p_of = |of: usize| {
            rolled
                .iter()
                .find(|share| share.of.unwrap_or(usize::MAX) == of)
        };
        let p = p_of(truth).map_or(0.0, |share| share.p);
        Mark {
            above: rolled.iter().filter(|share| share.p > p).count() as f64,
            level: rolled.iter().filter(|share| share.p == p).count().max(1) as f64,
            p: Some(p / listed),
        }
    })
}
