//! What is wrong with a findspot as given, and what mends it.
//!
//! Judges nothing; words only.
//!
//! Invariant: every fault names what was given or the field, and says the next thing to do.

/// What sort of fault it is, for those who act on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Nothing was given.
    Empty,
    /// More text than a findspot has.
    TooLong,
    /// The letters are none of the grid, or not two.
    Letters,
    /// The figures are odd in number, too few, too many or broken up.
    Figures,
    /// A letter stands among the figures or a figure among the letters.
    Mixed,
    /// Figures without the letters that would place them.
    LettersMissing,
    /// A reference of the Irish Grid.
    Irish,
    /// Another system: zones of the world, postcodes, words.
    OtherSystem,
    /// No land of Britain there.
    Outside,
    /// Latitude and longitude, or their signs, have changed places.
    Swapped,
    /// Latitude or longitude cannot be read.
    Degrees,
    /// Too few decimals to name even a square of 10 km.
    TooCoarse,
}

/// A fault: what is wrong and what mends it.
pub type Fault = crate::fault::Fault<Kind>;
