//! Findspots: where a find lay, as a square of the National Grid.
//!
//! Reads a grid reference, a full numeric one, or latitude and longitude; says which square it
//! names, turns squares to degrees and back, tells which country may lie there, and makes squares
//! coarser for sharing. Never rounds a reference, never names a smaller square than was given or
//! than the shift of datums is good for, and knows no county: only the letters of the squares.
//!
//! Invariant: a square's corner is a multiple of its side, so its reference read again is the
//! same square, and the point it was cut from lies within it.

mod convert;
mod degrees;
mod fault;
mod land;
mod read;
mod square;

pub use convert::{
    SHIFT_GOOD_TO, project, ring, to_airy, to_degrees, to_grid, to_wgs84, unproject,
};
pub use degrees::{Degrees, read_degrees};
pub use fault::{Fault, Kind};
pub use land::{Country, about, countries};
pub use read::{Findspot, LONGEST, read};
pub use square::{Side, Square};

/// The same cases of a property on every run, and none kept in a file.
#[cfg(test)]
fn steady() -> proptest::prelude::ProptestConfig {
    proptest::prelude::ProptestConfig {
        cases: 512,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(1),
        ..proptest::prelude::ProptestConfig::default()
    }
}
