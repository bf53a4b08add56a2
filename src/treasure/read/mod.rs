//! Words to facts: an age, a metal, a piece in a phrase ("9 coins, copper alloy, 330-348").
//!
//! Knows no library and guesses at nothing: a thing whose name it does not know may be a coin or
//! an object, and a part of a phrase that says nothing known is refused with its mend.
//!
//! Invariant: the work is bounded by the length of what was typed; nothing panics.

mod metals;
mod pieces;
mod years;

pub use metals::metal;
pub use pieces::piece;
pub use years::age;

/// What could not be read, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misread {
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub mend: String,
}

fn misread<T>(what: impl Into<String>, mend: &str) -> Result<T, Misread> {
    Err(Misread {
        what: what.into(),
        mend: mend.to_string(),
    })
}

/// The longest phrase that is read.
const LENGTH_MOST: usize = 300;

fn words(text: &str) -> Vec<String> {
    let plain = text.to_lowercase();
    let words = plain.split(|c: char| !c.is_alphanumeric());
    words
        .filter(|word| !word.is_empty())
        .map(str::to_string)
        .collect()
}
