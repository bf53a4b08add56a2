//! Rule `ranges` for artefacts: sizes and weights are those of such a thing.
//!
//! Reads the figures where they are written, shared heads among them; reckons nothing from them.
//!
//! Invariant: a figure is told of once, where it stands.

use std::ops::RangeInclusive;

use super::super::super::artefacts::Dimension;
use super::super::super::fault::Fault;
use super::super::super::raw::RawArtefact;
use super::super::Library;

/// A dimension, millimetres.
const MILLIMETRES: RangeInclusive<f64> = 1.0..=2000.0;
/// A thickness, millimetres.
const THICKNESS: RangeInclusive<f64> = 0.1..=2000.0;
/// A weight, grams.
const GRAMS: RangeInclusive<f64> = 0.01..=50_000.0;

pub(in super::super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for series in &library.things.series {
        figures((&series.file, "shared"), &series.shared, &mut faults);
    }
    for piece in &library.pieces {
        figures((piece.file, piece.id), piece.own, &mut faults);
    }
    faults
}

fn figures((file, id): (&str, &str), own: &RawArtefact, faults: &mut Vec<Fault>) {
    let mut told = |field: &str, what: Option<String>| {
        if let Some(what) = what {
            let mend = "write [least, most] as measured on whole pieces";
            faults.push(Fault::at("ranges", file, id, field, what, mend));
        }
    };
    if let Some(sizes) = &own.sizes {
        let all = sizes.all();
        if all.iter().all(Option::is_none) {
            told("sizes", Some("no dimension is given".to_string()));
        }
        for (dimension, range) in Dimension::ALL.into_iter().zip(all) {
            let bounds = match dimension {
                Dimension::Thickness => &THICKNESS,
                _ => &MILLIMETRES,
            };
            let unit = (dimension.name(), "mm");
            told("sizes", range.and_then(|range| wrong(range, bounds, unit)));
        }
    }
    let weight = own.weight;
    let unit = ("weight", "g");
    told(
        "weight",
        weight.and_then(|range| wrong(range, &GRAMS, unit)),
    );
}

/// What is wrong with a range, if anything is.
fn wrong(
    [least, most]: [f64; 2],
    bounds: &RangeInclusive<f64>,
    (name, unit): (&str, &str),
) -> Option<String> {
    let outside = [least, most].into_iter().find(|end| !bounds.contains(end));
    if let Some(end) = outside {
        let (low, high) = (bounds.start(), bounds.end());
        return Some(format!(
            "a {name} of {end} {unit} lies outside {low} to {high}"
        ));
    }
    (least > most).then(|| format!("the {name} runs from {least} down to {most} {unit}"))
}
