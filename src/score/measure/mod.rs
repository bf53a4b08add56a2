//! Weight and diameter, judged together.
//!
//! Struck weight, less latent wear and clipping, times burial and the part present,
//! against the scale; clipping takes from both measures, so the two are integrated
//! over one grid and not judged apart. A piece of a type that is often plated may be a
//! lighter copy, the likelier the more its metal looks it. A broad background stands for
//! things that are not in the library; a small share of slips keeps a wrong measure from
//! burying the truth.
//!
//! Invariant: never beyond the bounds of `constants`; a piece ever heavier than the
//! standard, or ever larger, never fits better for it.

mod bands;
mod joint;
mod wear;

pub(super) use bands::background_shares;
pub(super) use joint::Joint;
use wear::{LOG_LEFT, WearRate};

use super::constants::*;
use super::evidence::{Detail, Evidence, Witness};
use super::metal;
use crate::catalogue::{Catalogue, CoinType, CopyKind, Habit, WeightPart};
use crate::find::{Completeness, Find, Making, MetalSeen, Treatment};

/// All that decides how a type's pieces weigh and measure: types that agree in it are judged once.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Profile {
    pub(super) weights: Vec<WeightPart>,
    pub(super) diameter: Option<(f64, f64)>,
    pub(super) made: Making,
    pub(super) burial: Burial,
    pub(super) clipped: bool,
    pub(super) halved: bool,
    pub(super) quartered: bool,
    /// How an official piece looks, where plated copies pass among the type's pieces.
    pub(super) plated: Option<MetalSeen>,
}

/// A weight that pieces were struck to.
#[derive(Clone, Copy, Debug)]
pub(super) struct Standard {
    share: f64,
    grams: f64,
    spread: f64,
    /// True for that of plated copies.
    plated: bool,
}

/// How well a profile fits, and the explanation that fits best.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fit {
    pub(super) nats: f64,
    struck: Option<f64>,
    lost: f64,
    present: f64,
    plated: bool,
}

impl Profile {
    /// The profile of a type.
    pub(super) fn of(coin: &CoinType, catalogue: &Catalogue) -> Profile {
        let looks = catalogue.metals[coin.metal].looks;
        Profile {
            weights: coin.weights.clone(),
            diameter: coin.diameter,
            made: coin.made,
            burial: match looks {
                MetalSeen::Gold => Burial::Gold,
                MetalSeen::Silver => Burial::Silver,
                _ => Burial::Base,
            },
            clipped: coin.habits.contains(&Habit::Clipped),
            halved: coin.habits.contains(&Habit::Halved),
            quartered: coin.habits.contains(&Habit::Quartered),
            plated: (coin.habits.contains(&Habit::Plated) && coin.copy != Some(CopyKind::Plated))
                .then_some(looks),
        }
    }

    /// The weights that pieces were struck to, those of plated copies among them as far as the metal
    /// named by the finder lets it be one.
    pub(super) fn standards(&self, find: &Find) -> impl Iterator<Item = Standard> {
        let copies = self
            .plated
            .map_or(0.0, |official| metal::chance_plated(official, find.metal));
        let official = move |weight: &WeightPart| Standard {
            share: (1.0 - copies) * weight.share,
            grams: weight.grams,
            spread: weight.cv,
            plated: false,
        };
        let copy = move |weight: &WeightPart| Standard {
            share: copies * weight.share,
            grams: PLATED_WEIGHT.0 * weight.grams,
            spread: weight.cv.hypot(PLATED_WEIGHT.1),
            plated: true,
        };
        let copied = if self.plated.is_some() {
            &self.weights[..]
        } else {
            &[]
        };
        self.weights
            .iter()
            .map(official)
            .chain(copied.iter().map(copy))
    }

    /// Bits that are equal just when the profiles are.
    pub(super) fn key(&self) -> Vec<u64> {
        let mut key: Vec<u64> = self
            .weights
            .iter()
            .flat_map(|w| [w.grams.to_bits(), w.cv.to_bits(), w.share.to_bits()])
            .collect();
        let (least, most) = self.diameter.unwrap_or((-1.0, -1.0));
        key.extend([
            least.to_bits(),
            most.to_bits(),
            self.made as u64,
            self.burial as u64,
        ]);
        key.push(self.plated.map_or(u64::MAX, |looks| looks as u64));
        let flags = [self.clipped, self.halved, self.quartered];
        key.push(
            flags
                .iter()
                .fold(0, |bits, flag| bits * 2 + u64::from(*flag)),
        );
        key
    }

    fn wear_rate(&self) -> WearRate {
        match (self.burial == Burial::Gold, self.made) {
            (true, Making::Milled) => WearRate::MilledGold,
            (true, _) => WearRate::Gold,
            (false, Making::Milled) => WearRate::Milled,
            _ => WearRate::Hammered,
        }
    }

    /// How much is there as far as it is known: gold bends and does not chip, so unless it is said a
    /// piece of it is whole.
    fn presence(&self, find: &Find) -> Option<Completeness> {
        let gold = (self.burial == Burial::Gold).then_some(Completeness::Whole);
        find.completeness.or(gold)
    }

    pub(super) fn clip_weights(&self, find: &Find) -> [f64; 5] {
        if find.treatments.contains(&Treatment::Clipped) {
            CLIP_SAID
        } else if find.treatments_absent.contains(&Treatment::Clipped) {
            CLIP_DENIED
        } else if self.clipped {
            CLIP_USUAL
        } else if self.made == Making::Hammered {
            CLIP_HAMMERED
        } else {
            CLIP_MILLED
        }
    }

    /// Mean and spread of log diameter as measured with an error (the deviation in millimetres),
    /// for an unclipped whole piece.
    pub(super) fn log_diameter(&self, read: f64, cut: bool) -> Option<(f64, f64)> {
        let (least, most) = self.diameter?;
        let middle = (least + most) / 2.0;
        let own = (most - least) / 2.0 / DIAMETER_RANGE_DEVIATIONS;
        let floor = if self.made == Making::Milled {
            DIAMETER_SPREAD_MILLED
        } else {
            DIAMETER_SPREAD_HAMMERED * middle
        };
        let spread = own.max(floor).hypot(read) / middle;
        Some((
            middle.ln(),
            if cut {
                spread.hypot(DIAMETER_SPREAD_CUT)
            } else {
                spread
            },
        ))
    }

    /// As [`Profile::log_diameter`], for the piece that a find says it is; none for a fragment,
    /// whose width says nothing.
    pub(super) fn log_diameter_of(&self, find: &Find, read: f64) -> Option<(f64, f64)> {
        match find.completeness {
            Some(Completeness::Fragment) => None,
            Some(Completeness::Half | Completeness::Quarter) => self.log_diameter(read, true),
            _ => self.log_diameter(read, false),
        }
    }

    /// How well the measures of a find fit, in nats relative to the background.
    pub(super) fn fit(&self, find: &Find) -> Option<Fit> {
        let diameter = find.diameter.and_then(|d| {
            let (mean, spread) = self.log_diameter_of(find, calliper_error(d.error))?;
            Some((d.value.get().ln(), mean, spread))
        });
        let weight = find.weight.filter(|_| !self.weights.is_empty());
        if diameter.is_none() && weight.is_none() {
            return None;
        }
        let seen = (weight.map(|w| w.value.get().ln()), diameter.map(|d| d.0));
        let background = background(seen.0, seen.1);
        let mut fit = Integral::default();
        match weight {
            Some(w) => self.over_weights(
                find,
                w.error.hypot(SCALE_ERROR) / w.value.get(),
                seen.0.unwrap_or(0.0),
                diameter,
                &mut fit,
            ),
            None => self.over_clipping(find, diameter, &mut fit),
        }
        let bound = if weight.is_some() && diameter.is_some() {
            MEASURE_BOUND
        } else {
            TRAIT_BOUND
        };
        let density = (1.0 - MEASURE_SLIP) * fit.total + MEASURE_SLIP * background;
        let nats = (density / background).ln().clamp(-bound, bound);
        Some(Fit {
            nats,
            struck: fit.struck,
            lost: fit.lost,
            present: fit.present,
            plated: fit.plated,
        })
    }

    /// Integrates over standards, wear, clipping and the part present.
    fn over_weights(
        &self,
        find: &Find,
        read: f64,
        log_weight: f64,
        diameter: Option<(f64, f64, f64)>,
        fit: &mut Integral,
    ) {
        let wide = diameter.map_or(0.0, |(seen, mean, _)| seen - mean);
        let rate = self.wear_rate().share();
        self.each_fate(find, read, diameter.map(|d| d.2), |fate| {
            let density = fate
                .law
                .density(log_weight - fate.middle, wide, fate.shrunk);
            if let Some(density) = density {
                fit.add(fate.share * density, || {
                    let left = (1.0 - fate.worn * rate) * (1.0 - fate.clipped);
                    (Some(fate.grams), 1.0 - left, fate.present, fate.plated)
                });
            }
        });
    }

    /// Hands over every way in which a piece may have come to what the scale says: each standard,
    /// part present, clipping and wear, with its share. `read` is the error of the scale as a share
    /// of the weight, `across` the spread of log diameter where one is asked for.
    #[inline]
    pub(super) fn each_fate(
        &self,
        find: &Find,
        read: f64,
        across: Option<f64>,
        mut take: impl FnMut(&Fate),
    ) {
        let wear = wear_weights(find.wear);
        let clip = self.clip_weights(find);
        let (factor, buried) = burial(find.corrosion, self.burial);
        let parts = parts_present(self.presence(find), self.halved, self.quartered);
        let left = &LOG_LEFT[self.wear_rate() as usize];
        for component in self.standards(find) {
            for (fraction_share, fraction, fraction_spread) in parts {
                let spread = (component.spread.powi(2)
                    + buried.powi(2)
                    + read.powi(2)
                    + fraction_spread.powi(2))
                .sqrt();
                // A piece of which part is gone tells little of its size unless it was said so above.
                let whole = *fraction > 0.9 || find.completeness.is_some();
                let law = Joint::new(spread, across, component.spread, whole);
                let struck = (component.grams * fraction * factor).ln();
                for ((lefts, clipped), clip_share) in left.iter().zip(CLIP_LOSS).zip(clip) {
                    let shrunk = shrink(clipped);
                    for ((log_left, worn), wear_share) in lefts.iter().zip(WEAR_LOSS).zip(wear) {
                        take(&Fate {
                            share: component.share * fraction_share * clip_share * wear_share,
                            middle: struck + log_left,
                            shrunk,
                            law,
                            grams: component.grams,
                            worn,
                            clipped,
                            present: *fraction,
                            plated: component.plated,
                        });
                    }
                }
            }
        }
    }

    fn over_clipping(&self, find: &Find, diameter: Option<(f64, f64, f64)>, fit: &mut Integral) {
        let Some((seen, mean, spread)) = diameter else {
            return;
        };
        for (clipped, share) in CLIP_LOSS.iter().zip(self.clip_weights(find)) {
            let density = share * normal(seen - mean - shrink(*clipped), spread);
            fit.add(density, || (None, *clipped, 1.0, false));
        }
    }
}

/// A sum of densities that remembers its largest part.
#[derive(Default)]
struct Integral {
    total: f64,
    largest: f64,
    struck: Option<f64>,
    lost: f64,
    present: f64,
    plated: bool,
}

impl Integral {
    /// Adds a density, and what it takes as struck, lost, present and plated.
    fn add(&mut self, density: f64, taken: impl FnOnce() -> (Option<f64>, f64, f64, bool)) {
        self.total += density;
        if density > self.largest {
            self.largest = density;
            (self.struck, self.lost, self.present, self.plated) = taken();
        }
    }
}

/// Deviation of a diameter read, in millimetres, with the error that the finder admits.
pub(super) fn calliper_error(admitted: f64) -> f64 {
    CALLIPER_ERROR.hypot(admitted / 3f64.sqrt())
}

/// Log change of the mean diameter when this share of the weight is clipped away.
pub(super) fn shrink(clipped: f64) -> f64 {
    0.5 * (1.0 - clipped).ln()
}

/// One way in which a piece may have come to its weight and width.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fate {
    /// Share of the pieces that went this way.
    pub(super) share: f64,
    /// Middle of log weight.
    pub(super) middle: f64,
    /// Change of the middle of log diameter.
    pub(super) shrunk: f64,
    /// Law about these middles.
    pub(super) law: Joint,
    grams: f64,
    worn: f64,
    clipped: f64,
    present: f64,
    plated: bool,
}

const ROOT_TWO_PI: f64 = 2.506_628_274_631_000_5;

/// Density of a normal law at a distance from its mean.
fn normal(off: f64, spread: f64) -> f64 {
    (-0.5 * (off / spread).powi(2)).exp() / (spread * ROOT_TWO_PI)
}

/// Share of a standard normal law that lies below a point (Abramowitz and Stegun 1964, *Handbook of
/// Mathematical Functions*, formula 7.1.26: within 2 in ten million).
fn normal_below(point: f64) -> f64 {
    let far = point.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * far);
    let rows = [
        1.061_405_429,
        -1.453_152_027,
        1.421_413_741,
        -0.284_496_736,
        0.254_829_592,
    ];
    let sum = rows.iter().fold(0.0, |sum, row| (sum + row) * t);
    let above = 0.5 * sum * (-far * far).exp();
    if point < 0.0 { above } else { 1.0 - above }
}

/// Density of the measures of a find that is not in the library.
pub(super) fn background(log_weight: Option<f64>, log_diameter: Option<f64>) -> f64 {
    let (middle, across) = BACKGROUND_DIAMETER;
    let (tail, wider) = BACKGROUND_TAIL;
    let diameter = log_diameter.map_or(1.0, |seen| {
        let law = |widening: f64| normal(seen - middle.ln(), across * widening);
        (1.0 - tail) * law(1.0) + tail * law(wider)
    });
    let weight = match (log_weight, log_diameter) {
        (None, _) => 1.0,
        (Some(_), None) => BACKGROUND_WEIGHT.0,
        (Some(_), Some(_)) => BACKGROUND_WEIGHT.1,
    };
    // The least is far below any real piece; it only keeps the ratio finite.
    (weight * diameter).max(1e-12)
}

/// The term for the measures of a find, once its profile has been fitted; `own` finds of the finder's
/// own have a say in the profile.
pub(super) fn evidence(find: &Find, coin: &CoinType, fit: Fit, own: u32) -> Evidence {
    Evidence {
        witness: Witness::Measures,
        nats: fit.nats,
        detail: Detail::Measures {
            grams: find.weight.map(|w| w.value.get()),
            struck: fit.struck,
            lost: fit.lost,
            present: fit.present,
            plated: fit.plated,
            millimetres: find.diameter.map(|d| d.value.get()),
            usual: coin.diameter,
            own,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values of the standard normal law as tabled by Abramowitz and Stegun 1964, table 26.1.
    #[test]
    fn the_normal_law_is_the_tabled_one() {
        for (point, below) in [
            (0.0, 0.5),
            (1.0, 0.841_344_7),
            (1.96, 0.975_002_1),
            (-2.0, 0.022_750_1),
        ] {
            assert!((normal_below(point) - below).abs() < 3e-7, "{point}");
        }
    }
}
