//! Rule `twins`: two types a finder cannot tell apart say so, or are one.
//!
//! Demands that two types, of one series or of two, which agree in denomination,
//! metal, ruler, motifs, legends, marks, mints, weights, sizes, axis, making, edge
//! and kind of copy name each other in `apart`; one direction suffices. Different
//! years do not help: they are what the finder wants to learn. Where a type has no
//! weights of its own the standards it falls under are compared, not how its years
//! are divided between them. Two artefact types of one class, period and span never
//! agree in sizes, materials, letters and all words of form: there even `apart` does
//! not help, since what it tells should stand in a field.
//!
//! Why: the scorer would give both the same mark and call a coin's toss a result.
//!
//! To mend: say in `apart` what the eye can use (a letter form, a crown, a stop); or,
//! if there is nothing, merge the two, as nobody could ever be right about them.

use std::collections::{HashMap, HashSet};

use super::super::fault::Fault;
use super::super::resolved::{CoinType, CopyKind, Face};
use super::{Library, Whole, artefacts};
use crate::find::Making;

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut alike: HashMap<Seen<'_>, Vec<&CoinType>> = HashMap::new();
    for (coin, written) in library.linked() {
        let elder = alike.entry(Seen::of(coin, written)).or_default();
        let told = |other: &CoinType| names(coin, other, library) || names(other, coin, library);
        let twins: Vec<String> = elder
            .iter()
            .filter(|other| !told(other))
            .map(|other| format!("`{}`", other.id))
            .collect();
        if !twins.is_empty() {
            let what = format!(
                "nothing seen, read or measured sets it apart from {}",
                twins.join(", ")
            );
            let mend = "say in `apart` what does, or merge them";
            faults.push(written.fault("twins", "", what, mend));
        }
        elder.push(coin);
    }
    faults.extend(artefacts::twins::check(library));
    faults
}

fn names(coin: &CoinType, other: &CoinType, library: &Library<'_>) -> bool {
    let types = library.catalogue.listed();
    coin.apart
        .iter()
        .any(|apart| std::ptr::eq(&types[apart.from], other))
}

/// Motifs and inscriptions of a face, each `None` when the library does not say.
type FaceSeen = (Option<Vec<usize>>, Option<Vec<usize>>);

/// All of a type that a finder can see, read or measure.
#[derive(PartialEq, Eq, Hash)]
struct Seen<'a> {
    denomination: usize,
    metal: usize,
    ruler: Option<usize>,
    mints: Vec<usize>,
    marks: Vec<usize>,
    faces: [FaceSeen; 2],
    weights: Vec<[u64; 3]>,
    sizes: [Option<(u64, u64)>; 2],
    axis: &'a str,
    made: Making,
    edge: Option<&'a str>,
    copy: Option<CopyKind>,
}

impl<'a> Seen<'a> {
    fn of(coin: &'a CoinType, written: &'a Whole<'_>) -> Seen<'a> {
        let own_weights = written.whole.weights.is_some();
        let mut weights: Vec<[u64; 3]> = coin
            .weights
            .iter()
            .map(|part| {
                let share = if own_weights { part.share } else { 1.0 };
                [part.grams.to_bits(), part.cv.to_bits(), share.to_bits()]
            })
            .collect();
        weights.sort_unstable();
        weights.dedup();
        let size = |range: (f64, f64)| (range.0.to_bits(), range.1.to_bits());
        Seen {
            denomination: coin.denomination,
            metal: coin.metal,
            ruler: coin.ruler,
            mints: set(&coin.mints),
            marks: set(&coin.marks),
            faces: [face(&coin.obverse), face(&coin.reverse)],
            weights,
            sizes: [coin.diameter.map(size), coin.thickness.map(size)],
            axis: written.whole.axis.as_deref().unwrap_or(""),
            made: coin.made,
            edge: coin.edge.as_deref(),
            copy: coin.copy,
        }
    }
}

fn face(face: &Face) -> FaceSeen {
    let list = |list: &Option<Vec<usize>>| list.as_ref().map(|list| set(list));
    (list(&face.motifs), list(&face.inscriptions))
}

/// Positions without order or repetition.
fn set(list: &[usize]) -> Vec<usize> {
    let distinct: HashSet<usize> = list.iter().copied().collect();
    let mut sorted: Vec<usize> = distinct.into_iter().collect();
    sorted.sort_unstable();
    sorted
}
