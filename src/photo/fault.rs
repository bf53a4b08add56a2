//! What is wrong with a picture or a scale, and what mends it.
//!
//! Judges nothing; words only.
//!
//! Invariant: every fault names the picture, the field or the figure, and says the next thing to do.

use std::fmt;

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
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// What sort of fault it is.
    pub kind: Kind,
    /// What is wrong.
    pub what: String,
    /// What to do next.
    pub mend: String,
}

impl Fault {
    pub(super) fn new(kind: Kind, what: impl Into<String>, mend: impl Into<String>) -> Fault {
        Fault {
            kind,
            what: what.into(),
            mend: mend.into(),
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.what, self.mend)
    }
}
