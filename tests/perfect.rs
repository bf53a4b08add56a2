//! A perfect piece of every type is named as that type.
//!
//! Each type is described from the library as fresh from the dies (a spelling, a mark and a
//! weight drawn from those it may bear) and identified like any find. What is not named first is
//! confused with another, and then the library must say what sets the two apart.
//!
//! Invariant: the seed is fixed, every type is tried, and the bars only tighten.

use lynchet::IdentifyOptions;
use lynchet::catalogue::{Catalogue, perfect};
use rayon::prelude::*;

use crate::kit::house;

/// Least shares of types that come first, and among the first three.
const FIRST_LEAST: f64 = 0.98;
const AMONG_THREE_LEAST: f64 = 0.995;
/// Pieces of each type.
const DRAWS: u64 = 2;

/// The place a perfect piece of a type comes to, and the type that comes first.
fn tried(position: usize, draw: u64) -> (usize, usize) {
    let library = &house().catalogue;
    let mut state = (position as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ (draw + 1662);
    let mut choose = |count: usize| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % count
    };
    let find = perfect(&library.types[position], library, &mut choose);
    let said = house().identify(&find, IdentifyOptions::default());
    let judged = &said.ranking.judged;
    let place = judged.iter().position(|one| one.coin == position);
    (place.unwrap_or(usize::MAX), judged[0].coin)
}

fn told_apart(of: usize, from: usize, library: &Catalogue) -> bool {
    let says = |of: usize, from: usize| {
        let mut apart = library.types[of].apart.iter();
        apart.any(|apart| apart.from == from)
    };
    says(of, from) || says(from, of)
}

#[test]
fn a_perfect_piece_is_named_and_what_is_confused_is_told_apart() {
    let library = &house().catalogue;
    let types = library.listed().len();
    let places: Vec<(usize, usize, usize)> = (0..types)
        .into_par_iter()
        .flat_map_iter(|position| {
            (0..DRAWS).map(move |draw| {
                let (place, first) = tried(position, draw);
                (position, place, first)
            })
        })
        .collect();
    let share = |most: usize| {
        let within = places.iter().filter(|(_, place, _)| *place < most).count();
        within as f64 / places.len() as f64
    };
    assert!(share(1) >= FIRST_LEAST, "first {:.4}", share(1));
    assert!(share(3) >= AMONG_THREE_LEAST, "among three {:.4}", share(3));
    let untold: Vec<String> = places
        .iter()
        // The rest of its own coinage is no type that it could be told apart from.
        .filter(|(_, _, first)| !library.types[*first].rest)
        .filter(|(of, place, first)| *place > 0 && !told_apart(*of, *first, library))
        .map(|(of, _, first)| {
            let id = |position: usize| &library.types[position].id;
            format!("{} is taken for {}", id(*of), id(*first))
        })
        .collect();
    assert!(untold.is_empty(), "not told apart: {untold:#?}");
}
