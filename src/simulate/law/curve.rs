//! Chance of a weight that is said, by the share of the struck piece that is still there.
//!
//! Worked out at a few dozen shares and drawn straight between them. Invariant: never below nought;
//! nought outside the shares at which the weight can be.

use super::super::rates::*;
use super::gauss;
use super::piece::cell;
use crate::catalogue::WeightPart;

/// Points of a curve.
const POINTS: usize = 64;
/// Standard deviations followed to either side.
const FAR: f64 = 6.0;
/// A normal deviate at three places, and how often.
const THREE: [(f64, f64); 3] = [
    (-1.732_050_807_568_877_2, 1.0 / 6.0),
    (0.0, 2.0 / 3.0),
    (1.732_050_807_568_877_2, 1.0 / 6.0),
];

/// Whether a weight was weighed or slipped.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Off {
    Right,
    Slipped,
}

/// The chance of a weight over the shares that may be there.
#[derive(Clone, Debug, Default)]
pub(super) struct Curve {
    level: f64,
    /// First share, steps to the unit, values.
    pieces: Vec<(f64, f64, Vec<f64>)>,
}

impl Curve {
    /// The same at any share.
    pub fn level(level: f64) -> Curve {
        Curve {
            level,
            pieces: Vec::new(),
        }
    }

    /// One curve for pieces that corrosion has not eaten, and one for each step that eats.
    pub fn all(weights: &[WeightPart], value: f64, parts: f64, off: Off) -> Vec<Curve> {
        let scale = match parts {
            100.0 => FINE_SCALE,
            10.0 => 1.0 - FINE_SCALE,
            _ => 0.0,
        } * WEIGHT_SAID;
        let sum: f64 = weights.iter().map(|part| part.share).sum();
        let steps = [0, EATEN_FROM, EATEN_FROM + 1, EATEN_FROM + 2];
        let of = |eaten: usize| Curve {
            level: 0.0,
            pieces: weights
                .iter()
                .filter_map(|part| piece(part, value, parts, off, eaten, scale * part.share / sum))
                .collect(),
        };
        steps.into_iter().map(of).collect()
    }

    /// The chance at a share.
    pub fn at(&self, share: f64) -> f64 {
        let mut sum = self.level;
        for (from, per, values) in &self.pieces {
            let place = (share - from) * per;
            if place < 0.0 || place >= (POINTS - 1) as f64 {
                continue;
            }
            let at = place as usize;
            sum += values[at] + (values[at + 1] - values[at]) * (place - at as f64);
        }
        sum
    }
}

fn piece(
    part: &WeightPart,
    value: f64,
    parts: f64,
    off: Off,
    eaten: usize,
    often: f64,
) -> Option<(f64, f64, Vec<f64>)> {
    let bounds = match off {
        Off::Right => cell(value, parts)?,
        Off::Slipped => {
            cell(value, SLIP_WEIGHT_PARTS)?;
            (value / SLIP_MOST, value / SLIP_LEAST)
        }
    };
    let spread = EATEN_SPREAD * eaten as f64;
    let eaten: Vec<(f64, f64)> = if eaten == 0 {
        vec![(1.0, 1.0)]
    } else {
        let three = THREE.iter();
        three
            .map(|(z, often)| ((spread * z - EATEN_LOSS).exp(), *often))
            .collect()
    };
    let far = FAR * part.cv;
    let (light, heavy) = ((1.0 - far).max(LIGHTEST), 1.0 + far);
    let least = bounds.0.max(0.0) / (part.grams * heavy * eaten[eaten.len() - 1].0);
    let most = bounds.1 / (part.grams * light * eaten[0].0);
    let (least, most) = (least.max(0.02), most.min(1.0) + 1e-9);
    if least >= most {
        return None;
    }
    let step = (most - least) / (POINTS - 2) as f64;
    let values = (0..POINTS).map(|point| {
        let share = least + step * point as f64;
        let each = eaten.iter().map(|(eaten, often)| {
            let mean = part.grams * share * eaten;
            often * chance(mean, part.cv, bounds, value, off)
        });
        often * each.sum::<f64>()
    });
    Some((least, 1.0 / step, values.collect()))
}

/// Chance of the weight for pieces of this mean.
fn chance(mean: f64, cv: f64, bounds: (f64, f64), value: f64, off: Off) -> f64 {
    let (from, to) = (bounds.0 / mean, bounds.1 / mean);
    if to < LIGHTEST {
        return 0.0;
    }
    // All that would be lighter is as light as may be.
    let low = if from < LIGHTEST {
        f64::NEG_INFINITY
    } else {
        (from - 1.0) / cv
    };
    let held = gauss::between(low, (to - 1.0) / cv);
    match off {
        Off::Right => held,
        Off::Slipped => {
            let step = 1.0 / SLIP_WEIGHT_PARTS / (SLIP_MOST - SLIP_LEAST);
            let step = if value <= 1.0 / SLIP_WEIGHT_PARTS {
                1.5 * step
            } else {
                step
            };
            held * step / mean * (1.0 + cv * cv)
        }
    }
}
