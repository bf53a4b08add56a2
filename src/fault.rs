//! A fault of what was given to a room: of which sort, what is wrong, and what mends it.
//!
//! Judges nothing; words only. The sorts are each room's own.
//!
//! Invariant: every fault says the next thing to do.

use std::fmt;

/// A fault: what is wrong and what mends it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault<Kind> {
    /// What sort of fault it is.
    pub kind: Kind,
    /// What is wrong.
    pub what: String,
    /// What to do next.
    pub mend: String,
}

impl<Kind> Fault<Kind> {
    pub(crate) fn new(kind: Kind, what: impl Into<String>, mend: impl Into<String>) -> Self {
        Fault {
            kind,
            what: what.into(),
            mend: mend.into(),
        }
    }
}

impl<Kind> fmt::Display for Fault<Kind> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.what, self.mend)
    }
}
