//! Sketches: a cheap look at which spellings a reading could lie along.
//!
//! Judges nothing; a spelling that passes is aligned, one that does not is taken as
//! not fitting. Invariant: the same letters give the same numbers on both sides.

use super::plain::plain;
use super::programme::STEPS_MOST;
use crate::catalogue::{Catalogue, Glyph};
use crate::find::{Mark, Reading, worn_family};

/// A spelling must share one in so many of a reading's threes.
const SHARED_LEAST: usize = 6;
/// ... and one in so many of the threes that the likest spelling of the library shares: beside
/// one that holds nearly all, another that holds few lies too badly to be weighed.
const SHARED_OF_MOST: usize = 2;
/// Numbers that threes are spread over: many, so that two seldom meet.
const THREES: usize = 1 << 14;
/// Numbers that twos are spread over.
const TWOS: usize = 256;

/// What is known of a spelling beforehand.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Outline {
    /// Which letters follow one another in it, worn families folded.
    twos: [u64; TWOS / 64],
    /// True when some of it changes from coin to coin.
    pub(super) free: bool,
    /// The places of the alphabet, where the spelling is plain.
    pub(super) letters: Option<Vec<u8>>,
}

/// The spellings of a library, sketched: for each three of letters that follow one another (one
/// between them passed over or not), which spellings hold it.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(in crate::score) struct Spellings {
    outlines: Vec<Outline>,
    /// Where the spellings of each inscription begin, and the end of all.
    begins: Vec<usize>,
    /// Where the holders of each three begin, and the end of all.
    starts: Vec<u32>,
    holders: Vec<u32>,
}

/// Threes and twos of a reading, by number.
pub(super) struct Sketch {
    threes: Vec<usize>,
    twos: Vec<usize>,
}

impl Outline {
    fn new(glyphs: &[Glyph], ring: &[char]) -> Outline {
        let mut outline = Outline {
            twos: [0; TWOS / 64],
            free: glyphs.contains(&Glyph::Free),
            letters: plain(glyphs),
        };
        twos(ring, |two| outline.twos[two / 64] |= 1 << (two % 64));
        outline
    }

    fn holds(&self, two: usize) -> bool {
        self.twos[two / 64] & (1 << (two % 64)) != 0
    }
}

/// The letters of a spelling, run on into its beginning, since a legend is a ring.
fn ring(glyphs: &[Glyph]) -> Vec<char> {
    let mut letters: Vec<char> = Vec::with_capacity(glyphs.len() + 3);
    letters.extend(glyphs.iter().filter_map(|g| {
        if let Glyph::Letter(c) = g {
            Some(*c)
        } else {
            None
        }
    }));
    letters.extend_from_within(..letters.len().min(3));
    letters
}

impl Spellings {
    /// The spellings of a library.
    pub(in crate::score) fn new(catalogue: &Catalogue) -> Spellings {
        let (mut outlines, mut begins) = (Vec::new(), vec![0]);
        let mut held: Vec<(u32, u32)> = Vec::new();
        for inscription in &catalogue.inscriptions {
            for form in &inscription.forms {
                let (spelling, ring) = (outlines.len() as u32, ring(&form.glyphs));
                threes(&ring, |three| held.push((three as u32, spelling)));
                outlines.push(Outline::new(&form.glyphs, &ring));
            }
            begins.push(outlines.len());
        }
        // Counted and laid out by number, which keeps the spellings of each three in order.
        let mut starts = vec![0u32; THREES + 1];
        held.iter()
            .for_each(|(three, _)| starts[*three as usize + 1] += 1);
        (0..THREES).for_each(|three| starts[three + 1] += starts[three]);
        let mut next = starts.clone();
        let mut holders = vec![0u32; held.len()];
        for (three, spelling) in held {
            let place = &mut next[three as usize];
            holders[*place as usize] = spelling;
            *place += 1;
        }
        Spellings {
            outlines,
            begins,
            starts,
            holders,
        }
    }

    /// Number of the first spelling of an inscription, and what is known of each of its spellings.
    pub(super) fn of(&self, inscription: usize) -> (usize, &[Outline]) {
        let (first, end) = (self.begins[inscription], self.begins[inscription + 1]);
        (first, &self.outlines[first..end])
    }

    /// For each spelling, whether a reading with this sketch might align with it.
    pub(super) fn that_may_hold(&self, reading: &Sketch) -> Vec<bool> {
        if reading.is_faint() {
            // At least half; of two both, so that of three letters together each pair must look right.
            let wanted = reading.twos.len().div_ceil(2) + usize::from(reading.twos.len() == 2);
            let shares = |outline: &Outline| {
                let held = reading.twos.iter().filter(|two| outline.holds(**two));
                held.take(wanted).count() >= wanted
            };
            return self.outlines.iter().map(shares).collect();
        }
        let mut shared = vec![0usize; self.outlines.len()];
        for three in &reading.threes {
            let holders =
                &self.holders[self.starts[*three] as usize..self.starts[three + 1] as usize];
            let mut last = u32::MAX;
            for spelling in holders {
                // A spelling may hold a three twice; it is shared once.
                if *spelling != last {
                    shared[*spelling as usize] += 1;
                }
                last = *spelling;
            }
        }
        let most = shared.iter().max().copied().unwrap_or(0);
        let wanted = reading
            .threes
            .len()
            .div_ceil(SHARED_LEAST)
            .max(most.div_ceil(SHARED_OF_MOST));
        // A free run takes letters of any kind; what is left to share is then less.
        let enough = |(outline, shared): (&Outline, usize)| {
            shared
                >= if outline.free {
                    wanted.div_ceil(2)
                } else {
                    wanted
                }
        };
        self.outlines.iter().zip(shared).map(enough).collect()
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
            threes(row, |three| whole.threes.push(three));
            twos(row, |two| whole.twos.push(two));
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

/// Hands over the numbers of letters in threes, one between them passed over or not.
fn threes(letters: &[char], mut take: impl FnMut(usize)) {
    for w in letters.windows(3) {
        take(number(&[w[0], w[1], w[2]], THREES));
    }
    for w in letters.windows(4) {
        take(number(&[w[0], w[1], w[3]], THREES));
        take(number(&[w[0], w[2], w[3]], THREES));
    }
}

/// Hands over the numbers of letters in twos, worn families folded.
fn twos(letters: &[char], mut take: impl FnMut(usize)) {
    for w in letters.windows(2) {
        take(number(&[worn_family(w[0]), worn_family(w[1])], TWOS));
    }
}

/// The number of a run of letters, below a power of two.
fn number(run: &[char], below: usize) -> usize {
    let hash = run.iter().fold(7u32, |hash, letter| {
        hash.wrapping_mul(131).wrapping_add(*letter as u32)
    });
    (hash.wrapping_mul(2_654_435_761) >> 8) as usize & (below - 1)
}
