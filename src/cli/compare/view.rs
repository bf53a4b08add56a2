//! The comparison as JSON.
//!
//! Types are named by their ids throughout, so a reader needs no letters; lists are whole, and
//! figures are as the scorer gave them.
//!
//! Invariant: `cells`, `nats`, `why`, `totals` and `chances` run in the order of `types`.

use serde::Serialize;

use super::super::view::RemarkView;
use super::Asked;
use crate::explain::{Entry, Row, TermRow, Weighing, type_name};
use crate::find::Find;
use crate::score::{MeasureLaw, Outline};

#[derive(Serialize)]
pub(super) struct CompareView {
    types: Vec<TypeView>,
    apart: Vec<ApartView>,
    rows: Vec<RowView>,
    find: Option<FindView>,
    measures: Vec<MeasuresView>,
    moved: Vec<MovedView>,
    remarks: Vec<RemarkView>,
    svg: Option<String>,
}

#[derive(Serialize)]
struct TypeView {
    id: String,
    name: String,
    from: i32,
    to: i32,
}

#[derive(Serialize)]
struct ApartView {
    of: String,
    from: String,
    by: String,
}

#[derive(Serialize)]
struct RowView {
    feature: &'static str,
    verdict: &'static str,
    /// True when a finder can see the difference on the piece.
    seen: bool,
    /// Bits that measuring it is expected to tell.
    bits: Option<f64>,
    cells: Vec<Option<Vec<EntryView>>>,
}

#[derive(Serialize)]
struct EntryView {
    text: String,
    with: Vec<String>,
    /// Characters of a legend before the place where it parts from the nearest of the others.
    parts_at: Option<usize>,
    spellings: Vec<String>,
}

#[derive(Serialize)]
struct FindView {
    id: Option<String>,
    terms: Vec<TermView>,
    totals: Vec<f64>,
    chances: Vec<f64>,
}

#[derive(Serialize)]
struct TermView {
    witness: &'static str,
    said: String,
    nats: Vec<Option<f64>>,
    why: Vec<Option<String>>,
    difference: f64,
    speaks_for: Vec<String>,
    lead: f64,
}

#[derive(Serialize)]
struct MeasuresView {
    id: String,
    struck: Vec<RegionView>,
    found: Vec<RegionView>,
}

/// How far a region reaches, and whether the find lies in it.
#[derive(Serialize)]
struct RegionView {
    share: f64,
    grams: Option<[f64; 2]>,
    millimetres: Option<[f64; 2]>,
    holds_find: Option<bool>,
}

#[derive(Serialize)]
struct MovedView {
    from: String,
    to: String,
}

/// The view of a comparison.
pub(super) fn view(asked: &Asked<'_>) -> CompareView {
    let library = &asked.house.catalogue;
    let comparison = &asked.compared.comparison;
    let coins = comparison.types.iter().map(|coin| &library.types[*coin]);
    let ids: Vec<String> = coins.clone().map(|coin| coin.id.clone()).collect();
    let types = coins.map(|coin| TypeView {
        id: coin.id.clone(),
        name: type_name(coin, library),
        from: coin.span.from,
        to: coin.span.to,
    });
    let apart = comparison.apart.iter().map(|line| ApartView {
        of: ids[line.of].clone(),
        from: ids[line.from].clone(),
        by: line.by.clone(),
    });
    let laws = asked.compared.struck.iter().zip(&asked.compared.found);
    let measures = laws.zip(&ids).map(|((struck, found), id)| MeasuresView {
        id: id.clone(),
        struck: regions(struck, asked.find),
        found: regions(found, asked.find),
    });
    let moved = asked.moved.iter().map(|(from, to)| MovedView {
        from: from.clone(),
        to: to.clone(),
    });
    let weighing = comparison.weighing.as_ref();
    CompareView {
        types: types.collect(),
        apart: apart.collect(),
        rows: comparison
            .rows
            .iter()
            .map(|row| self::row(row, &ids))
            .collect(),
        find: weighing.map(|weighing| self::find(weighing, asked.find, &ids)),
        measures: measures.collect(),
        moved: moved.collect(),
        remarks: asked.remarks.iter().map(RemarkView::of).collect(),
        svg: asked.picture.map(|file| file.display().to_string()),
    }
}

fn named(places: &[usize], ids: &[String]) -> Vec<String> {
    places.iter().map(|place| ids[*place].clone()).collect()
}

fn row(row: &Row, ids: &[String]) -> RowView {
    let entry = |entry: &Entry| EntryView {
        text: entry.text.clone(),
        with: named(&entry.with, ids),
        parts_at: entry.parts_at,
        spellings: entry.spellings.clone(),
    };
    let cells = row.cells.iter();
    let cells = cells.map(|cell| cell.as_ref().map(|cell| cell.iter().map(entry).collect()));
    RowView {
        feature: row.feature.name(),
        verdict: row.verdict.name(),
        seen: row.seen,
        bits: row.bits,
        cells: cells.collect(),
    }
}

fn find(weighing: &Weighing, find: Option<&Find>, ids: &[String]) -> FindView {
    let term = |term: &TermRow| TermView {
        witness: term.witness.map_or("prior", |witness| witness.name()),
        said: term.said.clone(),
        nats: term.nats.clone(),
        why: term.why.clone(),
        difference: term.difference,
        speaks_for: named(&term.speaks_for, ids),
        lead: term.lead,
    };
    FindView {
        id: find.and_then(|find| find.id.clone()),
        terms: weighing.terms.iter().map(term).collect(),
        totals: weighing.totals.clone(),
        chances: weighing.chances.clone(),
    }
}

/// The regions that hold half and nine tenths of the pieces.
fn regions(law: &MeasureLaw, find: Option<&Find>) -> Vec<RegionView> {
    let grams = find.and_then(|find| find.weight).map(|w| w.value.get());
    let width = find.and_then(|find| find.diameter).map(|d| d.value.get());
    let known = (law.weighed() || law.measured())
        && (!law.weighed() || grams.is_some())
        && (!law.measured() || width.is_some());
    let regions = law.regions(&[0.5, 0.9]).into_iter();
    regions
        .map(|region| {
            let (grams_reach, width_reach) = reach(&region.outline);
            RegionView {
                share: region.share,
                grams: grams_reach,
                millimetres: width_reach,
                holds_find: known
                    .then(|| law.holds(&region, grams.unwrap_or(1.0), width.unwrap_or(1.0))),
            }
        })
        .collect()
}

/// Least and most of something.
type Reach = Option<[f64; 2]>;

/// The least and the most grams and millimetres of an outline.
fn reach(outline: &Outline) -> (Reach, Reach) {
    let hull = |values: &mut dyn Iterator<Item = f64>| {
        values.fold(None, |hull: Reach, value| {
            let [least, most] = hull.unwrap_or([value, value]);
            Some([least.min(value), most.max(value)])
        })
    };
    let ends = |stretches: &Vec<(f64, f64)>| hull(&mut stretches.iter().flat_map(|s| [s.0, s.1]));
    match outline {
        Outline::Nothing => (None, None),
        Outline::Grams(stretches) => (ends(stretches), None),
        Outline::Millimetres(stretches) => (None, ends(stretches)),
        Outline::Rings(rings) => {
            let points = || rings.iter().flatten();
            (
                hull(&mut points().map(|point| point.1)),
                hull(&mut points().map(|point| point.0)),
            )
        }
    }
}
