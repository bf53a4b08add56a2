//! `catalogue neighbours`: which types a perfect piece of another is taken for.
//!
//! Describes a perfect piece of every type, identifies it as any find, and lists the pieces
//! that were not named first, with what the library says sets the two apart.
//! Measures the library, not the finder: a real find is never perfect.
//!
//! Invariant: every type is tried as often as every other; the pairs stand by id.

use std::io::Write;

use rayon::prelude::*;
use serde::Serialize;

use super::super::Outcome;
use super::super::error::Trouble;
use super::print_json;
use crate::House;
use crate::catalogue::{Catalogue, perfect};
use crate::house::IdentifyOptions;

/// How a perfect piece of every type was named.
#[derive(Serialize)]
struct NeighboursView {
    types: usize,
    tried: usize,
    first: usize,
    among_first_three: usize,
    pairs: Vec<PairView>,
}

/// A type that was taken for another.
#[derive(Serialize)]
struct PairView {
    series: String,
    of: String,
    taken_for: String,
    place: Option<usize>,
    apart: Option<String>,
}

/// Tries every type `draws` times, with other spellings and marks each time.
pub(super) fn run(
    draws: usize,
    series: Option<&str>,
    json: bool,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let view = view(draws.max(1), series, house);
    if json {
        print_json(&view, out)?;
    } else {
        print(&view, out)?;
    }
    Ok(if view.types == 0 {
        Outcome::NothingFits
    } else {
        Outcome::Answer
    })
}

fn view(draws: usize, series: Option<&str>, house: &House) -> NeighboursView {
    let library = &house.catalogue;
    let wanted = |position: &usize| {
        let own = &library.series[library.types[*position].series].id;
        series.is_none_or(|series| series == own)
    };
    let positions: Vec<usize> = (0..library.listed().len()).filter(wanted).collect();
    let places: Vec<(usize, Option<usize>, usize)> = positions
        .par_iter()
        .flat_map_iter(|position| (0..draws).map(|draw| place(*position, draw, house)))
        .collect();
    let among = |most: usize| {
        let within = |place: &Option<usize>| place.is_some_and(|place| place < most);
        places.iter().filter(|(_, place, _)| within(place)).count()
    };
    let missed = places.iter().filter(|(_, place, _)| *place != Some(0));
    let mut pairs: Vec<PairView> = missed
        .map(|(of, place, first)| pair(*of, *place, *first, library))
        .collect();
    pairs.sort_by(|a, b| (&a.series, &a.of, &a.taken_for).cmp(&(&b.series, &b.of, &b.taken_for)));
    pairs.dedup_by(|a, b| a.of == b.of && a.taken_for == b.taken_for);
    NeighboursView {
        types: positions.len(),
        tried: places.len(),
        first: among(1),
        among_first_three: among(3),
        pairs,
    }
}

/// The type, the place it came in among the answers, and the type that came first.
fn place(position: usize, draw: usize, house: &House) -> (usize, Option<usize>, usize) {
    let library = &house.catalogue;
    let mut asked = 0;
    // Each question steps on, so that spellings and marks are not always drawn together.
    let mut choose = |count: usize| {
        asked += 1;
        (draw * (2 * asked + 1) / 2) % count
    };
    let find = perfect(&library.types[position], library, &mut choose);
    let judged = house
        .identify(&find, IdentifyOptions::default())
        .ranking
        .judged;
    let first = judged.first().map_or(position, |one| one.coin);
    let place = judged.iter().position(|one| one.coin == position);
    (position, place, first)
}

fn pair(of: usize, place: Option<usize>, first: usize, library: &Catalogue) -> PairView {
    let (own, other) = (&library.types[of], &library.types[first]);
    let told = own.apart.iter().find(|apart| apart.from == first);
    let told = told.or_else(|| other.apart.iter().find(|apart| apart.from == of));
    PairView {
        series: library.series[own.series].id.clone(),
        of: own.id.clone(),
        taken_for: other.id.clone(),
        place: place.map(|place| place + 1),
        apart: told.map(|apart| apart.by.clone()),
    }
}

fn print(view: &NeighboursView, out: &mut dyn Write) -> Result<(), Trouble> {
    for pair in &view.pairs {
        let place = pair
            .place
            .map_or("not judged".to_string(), |place| format!("{place}."));
        let apart = pair.apart.as_deref().unwrap_or("nothing is said of it");
        writeln!(
            out,
            "{}: {} is taken for {} (itself {place})\n    apart: {apart}",
            pair.series, pair.of, pair.taken_for
        )?;
    }
    let share = |count: usize| 100.0 * count as f64 / view.tried.max(1) as f64;
    writeln!(
        out,
        "{} types, {} perfect pieces: itself first {:.1} %, among the first three {:.1} %",
        view.types,
        view.tried,
        share(view.first),
        share(view.among_first_three)
    )?;
    Ok(())
}
