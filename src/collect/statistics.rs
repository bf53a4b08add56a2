//! Figures over finds: how many of each period, metal, field, month, and what was measured.
//!
//! Counts what is kept; names nothing by the library (ids stay ids) and draws nothing.
//!
//! Invariant: every find that the filter lets through is counted once in each list.

use std::collections::BTreeMap;

use rusqlite::{Row, ToSql};

use super::charts::Measures;
use super::fault::ShelfFault;
use super::{Filter, Shelf};

/// Most finds whose measures are given; of more, the first kept.
const MEASURES_MOST: usize = 20_000;

/// How many finds have something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tally {
    /// Its id, word or text; none for those of which nothing is said.
    pub of: Option<String>,
    /// How many finds.
    pub count: u64,
}

/// Figures over finds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Statistics {
    /// How many finds.
    pub finds: u64,
    /// How many were confirmed by somebody.
    pub confirmed: u64,
    /// How many have an official number.
    pub recorded: u64,
    /// How many have a photograph.
    pub photographed: u64,
    /// Coin or artefact.
    pub kinds: Vec<Tally>,
    /// Ids of periods.
    pub periods: Vec<Tally>,
    /// Metals as they look.
    pub metals: Vec<Tally>,
    /// Ids of denominations.
    pub denominations: Vec<Tally>,
    /// Ids of classes of things.
    pub classes: Vec<Tally>,
    /// Ids of rulers.
    pub rulers: Vec<Tally>,
    /// Ids of land.
    pub lands: Vec<Tally>,
    /// Where they are.
    pub statuses: Vec<Tally>,
    /// Months of finding (`2026-03`), the first first; a find of which only the year is known is
    /// under the year.
    pub months: Vec<Tally>,
    /// Whole days of finding, the first first.
    pub days: Vec<(String, u64)>,
    /// What was measured, where weight and diameter both were.
    pub measures: Vec<Measures>,
}

/// Counts by what they have.
#[derive(Default)]
struct Counts(BTreeMap<Option<String>, u64>);

impl Counts {
    fn one(&mut self, of: Option<String>) {
        *self.0.entry(of).or_default() += 1;
    }

    fn listed(self) -> Vec<Tally> {
        let rows = self.0.into_iter();
        rows.map(|(of, count)| Tally { of, count }).collect()
    }

    /// In order of what they have, what is not said last.
    fn in_order(self) -> Vec<Tally> {
        let mut rows = self.listed();
        rows.sort_by_key(|row| row.of.is_none());
        rows
    }

    /// The most first, what is not said last.
    fn by_count(self) -> Vec<Tally> {
        let mut rows = self.listed();
        rows.sort_by_key(|row| (row.of.is_none(), std::cmp::Reverse(row.count)));
        rows
    }
}

/// What is counted of a find.
const COLUMNS: &str = "find.id, find.kind, find.metal, find.status, find.found_on, find.weight_g, \
    find.diameter_mm, find.official_number IS NOT NULL, (SELECT id FROM land WHERE land.key = \
    find.land), EXISTS (SELECT 1 FROM photograph WHERE photograph.find = find.key), named.period, \
    named.ruler, named.denomination, named.class, named.confirmed_by IS NOT NULL";

impl Shelf {
    /// Figures over the finds that a filter lets through, whatever its page.
    pub fn statistics(&self, filter: &Filter) -> Result<Statistics, ShelfFault> {
        let (chosen, given) = self.chosen(filter)?;
        let sql = format!(
            "SELECT {COLUMNS} FROM find LEFT JOIN identification AS named \
             ON named.find = find.key AND named.standing = 'current' \
             WHERE find.key IN ({chosen}) ORDER BY find.key"
        );
        let mut statement = self.db.prepare_cached(&sql)?;
        let given: Vec<&dyn ToSql> = given.iter().map(|value| value.as_ref()).collect();
        let mut rows = statement.query(&given[..])?;
        let mut done = Statistics::default();
        let mut counts: [Counts; 9] = Default::default();
        let mut days = Counts::default();
        while let Some(row) = rows.next()? {
            done.one(row, &mut counts, &mut days)?;
        }
        done.counted(counts, days);
        Ok(done)
    }
}

impl Statistics {
    /// Counts one find.
    fn one(
        &mut self,
        row: &Row<'_>,
        counts: &mut [Counts; 9],
        days: &mut Counts,
    ) -> Result<(), ShelfFault> {
        self.finds += 1;
        self.recorded += u64::from(row.get::<_, bool>(7)?);
        self.photographed += u64::from(row.get::<_, bool>(9)?);
        self.confirmed += u64::from(row.get::<_, bool>(14)?);
        let text = |place: usize| row.get::<_, Option<String>>(place);
        let (kind, found) = (text(1)?, text(4)?);
        let coin = kind.as_deref() == Some("coin");
        let month = found.as_deref().map(|day| day.chars().take(7).collect());
        let [period, metal, what, class] = [text(10)?, text(2)?, text(12)?, text(13)?];
        let [ruler, land, status] = [text(11)?, text(8)?, text(3)?];
        let each = [kind, period, metal, what, class, ruler, land, status, month];
        for (counts, of) in counts.iter_mut().zip(each) {
            counts.one(of);
        }
        if let Some(day) = found.filter(|day| day.len() == 10) {
            days.one(Some(day));
        }
        let measures = row.get::<_, Option<f64>>(5)?.zip(row.get(6)?);
        if let Some((weight_g, diameter_mm)) = measures
            && self.measures.len() < MEASURES_MOST
        {
            self.measures.push(Measures {
                id: row.get(0)?,
                weight_g,
                diameter_mm,
                coin,
            });
        }
        Ok(())
    }

    fn counted(&mut self, counts: [Counts; 9], days: Counts) {
        let [
            kinds,
            periods,
            metals,
            denominations,
            classes,
            rulers,
            lands,
            statuses,
            months,
        ] = counts;
        self.kinds = kinds.by_count();
        self.periods = periods.by_count();
        self.metals = metals.by_count();
        self.denominations = denominations.by_count();
        self.classes = classes.by_count();
        self.rulers = rulers.by_count();
        self.lands = lands.by_count();
        self.statuses = statuses.by_count();
        self.months = months.in_order();
        let days = days.in_order().into_iter();
        self.days = days.filter_map(|row| Some((row.of?, row.count))).collect();
    }
}
