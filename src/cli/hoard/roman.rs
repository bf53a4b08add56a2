//! A Roman group by the periods of the library's table of issue periods.
//!
//! Takes the table's years as they stand; where one period ends in the year in which the next
//! begins, that year is the next one's, so that no piece counts twice.
//!
//! Invariant: nothing is said of a group that is not mostly Roman.

use crate::House;
use crate::find::{Span, ordinal, year_at};
use crate::hoard::{Aoristic, GroupRecord};
use crate::treasure::age;

/// The table of the library.
const TABLE: &str = "reece-periods";
/// The period of the library that it belongs to.
const PERIOD: &str = "Roman";
/// Periods with fewer pieces to be expected are not shown.
const LEAST: f64 = 0.05;

/// Pieces to be expected of each period of the table that has any.
pub(super) fn periods(record: &GroupRecord, house: &House) -> Vec<(String, f64)> {
    let roman = record.composition.period.parts.iter();
    let roman: f64 = roman
        .filter(|part| part.name == PERIOD)
        .map(|part| part.expected)
        .sum();
    if roman < 0.5 * record.count as f64 {
        return Vec::new();
    }
    let entries = house.catalogue.entries.iter();
    let mut named: Vec<(String, Span)> = entries
        .filter(|entry| entry.table == TABLE)
        .filter_map(|entry| Some((entry.of.clone(), age(&entry.when).ok()?.span()?)))
        .collect();
    named.sort_by_key(|(_, span)| *span);
    for place in 1..named.len() {
        let next = named[place].1.from;
        let own = &mut named[place - 1].1;
        if own.to == next && own.from < own.to {
            own.to = year_at(ordinal(own.to) - 1);
        }
    }
    let spans: Vec<Span> = named.iter().map(|(_, span)| *span).collect();
    let expected = Aoristic::by_spans(&record.group.pieces, &spans);
    let both = named.into_iter().zip(expected);
    both.map(|((name, _), expected)| (name, expected))
        .filter(|(_, expected)| *expected >= LEAST)
        .collect()
}
