//! Titles: the years that a reading's titles leave, against the years of a type.
//!
//! The letters themselves are weighed by the legend; here only what they say of the year counts.
//! A type whose ruler never held the titles in its years is spoken against, once and bounded;
//! one that fits gains nothing, but its years are narrowed. Copies, whose makers did not
//! understand what they copied, are let alone.
//!
//! Invariant: a type's narrowed years lie within its years.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use super::constants::TITLES_AGAINST;
use super::evidence::{Detail, Evidence, Witness};
use crate::catalogue::{Career, Catalogue, CoinType};
use crate::find::{Find, Reading, Span};
use crate::titles::{End, Titulature, possible, read};

/// The titles of a find, held against careers as they are asked for.
pub(super) struct Titles<'a> {
    careers: &'a [Career],
    titles: Option<Titulature>,
    /// By ruler: the years left; none where the tables hold no career of his.
    known: RefCell<HashMap<usize, Option<Rc<[Span]>>>>,
}

/// What the titles make of a type.
pub(super) struct Told {
    /// The term, where they speak against the type.
    pub(super) against: Option<Evidence>,
    /// The years they leave of the type's.
    pub(super) years: Option<Span>,
}

impl<'a> Titles<'a> {
    /// Reads the titles of a find; without one that is counted nothing is told.
    pub(super) fn new(find: &Find, catalogue: &'a Catalogue) -> Titles<'a> {
        let readings: Vec<&Reading> = find.readings.iter().collect();
        let titles = read(&readings, End::Worn);
        Titles {
            careers: &catalogue.careers,
            titles: titles.counts().then_some(titles),
            known: RefCell::default(),
        }
    }

    /// What they make of a type.
    pub(super) fn tell(&self, coin: &CoinType) -> Told {
        let nothing = Told {
            against: None,
            years: None,
        };
        let Some(ruler) = coin.ruler.filter(|_| coin.copy.is_none()) else {
            return nothing;
        };
        let Some(left) = self.left(ruler) else {
            return nothing;
        };
        let within = left.iter().filter_map(|years| {
            Span::new(years.from.max(coin.span.from), years.to.min(coin.span.to))
        });
        let years = within.reduce(Span::hull);
        let term = Evidence {
            witness: Witness::Titles,
            nats: TITLES_AGAINST,
            detail: Detail::Titles,
        };
        Told {
            against: years.is_none().then_some(term),
            years,
        }
    }

    fn left(&self, ruler: usize) -> Option<Rc<[Span]>> {
        let titles = self.titles.as_ref()?;
        let mut known = self.known.borrow_mut();
        let left = known.entry(ruler).or_insert_with(|| {
            let career = self.careers.iter().any(|career| career.ruler == ruler);
            career.then(|| {
                let found = possible(titles, self.careers, Some(ruler));
                found.iter().flat_map(|one| one.all_years()).collect()
            })
        });
        left.clone()
    }
}
