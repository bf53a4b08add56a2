//! Rule `spans`: years agree with the ruler, the mints and the period.
//!
//! Demands that years run forwards, name no year 0 and lie between 800 BC and 2100;
//! that reigns and lives stand in order and do not overlap; that a type's span lies
//! between the first and last year of its ruler's power (for a joint authority, its
//! own or its members') and of its mints' work, unless `outside` says why; that it
//! shares a year with every mint's life and with its period in any case; that
//! `outside` excuses something (in `[shared]`: for some type); and that two standards
//! of one denomination and metal share at most the year of the change, unless the
//! `note` of either says why both held. The span of an artefact type shares a year
//! with its period, and leaves it by at most 60 years unless its `note` says why.
//!
//! A change within a year is written by ending the one standard and beginning the
//! next in that year: a coin of that year may be of either.
//!
//! Why: most wrong dates are slips of a digit, and a reign is a second witness.
//!
//! To mend: correct the year; split the type; or say in `outside` why the coin went
//! on without its king.

use std::collections::HashMap;

use super::super::fault::Fault;
use super::super::raw::RawDenomination;
use super::super::raw::Row;
use super::super::resolved::{Catalogue, CoinType, Ruler};
use super::{Library, Whole, artefacts, row_fault};
use crate::find::{Span, Year};

/// Years a row may name.
const SANE: std::ops::RangeInclusive<Year> = -800..=2100;

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for row in &library.raw.rulers {
        in_order(row, "reigns", &row.fields.reigns, &mut faults);
    }
    for row in &library.raw.mints {
        in_order(row, "lives", &row.fields.lives, &mut faults);
    }
    for row in &library.raw.periods {
        sane(&row.file, &row.id, "span", row.fields.span, &mut faults);
    }
    for row in &library.raw.denominations {
        standards(row, &mut faults);
    }
    types(library, &mut faults);
    faults.extend(artefacts::spans::check(library));
    faults
}

fn sane(file: &str, id: &str, field: &str, years: [Year; 2], faults: &mut Vec<Fault>) {
    if let Some(year) = years.iter().find(|year| !SANE.contains(year)) {
        let what = format!(
            "the year {year} lies outside {} to {}",
            SANE.start(),
            SANE.end()
        );
        faults.push(Fault::at(
            "spans",
            file,
            id,
            field,
            what,
            "correct the year",
        ));
    }
}

/// Reigns or lives: sane, in order, none over another.
fn in_order<T>(row: &Row<T>, field: &str, spans: &[[Year; 2]], faults: &mut Vec<Fault>) {
    for years in spans {
        sane(&row.file, &row.id, field, *years, faults);
    }
    for pair in spans.windows(2).filter(|pair| pair[1][0] < pair[0][1]) {
        let what = format!(
            "{} begins before {} ends",
            written(pair[1]),
            written(pair[0])
        );
        let mend = format!("put `{field}` in order and join what overlaps");
        faults.push(row_fault("spans", row, field, what, mend));
    }
}

fn written(years: [Year; 2]) -> String {
    Span::new(years[0], years[1]).map_or_else(|| format!("{years:?}"), Span::text)
}

/// Standards of one metal in force together.
fn standards(row: &Row<RawDenomination>, faults: &mut Vec<Fault>) {
    let standards = &row.fields.standards;
    for (position, one) in standards.iter().enumerate() {
        sane(&row.file, &row.id, "standards", one.span, faults);
        for other in &standards[position + 1..] {
            let shared = Span::new(one.span[0], one.span[1])
                .zip(Span::new(other.span[0], other.span[1]))
                .map_or(0, |(a, b)| a.shared_years(b));
            let noted = one.note.is_some() || other.note.is_some();
            if one.metal == other.metal && shared > 1 && !noted {
                let what = format!(
                    "the {} standards of {} and {} share {shared} years",
                    one.metal,
                    written(one.span),
                    written(other.span)
                );
                let mend = "end one where the other begins, or say in a `note` why both held";
                faults.push(row_fault("spans", row, "standards", what, mend));
            }
        }
    }
}

/// False for a span that linking had to replace: its fault is told, and would bring
/// only more with it.
fn sound(years: [Year; 2]) -> bool {
    Span::new(years[0], years[1]).is_some()
}

fn types(library: &Library<'_>, faults: &mut Vec<Fault>) {
    // Series whose shared `outside` has not yet excused any type.
    let mut idle: HashMap<&str, bool> = HashMap::new();
    for (coin, written) in library.linked() {
        if !written.whole.span.is_some_and(sound) {
            continue;
        }
        sane(
            written.file,
            written.id,
            "span",
            [coin.span.from, coin.span.to],
            faults,
        );
        if sound(library.raw.periods[coin.period].fields.span) {
            in_period(coin, written, library.catalogue, faults);
        }
        mints_open(coin, written, library.catalogue, faults);
        let strays = strays(coin, written, library.catalogue);
        if written.whole.outside.is_none() {
            let mend = "correct the years, or say in `outside` why they may lie there";
            faults.extend(
                strays
                    .iter()
                    .map(|what| written.fault("spans", "span", what, mend)),
            );
        } else if written.own.outside.is_some() {
            if strays.is_empty() {
                let what = "`outside` excuses nothing: the span lies within reign and mints";
                faults.push(written.fault("spans", "outside", what, "take `outside` out"));
            }
        } else {
            *idle.entry(written.file).or_insert(true) &= strays.is_empty();
        }
    }
    for (file, _) in idle.into_iter().filter(|(_, idle)| *idle) {
        let what = "`outside` excuses nothing: every span lies within reign and mints";
        faults.push(Fault::at(
            "spans",
            file,
            "shared",
            "outside",
            what,
            "take `outside` out",
        ));
    }
}

/// No excuse covers a span that shares no year with its period.
fn in_period(coin: &CoinType, written: &Whole<'_>, catalogue: &Catalogue, faults: &mut Vec<Fault>) {
    let period = &catalogue.periods[coin.period];
    if !period.span.overlaps(coin.span) {
        let what = format!(
            "{} shares no year with the period `{}`, {}",
            coin.span.text(),
            period.id,
            period.span.text()
        );
        let mend = "name the period the years fall in";
        faults.push(written.fault("spans", "period", what, mend));
    }
}

/// Nor one that shares none with a mint's life.
fn mints_open(
    coin: &CoinType,
    written: &Whole<'_>,
    catalogue: &Catalogue,
    faults: &mut Vec<Fault>,
) {
    for mint in coin.mints.iter().map(|mint| &catalogue.mints[*mint]) {
        let open = mint.lives.iter().any(|life| life.overlaps(coin.span));
        if !open && !mint.lives.is_empty() {
            let what = format!(
                "the mint `{}` did not strike in {}",
                mint.id,
                coin.span.text()
            );
            let mend = "take the mint out, or add the years to its `lives`";
            faults.push(written.fault("spans", "mints", what, mend));
        }
    }
}

/// In what way a type's span leaves the reign or its mints' lives.
fn strays(coin: &CoinType, written: &Whole<'_>, catalogue: &Catalogue) -> Vec<String> {
    let mut strays = Vec::new();
    if let Some(ruler) = coin.ruler.map(|ruler| &catalogue.rulers[ruler]) {
        let power = power(ruler, catalogue);
        if !power.is_empty() && !power.iter().any(|span| span.contains(coin.span)) {
            let years: Vec<String> = power.iter().map(|span| span.text()).collect();
            strays.push(format!(
                "{} lies outside the reign of `{}`, {}",
                coin.span.text(),
                ruler.id,
                years.join(" or ")
            ));
        }
    }
    let mints: Vec<_> = coin
        .mints
        .iter()
        .map(|mint| &catalogue.mints[*mint])
        .collect();
    // A mint without years, or one that could not be linked, might have struck at any time.
    let named = written.whole.mints.as_ref().map_or(0, Vec::len);
    let dated = named == mints.len() && mints.iter().all(|mint| !mint.lives.is_empty());
    if let Some(work) = hull(mints.iter().flat_map(|mint| &mint.lives).copied())
        && dated
        && !work.contains(coin.span)
    {
        strays.push(format!(
            "{} lies outside the lives of its mints, {}",
            coin.span.text(),
            work.text()
        ));
    }
    strays
}

/// First to last year of a ruler's power; for a joint authority also its members'.
fn power(ruler: &Ruler, catalogue: &Catalogue) -> Vec<Span> {
    let members = ruler
        .members
        .iter()
        .flat_map(|member| &catalogue.rulers[*member].reigns);
    let own = hull(ruler.reigns.iter().copied());
    own.into_iter().chain(hull(members.copied())).collect()
}

fn hull(spans: impl Iterator<Item = Span>) -> Option<Span> {
    spans.reduce(Span::hull)
}
