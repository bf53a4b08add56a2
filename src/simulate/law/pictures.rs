//! Figures: which of a face's motifs are named and in what order, rightly or not, the mark, and what
//! is said not to be there.
//!
//! Invariant: summed over all rows of sightings of one length that a face may give, the chances come
//! to the chance of that length.

use super::super::rates::*;
use crate::catalogue::{Catalogue, CoinType, Face};
use crate::find::{Side, Sighting};

/// What a find's sightings are held against: for each, how often each motif is taken for it.
pub(super) struct Pictures<'a> {
    sightings: &'a [Sighting],
    /// Position of each motif named.
    named: Vec<Option<usize>>,
    /// By sighting, then by motif shown.
    taken: Vec<Vec<f64>>,
    motifs: usize,
}

/// The relations of the motif vocabulary, worked out once.
pub(super) struct Kin {
    children: Vec<Vec<usize>>,
}

impl Kin {
    pub fn of(catalogue: &Catalogue) -> Kin {
        let mut children = vec![Vec::new(); catalogue.motifs.len()];
        for (position, motif) in catalogue.motifs.iter().enumerate() {
            let mut parents = motif.under.clone();
            parents.sort_unstable();
            parents.dedup();
            parents
                .iter()
                .for_each(|parent| children[*parent].push(position));
        }
        Kin { children }
    }

    /// How often each motif, shown, is taken for this one.
    fn taken_for(&self, named: usize, catalogue: &Catalogue) -> Vec<f64> {
        let motifs = &catalogue.motifs;
        let sum: f64 = MISTAKEN_FOR.iter().sum();
        let [kind, like, any] = MISTAKEN_FOR.map(|often| (1.0 - MOTIF_RIGHT) * often / sum);
        let even = 1.0 / motifs.len() as f64;
        let mut taken = vec![any * even; motifs.len()];
        for (shown, motif) in motifs.iter().enumerate() {
            if motif.under.is_empty() {
                taken[shown] += (kind + like) * even;
                continue;
            }
            let drawn = 1.0 / motif.under.len() as f64;
            for parent in &motif.under {
                if *parent == named {
                    taken[shown] += kind * drawn;
                }
                let others = self.children[*parent].len() - 1;
                if others == 0 {
                    taken[shown] += like * drawn * even;
                } else if shown != named && motifs[named].under.contains(parent) {
                    taken[shown] += like * drawn / others as f64;
                }
            }
        }
        taken[named] += MOTIF_RIGHT;
        taken
    }

    /// Number of motifs that are on a type, those they are kinds of among them.
    pub fn there(&self, coin: &CoinType, catalogue: &Catalogue) -> Vec<usize> {
        let faces = Catalogue::faces(coin).into_iter();
        let shown = faces.flat_map(|face| face.motifs.as_deref().unwrap_or(&[]));
        let mut there: Vec<usize> = shown
            .flat_map(|motif| std::iter::once(motif).chain(&catalogue.motifs[*motif].ancestors))
            .copied()
            .collect();
        there.sort_unstable();
        there.dedup();
        there
    }
}

/// How the last of the sightings is taken: as it stands, or as put there by a slip.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Last {
    Seen,
    Slipped,
}

impl<'a> Pictures<'a> {
    pub fn of(sightings: &'a [Sighting], kin: &Kin, catalogue: &Catalogue) -> Pictures<'a> {
        let named: Vec<_> = sightings
            .iter()
            .map(|s| catalogue.motif_by_id(&s.motif))
            .collect();
        let taken = named
            .iter()
            .map(|named| named.map_or(Vec::new(), |named| kin.taken_for(named, catalogue)));
        Pictures {
            sightings,
            taken: taken.collect(),
            named,
            motifs: catalogue.motifs.len(),
        }
    }

    /// Chance of all sightings of a type, the faces being told as these sides.
    pub fn chance(&self, coin: &CoinType, there: &[usize], sides: [Side; 2], last: Last) -> f64 {
        let count = self.sightings.len();
        if self.named.iter().any(Option::is_none) || last == Last::Slipped && count == 0 {
            return 0.0;
        }
        let mut sum = 0.0;
        for front in 0..=count.min(MOTIFS_NAMED.len() - 1) {
            let of_front = self.of_face(&coin.obverse, sides[0], 0, front, last);
            if of_front == 0.0 {
                continue;
            }
            let rest = count - front;
            for back in rest.saturating_sub(2)..=rest.min(MOTIFS_NAMED.len() - 1) {
                let of_back = self.of_face(&coin.reverse, sides[1], front, front + back, last);
                sum += of_front * of_back * self.of_rest(coin, there, front + back, last);
            }
        }
        if last == Last::Slipped {
            sum / self.motifs as f64
        } else {
            sum
        }
    }

    /// True for a sighting that a slip put there, whatever it says.
    fn slipped(&self, at: usize, last: Last) -> bool {
        last == Last::Slipped && at + 1 == self.sightings.len()
    }

    /// Chance that a face gives the sightings `from..to`.
    fn of_face(&self, face: &Face, side: Side, from: usize, to: usize, last: Last) -> f64 {
        let shown = face.motifs.as_deref().unwrap_or(&[]);
        let count = to - from;
        if count > shown.len() {
            return 0.0;
        }
        let all: f64 = MOTIFS_NAMED.iter().sum();
        let wanted: f64 = if count == shown.len() {
            MOTIFS_NAMED[count..].iter().sum()
        } else {
            MOTIFS_NAMED[count]
        };
        let mut chance = wanted / all;
        for sighting in &self.sightings[from..to] {
            let sure = if sighting.sure {
                MOTIF_SURE
            } else {
                1.0 - MOTIF_SURE
            };
            chance *= if sighting.side == side && sighting.present {
                sure
            } else {
                0.0
            };
        }
        if chance == 0.0 {
            return 0.0;
        }
        chance * self.drawn(shown, from, count, last)
    }

    /// Chance that so many different motifs, drawn one after the other from those shown, are taken
    /// for the sightings from here on.
    fn drawn(&self, shown: &[usize], from: usize, count: usize, last: Last) -> f64 {
        let taken = |place: usize, motif: usize| {
            if self.slipped(from + place, last) {
                1.0
            } else {
                self.taken[from + place][motif]
            }
        };
        let mut sum = 0.0;
        let first = |motif: &usize| if count > 0 { taken(0, *motif) } else { 0.0 };
        for one in shown {
            let mut rest = 0.0;
            for two in shown.iter().filter(|two| count > 1 && *two != one) {
                let mut third = 0.0;
                for three in shown.iter().filter(|_| count > 2) {
                    if three != one && three != two {
                        third += taken(2, *three);
                    }
                }
                rest += taken(1, *two) * if count > 2 { third } else { 1.0 };
            }
            sum += first(one) * if count > 1 { rest } else { 1.0 };
        }
        let n = shown.len() as f64;
        match count {
            0 => 1.0,
            1 => sum / n,
            2 => sum / (n * (n - 1.0)),
            _ => sum / (n * (n - 1.0) * (n - 2.0)),
        }
    }

    /// Chance that the sightings from here on are the mark and what is not there.
    fn of_rest(&self, coin: &CoinType, there: &[usize], from: usize, last: Last) -> f64 {
        let rest = &self.sightings[from..];
        let absent = ABSENCE_SAID * (self.motifs - there.len()) as f64 / self.motifs as f64;
        let mark = |at: usize| {
            let (one, marks) = (&self.sightings[at], &coin.marks);
            let borne = marks
                .iter()
                .filter(|mark| self.named[at] == Some(**mark))
                .count();
            let borne = if self.slipped(at, last) {
                marks.len()
            } else {
                borne
            };
            let borne = borne as f64 / marks.len().max(1) as f64;
            f64::from(u8::from(one.present && one.sure)) * MARK_SEEN / 3.0 * borne
        };
        let absence = |at: usize| {
            let one = &self.sightings[at];
            if one.side != Side::Unknown || !one.sure {
                return 0.0;
            }
            if self.slipped(at, last) {
                return if one.present { absent } else { 0.0 };
            }
            let there = self.named[at].is_none_or(|named| there.binary_search(&named).is_ok());
            if one.present || there {
                0.0
            } else {
                ABSENCE_SAID / self.motifs as f64
            }
        };
        let unmarked = if coin.marks.is_empty() {
            1.0
        } else {
            1.0 - MARK_SEEN
        };
        match rest.len() {
            0 => unmarked * (1.0 - absent),
            1 => mark(from) * (1.0 - absent) + unmarked * absence(from),
            2 => mark(from) * absence(from + 1),
            _ => 0.0,
        }
    }
}
