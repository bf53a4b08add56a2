//! Backs: what the back of a piece says for the rest of a coinage, of which no back is listed.
//!
//! Rulers of one time shared reverses, and so did their denominations: a sestertius that nobody
//! entered may well bear the back of a denarius that somebody did. So the back that was seen is held
//! against the listed backs of the time, other coinages' than its own; a share is kept for designs
//! that the library has nowhere. Only what was said to be on the reverse counts.
//!
//! Invariant: the term depends on the find and the library alone, whoever the candidates are.

use std::cell::RefCell;

use super::constants::{BACK_BOUND, BACK_NEW, BACK_YEARS};
use super::evidence::{Detail, Evidence, Witness};
use crate::catalogue::{Catalogue, CoinType, coinage};
use crate::find::{Making, ordinal};

/// The backs of the library, held against what was seen as they are asked for.
pub(super) struct Backs<'a> {
    catalogue: &'a Catalogue,
    /// By listed type: the ratio of all that was seen on the back; not a number until asked for.
    known: RefCell<Vec<f64>>,
}

impl<'a> Backs<'a> {
    pub(super) fn new(catalogue: &'a Catalogue) -> Backs<'a> {
        Backs {
            catalogue,
            known: RefCell::new(vec![f64::NAN; catalogue.listed().len()]),
        }
    }

    /// The term for a row of the rest; `nats` gives what was seen on the back of a listed type.
    pub(super) fn evidence(
        &self,
        rest: &CoinType,
        nats: impl Fn(&CoinType) -> Option<f64>,
    ) -> Option<Evidence> {
        let (mut sum, mut count) = (0.0, 0usize);
        let mut best: Option<(f64, usize)> = None;
        let mut known = self.known.borrow_mut();
        for (position, coin) in self.catalogue.listed().iter().enumerate() {
            if !of_its_time(rest, coin) || self.same_coinage(rest, coin) {
                continue;
            }
            if known[position].is_nan() {
                known[position] = nats(coin).map_or(-1.0, f64::exp);
            }
            // Below nought: the library does not say what its back bears.
            let ratio = known[position];
            if ratio >= 0.0 {
                sum += ratio;
                count += 1;
                if best.is_none_or(|best| ratio > best.0) {
                    best = Some((ratio, position));
                }
            }
        }
        let borrowed = sum / count.max(1) as f64;
        let nats = (BACK_NEW + (1.0 - BACK_NEW) * borrowed).ln();
        (count > 0).then(|| Evidence {
            witness: Witness::Back,
            nats: nats.min(BACK_BOUND),
            detail: Detail::Back {
                like: best.filter(|_| nats > 0.0).map(|best| best.1),
            },
        })
    }

    fn same_coinage(&self, rest: &CoinType, coin: &CoinType) -> bool {
        let metals = &self.catalogue.metals;
        coin.ruler == rest.ruler
            && coin.denomination == rest.denomination
            && coinage(coin, metals) == coinage(rest, metals)
    }
}

/// True for official types of the period whose years lie near, made in the same way.
fn of_its_time(rest: &CoinType, coin: &CoinType) -> bool {
    let milled = |coin: &CoinType| coin.made == Making::Milled;
    coin.period == rest.period
        && coin.copy.is_none()
        && milled(coin) == milled(rest)
        && ordinal(coin.span.from) <= ordinal(rest.span.to) + BACK_YEARS
        && ordinal(coin.span.to) + BACK_YEARS >= ordinal(rest.span.from)
}
