//! Asking the index: several generous questions, their answers put together.
//!
//! One question joins all traits; the letters, the motifs and the measures are also
//! asked for alone, so that one wrong trait cannot shut the right type out.

use std::ops::Bound;

use tantivy::collector::TopDocs;
use tantivy::columnar::Column;
use tantivy::query::{
    AllQuery, BooleanQuery, BoostQuery, ConstScoreQuery, Occur, Query, RangeQuery, TermQuery,
};
use tantivy::schema::{Field, IndexRecordOption};
use tantivy::{Searcher, TantivyError, Term};

use super::fields::{Fields, letter_runs};
use crate::catalogue::Catalogue;
use crate::find::{Completeness, Find, Mark, MetalSeen, Reading};

/// Candidates the joint question may give.
const JOINT_MOST: usize = 260;
/// Candidates each single question may give.
const SINGLE_MOST: usize = 120;
/// Fewest candidates that are worth judging; with fewer the likeliest types beforehand are added.
const FEWEST: usize = 200;
/// Longest reading whose runs are asked for, in letters.
const LETTERS_MOST: usize = 80;

type Clause = (Occur, Box<dyn Query>);

/// Positions of the candidates, none twice.
pub(super) fn run(
    searcher: &Searcher,
    fields: &Fields,
    find: &Find,
    catalogue: &Catalogue,
) -> Result<Vec<usize>, TantivyError> {
    let letters = letter_clauses(fields, find);
    let motifs = motif_clauses(fields, find, catalogue);
    let metal = metal_clauses(fields, find);
    let measures = measure_clauses(fields, find);
    let mut found = Vec::new();
    let joint: Vec<Clause> = letters
        .iter()
        .chain(&motifs)
        .chain(&metal)
        .chain(&measures)
        .map(copy)
        .collect();
    gather(searcher, joint, JOINT_MOST, &mut found)?;
    // What fits the scales and the callipers, the metal breaking ties.
    let sized: Vec<Clause> = measures.iter().chain(&metal).map(copy).collect();
    for (alone, most) in [
        (letters, SINGLE_MOST),
        (motifs, SINGLE_MOST),
        (sized, JOINT_MOST),
    ] {
        if !alone.is_empty() {
            gather(searcher, alone, most, &mut found)?;
        }
    }
    tidied(&mut found);
    if found.len() < FEWEST {
        // Little or nothing was asked that any type answers to; the likeliest beforehand fill up.
        gather(searcher, Vec::new(), FEWEST, &mut found)?;
        tidied(&mut found);
    }
    Ok(found)
}

fn tidied(found: &mut Vec<usize>) {
    found.sort_unstable();
    found.dedup();
}

fn copy(clause: &Clause) -> Clause {
    (clause.0, clause.1.box_clone())
}

/// Adds the best answers to one question.
fn gather(
    searcher: &Searcher,
    clauses: Vec<Clause>,
    most: usize,
    found: &mut Vec<usize>,
) -> Result<(), TantivyError> {
    let query: Box<dyn Query> = if clauses.is_empty() {
        Box::new(AllQuery)
    } else {
        Box::new(BooleanQuery::new(clauses))
    };
    let columns: Vec<Column<u64>> = searcher
        .segment_readers()
        .iter()
        .map(|segment| segment.fast_fields().u64("position"))
        .collect::<Result<_, _>>()?;
    for (_, address) in searcher.search(&query, &TopDocs::with_limit(most).order_by_score())? {
        found.extend(
            columns[address.segment_ord as usize]
                .first(address.doc_id)
                .map(|position| position as usize),
        );
    }
    Ok(())
}

fn should(field: Field, word: &str, boost: f32) -> Clause {
    let term = TermQuery::new(Term::from_field_text(field, word), IndexRecordOption::Basic);
    (
        Occur::Should,
        Box::new(BoostQuery::new(Box::new(term), boost)),
    )
}

/// Runs of letters seen next to one another.
fn letter_clauses(fields: &Fields, find: &Find) -> Vec<Clause> {
    let mut runs: Vec<String> = find
        .readings
        .iter()
        .flat_map(seen_together)
        .flat_map(|letters| letter_runs(&letters))
        .collect();
    runs.sort_unstable();
    runs.dedup();
    runs.iter()
        .map(|run| should(fields.letters, run, if run.len() > 2 { 1.5 } else { 1.0 }))
        .collect()
}

fn seen_together(reading: &Reading) -> Vec<Vec<char>> {
    let mut rows = vec![Vec::new()];
    for mark in reading.marks.iter().take(LETTERS_MOST) {
        let last = rows.len() - 1;
        match mark {
            Mark::Letter { letter, .. } => rows[last].push(*letter),
            Mark::OneOf(letters) => rows[last].extend(letters.first()),
            Mark::Break => {}
            _ => rows.push(Vec::new()),
        }
    }
    rows
}

/// The motifs named, and what stands one and two steps above them.
fn motif_clauses(fields: &Fields, find: &Find, catalogue: &Catalogue) -> Vec<Clause> {
    let mut clauses = Vec::new();
    for sighting in find.sightings.iter().filter(|s| s.present) {
        let Some(motif) = catalogue.motif_by_id(&sighting.motif) else {
            continue;
        };
        clauses.push(should(fields.motifs, &sighting.motif, 1.0));
        for above in catalogue.motifs[motif].ancestors.iter().take(3) {
            clauses.push(should(fields.motifs, &catalogue.motifs[*above].id, 0.4));
        }
    }
    clauses
}

/// The metal named, and those it is mistaken for.
fn metal_clauses(fields: &Fields, find: &Find) -> Vec<Clause> {
    let Some((seen, _)) = find.metal else {
        return Vec::new();
    };
    let near: &[MetalSeen] = match seen {
        MetalSeen::Silver => &[MetalSeen::BaseSilver, MetalSeen::WhiteMetal],
        MetalSeen::BaseSilver => &[MetalSeen::Silver, MetalSeen::CopperAlloy],
        MetalSeen::Plated => &[MetalSeen::Silver, MetalSeen::BaseSilver, MetalSeen::Gold],
        MetalSeen::CopperAlloy => &[MetalSeen::BaseSilver],
        MetalSeen::WhiteMetal => &[MetalSeen::Silver, MetalSeen::Lead],
        MetalSeen::Lead => &[MetalSeen::WhiteMetal],
        MetalSeen::Gold | MetalSeen::Iron => &[],
    };
    let clause = |metal: &MetalSeen, weight: f32| -> Clause {
        let term = TermQuery::new(
            Term::from_field_text(fields.metal, &format!("{metal:?}")),
            IndexRecordOption::Basic,
        );
        (
            Occur::Should,
            Box::new(ConstScoreQuery::new(Box::new(term), weight)),
        )
    };
    std::iter::once(clause(&seen, 2.0))
        .chain(near.iter().map(|metal| clause(metal, 1.0)))
        .collect()
}

/// Whether the measures lie in what a piece of the type may have.
fn measure_clauses(fields: &Fields, find: &Find) -> Vec<Clause> {
    let mut clauses = Vec::new();
    let mut within = |(least, most): (Field, Field), value: f64| {
        let below = RangeQuery::new(
            Bound::Unbounded,
            Bound::Included(Term::from_field_f64(least, value)),
        );
        let above = RangeQuery::new(
            Bound::Included(Term::from_field_f64(most, value)),
            Bound::Unbounded,
        );
        let both = BooleanQuery::new(vec![
            (Occur::Must, Box::new(below) as Box<dyn Query>),
            (Occur::Must, Box::new(above)),
        ]);
        clauses.push((
            Occur::Should,
            Box::new(ConstScoreQuery::new(Box::new(both), 3.0)) as Box<dyn Query>,
        ));
    };
    let whole = !matches!(
        find.completeness,
        Some(Completeness::Half | Completeness::Quarter | Completeness::Fragment)
    );
    if let Some(weight) = find.weight {
        // A cut piece is held against what the whole would weigh, as far as the part is known.
        let parts: &[f64] = match find.completeness {
            Some(Completeness::Half) => &[0.5],
            Some(Completeness::Quarter) => &[0.25],
            Some(Completeness::Fragment) => &[0.3, 0.6],
            _ => &[1.0],
        };
        parts
            .iter()
            .for_each(|part| within(fields.weight, weight.value.get() / part));
    }
    if let Some(diameter) = find.diameter.filter(|_| whole) {
        within(fields.diameter, diameter.value.get());
    }
    clauses
}
