//! The law of weight and diameter of a type's pieces, as struck and as they are found.
//!
//! The very ways that the measure witness integrates over, without the error of the finder's own
//! scale and callipers, laid out so that a picture can be drawn of them. Judges no find.
//!
//! Invariant: a law is the scorer's: with the finder's errors put in, its density is the one
//! that the witness weighs.

use super::constants::{CLIP_LOSS, SCALE_ERROR};
use super::contour::{Axis, rings};
use super::look::information_gain;
use super::measure::{Fate, Joint, Profile, calliper_error, shrink};
use crate::catalogue::{Catalogue, CoinType, WeightPart};
use crate::find::Find;

/// Steps of a grid to the narrowest spread on it, and the fewest and the most of a grid's lines.
const STEPS_A_SPREAD: f64 = 4.0;
/// See [`STEPS_A_SPREAD`].
const LINES: (usize, usize) = (64, 320);
/// Spreads beyond the outermost middle that a grid covers.
const MARGIN: f64 = 4.5;
/// Lines of a grid over one measure, which costs little.
const LINES_ONE: usize = 4000;

/// Weight and diameter as they spread over the pieces of a type.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureLaw {
    parts: Vec<Part>,
    weighed: bool,
    measured: bool,
}

/// One way in which pieces come to their measures.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Part {
    share: f64,
    /// Middle of log weight, and of log diameter.
    middle: (f64, f64),
    shrunk: f64,
    law: Joint,
}

/// Where the densest share of a law lies.
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    /// The share of the pieces within.
    pub share: f64,
    /// Density at its edge.
    level: f64,
    /// Its edge.
    pub outline: Outline,
}

/// The edge of a region.
#[derive(Clone, Debug, PartialEq)]
pub enum Outline {
    /// The library knows neither weight nor diameter.
    Nothing,
    /// Rings of points, millimetres and grams; a ring within a ring is a hole.
    Rings(Vec<Vec<(f64, f64)>>),
    /// Stretches of grams, where no diameter is known.
    Grams(Vec<(f64, f64)>),
    /// Stretches of millimetres, where no weight is known.
    Millimetres(Vec<(f64, f64)>),
}

impl MeasureLaw {
    /// Pieces of a type fresh from the dies.
    pub fn struck(coin: &CoinType, catalogue: &Catalogue) -> MeasureLaw {
        let profile = Profile::of(coin, catalogue);
        let across = profile.log_diameter(0.0, false);
        let parts = profile.weights.iter().map(|weight| Part {
            share: weight.share,
            middle: (weight.grams.ln(), across.map_or(0.0, |a| a.0)),
            shrunk: 0.0,
            law: Joint::new(weight.cv, across.map(|a| a.1), weight.cv, true),
        });
        let parts: Vec<Part> = parts.collect();
        if parts.is_empty() {
            let whole = across.map(|across| by_width(across, 0.0, 1.0));
            return MeasureLaw::of(whole.into_iter().collect(), false, across.is_some());
        }
        MeasureLaw::of(parts, true, across.is_some())
    }

    /// Pieces of a type as they lie in the ground, so worn, clipped, corroded and broken as a find
    /// says it is, or as pieces are where it does not say.
    pub fn found(find: &Find, coin: &CoinType, catalogue: &Catalogue) -> MeasureLaw {
        MeasureLaw::as_read(find, &Profile::of(coin, catalogue), (0.0, 0.0))
    }

    /// As [`MeasureLaw::found`], as read with an error of weight, a share of it, and of diameter,
    /// millimetres.
    fn as_read(find: &Find, profile: &Profile, read: (f64, f64)) -> MeasureLaw {
        let across = profile.log_diameter_of(find, read.1);
        let mut parts = Vec::new();
        if profile.weights.is_empty() {
            let clips = CLIP_LOSS.iter().zip(profile.clip_weights(find));
            let clips = clips.filter_map(|(clip, share)| Some(by_width(across?, *clip, share)));
            return MeasureLaw::of(clips.collect(), false, across.is_some());
        }
        profile.each_fate(find, read.0, across.map(|a| a.1), |fate: &Fate| {
            parts.push(Part {
                share: fate.share,
                middle: (fate.middle, across.map_or(0.0, |a| a.0)),
                shrunk: fate.shrunk,
                law: fate.law,
            });
        });
        MeasureLaw::of(parts, true, across.is_some())
    }

    fn of(parts: Vec<Part>, weighed: bool, measured: bool) -> MeasureLaw {
        MeasureLaw {
            parts,
            weighed,
            measured,
        }
    }

    /// True when the library gives a weight.
    pub fn weighed(&self) -> bool {
        self.weighed
    }

    /// True when the library gives a diameter, and the find is no fragment.
    pub fn measured(&self) -> bool {
        self.measured
    }

    /// Density at a weight and a diameter, over their logarithms; a measure that the library
    /// does not give is not looked at.
    pub fn density(&self, grams: f64, millimetres: f64) -> f64 {
        let first = if self.weighed { grams } else { millimetres };
        self.at(first.ln(), millimetres.ln())
    }

    /// Density at log weight and log diameter; a law of the diameter alone reads it in both places.
    fn at(&self, weight: f64, diameter: f64) -> f64 {
        self.parts
            .iter()
            .map(|part| part.at(weight, diameter))
            .sum()
    }

    /// The regions that hold these shares of the pieces, each the smallest that does.
    pub fn regions(&self, shares: &[f64]) -> Vec<Region> {
        let nothing = |share: &f64| Region {
            share: *share,
            level: f64::INFINITY,
            outline: Outline::Nothing,
        };
        match (self.weighed, self.measured) {
            (false, false) => shares.iter().map(nothing).collect(),
            (true, true) => self.areas(shares),
            (weighed, _) => self.stretches(shares, weighed),
        }
    }

    /// True when a weight and a diameter lie within a region of this law.
    pub fn holds(&self, region: &Region, grams: f64, millimetres: f64) -> bool {
        self.density(grams, millimetres) >= region.level
    }

    /// A line of logarithms that covers all parts.
    fn axis(&self, of: impl Fn(&Part) -> (f64, f64), lines: Option<usize>) -> Axis {
        let ends = self.parts.iter().map(&of);
        let (mut least, mut most, mut narrow) = (f64::INFINITY, f64::NEG_INFINITY, f64::INFINITY);
        for (middle, spread) in ends {
            least = least.min(middle - MARGIN * spread);
            most = most.max(middle + MARGIN * spread);
            narrow = narrow.min(spread);
        }
        let wanted = ((most - least) / narrow * STEPS_A_SPREAD) as usize;
        let lines = lines.unwrap_or(wanted.clamp(LINES.0, LINES.1));
        Axis { least, most, lines }
    }

    fn weights(&self, lines: Option<usize>) -> Axis {
        self.axis(|part| (part.middle.0, part.law.spread), lines)
    }

    fn diameters(&self, lines: Option<usize>) -> Axis {
        let spread = |part: &Part| part.law.across.unwrap_or(part.law.spread);
        self.axis(|part| (part.middle.1 + part.shrunk, spread(part)), lines)
    }

    fn areas(&self, shares: &[f64]) -> Vec<Region> {
        let (across, up) = (self.diameters(None), self.weights(None));
        let heights = self.heights(across, up);
        let falling = Falling::of(&heights);
        let region = |share: &f64| {
            let level = falling.level(*share);
            let logs = rings(&heights, across, up, level);
            let ring = |ring: Vec<(f64, f64)>| {
                let points = ring.into_iter();
                points.map(|(x, y)| (x.exp(), y.exp())).collect()
            };
            Region {
                share: *share,
                level,
                outline: Outline::Rings(logs.into_iter().map(ring).collect()),
            }
        };
        shares.iter().map(region).collect()
    }

    /// Density over a grid, row by row from the lightest.
    fn heights(&self, across: Axis, up: Axis) -> Vec<f64> {
        let mut heights = vec![0.0; across.lines * up.lines];
        for (row, weight) in heights.chunks_mut(across.lines).zip(up.places()) {
            for part in &self.parts {
                let shrunk = part.law.shrunk(part.shrunk);
                let along = (across.least - part.middle.1 - shrunk, across.step());
                let off = weight - part.middle.0;
                part.law.add_row(part.share, off, along, row);
            }
        }
        heights
    }

    fn stretches(&self, shares: &[f64], weighed: bool) -> Vec<Region> {
        let axis = if weighed {
            self.weights(Some(LINES_ONE))
        } else {
            self.diameters(Some(LINES_ONE))
        };
        let heights: Vec<f64> = axis.places().map(|place| self.at(place, place)).collect();
        let falling = Falling::of(&heights);
        let region = |share: &f64| {
            let level = falling.level(*share);
            let stretches = axis.stretches(&heights, level);
            let stretches = stretches.into_iter().map(|(a, b)| (a.exp(), b.exp()));
            let stretches = stretches.collect();
            Region {
                share: *share,
                level,
                outline: match weighed {
                    true => Outline::Grams(stretches),
                    false => Outline::Millimetres(stretches),
                },
            }
        };
        shares.iter().map(region).collect()
    }
}

impl Part {
    fn at(&self, weight: f64, diameter: f64) -> f64 {
        let off = (weight - self.middle.0, diameter - self.middle.1);
        let density = self.law.density(off.0, off.1, self.shrunk);
        density.map_or(0.0, |density| self.share * density)
    }
}

/// A law of the diameter alone: the joint law reads it in the place of the weight.
fn by_width((mean, spread): (f64, f64), clipped: f64, share: f64) -> Part {
    Part {
        share,
        middle: (mean + shrink(clipped), mean + shrink(clipped)),
        shrunk: 0.0,
        law: Joint::new(spread, None, spread, true),
    }
}

/// Densities on an even grid, the highest first.
struct Falling {
    heights: Vec<f64>,
    whole: f64,
}

impl Falling {
    fn of(heights: &[f64]) -> Falling {
        let mut heights: Vec<f64> = heights.iter().copied().filter(|h| *h > 0.0).collect();
        heights.sort_unstable_by(|a, b| b.total_cmp(a));
        let whole = heights.iter().sum();
        Falling { heights, whole }
    }

    /// The density above which a share of the whole lies.
    fn level(&self, share: f64) -> f64 {
        let (mut within, mut last) = (0.0, f64::INFINITY);
        for height in self.heights.iter().copied() {
            within += height;
            let beyond = within - share * self.whole;
            if beyond >= 0.0 {
                // Part of this step of the grid lies within, and the edge as far down it.
                let part = 1.0 - beyond / height;
                return height + (last.min(height * 2.0) - height) * (1.0 - part);
            }
            last = height;
        }
        f64::INFINITY
    }
}

/// Spreads either side of the middle that hold nine tenths of a normal law.
const NINE_TENTHS: f64 = 1.644_853_626_951_472_2;

/// Grams between which nine tenths of the pieces of a standard were struck, as many below as above.
pub fn struck_band(part: &WeightPart) -> (f64, f64) {
    let reach = (NINE_TENTHS * part.cv).exp();
    (part.grams / reach, part.grams * reach)
}

/// Mean of a mixture of standards, grams.
pub fn struck_mean(parts: &[WeightPart]) -> f64 {
    parts.iter().map(|part| part.share * part.grams).sum()
}

/// Errors with which the weight and the diameter of a find were read, grams and millimetres, as the
/// witness takes them.
pub fn reading_errors(find: &Find) -> (Option<f64>, Option<f64>) {
    (
        find.weight.map(|weight| weight.error.hypot(SCALE_ERROR)),
        find.diameter.map(|width| calliper_error(width.error)),
    )
}

/// Bits that weighing, and that measuring across, are expected to bring on which of these types
/// a piece is, all taken as equally likely; none where the library does not give it for all.
pub fn measures_tell(find: &Find, coins: &[&CoinType], catalogue: &Catalogue) -> [Option<f64>; 2] {
    let profiles = || coins.iter().map(|coin| Profile::of(coin, catalogue));
    let scale = |profile: &Profile| {
        let lightest = profile.weights.iter().map(|w| w.grams);
        SCALE_ERROR / lightest.fold(f64::INFINITY, f64::min)
    };
    let weights = profiles().map(|mut profile| {
        profile.diameter = None;
        let read = scale(&profile);
        MeasureLaw::as_read(find, &profile, (read, 0.0))
    });
    let widths = profiles().map(|mut profile| {
        profile.weights.clear();
        MeasureLaw::as_read(find, &profile, (0.0, calliper_error(0.0)))
    });
    [
        tell(&weights.collect::<Vec<_>>()),
        tell(&widths.collect::<Vec<_>>()),
    ]
}

/// Bits of one measure, held in laws of that measure alone.
fn tell(laws: &[MeasureLaw]) -> Option<f64> {
    if laws.iter().any(|law| law.parts.is_empty()) {
        return None;
    }
    let axes = laws.iter().map(|law| law.weights(Some(LINES_ONE)));
    let axis = axes.reduce(|a, b| Axis {
        least: a.least.min(b.least),
        most: a.most.max(b.most),
        lines: LINES_ONE,
    })?;
    let answers = laws.iter().map(|law| {
        let heights: Vec<f64> = axis.places().map(|place| law.at(place, place)).collect();
        let whole: f64 = heights.iter().sum();
        heights.iter().map(|height| height / whole).collect()
    });
    let answers: Vec<Vec<f64>> = answers.collect();
    Some(information_gain(&vec![1.0; laws.len()], &answers))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::find::{Completeness, Grams, Making, Measured, Millimetres, Treatment, Wear};
    use crate::score::constants::{Burial, MEASURE_BOUND, MEASURE_SLIP, TRAIT_BOUND};
    use crate::score::measure::background;

    fn profile(parts: &[(f64, f64, f64)], diameter: Option<(f64, f64)>, made: Making) -> Profile {
        let part = |&(grams, cv, share): &(f64, f64, f64)| WeightPart { grams, cv, share };
        Profile {
            weights: parts.iter().map(part).collect(),
            diameter,
            made,
            burial: Burial::Silver,
            clipped: made == Making::Hammered,
            halved: made == Making::Hammered,
            quartered: false,
            plated: None,
        }
    }

    fn profiles() -> [Profile; 4] {
        let penny = &[(1.44, 0.05, 1.0)][..];
        let mixed = &[(1.1, 0.06, 0.4), (1.44, 0.04, 0.6)][..];
        [
            profile(penny, Some((18.0, 20.0)), Making::Hammered),
            profile(mixed, Some((17.0, 20.0)), Making::Hammered),
            profile(&[(14.14, 0.01, 1.0)], None, Making::Milled),
            profile(&[], Some((32.0, 32.6)), Making::Milled),
        ]
    }

    /// The law that is drawn is the one that is weighed: what the witness says of a find follows
    /// from the law's density, the finder's own errors put in.
    #[test]
    fn the_law_is_the_one_that_the_witness_weighs() {
        let state = |wear, completeness, clipped: bool| Find {
            wear,
            completeness,
            treatments: clipped.then_some(Treatment::Clipped).into_iter().collect(),
            ..Find::default()
        };
        let states = [
            state(None, None, false),
            state(Some(Wear::Heavy), Some(Completeness::Whole), true),
            state(Some(Wear::Little), Some(Completeness::Half), false),
            state(None, Some(Completeness::Fragment), false),
        ];
        let mut spoke = 0;
        for (grams, millimetres) in [
            (1.2, 17.5),
            (0.7, 18.0),
            (1.6, 19.5),
            (13.9, 32.2),
            (3.0, 25.0),
        ] {
            for (state, profile) in states.iter().flat_map(|s| profiles().map(|p| (s, p))) {
                let find = Find {
                    weight: Some(Measured {
                        value: Grams::new(grams).expect("possible"),
                        error: 0.01,
                    }),
                    diameter: Some(Measured {
                        value: Millimetres::new(millimetres).expect("possible"),
                        error: 0.2,
                    }),
                    ..state.clone()
                };
                let Some(fit) = profile.fit(&find) else {
                    continue;
                };
                let read = (0.01f64.hypot(SCALE_ERROR) / grams, calliper_error(0.2));
                let law = MeasureLaw::as_read(&find, &profile, read);
                let (weight, width) = (grams.ln(), millimetres.ln());
                let seen = if law.weighed() { weight } else { width };
                let behind = background(
                    law.weighed().then_some(weight),
                    law.measured().then_some(width),
                );
                let odds = (1.0 - MEASURE_SLIP) * law.at(seen, width) / behind + MEASURE_SLIP;
                let bound = if law.weighed() && law.measured() {
                    MEASURE_BOUND
                } else {
                    TRAIT_BOUND
                };
                // Where one measure is not given the witness may bound the term by either.
                let wanted = odds.ln().clamp(-bound, bound);
                let near = (fit.nats.clamp(-bound, bound) - wanted).abs();
                assert!(
                    near < 1e-9,
                    "{profile:?} {find:?}: {} and {wanted}",
                    fit.nats
                );
                spoke += usize::from(wanted > 0.0);
            }
        }
        assert!(spoke >= 10, "only {spoke} finds fitted at all");
    }

    /// A sum over points strewn by the law's own shares: each region holds what it says.
    #[test]
    fn a_region_holds_its_share() {
        for profile in profiles() {
            let law = MeasureLaw::as_read(&Find::default(), &profile, (0.0, 0.0));
            for region in law.regions(&[0.5, 0.9]) {
                let (weights, widths) = match (law.weighed, law.measured) {
                    (true, true) => (law.weights(Some(397)), law.diameters(Some(211))),
                    (true, false) => (
                        law.weights(Some(3001)),
                        Axis {
                            least: 0.0,
                            most: 1.0,
                            lines: 1,
                        },
                    ),
                    _ => (
                        Axis {
                            least: 0.0,
                            most: 1.0,
                            lines: 1,
                        },
                        law.diameters(Some(3001)),
                    ),
                };
                let (mut within, mut whole) = (0.0, 0.0);
                for (weight, width) in weights
                    .places()
                    .flat_map(|w| widths.places().map(move |d| (w, d)))
                {
                    let seen = if law.weighed { weight } else { width };
                    let height = law.at(seen, width);
                    whole += height;
                    within += if height >= region.level { height } else { 0.0 };
                }
                let held: f64 = within / whole;
                assert!(
                    (held - region.share).abs() < 0.01,
                    "{profile:?}: {held} for {}",
                    region.share
                );
            }
        }
    }

    /// With one standard and no wear the law is normal, and the densest half of it is the ellipse
    /// within 2 ln 2 = 1.386 squared spreads, nine tenths within 2 ln 10 = 4.605: chi square of two degrees
    /// of freedom (common practice, no source).
    #[test]
    fn a_plain_struck_law_is_an_ellipse() {
        let across = 0.04f64;
        let law = MeasureLaw::of(
            vec![Part {
                share: 1.0,
                middle: (1.44f64.ln(), 19f64.ln()),
                shrunk: 0.0,
                law: Joint::new(0.05, Some(across), 0.05, true),
            }],
            true,
            true,
        );
        for (region, squared) in law.regions(&[0.5, 0.9]).iter().zip([1.3863, 4.6052]) {
            let Outline::Rings(rings) = &region.outline else {
                panic!("no rings")
            };
            assert_eq!(rings.len(), 1);
            for (millimetres, grams) in &rings[0] {
                let heavy = (grams / 1.44f64).ln() / 0.05;
                let wide = (millimetres / 19.0).ln() / across;
                let lean = 0.3;
                let far = heavy * heavy + (wide - lean * heavy).powi(2) / (1.0 - lean * lean);
                assert!(
                    (far - squared).abs() < 0.12 * squared,
                    "{far} for {squared}"
                );
            }
        }
    }

    /// The rows that a picture is drawn from are the density that the witness weighs.
    #[test]
    fn a_grid_holds_the_density() {
        let find = Find {
            wear: Some(Wear::Heavy),
            ..Find::default()
        };
        let mut seen = 0;
        for profile in profiles() {
            let law = MeasureLaw::as_read(&find, &profile, (0.0, 0.0));
            if !(law.weighed && law.measured) {
                continue;
            }
            let (across, up) = (law.diameters(Some(61)), law.weights(Some(83)));
            let heights = law.heights(across, up);
            let most = heights.iter().copied().fold(0.0, f64::max);
            let places = up
                .places()
                .flat_map(|w| across.places().map(move |d| (w, d)));
            for ((weight, width), height) in places.zip(&heights) {
                let off = (law.at(weight, width) - height).abs();
                assert!(off < 1e-6 * most, "{weight} {width}: {height}, off {off}");
                seen += usize::from(*height > 0.0);
            }
        }
        assert!(seen > 2000, "only {seen} places have any height");
    }

    #[test]
    fn a_measure_tells_more_the_further_types_stand_apart() {
        let bits = |grams: f64| {
            let law = |grams: f64| {
                let profile = profile(&[(grams, 0.05, 1.0)], None, Making::Milled);
                MeasureLaw::as_read(&Find::default(), &profile, (0.01, 0.0))
            };
            tell(&[law(1.44), law(grams)]).expect("both are weighed")
        };
        assert!(bits(1.44).abs() < 1e-9);
        assert!(bits(1.44) < bits(1.6) && bits(1.6) < bits(2.0));
        assert!((bits(14.0) - 1.0).abs() < 1e-6, "{}", bits(14.0));
    }
}
