//! The quick way of the alignment, for plain spellings and plain readings.
//!
//! The same programme as the grid's, in two rows and without a trace; nearly all that is
//! aligned is plain: letters of the alphabet, free runs and breaks. Invariant: gives what the grid gives, to the last nat.

use super::programme::{Gains, INSERTED, NEVER, Ready, SKIPPED, Scratch, StepKind};
use crate::catalogue::Glyph;
use crate::score::constants::{FREE_END, FREE_LETTER, LEGEND_END_WRONG};

/// Stands for a free run among the places of the alphabet.
pub(super) const FREE: u8 = 26;

/// The places of a spelling that has nothing but letters of the alphabet, free runs and breaks,
/// laid on twice, since a legend is a ring.
pub(super) fn plain(glyphs: &[Glyph]) -> Option<Vec<u8>> {
    let places = glyphs.iter().filter(|glyph| **glyph != Glyph::Break);
    let mut twice: Vec<u8> = places
        .map(|glyph| match glyph {
            Glyph::Letter(c) if c.is_ascii_uppercase() => Some(*c as u8 - b'A'),
            Glyph::Free => Some(FREE),
            _ => None,
        })
        .collect::<Option<_>>()?;
    twice.extend_from_within(..);
    Some(twice)
}

/// A plain spelling laid on twice, as a ring.
struct Ring<'l> {
    letters: &'l [u8],
    columns: usize,
    open: f64,
}

impl Ring<'_> {
    fn place(&self, column: usize) -> u8 {
        let length = self.letters.len();
        self.letters[if column < length {
            column
        } else {
            column - length
        }]
    }

    /// Scores before any step: every place is a start.
    fn starts(&self, from_start: bool, row: &mut [f64]) {
        for (column, score) in row.iter_mut().enumerate().take(self.letters.len()) {
            *score = match (from_start, column) {
                (true, 0) => 0.0,
                (true, _) => LEGEND_END_WRONG + self.open,
                (false, _) => self.open,
            };
        }
    }

    /// A letter read: on the letter struck, or where there is none.
    fn use_letter(&self, gains: &Gains, row: &[f64], below: &mut [f64]) {
        below.fill(NEVER);
        let inserted = *INSERTED;
        for column in 0..self.columns - 1 {
            let (stays, goes) = match self.place(column) {
                FREE => (FREE_LETTER, FREE_LETTER + FREE_END),
                letter => (inserted, gains[usize::from(letter)]),
            };
            below[column] = f64::max(below[column], row[column] + stays);
            below[column + 1] = row[column] + goes;
        }
        let last = self.columns - 1;
        below[last] = f64::max(below[last], row[last] + inserted);
    }

    /// A letter lost: any place may have held it, and a free run any number.
    fn use_place(&self, row: &[f64], below: &mut [f64]) {
        below.fill(NEVER);
        for column in 0..self.columns - 1 {
            if self.place(column) == FREE {
                below[column] = f64::max(below[column], row[column]);
            }
            below[column + 1] = row[column];
        }
    }

    /// Any number of letters lost: the next fragment may start at any later place.
    fn use_gap(&self, row: &[f64], below: &mut [f64]) {
        below.fill(NEVER);
        let mut best = (NEVER, 0);
        for (to, score) in row.iter().enumerate() {
            if *score > best.0 {
                best = (*score, to);
            }
            if to - best.1 <= self.letters.len() {
                below[to] = best.0 + self.open;
            }
        }
    }

    /// Struck letters passed over without a mark.
    fn pass_over(&self, row: &mut [f64], skipping: &mut Vec<bool>) {
        let (first, next) = *SKIPPED;
        skipping.clear();
        skipping.resize(self.columns, false);
        for column in 0..self.columns - 1 {
            let free = self.place(column) == FREE;
            let cost = match (free, skipping[column]) {
                (true, _) => FREE_END,
                (false, true) => next,
                (false, false) => first,
            };
            if row[column] + cost > row[column + 1] {
                row[column + 1] = row[column] + cost;
                skipping[column + 1] = !free || skipping[column];
            }
        }
    }
}

/// As [`run_plain`], for a spelling of nothing but letters: the same sums without a branch a place.
struct Letters<'l> {
    /// The spelling laid on twice, as far as the columns reach.
    places: &'l [u8],
    inserted: f64,
    skipped: (f64, f64),
}

impl Letters<'_> {
    fn use_letter(&self, gains: &Gains, row: &[f64], below: &mut [f64]) {
        below[0] = row[0] + self.inserted;
        let ways = row.iter().zip(&row[1..]).zip(self.places);
        for (cell, ((goes, stays), place)) in below[1..].iter_mut().zip(ways) {
            let (goes, stays) = (goes + gains[usize::from(*place)], stays + self.inserted);
            *cell = if goes > stays { goes } else { stays };
        }
    }

    fn use_place(row: &[f64], below: &mut [f64]) {
        below[0] = NEVER;
        below[1..].copy_from_slice(&row[..row.len() - 1]);
    }

    fn pass_over(&self, row: &mut [f64]) {
        let (mut here, mut skipping) = (row[0], false);
        for next in &mut row[1..] {
            let passed = here
                + if skipping {
                    self.skipped.1
                } else {
                    self.skipped.0
                };
            skipping = passed > *next;
            if skipping {
                *next = passed;
            }
            here = *next;
        }
    }
}

/// The greatest of a row.
fn most(row: &[f64]) -> f64 {
    let greater = |most: f64, score: &f64| if *score > most { *score } else { most };
    row.iter().fold(NEVER, greater)
}

/// The best score of a row, where a reading that ends the legend must end with it.
fn best_end(row: &[f64], to_end: bool, length: usize) -> f64 {
    let ends_wrong = |column: usize| to_end && !column.is_multiple_of(length);
    let ended = |(column, score): (usize, &f64)| {
        score
            + if ends_wrong(column) {
                LEGEND_END_WRONG
            } else {
                0.0
            }
    };
    row.iter().enumerate().map(ended).fold(NEVER, f64::max)
}

/// What [`super::programme::Grid::run`] and [`super::programme::Grid::beginning`] give for a plain spelling and a
/// plain reading, its places laid on twice; `None` where only the grid will do.
pub(super) fn run_plain(
    ready: Ready<'_>,
    letters: &[u8],
    cells: &mut Scratch,
) -> Option<(f64, f64)> {
    if letters.is_empty() || !ready.plain {
        return None;
    }
    let length = letters.len() / 2;
    let free = letters.contains(&FREE);
    let reach = if ready.jumps || free {
        length
    } else {
        length.min(ready.steps.len() + 6)
    };
    let ring = Ring {
        letters: &letters[..length],
        columns: length + reach + 1,
        open: -(length as f64).ln(),
    };
    let only = Letters {
        places: &letters[..ring.columns - 1],
        inserted: *INSERTED,
        skipped: *SKIPPED,
    };
    cells.score.clear();
    cells.score.resize(2 * ring.columns, NEVER);
    let (mut row, mut below) = cells.score.split_at_mut(ring.columns);
    ring.starts(ready.reading.from_start, row);
    let mut beginning = most(row);
    let last = ready.steps.len() - 1;
    for (place, (step, gains)) in ready.steps.iter().zip(ready.gains).enumerate() {
        match (&step.kind, free) {
            (StepKind::Letter { .. }, true) => ring.use_letter(gains, row, below),
            (StepKind::Letter { .. }, false) => only.use_letter(gains, row, below),
            (StepKind::Place, true) => ring.use_place(row, below),
            (StepKind::Place, false) => Letters::use_place(row, below),
            (StepKind::Gap, _) => ring.use_gap(row, below),
            (StepKind::About(_) | StepKind::Break, _) => return None,
        }
        std::mem::swap(&mut row, &mut below);
        beginning = beginning.max(most(row));
        // A reading does not close by passing over letters; that would be a gap for nothing.
        match (place < last, free) {
            (true, true) => ring.pass_over(row, &mut cells.skipping),
            (true, false) => only.pass_over(row),
            (false, _) => {}
        }
    }
    Some((best_end(row, ready.reading.to_end, length), beginning))
}

#[cfg(test)]
mod tests {
    use super::super::kit::{reading, spelling};
    use super::*;
    use crate::catalogue::Script;
    use crate::score::legend::programme::{Grid, gains, jumps, only_places, steps};

    /// The quick way and the plain one must agree, whatever is read on whatever is struck.
    #[test]
    fn the_quick_way_gives_what_the_grid_gives() {
        let mut state = 20_261_125_u64;
        let mut roll = |below: u64| {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) % below
        };
        for _ in 0..3_000 {
            let text = |length: u64, alphabet: &[u8], roll: &mut dyn FnMut(u64) -> u64| -> String {
                (0..length)
                    .map(|_| alphabet[roll(alphabet.len() as u64) as usize] as char)
                    .collect()
            };
            let length = 1 + roll(20);
            let struck = spelling(&text(length, b"AVGRICOTN*", &mut roll));
            let length = 1 + roll(12);
            let mut read = reading(&text(length, b"AVGRICOTNX.-", &mut roll));
            if read.letters_seen() == 0 {
                continue;
            }
            (read.from_start, read.to_end) = (roll(4) == 0, roll(4) == 0);
            let steps = steps(&read);
            let gains = gains(&steps, Script::Roman);
            let ready = Ready {
                reading: &read,
                steps: &steps,
                script: Script::Roman,
                gains: &gains,
                jumps: jumps(&steps),
                plain: only_places(&steps),
            };
            let (mut some, mut others) = (Scratch::default(), Scratch::default());
            let mut grid = Grid::<false>::new(ready, &struck, &mut some);
            let (nats, beginning) = (grid.run().1, grid.beginning());
            let letters = plain(&struck).expect("is plain");
            let quick = run_plain(ready, &letters, &mut others).expect("is plain");
            assert!(
                (quick.0 - nats).abs() < 1e-9 && (quick.1 - beginning).abs() < 1e-9,
                "{read:?} on {struck:?}: {quick:?}, {nats} {beginning}"
            );
        }
    }
}
