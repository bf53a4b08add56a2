//! Legend: how well what was read lies along what was struck.
//!
//! A reading is aligned with an inscription by a dynamic programme over log ratios:
//! a letter that fits counts by how rare it is, a likely confusion costs little, a
//! wrong letter costs much, letters that cannot be seen cost nothing. Legends run in
//! a ring, so the start is open unless the reader knows it.
//!
//! Invariant: a reading without letters seen makes no term; a wrong letter never
//! scores above the right one.

use std::collections::HashMap;

use super::constants::*;
use super::evidence::{Detail, Evidence, Witness};
use super::groundwork::Groundwork;
use crate::catalogue::{Catalogue, CoinType, Face, Glyph, Inscription, Script};
use crate::find::{Mark, Reading, Side};

const NEVER: f64 = -1e9;
/// Bits of the outline of an inscription.
const OUTLINE_WORDS: usize = 8;

/// How a reading lies on an inscription.
#[derive(Clone, Debug, PartialEq)]
pub struct Alignment {
    /// Log ratio of the reading under the inscription to letters at their common rates, unbounded.
    pub nats: f64,
    /// Letters that fit exactly.
    pub fitting: usize,
    /// Letters that stand against it: confusable, wrong or where none is struck.
    pub contrary: usize,
    /// For each mark of the reading, the place of the inscription it lies on, if it is a letter that does.
    pub places: Vec<Option<usize>>,
}

/// A cheap sketch of an inscription: which pairs of neighbouring letters (confusable
/// letters folded) it holds. A reading that shares none cannot align well.
#[derive(Clone, Debug)]
pub(super) struct Outline {
    pairs: [u64; OUTLINE_WORDS],
    free: bool,
}

impl Outline {
    /// The outline of an inscription, read as a ring.
    pub(super) fn new(inscription: &Inscription) -> Outline {
        let letters: Vec<char> = inscription.glyphs.iter().filter_map(|g| if let Glyph::Letter(c) = g { Some(*c) } else { None }).collect();
        let mut outline = Outline { pairs: [0; OUTLINE_WORDS], free: inscription.glyphs.contains(&Glyph::Free) };
        for (position, first) in letters.iter().enumerate() {
            for step in 1..=2 {
                outline.set(*first, letters[(position + step) % letters.len()]);
            }
        }
        outline
    }

    fn slot(first: char, second: char) -> (usize, u64) {
        let hash = (kin(first) as u32).wrapping_mul(31).wrapping_add(kin(second) as u32) as usize % (64 * OUTLINE_WORDS);
        (hash / 64, 1 << (hash % 64))
    }

    fn set(&mut self, first: char, second: char) {
        let (word, bit) = Self::slot(first, second);
        self.pairs[word] |= bit;
    }

    /// True when a reading with these neighbouring pairs might align.
    fn may_hold(&self, pairs: &[(char, char)]) -> bool {
        self.free
            || pairs.len() < 2
            || pairs.iter().any(|(a, b)| {
                let (word, bit) = Self::slot(*a, *b);
                self.pairs[word] & bit != 0
            })
    }
}

/// The letter that stands for a family of confusable ones.
fn kin(letter: char) -> char {
    match letter {
        'A' | 'V' | 'Y' => 'A',
        'I' | 'L' | 'T' | 'F' | 'E' | 'P' | 'R' | 'B' | 'C' | 'G' | 'S' | 'Z' => 'I',
        'O' | 'Q' | 'D' | 'Ð' => 'O',
        'N' | 'H' | 'M' | 'X' | 'K' => 'N',
        other => other,
    }
}

/// Chance that a struck letter is read as another, beyond the floor; from the project's
/// table of confusions (numismatic and epigraphic practice, from memory).
fn confused(read: char, struck: char, script: Script) -> f64 {
    let pair = |set: &str| set.contains(read) && set.contains(struck);
    let mut chance: f64 = 0.0;
    let mut within = |set: &str, total: f64| {
        if pair(set) {
            chance = chance.max(total / (set.chars().count() - 1) as f64);
        }
    };
    within("ITLFEP", 0.15);
    within("CG", 0.10);
    within("OQD", 0.08);
    within("VA", 0.08);
    within("NHM", 0.08);
    within("RPB", 0.08);
    within("SZ", 0.03);
    within("XK", 0.03);
    match script {
        Script::Lombardic => {
            within("NHV", 0.12);
            within("CET", 0.12);
            within("ILR", 0.06);
        }
        Script::AngloSaxon | Script::Runic => {
            within("PVÞ", 0.12);
            within("DÐ", 0.20);
            within("ÐTH", 0.08);
            within("EA", 0.06);
        }
        _ => {}
    }
    chance
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

/// A reading made ready for alignment.
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

fn steps(reading: &Reading) -> Vec<Step> {
    let mut steps = Vec::new();
    for (mark, one) in reading.marks.iter().enumerate() {
        let mut push = |kind| steps.push(Step { kind, mark });
        match one {
            Mark::Letter { letter, sure } => push(StepKind::Letter { options: vec![*letter], sure: *sure }),
            Mark::OneOf(letters) => push(StepKind::Letter { options: letters.clone(), sure: true }),
            Mark::Lost(count) => (0..(*count).min(40)).for_each(|_| push(StepKind::Place)),
            Mark::AboutLost(count) => push(StepKind::About((*count).min(40))),
            Mark::Gap => push(StepKind::Gap),
            Mark::Break => push(StepKind::Break),
        }
    }
    // Gaps at either end say nothing; they only open the ring.
    while steps.first().is_some_and(|s| matches!(s.kind, StepKind::Gap)) {
        steps.remove(0);
    }
    while steps.last().is_some_and(|s| matches!(s.kind, StepKind::Gap)) {
        steps.pop();
    }
    steps
}

/// Most steps of a reading that are aligned; no legend is as long.
const STEPS_MOST: usize = 160;

/// Where a cell of the programme came from.
#[derive(Clone, Copy, PartialEq)]
enum Came {
    Start,
    /// From this place, having used up the step.
    Used(u32),
    /// From the place before, passing over a struck letter.
    Passed,
}

/// Lays a reading along an inscription. `None` when the reading has no letters seen.
pub fn align(reading: &Reading, inscription: &Inscription, script: Script) -> Option<Alignment> {
    let steps: Vec<Step> = steps(reading).into_iter().take(STEPS_MOST).collect();
    (reading.letters_seen() > 0).then(|| Grid::new(reading, &steps, inscription, script).run())
}

/// The dynamic programme: rows are steps used, columns places of the inscription laid twice.
struct Grid<'a> {
    reading: &'a Reading,
    steps: &'a [Step],
    glyphs: Vec<Glyph>,
    length: usize,
    script: Script,
    breaks: bool,
    score: Vec<Vec<f64>>,
    came: Vec<Vec<Came>>,
    skipping: Vec<Vec<bool>>,
}

impl<'a> Grid<'a> {
    fn new(reading: &'a Reading, steps: &'a [Step], inscription: &Inscription, script: Script) -> Grid<'a> {
        let length = inscription.glyphs.len().max(1);
        let glyphs: Vec<Glyph> = inscription.glyphs.iter().chain(&inscription.glyphs).copied().collect();
        let columns = glyphs.len() + 1;
        let rows = steps.len() + 1;
        Grid {
            reading,
            steps,
            length,
            script,
            breaks: inscription.glyphs.contains(&Glyph::Break),
            score: vec![vec![NEVER; columns]; rows],
            came: vec![vec![Came::Start; columns]; rows],
            skipping: vec![vec![false; columns]; rows],
            glyphs,
        }
    }

    fn run(mut self) -> Alignment {
        let open = -(self.length as f64).ln();
        for column in 0..self.length.min(self.glyphs.len().max(1)) {
            self.score[0][column] = match (self.reading.from_start, column) {
                (true, 0) => 0.0,
                (true, _) => LEGEND_END_WRONG + open,
                (false, _) => open,
            };
        }
        for row in 0..=self.steps.len() {
            // A reading does not open or close by passing over letters; that would be a gap for nothing.
            if row > 0 && row < self.steps.len() {
                self.pass_over(row);
            }
            if row < self.steps.len() {
                self.use_step(row);
            }
        }
        self.trace()
    }

    /// Struck letters that the reader passed over without a mark.
    fn pass_over(&mut self, row: usize) {
        for column in 0..self.glyphs.len() {
            let cost = match self.glyphs[column] {
                Glyph::Letter(_) if self.skipping[row][column] => LETTER_SKIPPED.1.ln(),
                Glyph::Letter(_) => LETTER_SKIPPED.0.ln(),
                Glyph::Free | Glyph::Break => 0.0,
            };
            let passed = self.score[row][column] + cost;
            if passed > self.score[row][column + 1] {
                self.score[row][column + 1] = passed;
                self.came[row][column + 1] = Came::Passed;
                self.skipping[row][column + 1] = matches!(self.glyphs[column], Glyph::Letter(_)) || self.skipping[row][column];
            }
        }
    }

    fn offer(&mut self, row: usize, from: usize, to: usize, gain: f64) {
        let offered = self.score[row][from] + gain;
        if to < self.score[row + 1].len() && offered > self.score[row + 1][to] {
            self.score[row + 1][to] = offered;
            self.came[row + 1][to] = Came::Used(from as u32);
            self.skipping[row + 1][to] = false;
        }
    }

    fn use_step(&mut self, row: usize) {
        match &self.steps[row].kind {
            StepKind::Letter { options, sure } => self.use_letter(row, options, *sure),
            StepKind::Place => self.use_place(row),
            StepKind::About(count) => {
                for from in 0..self.glyphs.len() {
                    for to in from + count.saturating_sub(2)..=from + count + 2 {
                        self.offer(row, from, to, -(5f64.ln()));
                    }
                }
            }
            StepKind::Gap => self.use_gap(row),
            StepKind::Break => {
                for from in 0..self.score[row].len() {
                    match self.glyphs.get(from) {
                        Some(Glyph::Break) => self.offer(row, from, from + 1, BREAK_RIGHT),
                        _ => self.offer(row, from, from, if self.breaks { BREAK_WRONG } else { 0.0 }),
                    }
                }
            }
        }
    }

    fn use_letter(&mut self, row: usize, options: &[char], sure: bool) {
        let inserted = LETTER_INSERTED.ln();
        for from in 0..self.score[row].len() {
            if self.score[row][from] <= NEVER {
                continue;
            }
            self.offer(row, from, from, inserted);
            // A break is no place of its own: a letter may lie on what follows it.
            let place = if self.glyphs.get(from) == Some(&Glyph::Break) { from + 1 } else { from };
            match self.glyphs.get(place) {
                Some(Glyph::Letter(struck)) => {
                    let gain = options.iter().map(|read| letter_ratio(*read, *struck, sure, self.script)).fold(NEVER, f64::max);
                    self.offer(row, from, place + 1, gain - (options.len() as f64).ln());
                }
                // Free letters are as common as letters are: no gain, no cost; the run goes on or ends.
                Some(Glyph::Free) => {
                    self.offer(row, from, place, -0.05);
                    self.offer(row, from, place + 1, -0.05);
                }
                _ => {}
            }
        }
    }

    fn use_place(&mut self, row: usize) {
        for from in 0..self.glyphs.len() {
            let place = if self.glyphs[from] == Glyph::Break { from + 1 } else { from };
            match self.glyphs.get(place) {
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
        let open = -(self.length as f64).ln();
        let mut best = (NEVER, 0);
        for to in 0..self.score[row].len() {
            if self.score[row][to] > best.0 {
                best = (self.score[row][to], to);
            }
            if best.0 > NEVER && to - best.1 <= self.length {
                self.offer(row, best.1, to, open);
            }
        }
    }

    /// The best way through, and what lay on what.
    fn trace(self) -> Alignment {
        let last = self.steps.len();
        let ending = |column: usize| if self.reading.to_end && column % self.length != 0 { LEGEND_END_WRONG } else { 0.0 };
        let (mut column, nats) = (0..self.score[last].len())
            .map(|column| (column, self.score[last][column] + ending(column)))
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
            .unwrap_or((0, NEVER));
        let mut alignment =
            Alignment { nats: nats.max(-40.0), fitting: 0, contrary: 0, places: vec![None; self.reading.marks.len()] };
        let mut row = last;
        while row > 0 || self.came[row][column] == Came::Passed {
            match self.came[row][column] {
                Came::Passed => column -= 1,
                Came::Used(from) => {
                    let step = &self.steps[row - 1];
                    if let StepKind::Letter { options, .. } = &step.kind {
                        self.note(options, step.mark, from as usize, column, &mut alignment);
                    }
                    column = from as usize;
                    row -= 1;
                }
                Came::Start => break,
            }
        }
        alignment
    }

    fn note(&self, options: &[char], mark: usize, from: usize, to: usize, alignment: &mut Alignment) {
        let place = to.checked_sub(1).filter(|place| to > from && *place < self.glyphs.len());
        match place.map(|place| (place, self.glyphs[place])) {
            Some((place, Glyph::Letter(struck))) if options.contains(&struck) => {
                alignment.fitting += 1;
                alignment.places[mark] = Some(place % self.length);
            }
            Some((place, Glyph::Letter(_))) => {
                alignment.contrary += 1;
                alignment.places[mark] = Some(place % self.length);
            }
            Some((_, Glyph::Free)) => {}
            None if self.glyphs.get(from) == Some(&Glyph::Free) => {}
            _ => alignment.contrary += 1,
        }
    }
}

/// One reading of a find held against every inscription of the library.
#[derive(Clone, Debug)]
pub struct Aligned {
    letters: usize,
    bare: f64,
    unlisted: f64,
    by_inscription: HashMap<usize, Alignment>,
}

impl Aligned {
    /// Aligns a reading with all inscriptions that might hold it. `None` without letters seen.
    pub(super) fn new(reading: &Reading, catalogue: &Catalogue, groundwork: &Groundwork) -> Option<Aligned> {
        let letters = reading.letters_seen();
        if letters == 0 {
            return None;
        }
        let steps: Vec<Step> = steps(reading).into_iter().take(STEPS_MOST).collect();
        let pairs = pairs(reading);
        let mut by_inscription = HashMap::new();
        let mut like_listed = 0.0;
        for (position, outline) in groundwork.outlines.iter().enumerate() {
            if !outline.may_hold(&pairs) {
                continue;
            }
            let inscription = &catalogue.inscriptions[position];
            let script = catalogue.legends[inscription.legend].script;
            let alignment = Grid::new(reading, &steps, inscription, script).run();
            like_listed += groundwork.inscription_share[position] * alignment.nats.min(30.0).exp();
            by_inscription.insert(position, alignment);
        }
        // Half, since a face's letters are shared between two faces in the shares.
        let unlisted = ((1.0 - UNLISTED_LIKE_LISTED) + UNLISTED_LIKE_LISTED * like_listed / 2.0).ln();
        let bare = LETTER_ON_BARE_SIDE * letters as f64;
        Some(Aligned { letters, bare, unlisted, by_inscription })
    }

    /// The best of a face's inscriptions, in nats before bounds; `None` when the library
    /// does not say what stands there.
    fn on_face(&self, face: &Face) -> Option<(f64, Option<usize>)> {
        let forms = face.inscriptions.as_ref()?;
        let best = forms
            .iter()
            .filter_map(|form| Some((self.by_inscription.get(form)?.nats, Some(*form))))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        Some(best.unwrap_or((if forms.is_empty() { self.bare } else { LEGEND_FLOOR }, forms.first().copied())))
    }

    /// The term for a type; none when the library says nothing of its legends.
    pub(super) fn evidence(&self, position: usize, side: Side, coin: &CoinType) -> Option<Evidence> {
        let faces = [self.on_face(&coin.obverse), self.on_face(&coin.reverse)];
        let (own, other) = match side {
            Side::Reverse => (faces[1], faces[0]),
            _ => (faces[0], faces[1]),
        };
        let (nats, inscription, other_side) = match (own, other, side) {
            (None, None, _) => return None,
            (Some(a), Some(b), Side::Unknown) => {
                let best = if b.0 > a.0 { b } else { a };
                (best.0 - 2f64.ln(), best.1, false)
            }
            (Some(a), None, _) => (a.0, a.1, false),
            (None, Some(b), Side::Unknown) => (b.0, b.1, false),
            (None, Some(_), _) => return None,
            (Some(a), Some(b), _) if b.0 + LEGEND_OTHER_SIDE > a.0 => (b.0 + LEGEND_OTHER_SIDE, b.1, true),
            (Some(a), Some(_), _) => (a.0, a.1, false),
        };
        let nats = self.bounded(nats - self.unlisted);
        let alignment = inscription.and_then(|i| self.by_inscription.get(&i));
        let detail = Detail::Legend {
            reading: position,
            inscription,
            fitting: alignment.map_or(0, |a| a.fitting),
            contrary: alignment.map_or(self.letters, |a| a.contrary),
            other_side,
        };
        Some(Evidence { witness: Witness::Legend, nats, detail })
    }

    /// A short reading may say no more than any other trait; a long one may.
    fn bounded(&self, nats: f64) -> f64 {
        let beyond = self.letters.saturating_sub(4) as f64;
        let ceiling = (TRAIT_BOUND + LEGEND_STEP * beyond).min(LEGEND_CEILING);
        let floor = if self.letters >= 5 { LEGEND_FLOOR } else { -TRAIT_BOUND };
        nats.clamp(floor, ceiling)
    }
}

/// Neighbouring letters of a reading, for the outline.
fn pairs(reading: &Reading) -> Vec<(char, char)> {
    let letter = |mark: &Mark| match mark {
        Mark::Letter { letter, .. } => Some(*letter),
        Mark::OneOf(letters) => letters.first().copied(),
        _ => None,
    };
    let seen: Vec<Option<char>> = reading.marks.iter().filter(|m| !matches!(m, Mark::Break)).map(letter).collect();
    seen.windows(2).filter_map(|pair| Some((pair[0]?, pair[1]?))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inscription(text: &str) -> Inscription {
        let glyphs = text
            .chars()
            .map(|c| match c {
                '*' => Glyph::Free,
                '/' => Glyph::Break,
                c => Glyph::Letter(c),
            })
            .collect();
        Inscription { legend: 0, mint: None, glyphs }
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
        Reading { side: Side::Obverse, said: text.into(), marks, retrograde: false, from_start: false, to_end: false }
    }

    fn nats(read: &str, struck: &str) -> f64 {
        align(&reading(read), &inscription(struck), Script::Roman).map_or(0.0, |a| a.nats)
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
        let round = align(&reading("VGIMP"), &inscription("IMPTETRICVSPFAVG"), Script::Roman);
        assert_eq!(round.map(|a| a.fitting), Some(5));
    }

    #[test]
    fn places_tell_which_struck_letter_each_read_letter_lies_on() {
        let places = align(&reading("TRC"), &inscription("IMPTETRICVS"), Script::Roman).map(|a| a.places);
        assert_eq!(places, Some(vec![Some(5), Some(6), Some(8)]));
    }

    #[test]
    fn a_moneyers_name_is_free_but_what_follows_is_not() {
        assert!(nats("GODRICONHVNT", "*ONHVNT") > nats("GODRICONHVNT", "*ONLVND"));
    }
}
