//! The constants of the next look: what looking costs, and how often a finder cannot tell.
//!
//! Part of the one place where judgement stands. Invariant: a look without a cost is none.

use crate::find::Wear;

/// Types that a look is weighed over, the likeliest first; the rest together hold next to nothing.
pub const LOOKED_OVER: usize = 512;
/// Least bits for which a finder is asked to look again. Engineering default.
pub const LOOK_LEAST: f64 = 0.05;
/// Probability from which there is no more doubt to look for. Engineering default.
pub const LOOK_ENOUGH: f64 = 0.90;
/// Bits that a second of the finder's time is worth. Engineering default: a minute at the scale
/// should bring a sixteenth of a bit more than a glance.
pub const LOOK_SECOND: f64 = 0.001;
/// Seconds of a glance at a picture, at a mark under a glass, at letters, at the metal or the make,
/// at the turn of the dies, with the callipers and at the scale. Engineering default.
pub const SECONDS: [f64; 7] = [10.0, 60.0, 25.0, 8.0, 40.0, 35.0, 50.0];
/// How often a finder who looks cannot say, by wear: pictures, letters, and anything else.
/// Engineering default; the wear of a find that nobody described is taken as in the middle.
pub fn unsure(wear: Option<Wear>) -> [f64; 3] {
    match wear {
        Some(Wear::Little) => [0.05, 0.08, 0.05],
        Some(Wear::Light) => [0.10, 0.18, 0.05],
        None | Some(Wear::Worn) => [0.20, 0.35, 0.08],
        Some(Wear::Heavy) => [0.40, 0.70, 0.10],
        Some(Wear::Extreme) => [0.70, 0.90, 0.15],
    }
}
/// How often a finder cannot tell the turn of the dies, beyond that. Engineering default.
pub const AXIS_UNSURE: f64 = 0.25;
/// Share of the smaller of two pictures that may stand beside the other and both still be answers
/// to one question. Engineering default.
pub const SHOWN_TOGETHER: f64 = 0.02;
