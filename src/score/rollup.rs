//! Roll-ups: what the ranking says of periods, rulers, denominations and series.
//!
//! Sums of the probabilities of types; the mass of "not in the library" is in none.

use std::collections::HashMap;

use super::sum::Ranking;
use crate::catalogue::{Catalogue, CoinType};

/// A share of the probability.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// Position in the library's list; `None` for types that name none (no known ruler).
    pub of: Option<usize>,
    /// Probability.
    pub p: f64,
}

/// Marginals at every level, largest first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shares {
    /// By period.
    pub period: Vec<Share>,
    /// By ruler.
    pub ruler: Vec<Share>,
    /// By denomination.
    pub denomination: Vec<Share>,
    /// By series.
    pub series: Vec<Share>,
}

impl Shares {
    /// The marginals of a ranking.
    pub fn of(ranking: &Ranking, catalogue: &Catalogue) -> Shares {
        let by = |key: &dyn Fn(&CoinType) -> Option<usize>| {
            let mut sums: HashMap<Option<usize>, f64> = HashMap::new();
            for judged in &ranking.judged {
                *sums.entry(key(&catalogue.types[judged.coin])).or_default() += judged.probability;
            }
            let mut shares: Vec<Share> = sums.into_iter().map(|(of, p)| Share { of, p }).collect();
            shares.sort_by(|a, b| b.p.total_cmp(&a.p).then(a.of.cmp(&b.of)));
            shares
        };
        Shares {
            period: by(&|coin| Some(coin.period)),
            ruler: by(&|coin| coin.ruler),
            denomination: by(&|coin| Some(coin.denomination)),
            series: by(&|coin| Some(coin.series)),
        }
    }
}
