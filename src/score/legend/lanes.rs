//! The quick way of the alignment: one reading along several plain spellings side by side.
//!
//! The same programme as the grid's, in one row and without a trace, each cell a lane a spelling;
//! nearly all that is aligned is plain: letters of the alphabet, free runs and breaks. A lane that is
//! done before the others runs on along places on which nothing lies. Invariant: gives each
//! spelling what the grid gives, to the last nat, whatever lies beside it.

use super::programme::{Gains, INSERTED, NEVER, Ready, StepKind};
use crate::catalogue::Glyph;
use crate::score::constants::{FREE_END, FREE_LETTER, LEGEND_END_WRONG};

/// Spellings laid side by side: four pairs of what two of a plain processor's registers hold.
pub(super) const LANES: usize = 8;
/// Stands for a free run among the places of the alphabet.
const FREE: u8 = 26;
/// Stands for a place beyond the end of a lane.
const BEYOND: u8 = 27;
/// Places that are told apart, a power of two so that a place is always one of them.
const PLACES: usize = 32;

/// A number for each lane.
type Lanes = [f64; LANES];
/// A number for each place that a spelling may have.
type Table = [f64; PLACES];

/// The places of a spelling that has nothing but letters of the alphabet, free runs and breaks.
pub(super) fn plain(glyphs: &[Glyph]) -> Option<Vec<u8>> {
    let places = glyphs.iter().filter(|glyph| **glyph != Glyph::Break);
    let place = |glyph: &Glyph| match glyph {
        Glyph::Letter(c) if c.is_ascii_uppercase() => Some(*c as u8 - b'A'),
        Glyph::Free => Some(FREE),
        _ => None,
    };
    places.map(place).collect()
}

/// Nats of a reading on a spelling, and of that beginning of the reading which lies best.
pub(super) type Laid = (f64, f64);

/// What alignments are worked out in, kept so that it is not made anew.
#[derive(Default)]
pub(super) struct Bench {
    row: Vec<Lanes>,
    places: Vec<[u8; LANES]>,
}

/// Lays a plain reading along plain spellings, at least one and at most [`LANES`]; `free` when all
/// of them have free runs, not when none has. What lanes without a spelling hold means nothing.
pub(super) fn lay(
    ready: Ready<'_>,
    spellings: &[&[u8]],
    free: bool,
    bench: &mut Bench,
) -> [Laid; LANES] {
    if free {
        Row::<true>::new(ready, spellings, bench).run(ready)
    } else {
        Row::<false>::new(ready, spellings, bench).run(ready)
    }
}

// Always within their callers: only then does the compiler put the lanes side by side.
#[inline(always)]
fn lanes(value: impl Fn(usize) -> f64) -> Lanes {
    let mut lanes = [0.0; LANES];
    for (l, lane) in lanes.iter_mut().enumerate() {
        *lane = value(l);
    }
    lanes
}

#[inline(always)]
fn larger(a: &Lanes, b: &Lanes) -> Lanes {
    lanes(|l| if a[l] > b[l] { a[l] } else { b[l] })
}

/// The cells after a step; with `RUNS` some places are free runs.
struct Row<'b, const RUNS: bool> {
    cells: &'b mut [Lanes],
    places: &'b [[u8; LANES]],
    length: Lanes,
    columns: Lanes,
    open: Lanes,
    beginning: Lanes,
    /// What a letter gains where none is struck: it stays where it is.
    stays: Table,
    skipped: (f64, f64),
}

impl<'b, const RUNS: bool> Row<'b, RUNS> {
    fn new(ready: Ready<'_>, spellings: &[&[u8]], bench: &'b mut Bench) -> Row<'b, RUNS> {
        let of: [&[u8]; LANES] =
            std::array::from_fn(|l| spellings.get(l).copied().unwrap_or(spellings[0]));
        // Without a gap a reading reaches little further than its own length beyond its start.
        let reach = |length: usize| match ready.jumps || RUNS {
            true => length,
            false => length.min(ready.steps.len() + 6),
        };
        let columns = of.map(|places| places.len() + reach(places.len()) + 1);
        let most = columns.iter().copied().max().unwrap_or(1);
        bench.places.clear();
        bench.places.resize(most, [BEYOND; LANES]);
        for (lane, (places, columns)) in of.iter().zip(columns).enumerate() {
            let ring = places.iter().cycle();
            for (column, place) in bench.places.iter_mut().zip(ring).take(columns - 1) {
                column[lane] = *place;
            }
        }
        bench.row.clear();
        bench.row.resize(most, [NEVER; LANES]);
        let mut stays = [*INSERTED; PLACES];
        stays[usize::from(FREE)] = FREE_LETTER;
        let mut row = Row {
            cells: &mut bench.row,
            places: &bench.places,
            length: lanes(|l| of[l].len() as f64),
            columns: lanes(|l| columns[l] as f64),
            open: lanes(|l| -(of[l].len() as f64).ln()),
            beginning: [NEVER; LANES],
            stays,
            skipped: ready.skipped,
        };
        row.start(ready.reading.from_start);
        row
    }

    /// Scores before any step: every place is a start.
    fn start(&mut self, from_start: bool) {
        for (column, cell) in self.cells.iter_mut().enumerate() {
            *cell = lanes(|l| match (from_start, column) {
                _ if column as f64 >= self.length[l] => NEVER,
                (true, 0) => 0.0,
                (true, _) => LEGEND_END_WRONG + self.open[l],
                (false, _) => self.open[l],
            });
            self.beginning = larger(cell, &self.beginning);
        }
    }

    fn run(mut self, ready: Ready<'_>) -> [Laid; LANES] {
        let last = ready.steps.len() - 1;
        for (place, (step, gains)) in ready.steps.iter().zip(ready.gains).enumerate() {
            // A reading does not close by passing over letters; that would be a gap for nothing.
            match (&step.kind, place < last) {
                (StepKind::Letter { .. }, true) => self.letter::<true>(gains),
                (StepKind::Letter { .. }, false) => self.letter::<false>(gains),
                (StepKind::Place, true) => self.place::<true>(),
                (StepKind::Place, false) => self.place::<false>(),
                // A reading with anything else is not plain.
                (_, true) => self.gap::<true>(),
                (_, false) => self.gap::<false>(),
            }
        }
        let nats = self.best_end(ready.reading.to_end);
        std::array::from_fn(|l| (nats[l], self.beginning[l]))
    }

    /// A letter read: on the letter struck, or where there is none.
    fn letter<const PASSES: bool>(&mut self, gains: &Gains) {
        let mut goes: Table = [NEVER; PLACES];
        goes[..gains.len()].copy_from_slice(gains);
        goes[usize::from(FREE)] = FREE_LETTER + FREE_END;
        let at = |table: &Table, place: u8| table[usize::from(place) % PLACES];
        let Some((first, others)) = self.cells.split_first_mut() else {
            return;
        };
        let mut above = *first;
        let stay = at(&self.stays, BEYOND);
        *first = lanes(|l| {
            above[l]
                + match RUNS {
                    true => at(&self.stays, self.places[0][l]),
                    false => stay,
                }
        });
        self.beginning = larger(first, &self.beginning);
        let mut pass = Pass::<RUNS>::from(*first, self.skipped);
        for (cell, places) in others.iter_mut().zip(self.places.windows(2)) {
            let old = *cell;
            let gone = lanes(|l| above[l] + at(&goes, places[0][l]));
            let stayed = lanes(|l| {
                old[l]
                    + match RUNS {
                        true => at(&self.stays, places[1][l]),
                        false => stay,
                    }
            });
            *cell = larger(&gone, &stayed);
            self.beginning = larger(cell, &self.beginning);
            if PASSES {
                pass.over(&places[0], cell);
            }
            above = old;
        }
    }

    /// A letter lost: any place may have held it, and a free run any number.
    fn place<const PASSES: bool>(&mut self) {
        let Some((first, others)) = self.cells.split_first_mut() else {
            return;
        };
        let mut above = *first;
        let held = |place: u8, score: f64| match RUNS && place == FREE {
            true => score,
            false => NEVER,
        };
        *first = lanes(|l| held(self.places[0][l], above[l]));
        let mut pass = Pass::<RUNS>::from(*first, self.skipped);
        for (cell, places) in others.iter_mut().zip(self.places.windows(2)) {
            let old = *cell;
            *cell = above;
            if RUNS {
                *cell = larger(&lanes(|l| held(places[1][l], old[l])), cell);
            }
            if PASSES {
                pass.over(&places[0], cell);
            }
            above = old;
        }
    }

    /// Any number of letters lost: the next fragment may start at any later place.
    fn gap<const PASSES: bool>(&mut self) {
        let (mut best, mut found) = ([NEVER; LANES], [0.0; LANES]);
        let mut pass = Pass::<RUNS>::from([NEVER; LANES], self.skipped);
        let mut before = [BEYOND; LANES];
        for (column, (cell, places)) in self.cells.iter_mut().zip(self.places).enumerate() {
            let column = column as f64;
            found = lanes(|l| if cell[l] > best[l] { column } else { found[l] });
            best = larger(cell, &best);
            *cell = lanes(|l| match column - found[l] <= self.length[l] {
                true => best[l] + self.open[l],
                false => NEVER,
            });
            if PASSES && column > 0.0 {
                pass.over(&before, cell);
            } else {
                pass.here = *cell;
            }
            before = *places;
        }
    }

    /// The best score of each lane, where a reading that ends the legend must end with it.
    fn best_end(&self, to_end: bool) -> Lanes {
        let mut best = [NEVER; LANES];
        for (column, cell) in self.cells.iter().enumerate() {
            let column = column as f64;
            let ended = lanes(|l| {
                let ends_wrong = to_end && column % self.length[l] != 0.0;
                match column < self.columns[l] {
                    true if ends_wrong => cell[l] + LEGEND_END_WRONG,
                    true => cell[l],
                    false => NEVER,
                }
            });
            best = larger(&ended, &best);
        }
        best
    }
}

/// Struck letters passed over without a mark, on the way along a row.
struct Pass<const RUNS: bool> {
    here: Lanes,
    /// What passing over a letter costs here: less once one has been passed over.
    cost: Lanes,
    skipped: (f64, f64),
}

impl<const RUNS: bool> Pass<RUNS> {
    fn from(here: Lanes, skipped: (f64, f64)) -> Pass<RUNS> {
        Pass {
            here,
            cost: [skipped.0; LANES],
            skipped,
        }
    }

    /// Lets the next cell be reached from the one before it, over that one's place.
    #[inline(always)]
    fn over(&mut self, places: &[u8; LANES], next: &mut Lanes) {
        let free = |l: usize| RUNS && places[l] == FREE;
        let passed = lanes(|l| self.here[l] + if free(l) { FREE_END } else { self.cost[l] });
        self.cost = lanes(|l| match passed[l] > next[l] {
            true if free(l) => self.cost[l],
            true => self.skipped.1,
            false => self.skipped.0,
        });
        *next = larger(&passed, next);
        self.here = *next;
    }
}

#[cfg(test)]
mod tests {
    use super::super::kit::{reading, spelling};
    use super::*;
    use crate::catalogue::Script;
    use crate::score::legend::programme::{Grid, Scratch, gains, jumps, steps};

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
            let free = roll(3) == 0;
            let struck: Vec<Vec<Glyph>> = (0..=roll(LANES as u64 - 1))
                .map(|_| {
                    let length = 1 + roll(20);
                    let alphabet: &[u8] = if free { b"AVGRICOTN*" } else { b"AVGRICOTN" };
                    let mut glyphs = spelling(&text(length, alphabet, &mut roll));
                    glyphs.extend(free.then_some(Glyph::Free));
                    glyphs.push(Glyph::Letter('A'));
                    glyphs
                })
                .collect();
            let length = 1 + roll(12);
            let mut read = reading(&text(length, b"AVGRICOTNX.-", &mut roll));
            if read.letters_seen() == 0 {
                continue;
            }
            (read.from_start, read.to_end) = (roll(4) == 0, roll(4) == 0);
            let steps = steps(&read);
            let gains = gains(&steps, Script::Roman, None);
            let ready = Ready {
                reading: &read,
                steps: &steps,
                script: Script::Roman,
                gains: &gains,
                jumps: jumps(&steps),
                skipped: *crate::score::legend::programme::SKIPPED,
            };
            let places: Vec<Vec<u8>> = struck.iter().filter_map(|one| plain(one)).collect();
            let places: Vec<&[u8]> = places.iter().map(Vec::as_slice).collect();
            let quick = lay(ready, &places, free, &mut Bench::default());
            for (struck, quick) in struck.iter().zip(quick) {
                let mut scratch = Scratch::default();
                let mut grid = Grid::<false>::new(ready, struck, &mut scratch);
                let (nats, beginning) = (grid.run().1, grid.beginning());
                assert!(
                    (quick.0 - nats).abs() < 1e-9 && (quick.1 - beginning).abs() < 1e-9,
                    "{read:?} on {struck:?}: {quick:?}, {nats} {beginning}"
                );
            }
        }
    }
}
