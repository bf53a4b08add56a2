//! Every legend of the library under the law of readings: worked out once for all types that bear
//! the same letters.
//!
//! Invariant: for every set of legends and every state of the piece, the chances of all readings
//! and of none sum to one.

use std::collections::{BTreeMap, HashMap};
use std::ops::Range;

use super::super::rates::*;
use super::grid::{self, CELLS, Grid, Shares};
use super::spelled::{self, Bench};
use super::tokens::{self, Alphabet, Written};
use crate::catalogue::{Catalogue, Face, Glyph};

/// Letters that may stand on a piece, in all the lengths of their free runs.
struct Row {
    /// Letters struck, and how often this length is drawn.
    struck: Vec<(Vec<u8>, f64)>,
    /// Sets of legends in which it is drawn, and how often.
    drawn_in: Vec<(usize, f64)>,
}

/// The legends of a library.
pub(super) struct Legends {
    alphabet: Alphabet,
    rows: Vec<Row>,
    sets: HashMap<Vec<usize>, usize>,
    /// For each set, the chance that nothing is read.
    unread: Vec<Grid>,
    shares: HashMap<usize, Shares>,
    /// Share of all types whose front bears each set.
    of_fronts: Vec<f64>,
    /// Chance that nothing is read of the front of any type, each as likely.
    pub unread_of_any: Grid,
}

/// One reading held against every legend.
pub(super) struct Heard {
    /// By set of legends; none where it cannot be.
    of: Vec<Option<Box<Grid>>>,
    /// Of the front of any type, each as likely.
    pub of_any: Grid,
}

impl Heard {
    /// The chance that this is what is read of a set of legends.
    pub fn of(&self, set: Option<usize>) -> Option<&Grid> {
        set.and_then(|set| self.of[set].as_deref())
    }
}

impl Legends {
    pub fn of(catalogue: &Catalogue) -> Legends {
        let mut legends = Legends {
            alphabet: Alphabet::of(catalogue),
            rows: Vec::new(),
            sets: HashMap::new(),
            unread: Vec::new(),
            shares: HashMap::new(),
            of_fronts: Vec::new(),
            unread_of_any: [0.0; CELLS],
        };
        legends.gather(catalogue);
        for row in &legends.rows {
            for (struck, _) in &row.struck {
                let shares = || Shares::of(struck.len());
                legends.shares.entry(struck.len()).or_insert_with(shares);
            }
        }
        legends.leave_unread();
        let count = catalogue.types.len().max(1) as f64;
        legends.of_fronts = vec![0.0; legends.sets.len()];
        for coin in &catalogue.types {
            match legends.set(&coin.obverse) {
                Some(set) => legends.of_fronts[set] += 1.0 / count,
                None => legends
                    .unread_of_any
                    .iter_mut()
                    .for_each(|p| *p += 1.0 / count),
            }
        }
        for (unread, share) in legends.unread.iter().zip(&legends.of_fronts) {
            add(&mut legends.unread_of_any, unread, *share, &(0..CELLS));
        }
        legends
    }

    /// The set of legends that a face bears; none when it bears no letters.
    pub fn set(&self, face: &Face) -> Option<usize> {
        self.sets.get(face.inscriptions.as_ref()?).copied()
    }

    /// The chance that nothing is read of a set of legends.
    pub fn unread(&self, set: usize) -> &Grid {
        &self.unread[set]
    }

    /// Each different row of glyphs once, with the sets in which it is drawn.
    fn gather(&mut self, catalogue: &Catalogue) {
        let mut drawn: BTreeMap<&Vec<Glyph>, BTreeMap<usize, f64>> = BTreeMap::new();
        let faces = catalogue.types.iter().flat_map(Catalogue::faces);
        for borne in faces.filter_map(|face| face.inscriptions.as_ref()) {
            let next = self.sets.len();
            if borne.is_empty() || self.sets.contains_key(borne) {
                continue;
            }
            self.sets.insert(borne.clone(), next);
            for inscription in borne {
                let forms = &catalogue.inscriptions[*inscription].forms;
                let often = 1.0 / (borne.len() * forms.len()) as f64;
                for form in forms {
                    *drawn
                        .entry(&form.glyphs)
                        .or_default()
                        .entry(next)
                        .or_default() += often;
                }
            }
        }
        for (glyphs, sets) in drawn {
            self.rows.push(Row {
                struck: self.lengths(glyphs),
                drawn_in: sets.into_iter().collect(),
            });
        }
    }

    /// The letters as struck, for each number of letters in the free runs.
    fn lengths(&self, glyphs: &[Glyph]) -> Vec<(Vec<u8>, f64)> {
        let mut rows = vec![(Vec::new(), 1.0)];
        for glyph in glyphs {
            let sign = match glyph {
                Glyph::Letter(letter) => self.alphabet.letter(*letter),
                Glyph::Break => self.alphabet.cut(),
                Glyph::Free => {
                    let longer = |(row, often): &(Vec<u8>, f64)| {
                        let (row, often) = (row.clone(), often / FREE_NUMBERS as f64);
                        let free = self.alphabet.free();
                        (FREE_LEAST..FREE_LEAST + FREE_NUMBERS).map(move |count| {
                            let mut row = row.clone();
                            row.extend(std::iter::repeat_n(free, count));
                            (row, often)
                        })
                    };
                    rows = rows.iter().flat_map(longer).collect();
                    continue;
                }
            };
            rows.iter_mut().for_each(|(row, _)| row.push(sign));
        }
        rows.retain(|(row, _)| !row.is_empty());
        rows
    }

    /// Works out for each set how often nothing is read.
    fn leave_unread(&mut self) {
        self.unread = vec![[0.0; CELLS]; self.sets.len()];
        let mut scattered: HashMap<usize, Grid> = HashMap::new();
        for row in &self.rows {
            for (struck, often) in &row.struck {
                let letters = struck.iter().filter(|s| **s != self.alphabet.cut()).count();
                let missed = |u: f64| (1.0 - (1.0 - PASSED_OVER) * u).powi(letters as i32);
                let loose = scattered.entry(letters);
                let loose = loose.or_insert_with(|| grid::summed(|u| SCATTERED * missed(u)));
                let mut grid = *loose;
                for (long, chance) in self.unread_stretches(struck).into_iter().enumerate() {
                    let share = &self.shares[&struck.len()].stretch[long];
                    add(&mut grid, share, chance, &(0..CELLS));
                }
                for (set, drawn) in &row.drawn_in {
                    add(&mut self.unread[*set], &grid, often * drawn, &(0..CELLS));
                }
            }
        }
    }

    /// For a stretch of each length, the chance that every letter in it is passed over.
    fn unread_stretches(&self, struck: &[u8]) -> Vec<f64> {
        let n = struck.len();
        let missed = |from: usize, long: usize| {
            let within = (from..from + long).map(|at| struck[at % n]);
            let letters = within.filter(|s| *s != self.alphabet.cut()).count();
            PASSED_OVER.powi(letters as i32)
        };
        let any = |long| (0..n).map(|from| missed(from, long)).sum::<f64>() / n as f64;
        let each = |long| FROM_START * missed(0, long) + (1.0 - FROM_START) * any(long);
        (0..=n).map(each).collect()
    }

    /// Holds a reading against every legend, for these cells.
    pub fn hear(&self, said: &str, cells: &Range<usize>) -> Heard {
        let mut heard = Heard {
            of: vec![None; self.sets.len()],
            of_any: [0.0; CELLS],
        };
        let Some(signs) = tokens::signs(said) else {
            return heard;
        };
        let written = Written::of(signs, &self.alphabet);
        let mut bench = Bench::default();
        for row in &self.rows {
            let mut grid = [0.0; CELLS];
            let mut any = false;
            for (struck, often) in &row.struck {
                let chances = spelled::chances(struck, &written, &mut bench);
                let shares = &self.shares[&struck.len()];
                for (long, chance) in &chances.stretch {
                    add(&mut grid, &shares.stretch[*long], often * chance, cells);
                }
                for (seen, chance) in &chances.scattered {
                    add(&mut grid, &shares.scattered[*seen], often * chance, cells);
                }
                any |= !chances.stretch.is_empty() || !chances.scattered.is_empty();
            }
            for (set, drawn) in row.drawn_in.iter().filter(|_| any) {
                let of = heard.of[*set].get_or_insert_with(|| Box::new([0.0; CELLS]));
                add(of, &grid, *drawn, cells);
            }
        }
        for (of, share) in heard.of.iter().zip(&self.of_fronts) {
            if let Some(of) = of {
                add(&mut heard.of_any, of, *share, cells);
            }
        }
        heard
    }
}

fn add(to: &mut Grid, from: &Grid, times: f64, cells: &Range<usize>) {
    let pairs = to[cells.clone()].iter_mut().zip(&from[cells.clone()]);
    pairs.for_each(|(to, from)| *to += from * times);
}
