//! Company: what else lay in the hole, and what the field has given before.
//!
//! Pieces of one deposit are mostly of one time and often of one kind, so a worn piece among
//! readable ones is dated by them. The kinds that were named are held against the whole library,
//! cell by cell of kind and time; a piece may still have come there by chance. The field's own
//! finds, fewer and scattered, only lean on the shares of the periods.
//!
//! Invariant: the company as a whole speaks no louder than one trait; a field that has given what
//! every field gives says nothing.

use std::cell::RefCell;
use std::collections::HashMap;

use super::constants::*;
use super::evidence::{Detail, Evidence, Witness};
use crate::catalogue::{Catalogue, CoinType};
use crate::find::{Companion, Find, ordinal};

/// Kind and time of a type: its denomination, and its middle year in steps.
type Cell = (usize, i32);

/// The weights of the types of a cell: of all, and of those that each companion may be.
struct Weights {
    all: f64,
    meant: Vec<f64>,
}

/// What lay with a find, held against the library.
pub(super) struct Company {
    cells: Vec<(Cell, Weights)>,
    /// Share of all types that each companion may be, and how loud it is.
    companions: Vec<(f64, f64)>,
    known: RefCell<HashMap<Cell, f64>>,
}

fn cell(coin: &CoinType) -> Cell {
    let middle = (ordinal(coin.span.from) + ordinal(coin.span.to)) / 2;
    (coin.denomination, middle.div_euclid(TOGETHER_STEP))
}

impl Company {
    /// Holds the company of a find against the library; none where it tells nothing.
    pub(super) fn new(find: &Find, catalogue: &Catalogue, log_prior: &[f64]) -> Option<Company> {
        if find.company.is_empty() {
            return None;
        }
        let mut cells: HashMap<Cell, Weights> = HashMap::new();
        let mut shares = vec![0.0; find.company.len()];
        for (coin, log_prior) in catalogue.types.iter().zip(log_prior) {
            let weight = log_prior.exp();
            let held = cells.entry(cell(coin)).or_insert_with(|| Weights {
                all: 0.0,
                meant: vec![0.0; find.company.len()],
            });
            held.all += weight;
            for (place, companion) in find.company.iter().enumerate() {
                if catalogue.may_be(coin, companion) {
                    held.meant[place] += weight;
                    shares[place] += weight;
                }
            }
        }
        let loud = |companion: &Companion| 1.0 + TOGETHER_MORE * f64::from(companion.count).ln();
        let companions: Vec<(f64, f64)> = shares
            .into_iter()
            .zip(find.company.iter().map(loud))
            .collect();
        // In one order whatever the table's, so that the same find gives the same sum.
        let mut cells: Vec<(Cell, Weights)> = cells.into_iter().collect();
        cells.sort_unstable_by_key(|(cell, _)| *cell);
        companions
            .iter()
            .any(|(share, _)| *share > 0.0)
            .then_some(Company {
                cells,
                companions,
                known: RefCell::default(),
            })
    }

    /// The term for a type.
    pub(super) fn evidence(&self, coin: &CoinType) -> Evidence {
        let own = cell(coin);
        let known = self.known.borrow().get(&own).copied();
        let nats = known.unwrap_or_else(|| {
            let nats = self.nats(own);
            self.known.borrow_mut().insert(own, nats);
            nats
        });
        Evidence {
            witness: Witness::Company,
            nats,
            detail: Detail::Company,
        }
    }

    fn nats(&self, own: Cell) -> f64 {
        let mut all = 0.0;
        let mut meant = vec![0.0; self.companions.len()];
        for ((kind, step), weights) in &self.cells {
            let apart = f64::from((step - own.1).abs()) * f64::from(TOGETHER_STEP);
            let alike = if *kind == own.0 {
                1.0
            } else {
                TOGETHER_OTHER_KIND
            };
            let near = alike * (-apart / TOGETHER_YEARS).exp();
            all += near * weights.all;
            for (sum, weight) in meant.iter_mut().zip(&weights.meant) {
                *sum += near * weight;
            }
        }
        let told = self
            .companions
            .iter()
            .zip(meant)
            .filter(|((share, _), _)| *share > 0.0);
        let nats: f64 = told
            .map(|((share, loud), meant)| {
                let together = meant / all / share;
                loud * ((1.0 - TOGETHER) + TOGETHER * together).ln()
            })
            .sum();
        nats.clamp(-TRAIT_BOUND, TRAIT_BOUND)
    }
}

/// How many finds of each period a field has given before.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FieldProfile {
    /// By position of the period; a find that may be of two counts half for each.
    pub finds: Vec<f64>,
}

impl FieldProfile {
    /// The term for a type: the field's share of its period, shrunk towards that of all fields.
    pub(super) fn evidence(&self, coin: &CoinType, period_share: &[f64]) -> Option<Evidence> {
        let whole: f64 = self.finds.iter().sum();
        let usual = *period_share.get(coin.period)?;
        if whole <= 0.0 || usual <= 0.0 {
            return None;
        }
        let here = self.finds.get(coin.period).copied().unwrap_or(0.0);
        let share = (here + FIELD_SHRUNK * usual) / (whole + FIELD_SHRUNK);
        Some(Evidence {
            witness: Witness::Field,
            nats: (share / usual).ln().clamp(-FIELD_BOUND, FIELD_BOUND),
            detail: Detail::Field {
                here: here.round() as u32,
                of: whole.round() as u32,
            },
        })
    }
}
