//! The law that simulated finds are drawn from, summed exactly: the chance of a find for each type.
//!
//! What [`super::finds`] draws in the dark (wear, clipping, what is left, corrosion, the scale, which
//! words were said, which letters can be seen and how they are written, which motifs are named, the
//! slip) is summed or integrated here, so no method can do better on simulated finds. It reads the
//! figures of the drawing itself and shares nothing with the scorer.
//!
//! What is not exact, and how far: wear, clipping and what is left are summed at places chosen for
//! smooth functions (below a hundredth of a nat where weights spread by 1 % or more); how far a piece
//! is spoilt for reading is kept at ten places and drawn straight between, what is left at sixteen
//! steps; a wrong weight is worked out as though the true one had not been rounded; more than six
//! letters passed over, or more than one doubled, among scattered letters are not followed; the
//! chance that a slip changes nothing is taken at the figures of the find as it stands.
//!
//! Invariant: chances, so no find is likelier than one for any type.

mod curve;
mod gauss;
mod grid;
mod legends;
mod pictures;
mod piece;
mod plain;
mod spelled;
mod tokens;
#[cfg(test)]
mod tried;

use std::collections::HashMap;

use super::rates::*;
use crate::catalogue::Catalogue;
use crate::find::{Find, MetalSeen, Reading, Side};
use grid::{CELLS, Grid};
use legends::{Heard, Legends};
use pictures::{Kin, Last, Pictures};
use piece::{Laid, Profile, Said};

/// What a type's chances are worked out from.
struct Kept {
    profile: usize,
    /// Sets of legends of the faces.
    sets: [Option<usize>; 2],
    /// Motifs that are on it.
    there: Vec<usize>,
}

/// The law over one library.
pub struct Law<'a> {
    catalogue: &'a Catalogue,
    profiles: Vec<Profile>,
    types: Vec<Kept>,
    legends: Legends,
    kin: Kin,
}

/// One find, as far as it can be worked out for all types at once.
struct Told<'f> {
    find: &'f Find,
    cells: std::ops::Range<usize>,
    laid: Vec<Option<Laid>>,
    heard: Vec<Heard>,
    pictures: Pictures<'f>,
    /// By cell: how often no slip changes the find, and how often one does by a kind of slip.
    unslipped: Grid,
    slipped: Grid,
    slipped_metal: Grid,
}

/// Which reading of a find is read of each face.
type Readings = [Option<usize>; 2];

impl<'a> Law<'a> {
    /// Works out all that does not depend on a find.
    pub fn new(catalogue: &'a Catalogue) -> Law<'a> {
        let legends = Legends::of(catalogue);
        let kin = Kin::of(catalogue);
        let mut profiles: Vec<Profile> = Vec::new();
        let mut known: HashMap<String, usize> = HashMap::new();
        let types = catalogue.types.iter().map(|coin| {
            let profile = Profile::of(coin, catalogue);
            let place = *known.entry(format!("{profile:?}")).or_insert_with(|| {
                profiles.push(profile);
                profiles.len() - 1
            });
            Kept {
                profile: place,
                sets: [legends.set(&coin.obverse), legends.set(&coin.reverse)],
                there: kin.there(coin, catalogue),
            }
        });
        let types = types.collect();
        Law {
            catalogue,
            types,
            profiles,
            legends,
            kin,
        }
    }

    /// For each type, the log of the chance that a piece of it is described so.
    pub fn log_chances(&self, find: &Find) -> Vec<f64> {
        let told = self.told(find);
        let types = 0..self.types.len();
        types
            .map(|position| self.chance(position, &told).ln())
            .collect()
    }

    /// For each type, the share of finds described so that are of it, when each type is lost as
    /// often as its weight says; nought for all when no type can be described so.
    pub fn shares(&self, find: &Find, often: &[f64]) -> Vec<f64> {
        let told = self.told(find);
        let mut shares: Vec<f64> = often
            .iter()
            .enumerate()
            .map(|(position, often)| often * self.chance(position, &told))
            .collect();
        let sum: f64 = shares.iter().sum();
        if sum > 0.0 {
            shares.iter_mut().for_each(|share| *share /= sum);
        }
        shares
    }

    fn told<'f>(&self, find: &'f Find) -> Told<'f> {
        let said = Said::of(find);
        let cells = said.cells();
        let heard = find.readings.iter().take(2);
        let metal = match find.metal {
            None => [1.0, 1.0],
            // What a slip makes of a metal may be what was said.
            Some((_, true)) => [1.0, METAL_SURE].map(|sure| sure / MetalSeen::ALL.len() as f64),
            Some(_) => [0.0, METAL_SURE / MetalSeen::ALL.len() as f64],
        };
        let weight = find.weight.map_or(1.0, |w| {
            let step = 1.0 / SLIP_WEIGHT_PARTS / (SLIP_MOST - SLIP_LEAST);
            let shown = piece::cell(w.value.get(), SLIP_WEIGHT_PARTS).is_some();
            if shown {
                (step / w.value.get()).min(1.0)
            } else {
                0.0
            }
        });
        let diameter = find.diameter.map_or(1.0, |d| {
            let step = 2.0 / SLIP_DIAMETER_PARTS / (SLIP_MOST - SLIP_LEAST);
            (step / d.value.get()).min(1.0)
        });
        let motif = if find.sightings.is_empty() {
            1.0
        } else {
            1.0 / self.catalogue.motifs.len() as f64
        };
        let mut told = Told {
            laid: self
                .profiles
                .iter()
                .map(|profile| profile.lay(&said))
                .collect(),
            heard: heard
                .map(|reading| self.legends.hear(&reading.said, &cells))
                .collect(),
            pictures: Pictures::of(&find.sightings, &self.kin, self.catalogue),
            unslipped: [0.0; CELLS],
            slipped: [0.0; CELLS],
            slipped_metal: [0.0; CELLS],
            find,
            cells,
        };
        for cell in told.cells.clone() {
            let read = if find.readings.is_empty() {
                1.0
            } else {
                self.legends.unread_of_any[cell]
            };
            let same = |metal: f64| (metal + weight + diameter + motif + read) / SLIPS;
            // A slip that changed nothing is tried again, so many times in all.
            let again = |same: f64| (1.0 - same.powi(SLIPS_TRIED as i32)) / (1.0 - same).max(1e-12);
            let [as_said, before] = metal.map(same);
            told.unslipped[cell] = 1.0 - SLIPPED + SLIPPED * as_said.powi(SLIPS_TRIED as i32);
            told.slipped[cell] = SLIPPED / SLIPS * again(as_said);
            told.slipped_metal[cell] = SLIPPED / SLIPS * again(before);
        }
        told
    }

    /// The chance of a find for a type.
    fn chance(&self, position: usize, told: &Told) -> f64 {
        let (kept, coin) = (&self.types[position], &self.catalogue.types[position]);
        let (find, catalogue) = (told.find, self.catalogue);
        let Some(laid) = &told.laid[kept.profile] else {
            return 0.0;
        };
        let plain = plain::rest(find, coin, catalogue);
        if plain == 0.0 || find.readings.len() > 2 {
            return 0.0;
        }
        let (metal, metal_slipped) = plain::metal(find, coin, catalogue);
        let mut sum = 0.0;
        for readings in self.assignments(find, kept) {
            let [seen, slipped] = self.pictured(position, told, &readings);
            if seen == 0.0 && slipped == 0.0 {
                continue;
            }
            let read = self.read(kept, told, &readings, false);
            let other = self.read(kept, told, &readings, true);
            for cell in told.cells.clone() {
                let (right, slip) = (laid.right[cell], told.slipped[cell]);
                let wrong = laid.weight_wrong[cell] + laid.diameter_wrong[cell];
                let as_read = read[cell]
                    * (seen
                        * (metal * (told.unslipped[cell] * right + slip * wrong)
                            + metal_slipped * told.slipped_metal[cell] * right)
                        + slipped * metal * slip * right);
                sum += as_read + other[cell] * seen * metal * slip * right;
            }
        }
        sum * plain
    }

    /// The ways in which the readings may stand on the faces.
    fn assignments(&self, find: &Find, kept: &Kept) -> Vec<Readings> {
        let ways: &[Readings] = match find.readings.len() {
            0 => &[[None, None]],
            1 => &[[Some(0), None], [None, Some(0)]],
            _ => &[[Some(0), Some(1)]],
        };
        let faces = [Side::Obverse, Side::Reverse];
        let may = |way: &Readings| {
            (0..2).all(|face| {
                way[face].is_none_or(|reading| {
                    let side = find.readings[reading].side;
                    kept.sets[face].is_some() && (side == faces[face] || side == Side::Unknown)
                })
            })
        };
        ways.iter().filter(|way| may(way)).copied().collect()
    }

    /// Chance of the sightings, as they stand and with the last put there by a slip, over the sides
    /// that the faces may be told as.
    fn pictured(&self, position: usize, told: &Told, readings: &Readings) -> [f64; 2] {
        let coin = &self.catalogue.types[position];
        let there = &self.types[position].there;
        let side_of = |reading: usize| -> Side {
            let reading: &Reading = &told.find.readings[reading];
            reading.side
        };
        let mut sums = [0.0; 2];
        let faces = [Side::Obverse, Side::Reverse];
        for unknown in [[false, false], [false, true], [true, false], [true, true]] {
            let sides: [Side; 2] = std::array::from_fn(|at| {
                if unknown[at] {
                    Side::Unknown
                } else {
                    faces[at]
                }
            });
            let fits = (0..2).all(|at| readings[at].is_none_or(|r| side_of(r) == sides[at]));
            if !fits {
                continue;
            }
            let often = unknown.map(|u| if u { SIDE_UNKNOWN } else { 1.0 - SIDE_UNKNOWN });
            let often = often[0] * often[1];
            for (sum, last) in sums.iter_mut().zip([Last::Seen, Last::Slipped]) {
                *sum += often * told.pictures.chance(coin, there, sides, last);
            }
        }
        sums
    }

    /// Chance of the readings by cell; with the last of them put there by a slip, and then the chance
    /// that something was read in its place.
    fn read(&self, kept: &Kept, told: &Told, readings: &Readings, slipped: bool) -> Grid {
        let last = told.find.readings.len().checked_sub(1);
        let mut all = [0.0; CELLS];
        if slipped && last.is_none() {
            return all;
        }
        all[told.cells.clone()].fill(1.0);
        for (face, reading) in readings.iter().enumerate() {
            let set = kept.sets[face];
            let unread = set.map(|set| self.legends.unread(set));
            match reading {
                None => {
                    let Some(unread) = unread else { continue };
                    times(&mut all, unread, told);
                }
                Some(reading) if slipped && Some(*reading) == last => {
                    times(&mut all, &told.heard[*reading].of_any, told);
                    if let Some(unread) = unread {
                        for cell in told.cells.clone() {
                            all[cell] *= 1.0 - unread[cell];
                        }
                    }
                }
                Some(reading) => match told.heard[*reading].of(set) {
                    Some(of) => times(&mut all, of, told),
                    None => return [0.0; CELLS],
                },
            }
        }
        all
    }
}

/// Kinds of slip, each as likely.
const SLIPS: f64 = 5.0;

fn times(all: &mut Grid, by: &Grid, told: &Told) {
    let cells = told.cells.clone();
    let pairs = all[cells.clone()].iter_mut().zip(&by[cells]);
    pairs.for_each(|(all, by)| *all *= by);
}
