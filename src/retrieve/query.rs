//! Asking the index: several generous questions, their answers put together.
//!
//! One question joins all traits; the letters, the motifs and the measures are also
//! asked for alone, so that one wrong trait cannot shut the right type out.

use tantivy::query::{BooleanQuery, BoostQuery, EnableScoring, Occur, Query, TermQuery};
use tantivy::schema::{Field, IndexRecordOption};
use tantivy::{Searcher, TantivyError, Term};

use super::fields::{Fields, letter_runs};
use super::sizes::Sizes;
use crate::catalogue::Catalogue;
use crate::find::{Find, Mark, Reading};

/// Candidates the joint question may give.
const JOINT_MOST: usize = 520;
/// Candidates each single question may give.
const SINGLE_MOST: usize = 300;
/// Candidates that metal and measures alone may give.
const SIZED_MOST: usize = 420;
/// Fewest candidates that are worth judging; with fewer the likeliest types beforehand are added.
const FEWEST: usize = 400;
/// Longest reading whose runs are asked for, in letters.
const LETTERS_MOST: usize = 80;

type Clause = (Occur, Box<dyn Query>);

/// The types in the order of the index, the likelier beforehand first, segment by segment.
pub(super) struct Order {
    segments: Vec<Vec<u32>>,
    /// For each type, what its place in the order costs it.
    behind: Vec<f32>,
}

impl Order {
    /// Reads the order of an index.
    pub(super) fn of(searcher: &Searcher) -> Result<Order, TantivyError> {
        let segment = |reader: &tantivy::SegmentReader| -> Result<Vec<u32>, TantivyError> {
            let column = reader.fast_fields().u64("position")?;
            let position = |doc| column.first(doc).unwrap_or(0) as u32;
            Ok((0..reader.max_doc()).map(position).collect())
        };
        let segments: Vec<Vec<u32>> = searcher
            .segment_readers()
            .iter()
            .map(segment)
            .collect::<Result<_, _>>()?;
        let types = segments.iter().map(Vec::len).sum();
        let mut behind = vec![0.0; types];
        for (rank, position) in segments.iter().flatten().enumerate() {
            if let Some(place) = behind.get_mut(*position as usize) {
                *place = PLACE * ((rank + 16) as f32).log2();
            }
        }
        Ok(Order { segments, behind })
    }

    fn positions(&self) -> impl Iterator<Item = usize> {
        self.segments.iter().flatten().map(|p| *p as usize)
    }
}

/// Positions of the candidates, none twice.
pub(super) fn run(
    searcher: &Searcher,
    fields: &Fields,
    order: &Order,
    sizes: &Sizes,
    find: &Find,
    catalogue: &Catalogue,
) -> Result<Vec<usize>, TantivyError> {
    let asked = |clauses: Vec<Clause>| scores(searcher, order, clauses, catalogue.types.len());
    let letters = asked(letter_clauses(fields, find))?;
    let motifs = asked(motif_clauses(fields, find, catalogue))?;
    let sized = sizes.gains(find);
    let mut joint = vec![0f32; catalogue.types.len()];
    for column in [&letters, &motifs, &sized].into_iter().flatten() {
        joint
            .iter_mut()
            .zip(column)
            .for_each(|(sum, one)| *sum += one);
    }
    let mut found = Vec::new();
    best(&joint, order, JOINT_MOST, &mut found);
    for (alone, most) in [
        (&letters, SINGLE_MOST),
        (&motifs, SINGLE_MOST),
        (&sized, SIZED_MOST),
    ] {
        if let Some(alone) = alone {
            best(alone, order, most, &mut found);
        }
    }
    found.extend(fellows(order, find, catalogue));
    tidied(&mut found);
    if found.len() < FEWEST {
        // Little or nothing was asked that any type answers to; the likeliest beforehand fill up.
        found.extend(order.positions().take(FEWEST));
        tidied(&mut found);
    }
    Ok(found)
}

/// The likeliest types beforehand that what lay with the find may be.
fn fellows<'a>(
    order: &'a Order,
    find: &'a Find,
    catalogue: &'a Catalogue,
) -> impl Iterator<Item = usize> + 'a {
    let alike = move |position: &usize| {
        let coin = catalogue.types.get(*position);
        coin.is_some_and(|coin| find.company.iter().any(|one| catalogue.may_be(coin, one)))
    };
    let likeliest = order.positions().filter(alike);
    likeliest.take(if find.company.is_empty() {
        0
    } else {
        SINGLE_MOST
    })
}

fn tidied(found: &mut Vec<usize>) {
    found.sort_unstable();
    found.dedup();
}

/// What each type scores for a question, nought where it does not answer; none for no question.
fn scores(
    searcher: &Searcher,
    order: &Order,
    clauses: Vec<Clause>,
    types: usize,
) -> Result<Option<Vec<f32>>, TantivyError> {
    if clauses.is_empty() {
        return Ok(None);
    }
    let mut scores = vec![0.0; types];
    let weight =
        BooleanQuery::new(clauses).weight(EnableScoring::enabled_from_searcher(searcher))?;
    for (reader, positions) in searcher.segment_readers().iter().zip(&order.segments) {
        weight.for_each(reader, &mut |doc, score| {
            let position = positions.get(doc as usize).map(|p| *p as usize);
            if let Some(place) = position.and_then(|position| scores.get_mut(position)) {
                *place = score;
            }
        })?;
    }
    Ok(Some(scores))
}

/// What each doubling of the place in the order beforehand costs, in the units of a matched word:
/// a common type that answers nearly as well is likelier in the end. Chosen by recall over
/// simulated finds.
const PLACE: f32 = 0.45;

/// Adds the types that score best, the likelier beforehand with a start.
fn best(scores: &[f32], order: &Order, most: usize, found: &mut Vec<usize>) {
    let placed = scores.iter().zip(&order.behind).zip(0u32..);
    let mut answers: Vec<(f32, u32)> = placed
        .filter(|((score, _), _)| **score > 0.0)
        .map(|((score, behind), position)| (score - behind, position))
        .collect();
    if answers.len() > most {
        // Of two alike the likelier beforehand stands further forward.
        let behind = |position: u32| order.behind[position as usize];
        answers.select_nth_unstable_by(most, |a, b| {
            let place = || behind(a.1).total_cmp(&behind(b.1));
            b.0.total_cmp(&a.0).then_with(place)
        });
        answers.truncate(most);
    }
    found.extend(answers.into_iter().map(|(_, position)| position as usize));
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
