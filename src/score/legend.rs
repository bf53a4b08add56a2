//! Legend: how well what was read lies along what was struck.
//!
//! A reading is aligned with an inscription by a dynamic programme over log ratios:
//! a letter that fits counts by how rare it is, a likely confusion costs little, a
//! wrong letter costs much, letters that cannot be seen cost nothing. Legends run in
//! a ring, so the start is open unless the reader knows it.
//!
//! Invariant: a reading without letters seen makes no term; a wrong letter never
//! scores above the right one.

use std::cell::{OnceCell, RefCell};
use std::sync::LazyLock;

use super::constants::*;
use super::evidence::{Detail, Evidence, Witness};
use super::groundwork::Groundwork;
use crate::catalogue::{Catalogue, CoinType, Face, Glyph, Script};
use crate::find::{Mark, Reading, Side, worn_family};

const NEVER: f64 = -1e9;

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

// ------------------------------------------------------------------ sketches

/// Words of bits in a sketch.
const OUTLINE_WORDS: usize = 32;

/// A cheap sketch of a spelling: which letters follow one another in it, in threes (one
/// between them passed over or not) and in twos (worn families folded). A reading that
/// shares too few cannot align well.
#[derive(Clone, Debug)]
pub(super) struct Outline {
    threes: [u64; OUTLINE_WORDS],
    twos: [u64; OUTLINE_WORDS / 8],
    free: bool,
}

/// Bits of a reading, as of an outline.
struct Sketch {
    threes: Vec<(usize, u64)>,
    twos: Vec<(usize, u64)>,
}

/// How much of a reading's sketch a spelling must share.
#[derive(Clone, Copy, PartialEq)]
enum Sieve {
    /// Enough for any alignment that would be above the floor.
    Fine,
    /// Enough for one that fits well.
    Coarse,
}

impl Outline {
    /// The outline of a spelling, read as a ring.
    pub(super) fn new(glyphs: &[Glyph]) -> Outline {
        let mut letters: Vec<char> = glyphs
            .iter()
            .filter_map(|g| {
                if let Glyph::Letter(c) = g {
                    Some(*c)
                } else {
                    None
                }
            })
            .collect();
        letters.extend_from_within(..letters.len().min(3));
        let mut outline = Outline {
            threes: [0; OUTLINE_WORDS],
            twos: [0; OUTLINE_WORDS / 8],
            free: glyphs.contains(&Glyph::Free),
        };
        let sketch = Sketch::of(&letters);
        sketch
            .threes
            .iter()
            .for_each(|(word, bit)| outline.threes[*word] |= bit);
        sketch
            .twos
            .iter()
            .for_each(|(word, bit)| outline.twos[*word] |= bit);
        outline
    }

    /// True when a reading with this sketch might align.
    fn may_hold(&self, reading: &Sketch, sieve: Sieve) -> bool {
        let shared = |own: &[u64], theirs: &[(usize, u64)]| {
            theirs
                .iter()
                .filter(|(word, bit)| own[*word] & bit != 0)
                .count()
        };
        if reading.threes.len() < 2 {
            return reading.twos.is_empty() || shared(&self.twos, &reading.twos) > 0;
        }
        let wanted = reading
            .threes
            .len()
            .div_ceil(if sieve == Sieve::Fine { 6 } else { 3 });
        // A free run takes letters of any kind; what is left to share is then less.
        let wanted = if self.free {
            wanted.div_ceil(3)
        } else {
            wanted
        };
        shared(&self.threes, &reading.threes) >= wanted
    }
}

impl Sketch {
    /// The sketch of letters that stand together.
    fn of(letters: &[char]) -> Sketch {
        let mut sketch = Sketch {
            threes: Vec::new(),
            twos: Vec::new(),
        };
        let mut three = |run: [char; 3]| sketch.threes.push(slot(&run, 64 * OUTLINE_WORDS));
        letters.windows(3).for_each(|w| three([w[0], w[1], w[2]]));
        for w in letters.windows(4) {
            three([w[0], w[1], w[3]]);
            three([w[0], w[2], w[3]]);
        }
        for w in letters.windows(2) {
            sketch.twos.push(slot(
                &[worn_family(w[0]), worn_family(w[1])],
                8 * OUTLINE_WORDS,
            ));
        }
        sketch
    }

    /// The sketch of a reading: of each row of letters that stand together.
    fn of_reading(reading: &Reading) -> Sketch {
        let mut whole = Sketch {
            threes: Vec::new(),
            twos: Vec::new(),
        };
        let mut row = Vec::new();
        let mut close = |row: &mut Vec<char>| {
            let part = Sketch::of(row);
            whole.threes.extend(part.threes);
            whole.twos.extend(part.twos);
            row.clear();
        };
        for mark in reading.marks.iter().take(STEPS_MOST) {
            match mark {
                Mark::Letter { letter, .. } => row.push(*letter),
                Mark::OneOf(letters) => row.extend(letters.first()),
                Mark::Break => {}
                _ => close(&mut row),
            }
        }
        close(&mut row);
        whole
    }
}

/// Where the bit of a run stands among so many bits.
fn slot(run: &[char], bits: usize) -> (usize, u64) {
    let hash = run.iter().fold(7u32, |hash, letter| {
        hash.wrapping_mul(131).wrapping_add(*letter as u32)
    });
    let bit = (hash.wrapping_mul(2_654_435_761) >> 8) as usize % bits;
    (bit / 64, 1 << (bit % 64))
}

// ------------------------------------------------------------------ letters

/// Letters that are taken for one another when worn, and the chance shared by the wrong ones;
/// from the project's table of confusions (numismatic and epigraphic practice, from memory).
const CONFUSED: &[(&str, f64)] = &[
    ("ITLFEP", 0.15),
    ("CG", 0.10),
    ("OQD", 0.08),
    ("VA", 0.08),
    ("NHM", 0.08),
    ("RPB", 0.08),
    ("SZ", 0.03),
    ("XK", 0.03),
];
/// Further ones of Lombardic lettering.
const CONFUSED_LOMBARDIC: &[(&str, f64)] = &[("NHV", 0.12), ("CET", 0.12), ("ILR", 0.06)];
/// Further ones of Anglo-Saxon lettering and of runes in transliteration.
const CONFUSED_ANGLO_SAXON: &[(&str, f64)] =
    &[("PVÞ", 0.12), ("DÐ", 0.20), ("ÐTH", 0.08), ("EA", 0.06)];

const SCRIPTS: [Script; 6] = [
    Script::Roman,
    Script::Lombardic,
    Script::AngloSaxon,
    Script::Runic,
    Script::Greek,
    Script::Modern,
];

fn confused(read: char, struck: char, script: Script) -> f64 {
    let further = match script {
        Script::Lombardic => CONFUSED_LOMBARDIC,
        Script::AngloSaxon | Script::Runic => CONFUSED_ANGLO_SAXON,
        Script::Roman | Script::Greek | Script::Modern => &[],
    };
    CONFUSED
        .iter()
        .chain(further)
        .filter(|(set, _)| set.contains(read) && set.contains(struck))
        .map(|(set, shared)| shared / (set.chars().count() - 1) as f64)
        .fold(0.0, f64::max)
}

/// Log ratio of reading this letter where that one was struck.
fn letter_ratio(read: char, struck: char, sure: bool, script: Script) -> f64 {
    let right = if sure { LETTER_RIGHT.0 } else { LETTER_RIGHT.1 };
    let chance = if read == struck {
        right
    } else {
        let looser = (1.0 - right) / (1.0 - LETTER_RIGHT.0);
        (confused(read, struck, script) * looser).clamp(LETTER_ANY * looser, right / 2.0)
    };
    (chance / letter_rate(read)).ln()
}

/// [`letter_ratio`] for A to Z, by script and by whether the reader is sure.
static RATIOS: LazyLock<Vec<[[f64; 26]; 26]>> = LazyLock::new(|| {
    let alphabet = |place: usize| char::from(b'A' + place as u8);
    let mut tables = Vec::new();
    for script in SCRIPTS {
        for sure in [false, true] {
            let row = |read: usize| {
                std::array::from_fn(|struck| {
                    letter_ratio(alphabet(read), alphabet(struck), sure, script)
                })
            };
            tables.push(std::array::from_fn(row));
        }
    }
    tables
});

fn ratio(read: char, struck: char, sure: bool, script: Script) -> f64 {
    if read.is_ascii_uppercase() && struck.is_ascii_uppercase() {
        let place = |letter: char| (letter as u8 - b'A') as usize;
        RATIOS[script as usize * 2 + usize::from(sure)][place(read)][place(struck)]
    } else {
        letter_ratio(read, struck, sure, script)
    }
}

// ------------------------------------------------------------------ the programme

/// One step of a reading, and the mark it comes from.
struct Step {
    kind: StepKind,
    mark: usize,
}

enum StepKind {
    Letter { options: Vec<char>, sure: bool },
    Place,
    About(usize),
    Gap,
    Break,
}

/// Most steps of a reading that are aligned; no legend is as long.
const STEPS_MOST: usize = 120;
/// Most lost letters that one mark may stand for.
const LOST_MOST: usize = 40;

fn steps(reading: &Reading) -> Vec<Step> {
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
type Gains = [f64; 26];

/// For each letter step of a reading, what each letter struck in a script gains.
fn gains(steps: &[Step], script: Script) -> Vec<Gains> {
    let row = |step: &Step| match &step.kind {
        StepKind::Letter { options, sure } => {
            std::array::from_fn(|struck| gain(options, char::from(b'A' + struck as u8), *sure, script))
        }
        _ => [NEVER; 26],
    };
    steps.iter().map(row).collect()
}

/// A reading made ready to be laid along spellings of one script.
#[derive(Clone, Copy)]
struct Ready<'r> {
    reading: &'r Reading,
    steps: &'r [Step],
    script: Script,
    gains: &'r [Gains],
    jumps: bool,
}

/// True when a reading may leap along a legend.
fn jumps(steps: &[Step]) -> bool {
    steps.iter().any(|step| matches!(step.kind, StepKind::Gap | StepKind::About(_)))
}

/// Log ratio of reading one of these letters where that one was struck.
fn gain(options: &[char], struck: char, sure: bool, script: Script) -> f64 {
    let best = options
        .iter()
        .map(|read| ratio(*read, struck, sure, script))
        .fold(NEVER, f64::max);
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
struct Scratch {
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
    let gains = gains(&steps, script);
    let ready = Ready { reading, steps: &steps, script, gains: &gains, jumps: jumps(&steps) };
    let mut scratch = Scratch::default();
    let mut grid = Grid::<true>::new(ready, spelling, &mut scratch);
    let end = grid.run();
    Some(grid.trace(end))
}

/// The dynamic programme: rows are steps used, columns places of the spelling laid on twice, as a
/// ring. With `TRACE` it keeps where each cell came from.
struct Grid<'a, const TRACE: bool> {
    ready: Ready<'a>,
    glyphs: &'a [Glyph],
    columns: usize,
    breaks: bool,
    cells: &'a mut Scratch,
}

impl<'a, const TRACE: bool> Grid<'a, TRACE> {
    fn new(ready: Ready<'a>, glyphs: &'a [Glyph], cells: &'a mut Scratch) -> Grid<'a, TRACE> {
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

    /// Fills the grid; gives the column and the nats of the best end.
    fn run(&mut self) -> (usize, f64) {
        let open = -(self.length() as f64).ln();
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
        let ends_wrong = |column: usize| self.ready.reading.to_end && !column.is_multiple_of(length);
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
        let (first, next) = *SKIPPED;
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
        let open = -(self.length() as f64).ln();
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
            nats: nats.max(NATS_LEAST),
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

/// Log chances of passing over a first and a further letter.
static SKIPPED: LazyLock<(f64, f64)> =
    LazyLock::new(|| (LETTER_SKIPPED.0.ln(), LETTER_SKIPPED.1.ln()));
/// Log chance of a letter where none is struck.
static INSERTED: LazyLock<f64> = LazyLock::new(|| LETTER_INSERTED.ln());

/// Least nats of an alignment; what is worse is alike.
const NATS_LEAST: f64 = -40.0;
/// Most nats counted towards a find that is not in the library; more tells nothing further.
const NATS_MOST_ALIKE: f64 = 30.0;

// ------------------------------------------------------------------ the witness

/// How a reading lies on the best spelling of an inscription.
#[derive(Clone, Copy, Debug)]
struct Lie {
    nats: f64,
    form: usize,
}

/// One reading of a find, held against the inscriptions of the library as they are asked for.
pub(super) struct Aligned<'a> {
    catalogue: &'a Catalogue,
    groundwork: &'a Groundwork,
    reading: &'a Reading,
    steps: Vec<Step>,
    jumps: bool,
    /// By script, worked out when first asked for.
    gains: [OnceCell<Vec<Gains>>; SCRIPTS.len()],
    sketch: Sketch,
    letters: usize,
    /// Nats of the reading for a find that is not in the library.
    unlisted: f64,
    /// Nats of the inscription of the whole library that it fits best.
    top: f64,
    scratch: RefCell<Scratch>,
    /// What was found so far; an inscription that could not hold the reading is `Some(None)`.
    known: RefCell<Vec<Option<Option<Lie>>>>,
}

impl<'a> Aligned<'a> {
    /// A reading made ready. `None` without letters seen.
    pub(super) fn new(
        reading: &'a Reading,
        catalogue: &'a Catalogue,
        groundwork: &'a Groundwork,
    ) -> Option<Aligned<'a>> {
        let letters = reading.letters_seen();
        if letters == 0 {
            return None;
        }
        let mut aligned = Aligned {
            catalogue,
            groundwork,
            reading,
            jumps: false,
            steps: steps(reading),
            gains: Default::default(),
            sketch: Sketch::of_reading(reading),
            letters,
            unlisted: 0.0,
            top: NATS_LEAST,
            scratch: RefCell::default(),
            known: RefCell::new(vec![None; catalogue.inscriptions.len()]),
        };
        aligned.jumps = jumps(&aligned.steps);
        (aligned.unlisted, aligned.top) = aligned.over_all();
        Some(aligned)
    }

    /// Nats of the reading for a find that is not in the library (some such finds bear legends
    /// like the listed ones), and the best over the library. Over all inscriptions that fit
    /// well, whoever the candidates are.
    fn over_all(&self) -> (f64, f64) {
        let (mut like_listed, mut top) = (0.0, NATS_LEAST);
        for (position, share) in self.groundwork.inscription_share.iter().enumerate() {
            if let Some(lie) = self.best(position, Sieve::Coarse) {
                like_listed += share * lie.nats.min(NATS_MOST_ALIKE).exp();
                top = f64::max(top, lie.nats);
            }
        }
        // Half, since the shares of a type's two faces each sum to one.
        (
            ((1.0 - UNLISTED_LIKE_LISTED) + UNLISTED_LIKE_LISTED * like_listed / 2.0).ln(),
            top,
        )
    }

    fn best(&self, position: usize, sieve: Sieve) -> Option<Lie> {
        let inscription = &self.catalogue.inscriptions[position];
        let mut scratch = self.scratch.borrow_mut();
        let script = self.catalogue.legends[inscription.legend].script;
        let ready = Ready {
            reading: self.reading,
            steps: &self.steps,
            script,
            gains: self.gains[script as usize].get_or_init(|| gains(&self.steps, script)),
            jumps: self.jumps,
        };
        let mut best: Option<Lie> = None;
        let of_many = any_of(inscription.forms.len());
        for (form, outline) in self.groundwork.outlines[position].iter().enumerate() {
            let spelling = &inscription.forms[form];
            let nats = if spelling.as_slice() == [Glyph::Free] {
                // Nothing of such a legend is fixed: it is any row of letters, as on an unlisted find.
                0.0
            } else if outline.may_hold(&self.sketch, sieve) {
                Grid::<false>::new(ready, spelling, &mut scratch).run().1
            } else if outline.free && sieve == Sieve::Fine {
                // Nothing but the free run can hold it; that needs no programme.
                self.letters as f64 * FREE_LETTER - (spelling.len() as f64).ln()
            } else {
                continue;
            };
            let nats = (nats + of_many).max(NATS_LEAST);
            if best.is_none_or(|b| nats > b.nats) {
                best = Some(Lie { nats, form });
            }
        }
        best
    }

    fn lie_on(&self, position: usize) -> Option<Lie> {
        if let Some(known) = self.known.borrow()[position] {
            return known;
        }
        let lie = self.best(position, Sieve::Fine);
        self.known.borrow_mut()[position] = Some(lie);
        lie
    }

    /// The best of a face's inscriptions, in nats before bounds, and which; `None` when the
    /// library does not say what stands there.
    fn on_face(&self, face: &Face) -> Option<(f64, Option<(usize, usize)>)> {
        let borne = face.inscriptions.as_ref()?;
        let bare = LETTER_ON_BARE_SIDE * self.letters as f64;
        let Some(first) = borne.first() else {
            return Some((bare, None));
        };
        let best = borne
            .iter()
            .filter_map(|inscription| Some((self.lie_on(*inscription)?, *inscription)))
            .max_by(|a, b| a.0.nats.total_cmp(&b.0.nats));
        let of_many = any_of(borne.len());
        Some(
            best.map_or((NATS_LEAST, Some((*first, 0))), |(lie, inscription)| {
                (lie.nats + of_many, Some((inscription, lie.form)))
            }),
        )
    }

    /// The term for a type; none when the library says nothing of its legends.
    pub(super) fn evidence(&self, reading: usize, side: Side, coin: &CoinType) -> Option<Evidence> {
        let faces = [self.on_face(&coin.obverse), self.on_face(&coin.reverse)];
        let (own, other) = match side {
            Side::Reverse => (faces[1], faces[0]),
            _ => (faces[0], faces[1]),
        };
        let (nats, inscription, other_side) = match (own, other, side) {
            (Some(a), Some(b), Side::Unknown) => {
                let best = if b.0 > a.0 { b } else { a };
                (best.0 - 2f64.ln(), best.1, false)
            }
            (None, Some(b), Side::Unknown) => (b.0, b.1, false),
            (None, ..) => return None,
            (Some(a), Some(b), _) if b.0 + LEGEND_OTHER_SIDE > a.0 => {
                (b.0 + LEGEND_OTHER_SIDE, b.1, true)
            }
            (Some(a), ..) => (a.0, a.1, false),
        };
        let nats = self.bounded(nats);
        Some(Evidence {
            witness: Witness::Legend,
            nats,
            detail: Detail::Legend {
                reading,
                inscription,
                other_side,
            },
        })
    }

    /// A short reading may say no more than any other trait; a long one may. The ceiling lowers
    /// all alike, so that what sets two legends apart by a few letters is kept.
    fn bounded(&self, nats: f64) -> f64 {
        let beyond = self.letters.saturating_sub(4) as f64;
        let ceiling = (TRAIT_BOUND + LEGEND_STEP * beyond).min(LEGEND_CEILING);
        let floor = if self.letters >= 5 {
            LEGEND_FLOOR
        } else {
            -TRAIT_BOUND
        };
        let above = (self.top - self.unlisted - ceiling).max(0.0);
        (nats - self.unlisted - above).clamp(floor, ceiling)
    }
}

/// Cost of being any one of so many.
fn any_of(count: usize) -> f64 {
    -ANY_OF_MANY * (count.max(1) as f64).ln()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spelling(text: &str) -> Vec<Glyph> {
        text.chars()
            .map(|c| match c {
                '*' => Glyph::Free,
                '/' => Glyph::Break,
                c => Glyph::Letter(c),
            })
            .collect()
    }

    fn reading(text: &str) -> Reading {
        let marks = text
            .chars()
            .map(|c| match c {
                '-' => Mark::Gap,
                '.' => Mark::Lost(1),
                '/' => Mark::Break,
                letter => Mark::Letter { letter, sure: true },
            })
            .collect();
        Reading {
            side: Side::Obverse,
            said: text.into(),
            marks,
            retrograde: false,
            from_start: false,
            to_end: false,
        }
    }

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
