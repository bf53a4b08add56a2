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
mod letters;
mod plain;
mod programme;
mod sketch;

use std::cell::{OnceCell, RefCell};

use letters::SCRIPTS;
use plain::run_plain;
pub use programme::{Alignment, align};
use programme::{Gains, Grid, Ready, Scratch, Step, gains, jumps, only_places, steps};
use sketch::Sketch;
pub(super) use sketch::Spellings;

use super::constants::*;
use super::evidence::{Detail, Evidence, Witness};
use super::groundwork::Groundwork;
use crate::catalogue::{Catalogue, CoinType, Face, Glyph};
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

/// One reading of a find, held against the inscriptions of the library as they are asked for.
pub(super) struct Aligned<'a> {
    catalogue: &'a Catalogue,
    groundwork: &'a Groundwork,
    reading: &'a Reading,
    steps: Vec<Step>,
    jumps: bool,
    plain: bool,
    /// By script, worked out when first asked for.
    gains: [OnceCell<Vec<Gains>>; SCRIPTS.len()],
    faint: bool,
    /// For each spelling of the library, whether it is worth aligning.
    may_hold: Vec<bool>,
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
        let steps = steps(reading);
        let sketch = Sketch::of_reading(reading);
        let mut aligned = Aligned {
            catalogue,
            groundwork,
            reading,
            jumps: jumps(&steps),
            plain: only_places(&steps),
            steps,
            gains: Default::default(),
            faint: sketch.is_faint(),
            may_hold: groundwork.spellings.that_may_hold(&sketch),
            letters,
            unlisted: 0.0,
            top: NATS_LEAST,
            scratch: RefCell::default(),
            known: RefCell::new(vec![None; catalogue.inscriptions.len()]),
        };
        (aligned.unlisted, aligned.top) = aligned.over_all();
        Some(aligned)
    }

    /// Nats of the reading for a find that is not in the library (some such finds bear legends
    /// that begin like the listed ones: HENRICVS REX of another realm), and the best over the
    /// library. Over all inscriptions that may hold it, whoever the candidates are.
    ///
    /// Letters that hardly stand together would fit somewhere in nearly every inscription; such a
    /// reading is held against letters at their common rates alone.
    fn over_all(&self) -> (f64, f64) {
        if self.faint {
            return ((1.0 - UNLISTED_LIKE_LISTED / 2.0).ln(), NATS_LEAST);
        }
        let (mut like_listed, mut top) = (0.0, NATS_LEAST);
        for (position, share) in self.groundwork.inscription_share.iter().enumerate() {
            if let Some(lie) = self.lie_on(position) {
                like_listed += share * lie.beginning.min(NATS_MOST_ALIKE).exp();
                top = f64::max(top, lie.nats);
            }
        }
        // Half, since the shares of a type's two faces each sum to one.
        (
            ((1.0 - UNLISTED_LIKE_LISTED) + UNLISTED_LIKE_LISTED * like_listed / 2.0).ln(),
            top,
        )
    }

    fn best(&self, position: usize) -> Option<Lie> {
        let inscription = &self.catalogue.inscriptions[position];
        let mut scratch = self.scratch.borrow_mut();
        let script = self.catalogue.legends[inscription.legend].script;
        let ready = Ready {
            reading: self.reading,
            steps: &self.steps,
            script,
            gains: self.gains[script as usize].get_or_init(|| gains(&self.steps, script)),
            jumps: self.jumps,
            plain: self.plain,
        };
        let mut best: Option<Lie> = None;
        let of_many = any_of(inscription.forms.len());
        let (first, outlines) = self.groundwork.spellings.of(position);
        for (form, outline) in outlines.iter().enumerate() {
            let spelling = &inscription.forms[form].glyphs;
            let (nats, beginning) = if spelling.as_slice() == [Glyph::Free] {
                // Nothing of such a legend is fixed: it is any row of letters, as on an unlisted find.
                (0.0, 0.0)
            } else if self.may_hold[first + form] {
                let letters = outline.letters.as_deref().unwrap_or(&[]);
                run_plain(ready, letters, &mut scratch).unwrap_or_else(|| {
                    let mut grid = Grid::<false>::new(ready, spelling, &mut scratch);
                    let nats = grid.run().1;
                    (nats, grid.beginning())
                })
            } else if outline.free {
                // Nothing but the free run can hold it; that needs no programme.
                let nats = self.letters as f64 * FREE_LETTER - (spelling.len() as f64).ln();
                (nats, nats)
            } else {
                continue;
            };
            let nats = (nats + of_many).max(NATS_LEAST);
            if best.is_none_or(|b| nats > b.nats) {
                best = Some(Lie {
                    nats,
                    beginning: beginning + of_many,
                    form,
                });
            }
        }
        best
    }

    fn lie_on(&self, position: usize) -> Option<Lie> {
        if let Some(known) = self.known.borrow()[position] {
            return known;
        }
        let lie = self.best(position);
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
            (Some(a), b, _) => {
                let b = b.unwrap_or(unsaid);
                match b.0 + LEGEND_OTHER_SIDE > a.0 {
                    true => (b.0 + LEGEND_OTHER_SIDE, (b.1, b.2), true),
                    false => (a.0, (a.1, a.2), false),
                }
            }
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
        (nats - self.unlisted - above).clamp(floor, ceiling)
    }
}

/// Cost of being any one of so many.
fn any_of(count: usize) -> f64 {
    -ANY_OF_MANY * (count.max(1) as f64).ln()
}
