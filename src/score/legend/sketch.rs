//! Sketches: a cheap look at which spellings a reading could lie along.
//!
//! Judges nothing; a spelling that passes is aligned, one that does not is taken as
//! not fitting. Invariant: the same letters give the same bits on both sides.

use super::plain::plain;
use super::programme::STEPS_MOST;
use crate::catalogue::Glyph;
use crate::find::{Mark, Reading, worn_family};

/// A spelling must share one in so many of a reading's runs of three.
const SHARED_LEAST: usize = 6;
/// Words of bits in a sketch.
const OUTLINE_WORDS: usize = 32;

/// A cheap sketch of a spelling: which letters follow one another in it, in threes (one
/// between them passed over or not) and in twos (worn families folded). A reading that
/// shares too few cannot align well.
#[derive(Clone, Debug)]
pub(in crate::score) struct Outline {
    threes: [u64; OUTLINE_WORDS],
    twos: [u64; OUTLINE_WORDS / 8],
    pub(super) free: bool,
    /// The places of the alphabet, where the spelling is plain.
    pub(super) letters: Option<Vec<u8>>,
}

/// Bits of a reading, as of an outline.
pub(super) struct Sketch {
    threes: Vec<(usize, u64)>,
    twos: Vec<(usize, u64)>,
}

impl Outline {
    /// The outline of a spelling, read as a ring.
    pub(in crate::score) fn new(glyphs: &[Glyph]) -> Outline {
        let mut letters: Vec<char> = Vec::with_capacity(glyphs.len() + 3);
        letters.extend(glyphs.iter().filter_map(|g| {
            if let Glyph::Letter(c) = g {
                Some(*c)
            } else {
                None
            }
        }));
        letters.extend_from_within(..letters.len().min(3));
        let free = glyphs.contains(&Glyph::Free);
        let mut outline = Outline {
            threes: [0; OUTLINE_WORDS],
            twos: [0; OUTLINE_WORDS / 8],
            free,
            letters: plain(glyphs),
        };
        threes(&letters, |(word, bit)| outline.threes[word] |= bit);
        twos(&letters, |(word, bit)| outline.twos[word] |= bit);
        outline
    }

    /// True when a reading with this sketch might align.
    pub(super) fn may_hold(&self, reading: &Sketch) -> bool {
        let shared = |own: &[u64], theirs: &[(usize, u64)]| {
            theirs
                .iter()
                .filter(|(word, bit)| own[*word] & bit != 0)
                .count()
        };
        if reading.is_faint() {
            return reading.twos.is_empty() || shared(&self.twos, &reading.twos) > 0;
        }
        let wanted = reading.threes.len().div_ceil(SHARED_LEAST);
        // A free run takes letters of any kind; what is left to share is then less.
        let wanted = if self.free {
            wanted.div_ceil(2)
        } else {
            wanted
        };
        shared(&self.threes, &reading.threes) >= wanted
    }
}

impl Sketch {
    /// True when so few letters stand together that any spelling might hold them.
    pub(super) fn is_faint(&self) -> bool {
        self.threes.len() < 2
    }

    /// The sketch of a reading: of each row of letters that stand together.
    pub(super) fn of_reading(reading: &Reading) -> Sketch {
        let mut whole = Sketch {
            threes: Vec::new(),
            twos: Vec::new(),
        };
        let mut row = Vec::new();
        let mut close = |row: &mut Vec<char>| {
            threes(row, |bit| whole.threes.push(bit));
            twos(row, |bit| whole.twos.push(bit));
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

/// Hands over the bits of letters in threes, one between them passed over or not.
fn threes(letters: &[char], mut take: impl FnMut((usize, u64))) {
    let bits = 64 * OUTLINE_WORDS;
    for w in letters.windows(3) {
        take(slot(&[w[0], w[1], w[2]], bits));
    }
    for w in letters.windows(4) {
        take(slot(&[w[0], w[1], w[3]], bits));
        take(slot(&[w[0], w[2], w[3]], bits));
    }
}

/// Hands over the bits of letters in twos, worn families folded.
fn twos(letters: &[char], mut take: impl FnMut((usize, u64))) {
    for w in letters.windows(2) {
        take(slot(
            &[worn_family(w[0]), worn_family(w[1])],
            8 * OUTLINE_WORDS,
        ));
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
