//! Asking the index: several generous questions, their answers put together.
//!
//! One question joins all traits; the letters, the motifs, the words of what is seen and the measures
//! are also asked for alone, so that one wrong trait cannot shut the right type out.

use tantivy::{Searcher, TantivyError};

use super::fields::{Fields, letter_runs};
use super::sizes::Sizes;
use super::words::{Asked, Words};
use crate::catalogue::Catalogue;
use crate::find::{Find, Mark, Reading, SeenWord, Side};

/// Candidates the joint question may give.
const JOINT_MOST: usize = 520;
/// Candidates each single question may give.
const SINGLE_MOST: usize = 300;
/// Candidates that metal and measures alone may give.
const SIZED_MOST: usize = 420;
/// Fewest candidates that are worth judging; with fewer the likeliest types beforehand are added.
const FEWEST: usize = 400;
/// Types of the library that these numbers were chosen for. In a larger one as many more types crowd
/// at each limit, so the limits rise with it: the share of the library that is judged stays.
const CHOSEN_FOR: usize = 5_400;
/// Longest reading whose runs are asked for, in letters.
const LETTERS_MOST: usize = 80;

/// What is read of an index once: columns in its own order, the likelier beforehand first.
pub(super) struct Shelf {
    /// The types by their positions in the library.
    pub(super) order: Vec<u32>,
    /// What its place in the order costs each.
    behind: Vec<f32>,
    letters: Words,
    motifs: Words,
}

impl Shelf {
    /// Reads an index.
    pub(super) fn of(searcher: &Searcher, fields: &Fields) -> Result<Shelf, TantivyError> {
        let mut order = Vec::new();
        for reader in searcher.segment_readers() {
            let column = reader.fast_fields().u64("position")?;
            order.extend((0..reader.max_doc()).map(|doc| column.first(doc).unwrap_or(0) as u32));
        }
        let behind = |rank: usize| PLACE * ((rank + 16) as f32).log2();
        Ok(Shelf {
            behind: (0..order.len()).map(behind).collect(),
            order,
            letters: Words::of(searcher, fields.letters)?,
            motifs: Words::of(searcher, fields.motifs)?,
        })
    }

    fn positions(&self) -> impl Iterator<Item = usize> {
        self.order.iter().map(|p| *p as usize)
    }
}

/// Positions of the candidates, none twice.
pub(super) fn run(
    shelf: &Shelf,
    sizes: &Sizes,
    find: &Find,
    catalogue: &Catalogue,
) -> Result<Vec<usize>, TantivyError> {
    let letters = shelf.letters.gains(&letters_asked(find))?;
    let motifs = shelf.motifs.gains(&motifs_asked(find, catalogue))?;
    let sized = sizes.gains(find);
    let mut joint = vec![0f32; shelf.order.len()];
    let described = described(shelf, find, catalogue);
    for column in [&letters, &motifs, &sized, &described]
        .into_iter()
        .flatten()
    {
        joint
            .iter_mut()
            .zip(column)
            .for_each(|(sum, one)| *sum += one);
    }
    let types = catalogue.types.len();
    let limit = |chosen: usize| chosen.max(chosen * types / CHOSEN_FOR);
    let mut found = Found::new(types);
    best(&joint, shelf, limit(JOINT_MOST), &mut found);
    for (alone, most) in [
        (&letters, SINGLE_MOST),
        (&motifs, SINGLE_MOST),
        (&described, SINGLE_MOST),
        (&sized, SIZED_MOST),
    ] {
        if let Some(alone) = alone {
            best(alone, shelf, limit(most), &mut found);
        }
    }
    fellows(shelf, find, catalogue).for_each(|position| found.add(position));
    if found.count < FEWEST {
        // Little or nothing was asked that any type answers to; the likeliest beforehand fill up.
        let likeliest = shelf.positions().take(FEWEST);
        likeliest.for_each(|position| found.add(position));
    }
    Ok(found.positions())
}

/// What each type gains by the words in which what is seen was said, in nats; none when none tells.
fn described(shelf: &Shelf, find: &Find, catalogue: &Catalogue) -> Option<Vec<f32>> {
    let pictured = &catalogue.pictured;
    let mut column: Option<Vec<f32>> = None;
    for (face, side) in [Side::Obverse, Side::Reverse].into_iter().enumerate() {
        // Words of which nobody knows the face may be of either.
        let of = |one: &&SeenWord| one.side == side || one.side == Side::Unknown;
        let said = find.seen_words.iter().filter(of);
        let Some(by_label) = pictured.by_label(said.map(|one| one.word.as_str())) else {
            continue;
        };
        let gains = pictured.gains(face, &by_label);
        let column = column.get_or_insert_with(|| vec![0.0; shelf.order.len()]);
        for (sum, position) in column.iter_mut().zip(shelf.positions()) {
            let design = pictured.design(face, position);
            *sum += design.map_or(0.0, |design| gains[design] as f32);
        }
    }
    column
}

/// Positions found, a bit each, so that none is found twice.
struct Found {
    bits: Vec<u64>,
    count: usize,
}

impl Found {
    fn new(types: usize) -> Found {
        Found {
            bits: vec![0; types.div_ceil(64)],
            count: 0,
        }
    }

    fn add(&mut self, position: usize) {
        if let Some(bits) = self.bits.get_mut(position / 64) {
            let bit = 1 << (position % 64);
            self.count += usize::from(*bits & bit == 0);
            *bits |= bit;
        }
    }

    /// What was found, in the order of the library.
    fn positions(self) -> Vec<usize> {
        let mut positions = Vec::with_capacity(self.count);
        for (word, mut bits) in self.bits.into_iter().enumerate() {
            while bits != 0 {
                positions.push(word * 64 + bits.trailing_zeros() as usize);
                bits &= bits - 1;
            }
        }
        positions
    }
}

/// The likeliest types beforehand that what lay with the find may be.
fn fellows<'a>(
    shelf: &'a Shelf,
    find: &'a Find,
    catalogue: &'a Catalogue,
) -> impl Iterator<Item = usize> + 'a {
    let alike = move |position: &usize| {
        let coin = catalogue.types.get(*position);
        coin.is_some_and(|coin| find.company.iter().any(|one| catalogue.may_be(coin, one)))
    };
    let likeliest = shelf.positions().filter(alike);
    likeliest.take(if find.company.is_empty() {
        0
    } else {
        SINGLE_MOST
    })
}

/// What each doubling of the place in the order beforehand costs, in the units of a matched word:
/// a common type that answers nearly as well is likelier in the end. Chosen by recall over
/// simulated finds.
const PLACE: f32 = 0.45;

/// Adds the types that score best, the likelier beforehand with a start.
fn best(scores: &[f32], shelf: &Shelf, most: usize, found: &mut Found) {
    let placed = scores.iter().zip(&shelf.behind).zip(0u32..);
    let mut answers: Vec<u64> = Vec::with_capacity(2 * most);
    let mut least = 0;
    for ((score, behind), rank) in placed.filter(|((score, _), _)| **score > 0.0) {
        // Score and place in one number: of two alike the likelier beforehand stands further forward.
        let answer = (rising(score - behind) << 32) | u64::from(!rank);
        if answer <= least {
            continue;
        }
        answers.push(answer);
        if answers.len() == 2 * most {
            least = keep(&mut answers, most);
        }
    }
    if answers.len() > most {
        keep(&mut answers, most);
    }
    for answer in answers {
        found.add(shelf.order[!(answer as u32) as usize] as usize);
    }
}

/// Keeps the best answers, at least one; gives the least of them.
fn keep(answers: &mut Vec<u64>, most: usize) -> u64 {
    let (_, least, _) = answers.select_nth_unstable_by(most - 1, |a, b| b.cmp(a));
    let least = *least;
    answers.truncate(most);
    least
}

/// A whole number that rises as a score does.
fn rising(score: f32) -> u64 {
    let bits = score.to_bits();
    let flipped = if score.is_sign_negative() {
        !bits
    } else {
        bits | (1 << 31)
    };
    u64::from(flipped)
}

/// Runs of letters seen next to one another.
fn letters_asked(find: &Find) -> Vec<Asked> {
    let mut runs: Vec<String> = find
        .readings
        .iter()
        .flat_map(seen_together)
        .flat_map(|letters| letter_runs(&letters))
        .collect();
    runs.sort_unstable();
    runs.dedup();
    let asked = |run: String| {
        let worth = if run.len() > 2 { 1.5 } else { 1.0 };
        (run, worth)
    };
    runs.into_iter().map(asked).collect()
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
fn motifs_asked(find: &Find, catalogue: &Catalogue) -> Vec<Asked> {
    let mut asked = Vec::new();
    for sighting in find.sightings.iter().filter(|s| s.present) {
        let Some(motif) = catalogue.motif_by_id(&sighting.motif) else {
            continue;
        };
        asked.push((sighting.motif.clone(), 1.0));
        for above in catalogue.motifs[motif].ancestors.iter().take(3) {
            asked.push((catalogue.motifs[*above].id.clone(), 0.4));
        }
    }
    asked
}
