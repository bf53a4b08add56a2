//! What is wrong with a picture or a scale, and what mends it.
//!
//! Judges nothing; words only.
//!
//! Invariant: every fault names the picture, the field or the figure, and says the next thing to do.

/// What sort of fault it is, for those who act on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The bytes are no picture, or one that is cut short or broken.
    Unreadable,
    /// A picture of a kind that is not read.
    OtherForm,
    /// More pixels or bytes than are taken.
    TooLarge,
    /// Too few pixels to see anything in.
    TooSmall,
    /// The ground is not plain, or nothing stands out from it.
    Ground,
    /// The object touches the edge of the picture.
    Cut,
    /// More than one object, and nothing says which.
    Several,
    /// The scale is missing, cannot be read or contradicts itself.
    Scale,
    /// A figure that is not possible.
    Figure,
    /// A letter that the letters of the project lack.
    Letter,
}

/// A fault: what is wrong and what mends it.
pub type Fault = crate::fault::Fault<Kind>;
