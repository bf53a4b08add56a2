//! Spellings and readings as the tests of this room write them.

use crate::catalogue::Glyph;
use crate::find::{Mark, Reading, Side};

/// A spelling: `*` a free run, `/` a break.
pub(super) fn spelling(text: &str) -> Vec<Glyph> {
    text.chars()
        .map(|c| match c {
            '*' => Glyph::Free,
            '/' => Glyph::Break,
            c => Glyph::Letter(c),
        })
        .collect()
}

/// A reading of the obverse: `-` a gap, `.` a letter lost, `/` a break.
pub(super) fn reading(text: &str) -> Reading {
    let marks = text
        .chars()
        .map(|c| match c {
            '-' => Mark::Gap,
            '.' => Mark::Lost(1),
            '/' => Mark::Break,
            letter => Mark::Letter { letter, sure: true },
        })
        .collect();
    Reading {
        side: Side::Obverse,
        said: text.into(),
        marks,
        words: Vec::new(),
        retrograde: false,
        from_start: false,
        to_end: false,
    }
}
