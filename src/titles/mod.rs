//! The titles room: a Roman titulature, whole or broken, to the days on which it was true.
//!
//! Reads tribunician years, consulships, acclamations and names of honour out of letters, and
//! holds them against the careers of the library. It restores no letter and weighs nothing:
//! a title was held on a day or it was not. Knows the catalogue's careers, not its types.
//!
//! Invariant: the days given are those, and only those, on which every title read and known
//! to the tables was held together.

mod days;
mod numeral;
mod read;

pub use days::{Possible, Reason, possible};
pub use read::{Claim, End, Honour, Office, Titulature, read};
