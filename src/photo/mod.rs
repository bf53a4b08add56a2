//! Photographs: from pixels to the size of a find, plates, copies that tell nothing else.
//!
//! Finds what lies on a plain ground and its border, finer than a pixel; measures it in mm by
//! points of known distance, marks, a rectangle or modern coins, with the tilt, thickness and
//! distance that are not known counted into the error; lays plates at true scale. Never changes an
//! original, names no find, reads and writes no file: bytes and pixels only.
//!
//! Invariant: whatever is packed here is packed from pixels alone, so that no place, time, camera or
//! comment of an original is in it; and work and memory are bounded whatever is given.

mod coins;
mod doubt;
mod fault;
mod ground;
#[cfg(feature = "pictures")]
mod letters;
mod measure;
#[cfg(feature = "pictures")]
mod open;
mod outline;
mod picture;
#[cfg(feature = "pictures")]
mod plate;
mod pose;
mod round;
mod scale;
mod segment;
mod shape;
#[cfg(feature = "pictures")]
mod standin;
mod which;
#[cfg(feature = "pictures")]
mod write;

pub use coins::{COINS, Coin};
pub use doubt::doubts;
pub use fault::{Fault, Kind};
#[cfg(feature = "pictures")]
pub(crate) use letters::{FONT, lacking};
pub use measure::{Interval, Measured, Seal, measure};
#[cfg(feature = "pictures")]
pub use open::{BYTES_MOST, Opened, PIXELS_MOST, open};
pub use outline::{Outline, POINTS_MOST, Seen, outlines};
pub use picture::{Picture, Point};
#[cfg(feature = "pictures")]
pub use plate::{Bar, LARGEST, LETTERS_MOST, Label, Piece, Plate, View, cut, drawn, lay};
pub use pose::Terms;
pub use scale::{MARKS_MOST, Scale, beside, corners, marks, point, two_points};
#[cfg(feature = "pictures")]
pub use standin::{Shape, stand_in};
pub use which::{only, told_apart};
#[cfg(feature = "pictures")]
pub use write::{Form, packed, thumbnail};

/// Widths across an outline in pixels, the largest and the smallest.
pub fn across(outline: &Outline) -> (f64, f64) {
    let hull = shape::hull(&outline.ring);
    let (widest, narrowest) = shape::extremes(&hull);
    (shape::width(&hull, widest), shape::width(&hull, narrowest))
}
