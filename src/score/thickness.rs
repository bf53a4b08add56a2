//! Thickness: as the library gives it, or as weight and size imply it.
//!
//! A flat disc of the type's weight, size and metal, a little thicker for relief.
//! Says nothing of types whose thickness cannot be told.

use super::constants::{RELIEF_FACTOR, THICKNESS_BACKGROUND, THICKNESS_SPREAD, TRAIT_BOUND};
use super::evidence::{Detail, Evidence, Witness};
use crate::catalogue::{Catalogue, CoinType};
use crate::find::MetalSeen;

/// Grams a cubic centimetre, by look (handbook densities of the pure metals and common alloys).
fn density(looks: MetalSeen) -> f64 {
    match looks {
        MetalSeen::Gold => 18.5,
        MetalSeen::Silver | MetalSeen::Plated => 10.3,
        MetalSeen::BaseSilver => 9.3,
        MetalSeen::CopperAlloy => 8.8,
        MetalSeen::WhiteMetal => 7.5,
        MetalSeen::Lead => 11.3,
        MetalSeen::Iron => 7.9,
    }
}

/// Expected thickness in millimetres, as the library gives it or as weight and size imply it.
pub fn expected_thickness(coin: &CoinType, catalogue: &Catalogue) -> Option<f64> {
    expected(coin, catalogue.metals[coin.metal].looks)
}

fn expected(coin: &CoinType, looks: MetalSeen) -> Option<f64> {
    if let Some((least, most)) = coin.thickness {
        return Some((least + most) / 2.0);
    }
    let (least, most) = coin.diameter?;
    let grams: f64 = coin.weights.iter().map(|w| w.share * w.grams).sum();
    let radius = (least + most) / 4.0;
    let area = std::f64::consts::PI * radius * radius;
    (grams > 0.0).then(|| RELIEF_FACTOR * grams * 1000.0 / density(looks) / area)
}

/// The term for a thickness, if the type's can be told.
pub(super) fn evidence(found: f64, coin: &CoinType, looks: MetalSeen) -> Option<Evidence> {
    let expected = expected(coin, looks)?;
    let law =
        |middle: f64, spread: f64| (-0.5 * ((found / middle).ln() / spread).powi(2)).exp() / spread;
    let background = law(THICKNESS_BACKGROUND.0, THICKNESS_BACKGROUND.1).max(1e-9);
    let own = 0.97 * law(expected, THICKNESS_SPREAD) + 0.03 * background;
    let nats = (own / background).ln().clamp(-TRAIT_BOUND, TRAIT_BOUND);
    Some(Evidence {
        witness: Witness::Thickness,
        nats,
        detail: Detail::Thickness { found, expected },
    })
}
