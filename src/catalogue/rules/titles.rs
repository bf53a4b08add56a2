//! Rule `titles`: consulships and tribunician years agree with the tables and the types.
//!
//! Demands that the numbers of a career rise with their days and lie within it, and that a
//! type whose legends name a numbered title was struck in a year in which its ruler held it.
//!
//! Why: a numeral on a coin dates it to a year; a type dated elsewhere misdates every find
//! named by it, and a table out of order every titulature.
//!
//! To mend: write the years of the numbers, or the right numerals in the legend.

use super::super::dated::Career;
use super::super::fault::Fault;
use super::super::raw::RawCareer;
use super::super::resolved::{Catalogue, CoinType};
use super::{Library, Whole, row_fault};
use crate::find::{Dated, Mark, Reading, Side, Span, fold};
use crate::titles::{End, possible, read};

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for row in &library.raw.titles {
        for (field, list) in counted(&row.fields) {
            if let Some(what) = out_of_order(list) {
                let mend = "write each number with the day it began, the earliest first";
                faults.push(row_fault("titles", row, field, what, mend));
            }
        }
    }
    let catalogue = library.catalogue;
    for (coin, whole) in library.linked() {
        let career = catalogue
            .careers
            .iter()
            .find(|career| Some(career.ruler) == coin.ruler);
        // Copies and coins whose years are excused may bear any number.
        let excused = coin.copy.is_some() || whole.whole.outside.is_some();
        if let (Some(career), false) = (career, excused) {
            faults.extend(out_of_years(coin, whole, career, catalogue));
        }
    }
    faults
}

fn counted(career: &RawCareer) -> [(&'static str, &[(u8, String)]); 3] {
    [
        ("tribunician", &career.tribunician),
        ("consul", &career.consul),
        ("imperator", &career.imperator),
    ]
}

/// What is wrong with the order of a list, if anything is.
fn out_of_order(list: &[(u8, String)]) -> Option<String> {
    list.windows(2).find_map(|pair| {
        let days = (Dated::read(&pair[0].1)?, Dated::read(&pair[1].1)?);
        let later = days.0.earliest <= days.1.latest;
        (pair[0].0 >= pair[1].0 || !later)
            .then(|| format!("number {} does not come after {}", pair[1].0, pair[0].0))
    })
}

/// Legends whose numbers were not held in the type's years.
fn out_of_years(
    coin: &CoinType,
    whole: &Whole<'_>,
    career: &Career,
    catalogue: &Catalogue,
) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (field, face) in [("obverse", &coin.obverse), ("reverse", &coin.reverse)] {
        for inscription in face.inscriptions.iter().flatten() {
            let inscription = &catalogue.inscriptions[*inscription];
            let legend = &catalogue.legends[inscription.legend];
            let titles = read(&[&as_struck(&legend.text)], End::Sure);
            if !titles.counts() {
                continue;
            }
            let found = possible(&titles, std::slice::from_ref(career), Some(career.ruler));
            let years: Vec<Span> = found.iter().flat_map(|one| one.all_years()).collect();
            if !years.iter().any(|years| years.overlaps(coin.span)) {
                let when: Vec<String> = years.into_iter().map(Span::text).collect();
                let when = if when.is_empty() {
                    "at no time".to_string()
                } else {
                    when.join(", ")
                };
                let what = format!(
                    "the titles of {} were held {when}, and the type is of {}",
                    legend.text,
                    coin.span.text()
                );
                faults.push(whole.fault("titles", field, what, "write the years of the titles"));
            }
        }
    }
    faults
}

/// A legend as a reading with its words apart.
fn as_struck(text: &str) -> Reading {
    let (mut marks, mut words) = (Vec::new(), Vec::new());
    for c in text.chars() {
        match c {
            '*' => marks.push(Mark::Gap),
            '/' => marks.push(Mark::Break),
            c if c.is_whitespace() || c == '.' => words.push(marks.len()),
            c => marks.extend(
                fold(c)
                    .chars()
                    .map(|letter| Mark::Letter { letter, sure: true }),
            ),
        }
    }
    Reading {
        side: Side::Unknown,
        said: text.to_string(),
        marks,
        words,
        retrograde: false,
        from_start: true,
        to_end: true,
    }
}
