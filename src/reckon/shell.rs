//! Bells and thimbles: how thick the wall is, from weight and size.
//!
//! A wall of sheet is thinner than one that was cast, and the two were made at different times; a
//! calliper seldom reaches it. Says a thickness and no date.
//!
//! Invariant: a heavier piece of one size has a thicker wall.

use std::f64::consts::PI;

/// What the wall is of, for its density.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Metal {
    /// Bronze, brass and the like.
    CopperAlloy,
    /// Silver.
    Silver,
    /// Iron or steel.
    Iron,
}

impl Metal {
    /// g/cm3: usual handbook values, from memory.
    fn density(self) -> f64 {
        match self {
            Metal::CopperAlloy => 8.6,
            Metal::Silver => 10.4,
            Metal::Iron => 7.8,
        }
    }
}

/// A hollow thing as its figures have it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shell {
    /// Mean thickness of the wall in mm.
    pub wall: f64,
    /// The same if a tenth of the metal is gone.
    pub whole: f64,
}

/// Wall thickness above which it was hardly made of sheet, in mm: common practice, no source.
const SHEET: f64 = 0.9;
/// Below which it was hardly cast, in mm: common practice, no source.
const CAST: f64 = 1.2;

impl Shell {
    /// True when a wall so thick is hardly sheet, false when one so thin is hardly cast, and nothing
    /// between.
    pub fn cast(self) -> Option<bool> {
        if self.wall > CAST {
            Some(true)
        } else if self.whole < SHEET {
            Some(false)
        } else {
            None
        }
    }
}

/// A round bell closed in itself, `diameter` mm across and `grams` heavy without what rattles in it.
pub fn bell(grams: f64, diameter: f64, metal: Metal) -> Option<Shell> {
    // A tenth of the sphere is sound holes and slit, and as much again is in the loop.
    let area = PI * diameter * diameter;
    thick(grams, area, diameter / 2.0, metal)
}

/// A thimble `height` mm high and `diameter` mm wide at its rim.
pub fn thimble(grams: f64, height: f64, diameter: f64, metal: Metal) -> Option<Shell> {
    // A cone frustum that narrows to seven tenths, closed by its top.
    let (rim, top) = (diameter / 2.0, diameter * 0.35);
    let slant = height.hypot(rim - top);
    let area = PI * (rim + top) * slant + PI * top * top;
    thick(grams, area, diameter / 2.0, metal)
}

/// Volume over area, for walls thinner than what they enclose.
fn thick(grams: f64, area: f64, most: f64, metal: Metal) -> Option<Shell> {
    let possible = [grams, area, most]
        .iter()
        .all(|f| f.is_finite() && *f > 0.0);
    let wall = 1000.0 * grams / metal.density() / area;
    let whole = wall / 0.9;
    // What is thicker than its own half is no shell.
    (possible && whole < most).then_some(Shell { wall, whole })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_wall_comes_back_from_a_shell_that_is_made_up() {
        // A sphere 30 mm across with a wall of 2 mm, as thin as the way of reckoning takes it.
        let grams = PI * 30.0 * 30.0 * 2.0 * 8.6 / 1000.0;
        let shell = bell(grams, 30.0, Metal::CopperAlloy).unwrap();
        assert!((shell.wall - 2.0).abs() < 1e-9);
        assert_eq!(shell.cast(), Some(true));
        let sheet = bell(grams / 5.0, 30.0, Metal::CopperAlloy).unwrap();
        assert_eq!(sheet.cast(), Some(false));
        assert_eq!(
            bell(grams / 2.0, 30.0, Metal::CopperAlloy).unwrap().cast(),
            None
        );
    }

    #[test]
    fn solid_and_impossible_things_are_no_shells() {
        assert_eq!(bell(5_000.0, 30.0, Metal::CopperAlloy), None);
        assert_eq!(bell(f64::NAN, 30.0, Metal::Iron), None);
        assert_eq!(thimble(3.0, 20.0, -1.0, Metal::Silver), None);
        // A thin silver thimble of 4 g.
        let thimble = thimble(4.0, 21.0, 17.0, Metal::Silver).unwrap();
        assert!(thimble.wall > 0.2 && thimble.wall < 0.6, "{thimble:?}");
    }
}
