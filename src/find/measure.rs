//! Measures with their units and their error.
//!
//! Does no conversion from words (the parse room does that).
//! Invariant: finite and above nought; a die axis is an hour from 1 to 12.

use std::fmt;

/// A weight in grams.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Grams(f64);

/// A length in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Millimetres(f64);

/// A measure with half the step of the scale it was read from, in the measure's own unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured<U> {
    /// The value read.
    pub value: U,
    /// Half-width of the error the finder admits (scale step, "about", a range).
    pub error: f64,
}

/// Die axis in clock hours, 1 to 12: obverse upright, coin turned about its vertical axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DieAxis(u8);

/// Why a measure was refused.
#[derive(Clone, Debug, PartialEq)]
pub struct Impossible {
    /// What was given.
    pub given: f64,
    /// What would be possible, in words.
    pub wanted: &'static str,
}

impl fmt::Display for Impossible {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} is not possible here: {}", self.given, self.wanted)
    }
}

impl Grams {
    /// Heaviest find this program weighs; a larger number is a slip of the unit.
    pub const MOST: f64 = 20_000.0;

    /// A weight in grams, above nought and at most [`Grams::MOST`].
    pub fn new(grams: f64) -> Result<Self, Impossible> {
        if grams > 0.0 && grams <= Self::MOST {
            Ok(Grams(grams))
        } else {
            Err(Impossible {
                given: grams,
                wanted: "a weight is above 0 g and at most 20,000 g",
            })
        }
    }

    /// The number of grams.
    pub fn get(self) -> f64 {
        self.0
    }
}

impl Millimetres {
    /// Largest find this program measures; a larger number is a slip of the unit.
    pub const MOST: f64 = 2_000.0;

    /// A length in millimetres, above nought and at most [`Millimetres::MOST`].
    pub fn new(millimetres: f64) -> Result<Self, Impossible> {
        if millimetres > 0.0 && millimetres <= Self::MOST {
            Ok(Millimetres(millimetres))
        } else {
            Err(Impossible {
                given: millimetres,
                wanted: "a size is above 0 mm and at most 2,000 mm",
            })
        }
    }

    /// The number of millimetres.
    pub fn get(self) -> f64 {
        self.0
    }
}

impl DieAxis {
    /// A die axis in clock hours, 1 to 12.
    pub fn new(hour: u8) -> Result<Self, Impossible> {
        if (1..=12).contains(&hour) {
            Ok(DieAxis(hour))
        } else {
            Err(Impossible {
                given: f64::from(hour),
                wanted: "a die axis is a clock hour from 1 to 12",
            })
        }
    }

    /// The clock hour, 1 to 12.
    pub fn hour(self) -> u8 {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn impossible_measures_are_refused() {
        for bad in [0.0, -3.0, f64::NAN, f64::INFINITY, 1e9] {
            assert!(Grams::new(bad).is_err(), "{bad} g");
            assert!(Millimetres::new(bad).is_err(), "{bad} mm");
        }
        assert!(DieAxis::new(0).is_err());
        assert!(DieAxis::new(13).is_err());
        assert_eq!(DieAxis::new(12).map(DieAxis::hour), Ok(12));
    }
}
