//! Backs: what the back of a piece says for the rest of a coinage, of which no back is listed.
//!
//! Rulers of one time shared reverses, and so did their denominations: a sestertius that nobody
//! entered may well bear the back of a denarius that somebody did. So the back that was seen is held
//! against the listed backs of the ruler's other denominations and against those of others of his
//! time; a share is kept for designs that the library has nowhere. Only what was said to be on the
//! reverse counts.
//!
//! Invariant: the term depends on the find and the library alone, whoever the candidates are.

use std::cell::RefCell;

use super::constants::{BACK_BOUND, BACK_OTHERS, BACK_OWN, BACK_YEARS};
use super::evidence::{Detail, Evidence, Witness};
use crate::catalogue::{Catalogue, CoinType, Coinage, coinage};
use crate::find::{Making, ordinal};

/// The official types that are listed, in few words and in the order of the library: by period, the
/// struck and cast apart from the milled. Laid out once, since every row of the rest runs over them.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Times(Vec<Vec<Official>>);

/// An official type.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
struct Official {
    position: u32,
    /// First and last year, as ordinals.
    years: (i32, i32),
    coinage: Option<Coinage>,
    ruler: Option<usize>,
}

/// Place of the types of a type's period and make.
fn place(coin: &CoinType) -> usize {
    coin.period * 2 + usize::from(coin.made == Making::Milled)
}

fn years(coin: &CoinType) -> (i32, i32) {
    (ordinal(coin.span.from), ordinal(coin.span.to))
}

impl Times {
    /// The official types of a library.
    pub(super) fn of(catalogue: &Catalogue) -> Times {
        let mut times = vec![Vec::new(); catalogue.periods.len() * 2];
        for (position, coin) in catalogue.listed().iter().enumerate() {
            if coin.copy.is_none() {
                times[place(coin)].push(Official {
                    position: position as u32,
                    years: years(coin),
                    coinage: coinage(coin, &catalogue.metals),
                    ruler: coin.ruler,
                });
            }
        }
        Times(times)
    }

    /// Positions of the types whose years lie near those of a row of the rest, its own coinage left
    /// out, and whether they are of its ruler.
    fn of_the_time(
        &self,
        rest: &CoinType,
        catalogue: &Catalogue,
    ) -> impl Iterator<Item = (usize, bool)> {
        let own = coinage(rest, &catalogue.metals);
        let ((from, to), ruler) = (years(rest), rest.ruler);
        let near = move |one: &&Official| {
            one.years.0 <= to + BACK_YEARS && one.years.1 + BACK_YEARS >= from && one.coinage != own
        };
        self.0[place(rest)]
            .iter()
            .filter(near)
            .map(move |one| (one.position as usize, one.ruler == ruler))
    }
}

/// The backs of the library, held against what was seen as they are asked for.
pub(super) struct Backs<'a> {
    catalogue: &'a Catalogue,
    times: &'a Times,
    /// By listed type: the ratio of all that was seen on the back; not a number until asked for.
    known: RefCell<Vec<f64>>,
}

impl<'a> Backs<'a> {
    pub(super) fn new(catalogue: &'a Catalogue, times: &'a Times) -> Backs<'a> {
        Backs {
            catalogue,
            times,
            known: RefCell::new(vec![f64::NAN; catalogue.listed().len()]),
        }
    }

    /// The term for a row of the rest; `nats` gives what was seen on the back of a listed type.
    pub(super) fn evidence(
        &self,
        rest: &CoinType,
        nats: impl Fn(usize) -> Option<f64>,
    ) -> Option<Evidence> {
        // Of others' coinages and of the ruler's own.
        let (mut sums, mut counts) = ([0.0; 2], [0usize; 2]);
        let mut best: Option<(f64, usize)> = None;
        let mut known = self.known.borrow_mut();
        for (position, own) in self.times.of_the_time(rest, self.catalogue) {
            if known[position].is_nan() {
                known[position] = nats(position).map_or(-1.0, f64::exp);
            }
            // Below nought: the library does not say what its back bears.
            let ratio = known[position];
            if ratio >= 0.0 {
                sums[usize::from(own)] += ratio;
                counts[usize::from(own)] += 1;
                // Of two backs alike the ruler's own is named.
                let nearer = |best: (f64, usize)| ratio > best.0 || (own && ratio == best.0);
                if best.is_none_or(nearer) {
                    best = Some((ratio, position));
                }
            }
        }
        let shares = [BACK_OTHERS, BACK_OWN];
        let mut borrowed = 0.0;
        let mut new = 1.0;
        for ((sum, count), share) in sums.into_iter().zip(counts).zip(shares) {
            if count > 0 {
                borrowed += share * sum / count as f64;
                new -= share;
            }
        }
        let count = counts[0] + counts[1];
        let nats = (new + borrowed).ln();
        (count > 0).then(|| Evidence {
            witness: Witness::Back,
            nats: nats.min(BACK_BOUND),
            detail: Detail::Back {
                like: best.filter(|_| nats > 0.0).map(|best| best.1),
            },
        })
    }
}
