//! What the scales, the callipers and the eye would let a piece of each type be.
//!
//! Plain columns, one place a type, gone through from end to end: that is quicker than asking
//! an index for ranges. Shuts nothing out; a type that does not fit only gains nothing.
//!
//! Invariant: every column is as long as the library has types.

use crate::catalogue::{Catalogue, CoinType, CopyKind, Habit};
use crate::find::{Completeness, Find, MetalSeen};

/// What agreeing in the metal, in one it is mistaken for and in a measure is worth, in the
/// units of a matched word.
const METAL: f32 = 2.0;
const METAL_NEAR: f32 = 1.0;
const MEASURE: f32 = 3.0;

/// The columns, in the order of the index.
pub(super) struct Sizes {
    weight: Range,
    diameter: Range,
    /// Bits of [`MetalSeen`] that a type may be taken for.
    looks: Vec<u8>,
}

/// Least and most of a measure.
struct Range {
    least: Vec<f64>,
    most: Vec<f64>,
}

impl Range {
    fn of(ends: impl Iterator<Item = (f64, f64)>) -> Range {
        let (least, most) = ends.unzip();
        Range { least, most }
    }

    /// Adds what a measure is worth to every type that may show it.
    fn add(&self, value: f64, gains: &mut [f32]) {
        let ends = self.least.iter().zip(&self.most);
        for (gain, (least, most)) in gains.iter_mut().zip(ends) {
            let within = (*least <= value) & (value <= *most);
            *gain += if within { MEASURE } else { 0.0 };
        }
    }
}

impl Sizes {
    /// The columns of a library.
    pub(super) fn of(catalogue: &Catalogue, order: &[u32]) -> Sizes {
        let types = order
            .iter()
            .filter_map(|p| catalogue.types.get(*p as usize));
        Sizes {
            weight: Range::of(types.clone().map(weights)),
            diameter: Range::of(types.clone().map(diameters)),
            looks: types
                .map(|coin| looks(coin, catalogue.metals[coin.metal].looks))
                .collect(),
        }
    }

    /// What each type gains by its metal and its measures; none when neither was given.
    pub(super) fn gains(&self, find: &Find) -> Option<Vec<f32>> {
        let weights = whole_weights(find);
        let cut = matches!(
            find.completeness,
            Some(Completeness::Half | Completeness::Quarter | Completeness::Fragment)
        );
        let diameter = find.diameter.filter(|_| !cut).map(|d| d.value.get());
        if find.metal.is_none() && weights.is_empty() && diameter.is_none() {
            return None;
        }
        let mut gains: Vec<f32> = match find.metal {
            Some((seen, _)) => {
                let worth = by_looks(seen);
                let looks = self.looks.iter();
                looks.map(|looks| worth[usize::from(*looks)]).collect()
            }
            None => vec![0.0; self.looks.len()],
        };
        for weight in weights {
            self.weight.add(weight, &mut gains);
        }
        if let Some(diameter) = diameter {
            self.diameter.add(diameter, &mut gains);
        }
        Some(gains)
    }
}

/// What a metal named is worth to a type, by all that its metal may be taken for.
fn by_looks(seen: MetalSeen) -> [f32; 256] {
    let near: u8 = mistaken(seen).iter().map(|metal| bit(*metal)).sum();
    std::array::from_fn(|looks| {
        let looks = looks as u8;
        let gain = METAL_NEAR * (looks & near).count_ones() as f32;
        gain + if looks & bit(seen) != 0 { METAL } else { 0.0 }
    })
}

/// What the piece weighed, or would have weighed whole as far as the part is known.
fn whole_weights(find: &Find) -> Vec<f64> {
    let parts: &[f64] = match find.completeness {
        Some(Completeness::Half) => &[0.5],
        Some(Completeness::Quarter) => &[0.25],
        Some(Completeness::Fragment) => &[0.3, 0.6],
        _ => &[1.0],
    };
    let weight = find.weight.map(|weight| weight.value.get());
    weight.map_or(Vec::new(), |weight| {
        parts.iter().map(|part| weight / part).collect()
    })
}

fn bit(metal: MetalSeen) -> u8 {
    1 << metal as u16
}

/// Metals that this one is mistaken for.
fn mistaken(seen: MetalSeen) -> &'static [MetalSeen] {
    match seen {
        MetalSeen::Silver => &[MetalSeen::BaseSilver, MetalSeen::WhiteMetal],
        MetalSeen::BaseSilver => &[MetalSeen::Silver, MetalSeen::CopperAlloy],
        MetalSeen::Plated => &[MetalSeen::Silver, MetalSeen::BaseSilver, MetalSeen::Gold],
        MetalSeen::CopperAlloy => &[MetalSeen::BaseSilver],
        MetalSeen::WhiteMetal => &[MetalSeen::Silver, MetalSeen::Lead],
        MetalSeen::Lead => &[MetalSeen::WhiteMetal],
        MetalSeen::Gold | MetalSeen::Iron => &[],
    }
}

/// What the metal may be taken for: a plated piece passes for what covers it.
fn looks(coin: &CoinType, looks: MetalSeen) -> u8 {
    let plated = coin.copy == Some(CopyKind::Plated) || coin.habits.contains(&Habit::Plated);
    let covered = [MetalSeen::Plated, MetalSeen::Silver, MetalSeen::BaseSilver];
    let covered = covered.into_iter().filter(|_| plated).map(bit);
    covered.fold(bit(looks), |all, one| all | one)
}

/// Weights a piece may have when found: worn and clipped below, heavy strikes and crust above.
fn weights(coin: &CoinType) -> (f64, f64) {
    if coin.weights.is_empty() {
        return (0.0, f64::MAX);
    }
    let least = coin
        .weights
        .iter()
        .map(|w| w.grams * (1.0 - 2.0 * w.cv))
        .fold(f64::MAX, f64::min)
        .max(0.0);
    let most = coin
        .weights
        .iter()
        .map(|w| w.grams * (1.0 + 3.0 * w.cv))
        .fold(0.0, f64::max);
    let cut = coin
        .habits
        .iter()
        .any(|h| matches!(h, Habit::Halved | Habit::Quartered | Habit::Clipped));
    (least * if cut { 0.2 } else { 0.5 }, most * 1.12 + 0.1)
}

/// Diameters a piece may have when found.
fn diameters(coin: &CoinType) -> (f64, f64) {
    match coin.diameter {
        None => (0.0, f64::MAX),
        Some((least, most)) => (least * 0.72 - 0.5, most * 1.12 + 0.5),
    }
}
