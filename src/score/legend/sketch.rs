//! Sketches: a cheap look at which spellings a reading could lie along.
//!
//! Judges nothing; a spelling that passes is aligned, one that does not is taken as
//! not fitting. Invariant: the same letters give the same numbers on both sides.

use super::any_of;
use super::lanes::plain;
use super::programme::STEPS_MOST;
use crate::catalogue::{Catalogue, Glyph, Script};
use crate::find::{Mark, Reading};

/// A spelling must share one in so many of a reading's threes.
const SHARED_LEAST: usize = 6;
/// ... and one in so many of the threes that the likest spelling of the library shares: beside
/// one that holds nearly all, another that holds few lies too badly to be weighed.
const SHARED_OF_MOST: usize = 2;
/// Numbers that threes are spread over: many, so that two seldom meet.
const THREES: usize = 1 << 14;

/// A spelling as the library has it, however many legends are spelled so.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Strand {
    /// The script it stands in.
    pub(super) script: Script,
    /// True when some of it changes from coin to coin.
    pub(super) free: bool,
    /// True when nothing of it is fixed.
    pub(super) all_free: bool,
    /// How many glyphs it has.
    pub(super) glyphs: u32,
    /// The places of the alphabet, where the spelling is plain; else none.
    places: (u32, u32),
}

impl Strand {
    /// True when it is nothing but letters of the alphabet, free runs and breaks.
    pub(super) fn is_plain(&self) -> bool {
        self.places.0 < self.places.1
    }
}

/// The spellings of a library, each once, those alike in script, kind and length side by side; with
/// a sketch of each: which spellings hold each three of letters that follow one another (one
/// between them passed over or not).
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(in crate::score) struct Spellings {
    pub(super) strands: Vec<Strand>,
    places: Vec<u8>,
    /// The inscriptions that have each spelling, and as which of their forms.
    bearers: Lists<(u32, u32)>,
    /// The spellings of each inscription, form by form.
    forms: Lists<u32>,
    /// The spellings that hold each three.
    holders: Lists<u32>,
    /// What being any one of its spellings costs each inscription.
    pub(super) of_many: Vec<f64>,
}

/// Lists laid end to end.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
struct Lists<T> {
    /// Where each begins, and the end of all.
    begins: Vec<u32>,
    held: Vec<T>,
}

impl<T: Copy + Default> Lists<T> {
    /// So many lists from what each of them holds, which keeps its order.
    fn of(lists: usize, held: &[(u32, T)]) -> Lists<T> {
        // Counted, and laid out by number.
        let mut begins = vec![0u32; lists + 1];
        held.iter()
            .for_each(|(list, _)| begins[*list as usize + 1] += 1);
        (0..lists).for_each(|list| begins[list + 1] += begins[list]);
        let mut next = begins.clone();
        let mut laid = vec![T::default(); held.len()];
        for (list, one) in held {
            let place = &mut next[*list as usize];
            laid[*place as usize] = *one;
            *place += 1;
        }
        Lists { begins, held: laid }
    }

    fn list(&self, list: usize) -> &[T] {
        &self.held[self.begins[list] as usize..self.begins[list + 1] as usize]
    }
}

/// Threes of a reading, by number.
pub(super) struct Sketch {
    threes: Vec<usize>,
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

/// What puts spellings that are aligned alike side by side.
type Kind<'c> = (usize, bool, bool, usize, &'c [Glyph]);

fn kind(script: Script, glyphs: &[Glyph]) -> Kind<'_> {
    let plain = plain(glyphs).is_some();
    let free = glyphs.contains(&Glyph::Free);
    (script as usize, plain, free, glyphs.len(), glyphs)
}

impl Spellings {
    /// The spellings of a library.
    pub(in crate::score) fn new(catalogue: &Catalogue) -> Spellings {
        let script = |legend: usize| catalogue.legends[legend].script;
        let mut borne: Vec<(Kind<'_>, Script, u32, u32)> = Vec::new();
        for (inscription, one) in (0u32..).zip(&catalogue.inscriptions) {
            let script = script(one.legend);
            for (form, spelling) in (0u32..).zip(&one.forms) {
                borne.push((kind(script, &spelling.glyphs), script, inscription, form));
            }
        }
        borne.sort_unstable_by_key(|(kind, _, inscription, form)| (*kind, *inscription, *form));
        let (mut strands, mut places) = (Vec::new(), Vec::new());
        let (mut held, mut bearers) = (Vec::new(), Vec::new());
        for alike in borne.chunk_by(|a, b| a.0 == b.0) {
            let (_, script, ..) = alike[0];
            let glyphs = alike[0].0.4;
            let (strand, ring) = (strands.len() as u32, ring(glyphs));
            threes(&ring, |three| held.push((three as u32, strand)));
            let from = places.len() as u32;
            places.extend(plain(glyphs).unwrap_or_default());
            strands.push(Strand {
                script,
                free: glyphs.contains(&Glyph::Free),
                all_free: glyphs == [Glyph::Free],
                glyphs: glyphs.len() as u32,
                places: (from, places.len() as u32),
            });
            bearers.extend(
                alike
                    .iter()
                    .map(|(_, _, inscription, form)| (strand, (*inscription, *form))),
            );
        }
        // A spelling may hold a three twice; it is shared once.
        held.sort_unstable();
        held.dedup();
        let of_many = catalogue.inscriptions.iter().map(|one| one.forms.len());
        let mut forms: Vec<(u32, u32, u32)> = bearers
            .iter()
            .map(|(strand, (inscription, form))| (*inscription, *form, *strand))
            .collect();
        forms.sort_unstable();
        let forms: Vec<(u32, u32)> = forms.iter().map(|one| (one.0, one.2)).collect();
        Spellings {
            forms: Lists::of(catalogue.inscriptions.len(), &forms),
            bearers: Lists::of(strands.len(), &bearers),
            holders: Lists::of(THREES, &held),
            of_many: of_many.map(any_of).collect(),
            strands,
            places,
        }
    }

    /// The places of the alphabet of a spelling, where it is plain; else none.
    pub(super) fn places(&self, strand: usize) -> &[u8] {
        let (from, to) = self.strands[strand].places;
        &self.places[from as usize..to as usize]
    }

    /// The spellings of an inscription.
    pub(super) fn forms(&self, inscription: usize) -> &[u32] {
        self.forms.list(inscription)
    }

    /// The inscriptions that have a spelling, and as which of their forms.
    pub(super) fn bearers(&self, strand: usize) -> &[(u32, u32)] {
        self.bearers.list(strand)
    }

    /// For each spelling, whether a reading with this sketch might align with it.
    pub(super) fn that_may_hold(&self, reading: &Sketch) -> Vec<bool> {
        if reading.is_faint() {
            // Scattered letters, of which one may be wrong, leave nothing to tell by.
            return vec![true; self.strands.len()];
        }
        // No reading has as many threes as would be miscounted.
        let mut shared = vec![0u16; self.strands.len()];
        for three in &reading.threes {
            for strand in self.holders.list(*three) {
                shared[*strand as usize] += 1;
            }
        }
        let most = shared.iter().max().copied().unwrap_or(0);
        let wanted = reading
            .threes
            .len()
            .div_ceil(SHARED_LEAST)
            .max(usize::from(most).div_ceil(SHARED_OF_MOST)) as u16;
        // A free run takes letters of any kind; what is left to share is then less.
        let enough = |(strand, shared): (&Strand, u16)| {
            shared
                >= if strand.free {
                    wanted.div_ceil(2)
                } else {
                    wanted
                }
        };
        self.strands.iter().zip(shared).map(enough).collect()
    }
}

impl Sketch {
    /// True when so few letters stand together that any spelling might hold them.
    pub(super) fn is_faint(&self) -> bool {
        self.threes.len() < 2
    }

    /// The sketch of a reading: of each row of letters that stand together.
    pub(super) fn of_reading(reading: &Reading) -> Sketch {
        let mut whole = Sketch { threes: Vec::new() };
        let mut row = Vec::new();
        let mut close = |row: &mut Vec<char>| {
            threes(row, |three| whole.threes.push(three));
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

/// The number of a run of letters, below a power of two.
fn number(run: &[char], below: usize) -> usize {
    let hash = run.iter().fold(7u32, |hash, letter| {
        hash.wrapping_mul(131).wrapping_add(*letter as u32)
    });
    (hash.wrapping_mul(2_654_435_761) >> 8) as usize & (below - 1)
}
