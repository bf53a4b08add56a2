//! The state of a piece, and what its finder weighs and measures: summed over wear, clipping,
//! corrosion and what is left, and laid on the grid of states by which its letters are read.
//!
//! Invariant: laid out for a find of which no measure is said, the chances of all states are those of
//! saying none.

use std::ops::Range;

use super::super::rates::*;
use super::curve::{Curve, Off};
use super::gauss;
use super::grid::{self, CELLS, Grid, STEP, STEP_FROM, STEPS, WHOLE};
use crate::catalogue::{Catalogue, CoinType, Habit, WeightPart};
use crate::find::{Completeness, Corrosion, Find, Making, MetalSeen, Treatment, Wear};

/// What decides how pieces of a type are worn, weighed and measured.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Profile {
    weights: Vec<WeightPart>,
    diameter: Option<(f64, f64)>,
    thickness: Option<(f64, f64)>,
    looks: MetalSeen,
    made: Making,
    clipped: bool,
    halved: bool,
    quartered: bool,
}

/// What is said of the state and the measures.
pub(super) struct Said {
    /// Value and parts to the unit.
    weight: Option<(f64, f64)>,
    diameter: Option<(f64, f64)>,
    thickness: Option<f64>,
    completeness: Option<Completeness>,
    wear: Option<usize>,
    corrosion: Option<usize>,
    clipped: bool,
}

/// The chance of what is said, by state: as drawn, with a wrong weight, with a wrong diameter.
pub(super) struct Laid {
    pub right: Grid,
    pub weight_wrong: Grid,
    pub diameter_wrong: Grid,
}

impl Laid {
    /// Adds pieces of one state: how often they are drawn, and the chances of the weight and the
    /// diameter that are said, each as drawn and as a wrong one.
    fn add(
        &mut self,
        said: &Said,
        (step, spoilt): (usize, f64),
        often: f64,
        weight: [f64; 2],
        diameter: (f64, f64),
    ) {
        if often == 0.0 {
            return;
        }
        let right = often * weight[0] * diameter.0;
        grid::lay(&mut self.right, step, spoilt, right);
        if said.weight.is_some() {
            let wrong = often * weight[1] * diameter.0;
            grid::lay(&mut self.weight_wrong, step, spoilt, wrong);
        }
        if said.diameter.is_some() {
            let wrong = often * weight[0] * diameter.1;
            grid::lay(&mut self.diameter_wrong, step, spoilt, wrong);
        }
    }
}

/// What is left of a piece.
struct Left {
    kind: Completeness,
    share: f64,
    often: f64,
}

/// Parts to the unit, from half a step.
fn parts(error: f64) -> f64 {
    (0.5 / error).round()
}

impl Said {
    pub fn of(find: &Find) -> Said {
        let wear = |wear| match wear {
            Wear::Little => 0,
            Wear::Light => 1,
            Wear::Worn => 2,
            Wear::Heavy => 3,
            Wear::Extreme => 4,
        };
        let corrosion = |step| match step {
            Corrosion::Little => 0,
            Corrosion::Light => 1,
            Corrosion::Corroded => 2,
            Corrosion::Heavy => 3,
            Corrosion::Extreme => 4,
        };
        Said {
            weight: find.weight.map(|w| (w.value.get(), parts(w.error))),
            diameter: find.diameter.map(|d| (d.value.get(), parts(d.error))),
            thickness: find.thickness.map(|t| t.value.get()),
            completeness: find.completeness,
            wear: find.wear.map(wear),
            corrosion: find.corrosion.map(corrosion),
            clipped: find.treatments.contains(&Treatment::Clipped),
        }
    }

    /// The cells of the grid that such a piece can fall on.
    pub fn cells(&self) -> Range<usize> {
        match self.completeness {
            Some(Completeness::Whole) => WHOLE..CELLS,
            _ => 0..CELLS,
        }
    }
}

impl Profile {
    pub fn of(coin: &CoinType, catalogue: &Catalogue) -> Profile {
        let habit = |habit: Habit| coin.habits.contains(&habit);
        Profile {
            weights: coin.weights.clone(),
            diameter: coin.diameter,
            thickness: coin.thickness,
            looks: catalogue.metals[coin.metal].looks,
            made: coin.made,
            clipped: habit(Habit::Clipped),
            halved: habit(Habit::Halved),
            quartered: habit(Habit::Quartered),
        }
    }

    /// Wear: the share lost, how often, and its grade; finely where weights are close.
    fn worn(&self, said: &Said, fine: bool) -> Vec<(f64, f64)> {
        let mean = match (self.looks, self.made) {
            (MetalSeen::Gold, _) => WORN_GOLD,
            (_, Making::Milled) => WORN_MILLED,
            _ => WORN_ELSE,
        };
        let close = self
            .weights
            .iter()
            .map(|part| part.cv.max(0.005 / part.grams));
        let close = close.fold(1.0, f64::min);
        let bounds = [
            0.0,
            WEAR_STEPS[0],
            WEAR_STEPS[1],
            WEAR_STEPS[2],
            WEAR_STEPS[3],
            WORN_MOST,
        ];
        let mut all = Vec::new();
        for grade in 0..5 {
            let told = match said.wear {
                Some(wear) if wear != grade => continue,
                Some(_) => WEAR_SAID,
                None => 1.0 - WEAR_SAID,
            };
            let (from, to) = (bounds[grade], bounds[grade + 1]);
            let count = match (fine, said.weight) {
                (false, _) => 3,
                (true, None) => 4,
                (true, Some(_)) => ((1.5 * (to - from) / close).ceil() as usize).clamp(4, 24),
            };
            let nodes = gauss::places(count).into_iter().map(|(x, w)| {
                let worn = from + x * (to - from);
                (worn, w * (to - from) / mean * (-worn / mean).exp() * told)
            });
            all.extend(nodes);
            if grade == 4 {
                all.push((WORN_MOST, (-WORN_MOST / mean).exp() * told));
            }
        }
        all
    }

    /// Clipping: the share cut off and how often, with what is said of it.
    fn clips(&self, said: &Said) -> Vec<(f64, f64)> {
        let mut all = Vec::new();
        let mut left = 1.0;
        let mut clip = |by: &Befalls, left: &mut f64| {
            let often = *left * by.often;
            *left -= often;
            for (from, to, count) in [
                (by.least, CLIPPING_SEEN.0, 2),
                (CLIPPING_SEEN.0, by.most, 5),
            ] {
                let seen = from >= CLIPPING_SEEN.0;
                let told = match (said.clipped, seen) {
                    (true, true) => CLIPPING_SEEN.1,
                    (true, false) => 0.0,
                    (false, true) => 1.0 - CLIPPING_SEEN.1,
                    (false, false) => 1.0,
                };
                let even = often * (to - from) / (by.most - by.least) * told;
                let nodes = gauss::places(count).into_iter();
                all.extend(nodes.map(|(x, w)| (from + x * (to - from), w * even)));
            }
        };
        if self.clipped {
            clip(&CLIPPED, &mut left);
        }
        if self.made == Making::Hammered && self.looks == MetalSeen::Silver {
            clip(&CLIPPED_SILVER, &mut left);
        }
        if !said.clipped {
            all.push((0.0, left));
        }
        all.retain(|(_, often)| *often > 0.0);
        all
    }

    /// What is left of the piece, with what is said of it.
    fn left(&self, said: &Said) -> Vec<Left> {
        let mut all = Vec::new();
        let mut rest = 1.0;
        let chain = [
            (self.halved, HALVED, Completeness::Half),
            (self.quartered, QUARTERED, Completeness::Quarter),
            (true, CHIPPED, Completeness::Chipped),
            (true, BROKEN, Completeness::Fragment),
        ];
        let told = |kind: Completeness, often: f64| match said.completeness {
            Some(said) if said != kind => 0.0,
            Some(_) => often,
            None => 1.0 - often,
        };
        for (_, by, kind) in chain.into_iter().filter(|(may, ..)| *may) {
            let often = rest * by.often * told(kind, PARTS_SAID);
            rest -= rest * by.often;
            if often > 0.0 {
                even_steps(&by, kind, often, said.completeness.is_some(), &mut all);
            }
        }
        let often = rest * told(Completeness::Whole, WHOLE_SAID);
        if often > 0.0 {
            all.push(Left {
                kind: Completeness::Whole,
                share: 1.0,
                often,
            });
        }
        all
    }

    /// Steps of corrosion and how often, with what is said of them.
    fn corroded(&self, said: &Said) -> [f64; 5] {
        let weights = match self.looks {
            MetalSeen::CopperAlloy | MetalSeen::Iron => CORRODED_COPPER,
            MetalSeen::Gold => [1.0, 0.0, 0.0, 0.0, 0.0],
            _ => CORRODED_ELSE,
        };
        let sum: f64 = weights.iter().sum();
        std::array::from_fn(|step| match said.corrosion {
            Some(said) if said != step => 0.0,
            Some(_) => weights[step] / sum * CORROSION_SAID,
            None => weights[step] / sum * (1.0 - CORROSION_SAID),
        })
    }

    /// Chance of the diameter that is said, as drawn and as a wrong one, of a piece so clipped.
    fn diameter(&self, said: &Said, kind: Completeness, clipped: f64) -> (f64, f64) {
        let often = match kind {
            Completeness::Quarter | Completeness::Fragment => DIAMETER_SAID_OF_PARTS,
            _ => DIAMETER_SAID,
        };
        match (self.diameter, said.diameter) {
            (None, None) => (1.0, 0.0),
            (None, Some(_)) => (0.0, 0.0),
            (Some(_), None) => (1.0 - often, 0.0),
            (Some((least, most)), Some((value, parts))) => {
                let shorter = (1.0 - clipped).sqrt();
                let struck = (least * shorter, most * shorter);
                let scales: f64 = DIAMETER_PARTS_OFTEN.iter().sum();
                let scale = DIAMETER_PARTS.iter().position(|p| *p == parts);
                let scale = scale.map_or(0.0, |at| DIAMETER_PARTS_OFTEN[at] / scales) * often;
                let below = |bound| gauss::even_below(bound, struck.0, struck.1, DIAMETER_ERROR);
                let right = cell(value, parts).map_or(0.0, |(from, to)| below(to) - below(from));
                (
                    scale * right.max(0.0),
                    scale * wrong_diameter(value, struck),
                )
            }
        }
    }

    fn thickness(&self, said: &Said, worn: f64) -> f64 {
        match (self.thickness, said.thickness) {
            (None, None) => 1.0,
            (None, Some(_)) => 0.0,
            (Some(_), None) => 1.0 - THICKNESS_SAID,
            (Some((least, most)), Some(value)) => {
                let (least, most) = (least * (1.0 - worn), most * (1.0 - worn));
                let (from, to) = cell(value, 10.0).unwrap_or((0.0, 0.0));
                let even = (most.min(to) - least.max(from)) / (most - least).max(1e-9);
                let single = f64::from(u8::from((from..to).contains(&least)));
                THICKNESS_SAID
                    * if most - least < 1e-9 {
                        single
                    } else {
                        even.max(0.0)
                    }
            }
        }
    }

    /// Lays what is said on the grid; none when no piece of the kind is described so.
    pub fn lay(&self, said: &Said) -> Option<Laid> {
        let never = self.weights.is_empty() && said.weight.is_some()
            || self.diameter.is_none() && said.diameter.is_some()
            || self.thickness.is_none() && said.thickness.is_some();
        if never {
            return None;
        }
        let mut laid = Laid {
            right: [0.0; CELLS],
            weight_wrong: [0.0; CELLS],
            diameter_wrong: [0.0; CELLS],
        };
        let curves = |off: Off| match said.weight {
            Some((value, parts)) => Curve::all(&self.weights, value, parts, off),
            None if self.weights.is_empty() => vec![Curve::level(1.0); 4],
            None => vec![Curve::level(1.0 - WEIGHT_SAID); 4],
        };
        let (right, wrong) = (curves(Off::Right), curves(Off::Slipped));
        let corroded = self.corroded(said);
        let worn = [false, true].map(|fine| {
            let worn = self.worn(said, fine).into_iter();
            worn.map(|(worn, often)| (worn, often * self.thickness(said, worn)))
                .filter(|(_, often)| *often > 0.0)
                .collect::<Vec<_>>()
        });
        let clips = self.clips(said);
        for left in self.left(said) {
            let step = grid::step(left.share);
            let fine = left.kind == Completeness::Whole || said.completeness.is_some();
            for (clipped, clip) in &clips {
                let diameter = self.diameter(said, left.kind, *clipped);
                for (worn, wear) in &worn[usize::from(fine)] {
                    let share = (1.0 - worn) * (1.0 - clipped) * left.share;
                    let often = left.often * clip * wear;
                    for (eaten, corrosion) in corroded.iter().enumerate() {
                        let spoilt =
                            SPOILT_BY_WEAR * worn + SPOILT_BY_CORROSION * eaten as f64 + clipped;
                        let curve = eaten.saturating_sub(EATEN_FROM - 1);
                        let weight = [&right, &wrong].map(|curves| curves[curve].at(share));
                        let at = (step, spoilt.min(SPOILT_MOST));
                        laid.add(said, at, often * corrosion, weight, diameter);
                    }
                }
            }
        }
        Some(laid)
    }
}

/// What is left between two shares, evenly, by the steps of the grid.
fn even_steps(by: &Befalls, kind: Completeness, often: f64, fine: bool, all: &mut Vec<Left>) {
    let even = often / (by.most - by.least);
    for step in 0..STEPS {
        let (from, to) = if step == STEPS - 1 {
            (LEFT_LIMITS, 1.0)
        } else {
            let from = STEP_FROM + STEP * step as f64;
            (from, from + STEP)
        };
        let (from, to) = (from.max(by.least), to.min(by.most));
        if to - from < 1e-9 {
            continue;
        }
        let count = if fine || kind == Completeness::Half {
            2
        } else {
            1
        };
        all.extend(gauss::places(count).into_iter().map(|(x, w)| Left {
            kind,
            share: from + x * (to - from),
            often: even * (to - from) * w,
        }));
    }
}

/// The values that a scale with so many parts shows as this one; none when it shows no such value.
pub(super) fn cell(value: f64, parts: f64) -> Option<(f64, f64)> {
    let step = (value * parts).round();
    if (step / parts - value).abs() > 1e-6 {
        return None;
    }
    // Nothing is shown as nought.
    let from = if step <= 1.0 {
        f64::NEG_INFINITY
    } else {
        (step - 0.5) / parts
    };
    Some((from, (step + 0.5) / parts))
}

/// Chance that a wrong diameter is this one: any true one, by the root of an even factor.
fn wrong_diameter(value: f64, (least, most): (f64, f64)) -> f64 {
    if cell(value, SLIP_DIAMETER_PARTS).is_none() {
        return 0.0;
    }
    let per = 2.0 * value / SLIP_DIAMETER_PARTS / (SLIP_MOST - SLIP_LEAST);
    let (from, to) = (value / SLIP_MOST.sqrt(), value / SLIP_LEAST.sqrt());
    if most - least < 1e-9 {
        let within = (from..to).contains(&least);
        return if within { per / (least * least) } else { 0.0 };
    }
    let (from, to) = (from.max(least), to.min(most));
    if from >= to {
        return 0.0;
    }
    per * (1.0 / from - 1.0 / to) / (most - least)
}
