//! Discs and rings with a hole: whether one spins, and of what metal it may be.
//!
//! Works from weight, diameter, height and the width of the hole. Says figures; whether a piece is
//! a spindle whorl, a weight or a net sinker is for whoever reads them with its findspot.
//!
//! Invariant: a wider disc of one weight spins longer.

use std::f64::consts::PI;

use super::shot::LEAD;

/// A pierced disc as its figures have it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Whorl {
    /// Moment of inertia about the hole, in g cm2: how long it keeps a spindle turning.
    pub inertia: f64,
    /// g/cm3 of a disc with straight sides, where the height is known; what is domed or
    /// biconical is denser.
    pub density: Option<f64>,
    /// True when hole and weight are those of whorls, false when one of them hardly is, none when
    /// the hole was not measured.
    pub spins: Option<bool>,
}

/// Holes of whorls in mm and their weights in g: spindles must fit, and thread must bear them.
/// Common practice, no source; the ranges are wide.
const HOLE: [f64; 2] = [5.0, 15.0];
const WEIGHT: [f64; 2] = [5.0, 70.0];

/// A disc of `grams`, `diameter` mm wide, `height` mm high, with a hole of `hole` mm.
pub fn whorl(grams: f64, diameter: f64, height: Option<f64>, hole: Option<f64>) -> Option<Whorl> {
    let wide = hole.unwrap_or(0.0);
    let possible = grams.is_finite() && grams > 0.0 && diameter.is_finite() && wide.is_finite();
    if !possible || diameter <= wide || wide < 0.0 {
        return None;
    }
    let (outer, inner) = (diameter / 10.0, wide / 10.0);
    let volume = |height: f64| PI / 4.0 * (outer * outer - inner * inner) * height / 10.0;
    let density = height.filter(|h| h.is_finite() && *h > 0.0);
    Some(Whorl {
        inertia: grams / 8.0 * (outer * outer + inner * inner),
        density: density.map(|height| grams / volume(height)),
        spins: hole.map(|hole| {
            (HOLE[0]..=HOLE[1]).contains(&hole) && (WEIGHT[0]..=WEIGHT[1]).contains(&grams)
        }),
    })
}

impl Whorl {
    /// True when its density is too high for anything lighter than lead.
    pub fn of_lead(self) -> Option<bool> {
        self.density.map(|density| density > 0.8 * LEAD)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_disc_of_lead_is_known_by_its_density() {
        // 30 mm across, 6 mm high, with a hole of 10 mm.
        let volume = PI / 4.0 * (3.0 * 3.0 - 1.0) * 0.6;
        let disc = whorl(volume * LEAD, 30.0, Some(6.0), Some(10.0)).unwrap();
        assert!((disc.density.unwrap() - LEAD).abs() < 1e-9);
        assert_eq!((disc.of_lead(), disc.spins), (Some(true), Some(true)));
        // A disc about its own axis: m (R2 + r2) / 2.
        assert!((disc.inertia - volume * LEAD * (1.5 * 1.5 + 0.5 * 0.5) / 2.0).abs() < 1e-9);
        let bronze = whorl(volume * 8.6, 30.0, Some(6.0), None).unwrap();
        assert_eq!(bronze.spins, None);
    }

    #[test]
    fn impossible_discs_are_refused() {
        assert_eq!(whorl(10.0, 20.0, None, Some(20.0)), None);
        assert_eq!(whorl(10.0, 20.0, None, Some(-1.0)), None);
        assert_eq!(whorl(0.0, 20.0, None, None), None);
        assert_eq!(whorl(10.0, f64::INFINITY, None, None), None);
        let flat = whorl(10.0, 20.0, Some(0.0), None).unwrap();
        assert_eq!(flat.density, None);
    }
}
