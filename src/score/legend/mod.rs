//! Legend: how well what was read lies along what was struck.
//!
//! A reading is aligned with the inscriptions of a type's faces; each letter that fits
//! counts by how rare it is, and the whole against what an unlisted find might bear.
//! Legends run in a ring, so the start is open unless the reader knows it.
//!
//! Invariant: a reading without letters seen makes no term; a wrong letter never lies
//! better than the right one, and hardly ever makes a term that is seen to be larger (a fifth
//! of a nat); a term does not depend on who the candidates are.

#[cfg(test)]
mod kit;
mod lanes;
mod letters;
mod programme;
mod sketch;

use std::cell::{OnceCell, RefCell};

use lanes::{LANES, Laid, lay};
use letters::SCRIPTS;
pub(super) use letters::read_as;
pub use programme::{Alignment, align};
use programme::{
    Grid, Ready, SKIPPED, Scratch, Step, gains as gains_of, jumps, only_places, steps,
};
pub(super) use sketch::Spellings;
use sketch::{Sketch, Strand};

use super::constants::*;
use super::evidence::{Detail, Evidence, Witness};
use super::groundwork::Groundwork;
use super::learnt::LetterHabits;
use crate::catalogue::{Catalogue, CoinType, Face, Script};
use crate::find::{Reading, Side};

/// Least nats of an alignment; what is worse is alike.
const NATS_LEAST: f64 = -40.0;
/// Most nats counted towards a find that is not in the library; more tells nothing further.
const NATS_MOST_ALIKE: f64 = 30.0;

/// How a reading lies on the best spelling of an inscription.
#[derive(Clone, Copy, Debug)]
struct Lie {
    nats: f64,
    /// Nats of that beginning of the reading which lies best.
    beginning: f64,
    form: usize,
}

/// How a reading lies on an inscription that could not hold it.
const NOWHERE: Lie = Lie {
    nats: f64::NEG_INFINITY,
    beginning: f64::NEG_INFINITY,
    form: usize::MAX,
};

/// One reading of a find, held against the inscriptions of the library.
pub(super) struct Aligned<'a> {
    catalogue: &'a Catalogue,
    spellings: &'a Spellings,
    reading: &'a Reading,
    /// How this reader reads, where it is known.
    habits: Option<&'a LetterHabits>,
    steps: Vec<Step>,
    /// True when so few letters stand together that many spellings may hold them: it is laid along
    /// those that are asked for alone.
    faint: bool,
    /// For each spelling, whether it is worth aligning.
    may_hold: Vec<bool>,
    letters: usize,
    /// Nats of the reading for a find that is not in the library.
    unlisted: f64,
    /// Nats of the inscription of the whole library that it fits best.
    top: f64,
    found: RefCell<Found>,
}

/// What was found so far.
struct Found {
    /// By inscription.
    lies: Vec<Lie>,
    /// Inscriptions asked for and spellings looked at, of a faint reading.
    asked: Vec<bool>,
    looked_at: Vec<bool>,
}

impl<'a> Aligned<'a> {
    /// A reading made ready. `None` without letters seen.
    pub(super) fn new(
        reading: &'a Reading,
        catalogue: &'a Catalogue,
        groundwork: &'a Groundwork,
        habits: Option<&'a LetterHabits>,
    ) -> Option<Aligned<'a>> {
        let letters = reading.letters_seen();
        if letters == 0 {
            return None;
        }
        let sketch = Sketch::of_reading(reading);
        let spellings = &groundwork.spellings;
        let (inscriptions, strands) = (catalogue.inscriptions.len(), spellings.strands.len());
        let faint = sketch.is_faint();
        let mut aligned = Aligned {
            catalogue,
            spellings,
            reading,
            habits,
            steps: steps(reading),
            faint,
            may_hold: spellings.that_may_hold(&sketch),
            letters,
            // Letters that hardly stand together would fit somewhere in nearly every inscription;
            // such a reading is held against letters at their common rates alone.
            unlisted: (1.0 - UNLISTED_LIKE_LISTED / 2.0).ln(),
            top: NATS_LEAST,
            found: RefCell::new(Found {
                lies: vec![NOWHERE; inscriptions],
                asked: vec![false; if faint { inscriptions } else { 0 }],
                looked_at: vec![false; if faint { strands } else { 0 }],
            }),
        };
        if !faint {
            let laid = aligned.laid(0..strands);
            let lies = &mut aligned.found.get_mut().lies;
            note(&laid, spellings, lies);
            (aligned.unlisted, aligned.top) = over_all(lies, groundwork);
        }
        Some(aligned)
    }

    /// True when so few letters stand together that many spellings may hold them.
    pub(super) fn is_faint(&self) -> bool {
        self.faint
    }

    /// Lays the reading along what types bear, all at once, where that was not done before.
    pub(super) fn ask<'c>(&self, coins: impl Iterator<Item = &'c CoinType>) {
        if !self.faint {
            return;
        }
        let found = &mut *self.found.borrow_mut();
        let mut strands = Vec::new();
        let faces = coins.flat_map(Catalogue::faces);
        for inscription in faces.flat_map(|face| face.inscriptions.iter().flatten()) {
            if std::mem::replace(&mut found.asked[*inscription], true) {
                continue;
            }
            for strand in self.spellings.forms(*inscription) {
                let strand = *strand as usize;
                if !std::mem::replace(&mut found.looked_at[strand], true) {
                    strands.push(strand);
                }
            }
        }
        strands.sort_unstable();
        let laid = self.laid(strands.into_iter());
        note(&laid, self.spellings, &mut found.lies);
    }

    /// The reading laid along some spellings, those that may hold it, in the order of the library.
    fn laid(&self, strands: impl Iterator<Item = usize>) -> Vec<(usize, Laid)> {
        let (mut laid, mut quick, mut slow) = (Vec::new(), Vec::new(), Vec::new());
        let plain = only_places(&self.steps);
        for strand in strands {
            let one = &self.spellings.strands[strand];
            if one.all_free {
                // Nothing of such a legend is fixed: it is any row of letters, as on an unlisted find.
                laid.push((strand, (0.0, 0.0)));
            } else if self.may_hold[strand] && plain && one.is_plain() {
                quick.push(strand);
            } else if self.may_hold[strand] {
                slow.push(strand);
            } else if one.free {
                // Nothing but the free run can hold it; that needs no programme.
                let nats = self.letters as f64 * FREE_LETTER - f64::from(one.glyphs).ln();
                laid.push((strand, (nats, nats)));
            }
        }
        let gains: [_; SCRIPTS.len()] = std::array::from_fn(|_| OnceCell::new());
        let ready = |script: Script| Ready {
            reading: self.reading,
            steps: &self.steps,
            script,
            gains: gains[script as usize]
                .get_or_init(|| gains_of(&self.steps, script, self.habits)),
            jumps: jumps(&self.steps),
            skipped: self.habits.map_or(*SKIPPED, LetterHabits::skipped),
        };
        self.lay_quickly(&quick, ready, &mut laid);
        let mut scratch = Scratch::default();
        for strand in slow {
            let (inscription, form) = self.spellings.bearers(strand)[0];
            let inscription = &self.catalogue.inscriptions[inscription as usize];
            let spelling = &inscription.forms[form as usize].glyphs;
            let ready = ready(self.spellings.strands[strand].script);
            let mut grid = Grid::<false>::new(ready, spelling, &mut scratch);
            let nats = grid.run().1;
            laid.push((strand, (nats, grid.beginning())));
        }
        laid
    }

    /// Lays it along plain spellings, those that are alike side by side.
    fn lay_quickly<'r>(
        &self,
        strands: &[usize],
        ready: impl Fn(Script) -> Ready<'r>,
        laid: &mut Vec<(usize, Laid)>,
    ) {
        let kind = |strand: &usize| {
            let Strand { script, free, .. } = self.spellings.strands[*strand];
            (script, free)
        };
        let mut bench = lanes::Bench::default();
        for alike in strands.chunk_by(|a, b| kind(a) == kind(b)) {
            let (script, free) = kind(&alike[0]);
            for some in alike.chunks(LANES) {
                let mut places: [&[u8]; LANES] = [&[]; LANES];
                for (lane, strand) in places.iter_mut().zip(some) {
                    *lane = self.spellings.places(*strand);
                }
                let lanes = lay(ready(script), &places[..some.len()], free, &mut bench);
                laid.extend(some.iter().copied().zip(lanes));
            }
        }
    }

    fn lie_on(&self, position: usize) -> Option<Lie> {
        let lie = self.found.borrow().lies[position];
        (lie.nats > f64::NEG_INFINITY).then_some(lie)
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
        self.ask(std::iter::once(coin));
        let faces = [&coin.obverse, &coin.reverse].map(|face| {
            let (nats, inscription) = self.on_face(face)?;
            Some((nats, inscription, inscription.is_none()))
        });
        let (own, other) = match side {
            Side::Reverse => (faces[1], faces[0]),
            _ => (faces[0], faces[1]),
        };
        // A face of which the library says nothing is as any other, and the reading may stand there.
        let unsaid = (self.unlisted, None, false);
        let (nats, (inscription, bare), other_side) = match (own, other, side) {
            (None, None, _) => return None,
            (_, _, Side::Unknown) => {
                let (a, b) = (own.unwrap_or(unsaid), other.unwrap_or(unsaid));
                let best = if b.0 > a.0 { b } else { a };
                (best.0 - 2f64.ln(), (best.1, best.2), false)
            }
            (None, ..) => return None,
            // But what is said to stand on a front is no reading of a back that nobody entered, or the
            // rest of every coinage were excused from its ruler's name.
            (Some(a), b, _) => match b.or((!coin.rest).then_some(unsaid)) {
                Some(b) if b.0 + LEGEND_OTHER_SIDE > a.0 => {
                    (b.0 + LEGEND_OTHER_SIDE, (b.1, b.2), true)
                }
                _ => (a.0, (a.1, a.2), false),
            },
        };
        let nats = self.bounded(nats);
        Some(Evidence {
            witness: Witness::Legend,
            nats,
            detail: Detail::Legend {
                reading,
                inscription,
                other_side,
                bare,
            },
        })
    }

    /// Most nats that this reading may give a type.
    pub(super) fn ceiling(&self) -> f64 {
        let beyond = self.letters.saturating_sub(4) as f64;
        (TRAIT_BOUND + LEGEND_STEP * beyond).min(LEGEND_CEILING)
    }

    /// A short reading may say no more than any other trait; a long one may. The ceiling lowers
    /// all alike, so that what sets two legends apart by a few letters is kept.
    fn bounded(&self, nats: f64) -> f64 {
        let ceiling = self.ceiling();
        let floor = if self.letters >= 5 {
            LEGEND_FLOOR
        } else {
            -TRAIT_BOUND
        };
        let above = (self.top - self.unlisted - ceiling).max(0.0);
        let nats = nats - self.unlisted - above;
        if nats < 0.0 {
            // Bent towards the floor and not cut off at it, so that of two legends that do not fit the
            // one with fewer errors still stands before the other.
            floor * (nats / floor).tanh()
        } else {
            nats.min(ceiling)
        }
    }
}

/// Nats of the reading for a find that is not in the library (some such finds bear legends
/// that begin like the listed ones: HENRICVS REX of another realm), and the best over the
/// library. Over all inscriptions that may hold it, whoever the candidates are.
fn over_all(lies: &[Lie], groundwork: &Groundwork) -> (f64, f64) {
    let (mut like_listed, mut top) = (0.0, NATS_LEAST);
    for (lie, share) in lies.iter().zip(&groundwork.inscription_share) {
        if lie.nats > f64::NEG_INFINITY {
            like_listed += share * lie.beginning.min(NATS_MOST_ALIKE).exp();
            top = f64::max(top, lie.nats);
        }
    }
    // Half, since the shares of a type's two faces each sum to one.
    let unlisted = (1.0 - UNLISTED_LIKE_LISTED) + UNLISTED_LIKE_LISTED * like_listed / 2.0;
    (unlisted.ln(), top)
}

/// Notes how a reading lies on the inscriptions that have some spellings: on the best of each one's
/// spellings, of two alike the first.
fn note(laid: &[(usize, Laid)], spellings: &Spellings, lies: &mut [Lie]) {
    for (strand, (nats, beginning)) in laid {
        for (inscription, form) in spellings.bearers(*strand) {
            let of_many = spellings.of_many[*inscription as usize];
            let nats = (nats + of_many).max(NATS_LEAST);
            let best = &mut lies[*inscription as usize];
            if nats > best.nats || (nats == best.nats && (*form as usize) < best.form) {
                *best = Lie {
                    nats,
                    beginning: beginning + of_many,
                    form: *form as usize,
                };
            }
        }
    }
}

/// Cost of being any one of so many.
fn any_of(count: usize) -> f64 {
    -ANY_OF_MANY * (count.max(1) as f64).ln()
}
