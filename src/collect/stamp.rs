//! Who acts and when, and what was done: the history of the shelf.
//!
//! Plain values. The time is handed in by the door; the order of acts is their number, so that a
//! clock set back changes nothing.
//!
//! Invariant: an act holds every row that it changed, as it was and as it became.

/// Who acts, and when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stamp {
    /// Who: a word of the user's choice.
    pub who: String,
    /// When, RFC 3339.
    pub at: String,
}

impl Stamp {
    /// A stamp.
    pub fn new(who: &str, at: &str) -> Stamp {
        Stamp {
            who: who.into(),
            at: at.into(),
        }
    }
}

/// One act: everything that one call changed.
#[derive(Clone, Debug, PartialEq)]
pub struct Act {
    /// Its number; later acts have greater ones.
    pub seq: i64,
    /// When, as the door said.
    pub at: String,
    /// Who.
    pub who: String,
    /// What was done: "add find", "edit land", "undo".
    pub verb: String,
    /// What it was done to, by its id.
    pub about: String,
    /// The act that this one takes back.
    pub undoes: Option<i64>,
    /// The act that took this one back.
    pub undone_by: Option<i64>,
    /// How many rows it changed.
    pub rows: u64,
    /// The rows changed, in order: all of them, or as many as were asked for.
    pub changes: Vec<Change>,
}

/// One row that an act changed.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The table.
    pub table: String,
    /// The key of the row.
    pub row: i64,
    /// The row as it was, as JSON; none where there was none.
    pub before: Option<String>,
    /// The row as it became, as JSON; none where it was taken away.
    pub after: Option<String>,
}
