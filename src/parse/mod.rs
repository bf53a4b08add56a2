//! Room 1: what a person typed becomes a [`Find`](crate::find::Find) and remarks.
//!
//! Takes free words, single fields (flags, a form, a row of a table) and marked
//! legends. It reads no file, asks nothing of the outside and judges nothing: a
//! find leaves this room as it was described, not as it may be.
//!
//! Invariants: parsing never fails; no word is dropped in silence (what could not
//! be used stands in a [`Remark`]); the work is bounded whatever was typed, since
//! a text is cut at [`LONGEST`] characters.

mod brackets;
mod everyday;
mod form;
mod hearing;
mod hidden;
mod legend;
mod letters;
mod lexicon;
mod meaning;
mod measures;
mod merge;
mod numbers;
mod object;
mod pieces;
mod places;
mod remark;
mod rings;
mod scan;
mod sides;
mod spellings;
mod stem;
mod units;
mod words;

pub use form::{Field, form};
pub use hidden::without;
pub use legend::reading;
pub use lexicon::Lexicon;
pub use merge::merge;
pub(crate) use object::telling_words;
pub use object::{ObjectLexicon, ThingFields, object_words, told_words};
pub use remark::{Remark, RemarkKind};
pub use words::words;

/// The words of a text in the shape in which they are compared.
pub fn shapes(text: &str) -> impl Iterator<Item = String> {
    let words = stem::spans(text).into_iter();
    words.map(|span| stem::shape(&text[span]))
}

/// Most characters of one text that are read; the rest is named in a remark.
pub const LONGEST: usize = 20_000;

#[cfg(test)]
mod kit;
