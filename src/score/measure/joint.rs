//! Weight and diameter as one law about their middles.
//!
//! Both on logarithms, leaning together as far as the flan was struck heavy. Knows no type and no
//! find.
//!
//! Invariant: a row of the law is the law place by place.

use super::super::constants::{DIAMETER_SPREAD_CUT, WEIGHT_DIAMETER_CORRELATION};
use super::ROOT_TWO_PI;

/// Spreads beyond which nothing is added to a row.
const ROW_REACH: f64 = 6.0;

/// Squared spreads beyond which a density is nothing beside the share of slips (e to the -50).
const FAR: f64 = 100.0;

/// Law of log weight and log diameter; the two lean together as far as the flan was struck so.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::score) struct Joint {
    pub(in crate::score) spread: f64,
    /// Spread of the diameter, where it is asked for.
    pub(in crate::score) across: Option<f64>,
    /// Change of the expected log diameter for a spread of the weight.
    lean: f64,
    /// True when clipping and a heavy flan show in the diameter.
    whole: bool,
    /// Height of the law at its middle.
    height: f64,
}

impl Joint {
    pub(in crate::score) fn new(spread: f64, across: Option<f64>, cv: f64, whole: bool) -> Joint {
        let lean = WEIGHT_DIAMETER_CORRELATION * (cv / spread).min(1.0);
        let (across, tilt) = match across {
            None => (None, 0.0),
            Some(across) if whole => (Some(across * (1.0 - lean * lean).sqrt()), lean * across),
            Some(across) => (Some(across.hypot(DIAMETER_SPREAD_CUT)), 0.0),
        };
        let height = 1.0 / (spread * ROOT_TWO_PI);
        Joint {
            spread,
            across,
            lean: tilt,
            whole,
            height: across.map_or(height, |across| height / (across * ROOT_TWO_PI)),
        }
    }

    /// How far clipping moves the diameter; a broken piece's is taken as it is.
    #[inline]
    pub(in crate::score) fn shrunk(&self, shrunk: f64) -> f64 {
        if self.whole { shrunk } else { 0.0 }
    }

    /// Density where weight and diameter stand so far off and clipping has changed the diameter so;
    /// none beyond six spreads, where nothing is added that could be seen beside the share of slips.
    #[inline]
    pub(in crate::score) fn density(
        &self,
        weight_off: f64,
        wide_off: f64,
        shrunk: f64,
    ) -> Option<f64> {
        let heavy = weight_off / self.spread;
        if heavy.abs() > 6.0 {
            return None;
        }
        let wide = self.across.map_or(0.0, |spread| {
            (wide_off - self.shrunk(shrunk) - self.lean * heavy.clamp(-2.0, 2.0)) / spread
        });
        let far = heavy * heavy + wide * wide;
        (far < FAR).then(|| self.height * (-0.5 * far).exp())
    }

    /// Adds a share of the density along an even row of diameters, `first` being how far off the
    /// row's first one stands. As [`Joint::density`] to within e to the -18 of the middle's: what lies
    /// beyond six spreads is left out, and each place is reckoned from the one before it.
    pub(in crate::score) fn add_row(
        &self,
        share: f64,
        heavy_off: f64,
        (first, step): (f64, f64),
        row: &mut [f64],
    ) {
        let heavy = heavy_off / self.spread;
        let Some(spread) = self.across.filter(|_| heavy.abs() <= ROW_REACH) else {
            return;
        };
        let step = step / spread;
        let first = (first - self.lean * heavy.clamp(-2.0, 2.0)) / spread;
        let from = ((-ROW_REACH - first) / step).ceil().max(0.0);
        let upto = ((ROW_REACH - first) / step).floor() + 1.0;
        let places = from as usize..(upto.max(0.0) as usize).min(row.len());
        let at = first + step * from;
        let mut height = share * self.height * (-0.5 * (heavy * heavy + at * at)).exp();
        // A normal law on an even row: the ratio of neighbours falls by the same factor each time.
        let mut ratio = (-step * (at + 0.5 * step)).exp();
        let falls = (-step * step).exp();
        for place in row.get_mut(places).into_iter().flatten() {
            *place += height;
            height *= ratio;
            ratio *= falls;
        }
    }
}
