//! Finds that never were: a type of the library, lost, worn, and described by a person.
//!
//! Draws a type, wears it by a law of its own, and tells what a finder with a scale,
//! callipers and patience would write down, slips among it. Shares nothing with the
//! judging but the vocabulary of finds; uses no clock, so a seed gives the same finds
//! everywhere. These finds try the program's paths; they are no measure of how often
//! it names a real find rightly.
//!
//! Invariant: every find says something.

mod chance;
mod law;
mod letters;
mod motifs;
mod rates;

use crate::catalogue::{AxisHabit, Catalogue, CoinType, Common, CopyKind, Habit};
use crate::find::{
    Completeness, Corrosion, DieAxis, Find, Grams, Making, Measured, MetalSeen, Millimetres,
    Opinion, OpinionLevel, Side, Span, Treatment, Wear,
};

use rates::*;

pub use chance::Chance;
pub use law::Law;

/// Share of each period among simulated finds: the published profile of finds,
/// with the scarce periods raised so that each is tried.
const PERIODS: [(&str, f64); 9] = [
    ("iron-age", 0.05),
    ("roman", 0.45),
    ("early-medieval", 0.05),
    ("medieval", 0.20),
    ("tudor", 0.08),
    ("stuart", 0.07),
    ("georgian", 0.05),
    ("victorian", 0.03),
    ("twentieth-century", 0.02),
];

/// Finds with the position of the type that each was made from; each type is lost as `often` as
/// its weight says (one weight a type, in any unit).
pub fn finds(catalogue: &Catalogue, often: &[f64], seed: u64, count: usize) -> Vec<(usize, Find)> {
    let mut chance = Chance(seed);
    let mut made = Vec::with_capacity(count);
    while made.len() < count {
        let position = chance.weighted(often);
        let find = Loss::of(position, catalogue, &mut chance).described();
        if !find.says_nothing() {
            made.push((position, find));
        }
    }
    made
}

/// How often each type is lost when every period is to be tried: the period's share here, divided
/// by how common the type is.
pub fn every_period(catalogue: &Catalogue) -> Vec<f64> {
    let common = |coin: &CoinType| match coin.common {
        Common::VeryRare => 0.3,
        Common::Rare => 1.5,
        Common::Uncommon => 6.0,
        Common::Common => 25.0,
        Common::VeryCommon => 100.0,
    };
    let mut totals = vec![0.0; catalogue.periods.len()];
    for coin in &catalogue.types {
        totals[coin.period] += common(coin);
    }
    let share = |coin: &CoinType| {
        let id = &catalogue.periods[coin.period].id;
        PERIODS
            .iter()
            .find(|(period, _)| period == id)
            .map_or(0.01, |(_, share)| *share)
    };
    let weigh = |coin: &CoinType| share(coin) * common(coin) / totals[coin.period];
    catalogue.types.iter().map(weigh).collect()
}

/// A measure as a scale with this many parts to the unit shows it: never nought.
pub fn read_off(found: f64, parts: f64) -> f64 {
    (found * parts).round().max(1.0) / parts
}

/// One piece between its loss and the finder's notebook.
struct Loss<'a> {
    coin: &'a CoinType,
    catalogue: &'a Catalogue,
    chance: &'a mut Chance,
    /// Share of the weight that wear took.
    worn: f64,
    /// Share that the shears took.
    clipped: f64,
    /// Share of the piece that is there.
    left: f64,
    completeness: Completeness,
    /// Steps of corrosion, 0 to 4.
    corroded: usize,
}

impl<'a> Loss<'a> {
    fn of(position: usize, catalogue: &'a Catalogue, chance: &'a mut Chance) -> Loss<'a> {
        let coin = &catalogue.types[position];
        let looks = catalogue.metals[coin.metal].looks;
        let mean = match (looks, coin.made) {
            (MetalSeen::Gold, _) => WORN_GOLD,
            (_, Making::Milled) => WORN_MILLED,
            _ => WORN_ELSE,
        };
        let worn = chance.exponential(mean).min(WORN_MOST);
        let hammered = coin.made == Making::Hammered;
        let habit = |habit: Habit| coin.habits.contains(&habit);
        let clipped = match (habit(Habit::Clipped), hammered) {
            (true, _) if chance.falls(CLIPPED.often) => chance.between(CLIPPED.least, CLIPPED.most),
            (_, true) if looks == MetalSeen::Silver && chance.falls(CLIPPED_SILVER.often) => {
                chance.between(CLIPPED_SILVER.least, CLIPPED_SILVER.most)
            }
            _ => 0.0,
        };
        let (left, completeness) = if habit(Habit::Halved) && chance.falls(HALVED.often) {
            (
                chance.between(HALVED.least, HALVED.most),
                Completeness::Half,
            )
        } else if habit(Habit::Quartered) && chance.falls(QUARTERED.often) {
            (
                chance.between(QUARTERED.least, QUARTERED.most),
                Completeness::Quarter,
            )
        } else if chance.falls(CHIPPED.often) {
            (
                chance.between(CHIPPED.least, CHIPPED.most),
                Completeness::Chipped,
            )
        } else if chance.falls(BROKEN.often) {
            (
                chance.between(BROKEN.least, BROKEN.most),
                Completeness::Fragment,
            )
        } else {
            (1.0, Completeness::Whole)
        };
        let corroded = match looks {
            MetalSeen::CopperAlloy | MetalSeen::Iron => chance.weighted(&CORRODED_COPPER),
            MetalSeen::Gold => 0,
            _ => chance.weighted(&CORRODED_ELSE),
        };
        Loss {
            coin,
            catalogue,
            chance,
            worn,
            clipped,
            left,
            completeness,
            corroded,
        }
    }

    /// What the finder writes down.
    fn described(mut self) -> Find {
        let mut find = Find {
            metal: self.metal(),
            weight: self.weight(),
            diameter: self.diameter(),
            thickness: self.thickness(),
            die_axis: self.die_axis(),
            completeness: self.completeness(),
            wear: self.wear(),
            corrosion: self.corrosion(),
            making: Some(self.coin.made).filter(|_| self.chance.falls(MAKING_SAID)),
            date_on_piece: self.date(),
            opinions: self.opinion(),
            ..Find::default()
        };
        let coin = self.coin;
        for (side, face) in [
            (Side::Obverse, &coin.obverse),
            (Side::Reverse, &coin.reverse),
        ] {
            let told = if self.chance.falls(SIDE_UNKNOWN) {
                Side::Unknown
            } else {
                side
            };
            find.readings.extend(self.reading(face, told));
            find.sightings.extend(self.sightings(face, told));
        }
        find.sightings.extend(self.mark());
        find.sightings.extend(self.absence());
        if self.clipped > CLIPPING_SEEN.0 && self.chance.falls(CLIPPING_SEEN.1) {
            find.treatments.push(Treatment::Clipped);
        }
        if self.chance.falls(PIERCED) {
            find.treatments.push(Treatment::Pierced);
        }
        if self.chance.falls(SLIPPED) {
            // A trait that was not given cannot be wrong, so another is tried.
            let before = find.clone();
            for _ in 0..SLIPS_TRIED {
                self.slip(&mut find);
                if find != before {
                    break;
                }
            }
        }
        find
    }

    fn metal(&mut self) -> Option<(MetalSeen, bool)> {
        if !self.chance.falls(METAL_SAID) {
            return None;
        }
        let plated = self.coin.copy == Some(CopyKind::Plated);
        let mut seen = self.catalogue.metals[self.coin.metal].looks;
        if plated {
            seen = self
                .chance
                .one(&[
                    MetalSeen::Plated,
                    MetalSeen::Silver,
                    MetalSeen::CopperAlloy,
                    seen,
                ])
                .copied()
                .unwrap_or(seen);
        } else if seen == MetalSeen::BaseSilver && self.chance.falls(BASE_MISTAKEN) {
            seen = self
                .chance
                .one(&[
                    MetalSeen::CopperAlloy,
                    MetalSeen::Silver,
                    MetalSeen::WhiteMetal,
                ])
                .copied()
                .unwrap_or(seen);
        } else if self.chance.falls(METAL_MISTAKEN) {
            seen = self
                .chance
                .one(match seen {
                    MetalSeen::Silver => &[MetalSeen::BaseSilver, MetalSeen::WhiteMetal],
                    MetalSeen::WhiteMetal => &[MetalSeen::Silver, MetalSeen::Lead],
                    MetalSeen::Gold => &[MetalSeen::CopperAlloy, MetalSeen::Gold],
                    _ => &[MetalSeen::BaseSilver, MetalSeen::Lead],
                })
                .copied()
                .unwrap_or(seen);
        }
        Some((seen, self.chance.falls(METAL_SURE)))
    }

    fn weight(&mut self) -> Option<Measured<Grams>> {
        if self.coin.weights.is_empty() || !self.chance.falls(WEIGHT_SAID) {
            return None;
        }
        let shares: Vec<f64> = self.coin.weights.iter().map(|part| part.share).collect();
        let part = &self.coin.weights[self.chance.weighted(&shares)];
        let struck = part.grams * (1.0 + part.cv * self.chance.normal()).max(LIGHTEST);
        let eaten = if self.corroded >= EATEN_FROM {
            (EATEN_SPREAD * self.corroded as f64 * self.chance.normal() - EATEN_LOSS).exp()
        } else {
            1.0
        };
        let found = struck * (1.0 - self.worn) * (1.0 - self.clipped) * self.left * eaten;
        let parts = if self.chance.falls(FINE_SCALE) {
            100.0
        } else {
            10.0
        };
        Grams::new(read_off(found, parts))
            .ok()
            .map(|value| Measured {
                value,
                error: 0.5 / parts,
            })
    }

    fn diameter(&mut self) -> Option<Measured<Millimetres>> {
        let (least, most) = self.coin.diameter?;
        let said = match self.completeness {
            Completeness::Quarter | Completeness::Fragment => DIAMETER_SAID_OF_PARTS,
            _ => DIAMETER_SAID,
        };
        if !self.chance.falls(said) {
            return None;
        }
        let struck = self.chance.between(least, most);
        let found = struck * (1.0 - self.clipped).sqrt() + DIAMETER_ERROR * self.chance.normal();
        let parts = DIAMETER_PARTS[self.chance.weighted(&DIAMETER_PARTS_OFTEN)];
        Millimetres::new(read_off(found, parts))
            .ok()
            .map(|value| Measured {
                value,
                error: 0.5 / parts,
            })
    }

    fn thickness(&mut self) -> Option<Measured<Millimetres>> {
        let (least, most) = self.coin.thickness?;
        if !self.chance.falls(THICKNESS_SAID) {
            return None;
        }
        let found = self.chance.between(least, most) * (1.0 - self.worn);
        Millimetres::new(read_off(found, 10.0))
            .ok()
            .map(|value| Measured { value, error: 0.05 })
    }

    fn die_axis(&mut self) -> Option<DieAxis> {
        if !self.chance.falls(AXIS_SAID) {
            return None;
        }
        let any = 1 + self.chance.below(12) as u8;
        let hours: &[u8] = match self.coin.axis {
            AxisHabit::Any | AxisHabit::Unstated => &[any],
            AxisHabit::Upright => &[12],
            AxisHabit::Inverted => &[6],
            AxisHabit::UprightOrInverted => &[6, 12],
            AxisHabit::Quarters => &[3, 6, 9, 12],
        };
        let hour = *self.chance.one(hours)?;
        let off = [12, 11, 1][self.chance.weighted(&AXIS_OFF)];
        DieAxis::new((hour + off - 1) % 12 + 1).ok()
    }

    fn completeness(&mut self) -> Option<Completeness> {
        let said = if self.completeness == Completeness::Whole {
            WHOLE_SAID
        } else {
            PARTS_SAID
        };
        Some(self.completeness).filter(|_| self.chance.falls(said))
    }

    fn wear(&mut self) -> Option<Wear> {
        let step = match self.worn {
            w if w < WEAR_STEPS[0] => Wear::Little,
            w if w < WEAR_STEPS[1] => Wear::Light,
            w if w < WEAR_STEPS[2] => Wear::Worn,
            w if w < WEAR_STEPS[3] => Wear::Heavy,
            _ => Wear::Extreme,
        };
        Some(step).filter(|_| self.chance.falls(WEAR_SAID))
    }

    fn corrosion(&mut self) -> Option<Corrosion> {
        let step = [
            Corrosion::Little,
            Corrosion::Light,
            Corrosion::Corroded,
            Corrosion::Heavy,
            Corrosion::Extreme,
        ][self.corroded];
        Some(step).filter(|_| self.chance.falls(CORROSION_SAID))
    }

    fn year(&mut self) -> i32 {
        let Span { from, to } = self.coin.span;
        let year = from + self.chance.below((to - from) as usize + 1) as i32;
        if year == 0 { 1 } else { year }
    }

    /// Milled pieces mostly bear their year.
    fn date(&mut self) -> Option<i32> {
        if self.coin.made != Making::Milled || !self.chance.falls(DATE_SAID) {
            return None;
        }
        Some(self.year())
    }

    /// A guess at the period, mostly right.
    fn opinion(&mut self) -> Vec<Opinion> {
        if !self.chance.falls(OPINION_SAID) {
            return Vec::new();
        }
        let right = self.chance.falls(OPINION_RIGHT);
        let other = self.chance.below(self.catalogue.periods.len());
        let period = &self.catalogue.periods[if right { self.coin.period } else { other }];
        vec![Opinion {
            level: OpinionLevel::Period,
            ids: vec![period.id.clone()],
            said: period.name.clone(),
        }]
    }

    /// One trait gone wrong: mis-weighed, mis-measured, mis-seen or of another piece.
    fn slip(&mut self, find: &mut Find) {
        let by = self.chance.between(SLIP_LEAST, SLIP_MOST);
        match self.chance.below(5) {
            0 => {
                find.metal = find
                    .metal
                    .map(|_| (MetalSeen::ALL[self.chance.below(8)], true))
            }
            1 => {
                if let Some(weight) = &mut find.weight {
                    let wrong = Grams::new(read_off(weight.value.get() * by, SLIP_WEIGHT_PARTS));
                    weight.value = wrong.unwrap_or(weight.value);
                }
            }
            2 => {
                if let Some(diameter) = &mut find.diameter {
                    let wrong = Millimetres::new(read_off(
                        diameter.value.get() * by.sqrt(),
                        SLIP_DIAMETER_PARTS,
                    ));
                    diameter.value = wrong.unwrap_or(diameter.value);
                }
            }
            3 => {
                let any = self.chance.below(self.catalogue.motifs.len());
                if let Some(last) = find.sightings.pop() {
                    let sighting = self.sighting(any, last.side, true, last.sure);
                    find.sightings.push(sighting);
                }
            }
            _ => {
                let other = &self.catalogue.types[self.chance.below(self.catalogue.types.len())];
                if let Some(last) = find.readings.pop() {
                    let wrong = self.reading(&other.obverse, last.side);
                    find.readings.push(wrong.unwrap_or(last));
                }
            }
        }
    }
}
