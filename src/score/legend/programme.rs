//! The alignment of a reading with a spelling, by a dynamic programme.
//!
//! Letters that fit count by how rare they are, confusable ones cost little, wrong ones
//! much, lost ones nothing; a legend is a ring unless the reader knows its start.
//! Knows nothing of types or faces. Invariant: with and without its trace the programme
//! gives the same nats.

use std::sync::LazyLock;

use super::letters::ratio;
use crate::catalogue::{Glyph, Script};
use crate::find::{Mark, Reading};
use crate::score::constants::*;
use crate::score::learnt::LetterHabits;

pub(super) const NEVER: f64 = -1e9;

/// How a reading lies on a spelling.
#[derive(Clone, Debug, PartialEq)]
pub struct Alignment {
    /// Log ratio of the reading under the spelling to letters at their common rates, unbounded.
    pub nats: f64,
    /// Letters that fit exactly.
    pub fitting: usize,
    /// Letters that stand against it: confusable, wrong or where none is struck.
    pub contrary: usize,
    /// For each mark of the reading, the place of the spelling it lies on, if it is a letter that does.
    pub places: Vec<Option<usize>>,
}

/// One step of a reading, and the mark it comes from.
pub(super) struct Step {
    pub(super) kind: StepKind,
    mark: usize,
}

pub(super) enum StepKind {
    Letter { options: Vec<char>, sure: bool },
    Place,
    About(usize),
    Gap,
    Break,
}

/// Most steps of a reading that are aligned; no legend is as long.
pub(super) const STEPS_MOST: usize = 120;
/// Most lost letters that one mark may stand for.
const LOST_MOST: usize = 40;

/// The steps of a reading.
pub(super) fn steps(reading: &Reading) -> Vec<Step> {
    let mut steps = Vec::new();
    for (mark, one) in reading.marks.iter().enumerate().take(STEPS_MOST) {
        let mut push = |kind| steps.push(Step { kind, mark });
        match one {
            Mark::Letter { letter, sure } => push(StepKind::Letter {
                options: vec![*letter],
                sure: *sure,
            }),
            Mark::OneOf(letters) => push(StepKind::Letter {
                options: letters.clone(),
                sure: true,
            }),
            Mark::Lost(count) => (0..(*count).min(LOST_MOST)).for_each(|_| push(StepKind::Place)),
            Mark::AboutLost(count) => push(StepKind::About((*count).min(LOST_MOST))),
            Mark::Gap => push(StepKind::Gap),
            Mark::Break => push(StepKind::Break),
        }
    }
    steps.truncate(STEPS_MOST);
    // Gaps and lost letters at either end say nothing; they only open the ring.
    let silent = |step: &Step| {
        matches!(
            step.kind,
            StepKind::Gap | StepKind::Place | StepKind::About(_)
        )
    };
    if !reading.from_start {
        let leading = steps.iter().take_while(|step| silent(step)).count();
        steps.drain(..leading);
    }
    while !reading.to_end && steps.last().is_some_and(silent) {
        steps.pop();
    }
    steps
}

/// Gains of one step for each ASCII letter struck.
pub(super) type Gains = [f64; 26];

/// For each letter step of a reading, what each letter struck in a script gains, as this reader
/// reads where that is known.
pub(super) fn gains(steps: &[Step], script: Script, habits: Option<&LetterHabits>) -> Vec<Gains> {
    let row = |step: &Step| match &step.kind {
        StepKind::Letter { options, sure } => std::array::from_fn(|struck| {
            let struck = char::from(b'A' + struck as u8);
            match habits {
                None => gain(options, struck, *sure, script),
                Some(habits) => {
                    let one = |read: &char| {
                        ratio(*read, struck, *sure, script) + habits.nats(*read, struck)
                    };
                    best(options, one)
                }
            }
        }),
        _ => [NEVER; 26],
    };
    steps.iter().map(row).collect()
}

/// A reading made ready to be laid along spellings of one script.
#[derive(Clone, Copy)]
pub(super) struct Ready<'r> {
    pub(super) reading: &'r Reading,
    pub(super) steps: &'r [Step],
    pub(super) script: Script,
    pub(super) gains: &'r [Gains],
    pub(super) jumps: bool,
    /// Log chances of passing over a first and a further letter.
    pub(super) skipped: (f64, f64),
}

/// True when a reading has only letters, places and gaps.
pub(super) fn only_places(steps: &[Step]) -> bool {
    !steps
        .iter()
        .any(|step| matches!(step.kind, StepKind::About(_) | StepKind::Break))
}

/// True when a reading may leap along a legend.
pub(super) fn jumps(steps: &[Step]) -> bool {
    steps
        .iter()
        .any(|step| matches!(step.kind, StepKind::Gap | StepKind::About(_)))
}

/// Log ratio of reading one of these letters where that one was struck.
fn gain(options: &[char], struck: char, sure: bool, script: Script) -> f64 {
    best(options, |read| ratio(*read, struck, sure, script))
}

fn best(options: &[char], one: impl Fn(&char) -> f64) -> f64 {
    let best = options.iter().map(one).fold(NEVER, f64::max);
    best - (options.len() as f64).ln()
}

/// Where a cell of the programme came from: the start, or a column of this row (passed over) or the row above (used).
#[derive(Clone, Copy, PartialEq)]
enum Came {
    Start,
    Used(u32),
    Passed,
}

/// Cells of the programme, kept between alignments so that they are not made anew.
#[derive(Default)]
pub(super) struct Scratch {
    score: Vec<f64>,
    skipping: Vec<bool>,
    came: Vec<Came>,
}

/// Lays a reading along a spelling. `None` when the reading has no letters seen.
pub fn align(reading: &Reading, spelling: &[Glyph], script: Script) -> Option<Alignment> {
    if reading.letters_seen() == 0 {
        return None;
    }
    let steps = steps(reading);
    let gains = gains(&steps, script, None);
    let ready = Ready {
        reading,
        steps: &steps,
        script,
        gains: &gains,
        jumps: jumps(&steps),
        skipped: *SKIPPED,
    };
    let mut scratch = Scratch::default();
    let mut grid = Grid::<true>::new(ready, spelling, &mut scratch);
    let end = grid.run();
    Some(grid.trace(end))
}

/// The dynamic programme: rows are steps used, columns places of the spelling laid on twice, as a
/// ring. With `TRACE` it keeps where each cell came from.
pub(super) struct Grid<'a, const TRACE: bool> {
    ready: Ready<'a>,
    glyphs: &'a [Glyph],
    columns: usize,
    breaks: bool,
    cells: &'a mut Scratch,
}

impl<'a, const TRACE: bool> Grid<'a, TRACE> {
    pub(super) fn new(
        ready: Ready<'a>,
        glyphs: &'a [Glyph],
        cells: &'a mut Scratch,
    ) -> Grid<'a, TRACE> {
        // Without a gap a reading reaches little further than its own length beyond its start.
        let only_letters = glyphs.iter().all(|g| matches!(g, Glyph::Letter(_)));
        let reach = if ready.jumps || !only_letters {
            glyphs.len()
        } else {
            glyphs.len().min(ready.steps.len() + 6)
        };
        let columns = glyphs.len() + reach + 1;
        let size = columns * (ready.steps.len() + 1);
        cells.score.clear();
        cells.score.resize(size, NEVER);
        cells.skipping.clear();
        cells.skipping.resize(size, false);
        if TRACE {
            cells.came.clear();
            cells.came.resize(size, Came::Start);
        }
        Grid {
            ready,
            glyphs,
            columns,
            breaks: glyphs.contains(&Glyph::Break),
            cells,
        }
    }

    fn length(&self) -> usize {
        self.glyphs.len().max(1)
    }

    /// Log chance of any one start: breaks are no places.
    fn open(&self) -> f64 {
        let places = self
            .glyphs
            .iter()
            .filter(|glyph| **glyph != Glyph::Break)
            .count();
        -(places.max(1) as f64).ln()
    }

    fn glyph(&self, column: usize) -> Option<Glyph> {
        let length = self.glyphs.len();
        (column + 1 < self.columns).then(|| {
            self.glyphs[if column < length {
                column
            } else {
                column - length
            }]
        })
    }

    /// The most nats that the reading's letters up to any of them reach, before what follows
    /// takes them away; after [`Grid::run`].
    pub(super) fn beginning(&self) -> f64 {
        self.cells.score.iter().copied().fold(NEVER, f64::max)
    }

    /// Fills the grid; gives the column and the nats of the best end.
    pub(super) fn run(&mut self) -> (usize, f64) {
        let open = self.open();
        for column in 0..self.length().min(self.columns) {
            self.cells.score[column] = match (self.ready.reading.from_start, column) {
                (true, 0) => 0.0,
                (true, _) => LEGEND_END_WRONG + open,
                (false, _) => open,
            };
        }
        let last = self.ready.steps.len();
        for row in 0..last {
            // A reading does not open by passing over letters; that would be a gap for nothing.
            if row > 0 {
                self.pass_over(row);
            }
            self.use_step(row);
        }
        let length = self.length();
        let ends_wrong =
            |column: usize| self.ready.reading.to_end && !column.is_multiple_of(length);
        let row = &self.cells.score[last * self.columns..];
        let better = |best: (usize, f64), (column, score): (usize, &f64)| {
            let nats = score
                + if ends_wrong(column) {
                    LEGEND_END_WRONG
                } else {
                    0.0
                };
            if nats > best.1 { (column, nats) } else { best }
        };
        row.iter().enumerate().fold((0, NEVER), better)
    }

    /// Struck letters that the reader passed over without a mark.
    fn pass_over(&mut self, row: usize) {
        let (first, next) = self.ready.skipped;
        let base = row * self.columns;
        for column in 0..self.columns - 1 {
            let here = base + column;
            if self.cells.score[here] <= NEVER {
                continue;
            }
            let glyph = self.glyph(column);
            let letter = matches!(glyph, Some(Glyph::Letter(_)));
            let cost = match (glyph, self.cells.skipping[here]) {
                (Some(Glyph::Letter(_)), false) => first,
                (Some(Glyph::Letter(_)), true) => next,
                (Some(Glyph::Free), _) => FREE_END,
                _ => 0.0,
            };
            let passed = self.cells.score[here] + cost;
            if passed > self.cells.score[here + 1] {
                self.cells.score[here + 1] = passed;
                self.cells.skipping[here + 1] = letter || self.cells.skipping[here];
                if TRACE {
                    self.cells.came[here + 1] = Came::Passed;
                }
            }
        }
    }

    /// Offers a way from a column of this row to a column of the next.
    fn offer(&mut self, row: usize, from: usize, to: usize, gain: f64) {
        if to >= self.columns {
            return;
        }
        let offered = self.cells.score[row * self.columns + from] + gain;
        let there = (row + 1) * self.columns + to;
        if offered > self.cells.score[there] {
            self.cells.score[there] = offered;
            if TRACE {
                self.cells.came[there] = Came::Used(from as u32);
            }
        }
    }

    fn use_step(&mut self, row: usize) {
        let ready = self.ready;
        match &ready.steps[row].kind {
            StepKind::Letter { options, sure } => self.use_letter(row, options, *sure),
            StepKind::Place => self.use_place(row),
            StepKind::About(count) => {
                for from in 0..self.columns {
                    for to in from + count.saturating_sub(2)..=from + count + 2 {
                        self.offer(row, from, to, -(5f64.ln()));
                    }
                }
            }
            StepKind::Gap => self.use_gap(row),
            StepKind::Break => {
                for from in 0..self.columns {
                    match self.glyph(from) {
                        Some(Glyph::Break) => self.offer(row, from, from + 1, BREAK_RIGHT),
                        _ => {
                            self.offer(row, from, from, if self.breaks { BREAK_WRONG } else { 0.0 })
                        }
                    }
                }
            }
        }
    }

    fn use_letter(&mut self, row: usize, options: &[char], sure: bool) {
        let ready = self.ready;
        let gains = &ready.gains[row];
        for from in 0..self.columns {
            if self.cells.score[row * self.columns + from] <= NEVER {
                continue;
            }
            self.offer(row, from, from, *INSERTED);
            // A break is no place of its own: a letter may lie on what follows it.
            let place = if self.breaks && self.glyph(from) == Some(Glyph::Break) {
                from + 1
            } else {
                from
            };
            match self.glyph(place) {
                Some(Glyph::Letter(struck)) if struck.is_ascii_uppercase() => {
                    self.offer(row, from, place + 1, gains[(struck as u8 - b'A') as usize]);
                }
                Some(Glyph::Letter(struck)) => self.offer(
                    row,
                    from,
                    place + 1,
                    gain(options, struck, sure, ready.script),
                ),
                // Free letters are as common as letters are: no gain; the run goes on or ends.
                Some(Glyph::Free) => {
                    self.offer(row, from, place, FREE_LETTER);
                    self.offer(row, from, place + 1, FREE_LETTER + FREE_END);
                }
                Some(Glyph::Break) | None => {}
            }
        }
    }

    fn use_place(&mut self, row: usize) {
        for from in 0..self.columns {
            let place = if self.glyph(from) == Some(Glyph::Break) {
                from + 1
            } else {
                from
            };
            match self.glyph(place) {
                Some(Glyph::Free) => {
                    self.offer(row, from, place, 0.0);
                    self.offer(row, from, place + 1, 0.0);
                }
                Some(_) => self.offer(row, from, place + 1, 0.0),
                None => {}
            }
        }
    }

    /// Any number of letters lost: the next fragment may start at any later place, all alike.
    fn use_gap(&mut self, row: usize) {
        let open = self.open();
        let mut best = (NEVER, 0);
        for to in 0..self.columns {
            let score = self.cells.score[row * self.columns + to];
            if score > best.0 {
                best = (score, to);
            }
            if best.0 > NEVER && to - best.1 <= self.length() {
                self.offer(row, best.1, to, open);
            }
        }
    }
}

impl Grid<'_, true> {
    /// What lay on what, on the way to an end.
    fn trace(&self, (mut column, nats): (usize, f64)) -> Alignment {
        let places = vec![None; self.ready.reading.marks.len()];
        let mut alignment = Alignment {
            nats: nats.max(super::NATS_LEAST),
            fitting: 0,
            contrary: 0,
            places,
        };
        let mut row = self.ready.steps.len();
        loop {
            match self.cells.came[row * self.columns + column] {
                Came::Passed => column -= 1,
                Came::Used(from) => {
                    let step = &self.ready.steps[row - 1];
                    if let StepKind::Letter { options, .. } = &step.kind {
                        self.note(options, step.mark, from as usize, column, &mut alignment);
                    }
                    column = from as usize;
                    row -= 1;
                }
                Came::Start => return alignment,
            }
        }
    }

    fn note(
        &self,
        options: &[char],
        mark: usize,
        from: usize,
        to: usize,
        alignment: &mut Alignment,
    ) {
        let place = to
            .checked_sub(1)
            .filter(|place| to > from && *place + 1 < self.columns);
        match place.map(|place| (place, self.glyph(place))) {
            Some((place, Some(Glyph::Letter(struck)))) if options.contains(&struck) => {
                alignment.fitting += 1;
                alignment.places[mark] = Some(place % self.length());
            }
            Some((place, Some(Glyph::Letter(_)))) => {
                alignment.contrary += 1;
                alignment.places[mark] = Some(place % self.length());
            }
            Some((_, Some(Glyph::Free))) => {}
            None if self.glyph(from) == Some(Glyph::Free) => {}
            _ => alignment.contrary += 1,
        }
    }
}

/// Log chances of passing over a first and a further letter, as readers do.
pub(super) static SKIPPED: LazyLock<(f64, f64)> =
    LazyLock::new(|| (LETTER_SKIPPED.0.ln(), LETTER_SKIPPED.1.ln()));
/// Log chance of a letter where none is struck.
pub(super) static INSERTED: LazyLock<f64> = LazyLock::new(|| LETTER_INSERTED.ln());

#[cfg(test)]
mod tests {
    use super::super::kit::{reading, spelling};
    use super::*;

    fn nats(read: &str, struck: &str) -> f64 {
        align(&reading(read), &spelling(struck), Script::Roman).map_or(0.0, |a| a.nats)
    }

    #[test]
    fn a_right_letter_beats_a_confusable_one_and_that_a_wrong_one() {
        let struck = "IMPTETRICVSPFAVG";
        assert!(nats("TETRIC", struck) > nats("TEIRIC", struck));
        assert!(nats("TEIRIC", struck) > nats("TEXRIC", struck));
    }

    #[test]
    fn letters_lost_cost_nothing_but_their_place_counts() {
        let struck = "EDVVRANGLDNSHYB";
        assert!((nats("ANG", struck) - nats("A.G", struck) - (0.87f64 / 0.070).ln()).abs() < 1e-9);
        assert!(nats("-ANGL-", struck) == nats("ANGL", struck));
        assert!(nats("EDVV-HYB", struck) > nats("EDVV", struck));
    }

    #[test]
    fn legends_run_in_a_ring() {
        let round = align(
            &reading("VGIMP"),
            &spelling("IMPTETRICVSPFAVG"),
            Script::Roman,
        );
        assert_eq!(round.map(|a| a.fitting), Some(5));
    }

    #[test]
    fn places_tell_which_struck_letter_each_read_letter_lies_on() {
        let places =
            align(&reading("TRC"), &spelling("IMPTETRICVS"), Script::Roman).map(|a| a.places);
        assert_eq!(places, Some(vec![Some(5), Some(6), Some(8)]));
    }

    #[test]
    fn a_moneyers_name_is_free_but_what_follows_is_not() {
        assert!(nats("GODRICONHVNT", "*ONHVNT") > nats("GODRICONHVNT", "*ONLVND"));
    }
}
