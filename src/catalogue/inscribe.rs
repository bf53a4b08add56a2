//! Legends to inscriptions: variants, mint names filled in, letters folded.
//!
//! Each distinct string is made once, however many types bear it, so the scorer
//! aligns a reading once a string. Judges nothing.

use std::collections::HashMap;

use super::raw::RawLibrary;
use super::resolved::{Glyph, Inscription, Mint};
use crate::find::fold;

/// What stands for the mint's name in a legend.
pub(super) const MINT_SLOT: &str = "{mint}";

/// Makes inscriptions as types ask for them.
pub(super) struct Inscriber<'a> {
    raw: &'a RawLibrary,
    struck: Vec<Vec<String>>,
    known: HashMap<(usize, Option<usize>, Vec<Glyph>), usize>,
    made: Vec<Inscription>,
}

impl<'a> Inscriber<'a> {
    /// An inscriber over the library's legends and mints.
    pub(super) fn new(raw: &'a RawLibrary, mints: &[Mint]) -> Inscriber<'a> {
        Inscriber {
            raw,
            struck: mints.iter().map(|mint| mint.struck.clone()).collect(),
            known: HashMap::new(),
            made: Vec::new(),
        }
    }

    /// Positions of the forms a legend takes at these mints.
    pub(super) fn forms(&mut self, legend: usize, mints: &[usize]) -> Vec<usize> {
        let fields = &self.raw.legends[legend].fields;
        let texts: Vec<&String> = std::iter::once(&fields.text).chain(&fields.variants).collect();
        let mut forms = Vec::new();
        for text in texts {
            if !text.contains(MINT_SLOT) {
                forms.extend(self.spellings(legend, None, text));
                continue;
            }
            for &mint in mints {
                for name in self.struck[mint].clone() {
                    forms.extend(self.spellings(legend, Some(mint), &text.replace(MINT_SLOT, &name)));
                }
            }
            if mints.iter().all(|mint| self.struck[*mint].is_empty()) {
                forms.extend(self.spellings(legend, None, &text.replace(MINT_SLOT, "*")));
            }
        }
        forms
    }

    /// A text as struck, and, where it has wynn, as a modern reader spells it.
    fn spellings(&mut self, legend: usize, mint: Option<usize>, text: &str) -> Vec<usize> {
        let mut forms = vec![self.form(legend, mint, text)];
        if text.contains('Ƿ') {
            forms.push(self.form(legend, mint, &text.replace('Ƿ', "W")));
        }
        forms
    }

    fn form(&mut self, legend: usize, mint: Option<usize>, text: &str) -> usize {
        let glyphs = glyphs(text);
        let made = &mut self.made;
        *self.known.entry((legend, mint, glyphs)).or_insert_with_key(|(legend, mint, glyphs)| {
            made.push(Inscription { legend: *legend, mint: *mint, glyphs: glyphs.clone() });
            made.len() - 1
        })
    }

    /// All inscriptions made.
    pub(super) fn finish(self) -> Vec<Inscription> {
        self.made
    }
}

/// The places of a legend's text: letters folded, `*` free, ` / ` a break.
pub(super) fn glyphs(text: &str) -> Vec<Glyph> {
    let mut glyphs = Vec::new();
    for c in text.chars() {
        match c {
            '*' => glyphs.push(Glyph::Free),
            '/' | '|' => glyphs.push(Glyph::Break),
            c => glyphs.extend(fold(c).chars().map(Glyph::Letter)),
        }
    }
    glyphs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_legend_text_becomes_letters_breaks_and_free_runs() {
        let shown: String = glyphs("+ EDǷ / R * ON")
            .iter()
            .map(|glyph| match glyph {
                Glyph::Letter(c) => *c,
                Glyph::Free => '*',
                Glyph::Break => '/',
            })
            .collect();
        assert_eq!(shown, "EDP/R*ON");
    }
}
