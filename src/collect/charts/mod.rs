//! Pictures of figures: bars, a line of days, weight against diameter, as SVG texts.
//!
//! Draws plain values that are handed in, for a telephone as for a desk, in light and dark; without
//! script, with a title and a description that hold every figure drawn. Reads no shelf and no file.
//!
//! Invariant: any text comes out as text, everything drawn lies within the picture, and what was
//! left out is said in it.

mod bars;
mod days;
mod paper;
mod points;

pub use bars::{Bar, bars};
pub use days::{DAYS_MOST, DayCount, days};
pub use points::{Measures, POINTS_MOST, measures};
