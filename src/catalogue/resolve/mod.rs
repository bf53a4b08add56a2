//! Rows to a linked catalogue: links followed, shared heads spread, standards chosen.
//!
//! Collects all faults (rule `refs` and the rules of form a link depends on) and
//! leaves out a type that cannot be linked, so the rest still answers.
//! Judges nothing.
//!
//! Invariant: every position in the catalogue made here is that of a row it holds.

mod artefact;
mod artefacts;
mod careers;
mod entries;
mod links;
mod reckoned;
mod tables;
mod types;
mod words;

pub use artefacts::resolve_artefacts;
pub(crate) use words::{AXES, COMMON, COPIES, HABITS, MAKINGS};
#[cfg(feature = "doors")]
pub(crate) use words::{CAUTIONS, DIMENSIONS, FACETS, LOOKS, MADE, SCRIPTS};

use std::collections::HashMap;

use super::fault::Fault;
use super::inscribe::Inscriber;
use super::pictured::Pictured;
use super::raw::{RawLibrary, RawSeries, RawType};
use super::resolved::{Apart, Catalogue, Series};
use super::spread::spread;
use links::{Ids, link};
use types::Linker;

/// A linked catalogue and the faults met in linking it.
pub fn resolve(raw: &RawLibrary, digest: &str) -> (Catalogue, Vec<Fault>) {
    let mut faults = Vec::new();
    let ids = Ids::of(raw);
    let mut catalogue = tables::tables(raw, digest, &ids, &mut faults);
    let mut inscriber = Inscriber::new(raw, &catalogue.mints);
    let mut neighbours = Vec::new();
    for series in &raw.series {
        add_series(
            series,
            &ids,
            &mut inscriber,
            &mut catalogue,
            &mut neighbours,
            &mut faults,
        );
    }
    catalogue.inscriptions = inscriber.finish();
    catalogue.careers = careers::careers(raw, &ids, &mut faults);
    catalogue.entries = entries::entries(raw, &catalogue);
    link_neighbours(neighbours, &mut catalogue, &mut faults);
    let rest = super::rest::rest(&catalogue);
    catalogue.types.extend(rest);
    catalogue.pictured = Pictured::read(&raw.weights, &catalogue).0;
    (catalogue, faults)
}

/// A neighbour named by a type, to be linked when all types are known.
struct Neighbour {
    file: String,
    of: usize,
    from: String,
    by: String,
}

fn add_series(
    raw: &RawSeries,
    ids: &Ids,
    inscriber: &mut Inscriber<'_>,
    catalogue: &mut Catalogue,
    neighbours: &mut Vec<Neighbour>,
    faults: &mut Vec<Fault>,
) {
    let stem = raw
        .file
        .rsplit('/')
        .next()
        .unwrap_or("")
        .trim_end_matches(".toml");
    let series = catalogue.series.len();
    catalogue.series.push(Series {
        id: stem.to_string(),
        name: raw
            .shared
            .series
            .clone()
            .unwrap_or_else(|| stem.to_string()),
    });
    let mut whole: Vec<(&String, RawType)> = raw
        .types
        .iter()
        .map(|(id, own)| (id, spread(&raw.shared, own)))
        .collect();
    whole.sort_by(|a, b| {
        a.1.span
            .map(|s| s[0])
            .cmp(&b.1.span.map(|s| s[0]))
            .then_with(|| a.0.cmp(b.0))
    });
    for (id, fields) in whole {
        let linker = Linker {
            file: &raw.file,
            id,
            fields: &fields,
            ids,
        };
        let Some(coin) = linker.coin(series, catalogue, inscriber, faults) else {
            continue;
        };
        for apart in fields.apart.iter().flatten() {
            neighbours.push(Neighbour {
                file: raw.file.clone(),
                of: catalogue.types.len(),
                from: apart.from.clone(),
                by: apart.by.clone(),
            });
        }
        catalogue.types.push(coin);
    }
}

fn link_neighbours(neighbours: Vec<Neighbour>, catalogue: &mut Catalogue, faults: &mut Vec<Fault>) {
    let known: HashMap<String, usize> = catalogue
        .types
        .iter()
        .enumerate()
        .map(|(i, t)| (t.id.clone(), i))
        .collect();
    for n in neighbours {
        let id = catalogue.types[n.of].id.clone();
        if let Some(from) = link("type", &n.from, &known, (&n.file, &id, "apart"), faults) {
            catalogue.types[n.of].apart.push(Apart { from, by: n.by });
        }
    }
}
