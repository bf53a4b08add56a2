//! Legends to inscriptions: variants, mint names filled in, letters folded.
//!
//! A legend is spelled out once for each mint whose types bear it, however many
//! types do, so the scorer aligns a reading once a spelling. Judges nothing.

use std::collections::HashMap;

use super::raw::RawLibrary;
use super::resolved::{Glyph, Inscription, Mint, Spelling};
use crate::find::fold_to;

/// What stands for the mint's name in a legend.
pub(super) const MINT_SLOT: &str = "{mint}";

/// Spellings of a mint's name that are tried with each named moneyer; the legend's
/// main text is tried with all. A reading seldom holds both whole.
const SPELLINGS_WITH_VARIANTS: usize = 2;

/// Makes inscriptions as types ask for them.
pub(super) struct Inscriber<'a> {
    raw: &'a RawLibrary,
    struck: Vec<Vec<String>>,
    known: HashMap<(usize, Option<usize>), usize>,
    made: Vec<Inscription>,
}

impl<'a> Inscriber<'a> {
    /// An inscriber over the library's legends and mints.
    pub(super) fn new(raw: &'a RawLibrary, mints: &[Mint]) -> Inscriber<'a> {
        Inscriber {
            raw,
            struck: mints.iter().map(|mint| longest(&mint.struck)).collect(),
            known: HashMap::new(),
            made: Vec::new(),
        }
    }

    /// Positions of a legend's inscriptions at these mints: one a mint that signs, or one
    /// for all where it names no mint.
    pub(super) fn inscriptions(&mut self, legend: usize, mints: &[usize]) -> Vec<usize> {
        let fields = &self.raw.legends[legend].fields;
        let names_mint = std::iter::once(&fields.text)
            .chain(&fields.variants)
            .any(|text| text.contains(MINT_SLOT));
        let signing: Vec<usize> = mints
            .iter()
            .copied()
            .filter(|mint| !self.struck[*mint].is_empty())
            .collect();
        if !names_mint || signing.is_empty() {
            return vec![self.inscription(legend, None)];
        }
        signing
            .into_iter()
            .map(|mint| self.inscription(legend, Some(mint)))
            .collect()
    }

    fn inscription(&mut self, legend: usize, mint: Option<usize>) -> usize {
        if let Some(known) = self.known.get(&(legend, mint)) {
            return *known;
        }
        let forms = self.forms(legend, mint);
        self.made.push(Inscription {
            legend,
            mint,
            forms,
        });
        self.known.insert((legend, mint), self.made.len() - 1);
        self.made.len() - 1
    }

    fn forms(&self, legend: usize, mint: Option<usize>) -> Vec<Spelling> {
        let fields = &self.raw.legends[legend].fields;
        let mut forms = Vec::new();
        for (place, text) in std::iter::once(&fields.text)
            .chain(&fields.variants)
            .enumerate()
        {
            if !text.contains(MINT_SLOT) {
                forms.extend(spellings(text));
                continue;
            }
            let names: &[String] = mint.map_or(&[], |mint| &self.struck[mint]);
            let tried = if place == 0 || text.contains('*') {
                names.len()
            } else {
                SPELLINGS_WITH_VARIANTS
            };
            names
                .iter()
                .take(tried)
                .for_each(|name| forms.extend(spellings(&text.replace(MINT_SLOT, name))));
            if names.is_empty() {
                forms.extend(spellings(&text.replace(MINT_SLOT, "*")));
            }
        }
        forms.sort_unstable();
        forms.dedup_by(|a, b| a.glyphs == b.glyphs);
        forms
    }

    /// All inscriptions made.
    pub(super) fn finish(self) -> Vec<Inscription> {
        self.made
    }
}

/// Spellings that are not the beginning of a longer one: a reading of the shorter lies
/// along the longer as well.
fn longest(struck: &[String]) -> Vec<String> {
    let within = |name: &String| {
        struck
            .iter()
            .any(|other| other.len() > name.len() && other.starts_with(name.as_str()))
    };
    struck
        .iter()
        .filter(|name| !within(name))
        .cloned()
        .collect()
}

/// A text as struck, and, where it has wynn, as a modern reader spells it.
fn spellings(text: &str) -> Vec<Spelling> {
    let spelling = |text: String| Spelling {
        glyphs: glyphs(&text),
        text,
    };
    let mut forms = vec![spelling(text.to_string())];
    if text.contains('Ƿ') {
        forms.push(spelling(text.replace('Ƿ', "W")));
    }
    forms
}

/// The places of a legend's text: letters folded, `*` free, ` / ` a break.
pub(super) fn glyphs(text: &str) -> Vec<Glyph> {
    let mut glyphs = Vec::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '*' => glyphs.push(Glyph::Free),
            '/' | '|' => glyphs.push(Glyph::Break),
            c => fold_to(c, |letter| glyphs.push(Glyph::Letter(letter))),
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

    #[test]
    fn a_spelling_that_begins_a_longer_one_is_left_out() {
        let struck = ["LON", "LONDON", "LVND"].map(String::from);
        assert_eq!(longest(&struck), ["LONDON", "LVND"]);
    }
}
