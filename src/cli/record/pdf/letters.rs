//! Letters of the page: which glyph, how wide, where a line breaks, where a mark sits.
//!
//! Lays out by the font that ships with the project, without kerning; draws nothing. A mark that
//! combines is put under or over the middle of its letter, and over a capital it is raised.
//!
//! Invariant: a line is as wide as its letters' advances, and no break parts a mark from its letter.

use krilla::text::{GlyphId, KrillaGlyph};
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;
use skrifa::{FontRef, MetadataProvider};
use unicode_normalization::UnicodeNormalization;

use crate::photo::FONT;

/// Millimetres of a point.
pub(in crate::cli) const POINT: f64 = 25.4 / 72.0;
/// Room between a letter and a mark that was raised over it, of the letters' size.
const OVER: f32 = 0.04;

/// The font with its measures.
pub(in crate::cli) struct Face {
    font: FontRef<'static>,
    metrics: GlyphMetrics<'static>,
}

/// A letter with its place in the font and its advance, of the letters' size.
#[derive(Clone, Copy)]
struct Letter {
    glyph: skrifa::GlyphId,
    advance: f32,
}

impl Face {
    /// The font that ships with the project; none if it cannot be read.
    pub(in crate::cli) fn open() -> Option<Face> {
        let font = FontRef::new(FONT).ok()?;
        let metrics = font.glyph_metrics(Size::new(1.0), LocationRef::default());
        Some(Face { font, metrics })
    }

    fn letter(&self, c: char) -> Option<Letter> {
        let glyph = self.font.charmap().map(c)?;
        let advance = if combines(c) {
            0.0
        } else {
            self.metrics.advance_width(glyph)?
        };
        (glyph != skrifa::GlyphId::NOTDEF).then_some(Letter { glyph, advance })
    }

    /// A text in letters of the font: composed where the font has the whole letter, apart where it
    /// has the parts, and as its number, `(U+6F22)`, where it has neither. Says whether there was
    /// such a one.
    pub(in crate::cli) fn legible(&self, text: &str) -> (String, bool) {
        let mut shown = String::with_capacity(text.len());
        let mut lacking = false;
        for c in text.nfc() {
            if c.is_whitespace() || c.is_control() {
                shown.push(' ');
            } else if self.letter(c).is_some() {
                shown.push(c);
            } else if std::iter::once(c)
                .nfd()
                .all(|part| self.letter(part).is_some())
            {
                shown.extend(std::iter::once(c).nfd());
            } else {
                lacking = true;
                shown.push_str(&format!("(U+{:04X})", c as u32));
            }
        }
        (shown, lacking)
    }

    /// Width of a line in mm at a size in points.
    pub(in crate::cli) fn width(&self, text: &str, size: f64) -> f64 {
        let letters = text.chars().filter_map(|c| self.letter(c));
        let ems: f64 = letters.map(|letter| f64::from(letter.advance)).sum();
        ems * size * POINT
    }

    /// A text cut into lines of at most so many mm: between words, and within a word that is
    /// longer than a line.
    pub(in crate::cli) fn wrapped(&self, text: &str, width: f64, size: f64) -> Vec<String> {
        let most = width / (size * POINT);
        let long = |c: char| self.letter(c).map_or(0.0, |one| f64::from(one.advance));
        let blank = long(' ');
        let (mut lines, mut line, mut used) = (Vec::new(), String::new(), 0.0);
        for word in text.split_whitespace() {
            let needs: f64 = word.chars().map(long).sum();
            if !line.is_empty() && used + blank + needs > most {
                lines.push(std::mem::take(&mut line));
                used = 0.0;
            } else if !line.is_empty() {
                line.push(' ');
                used += blank;
            }
            for c in word.chars() {
                if used + long(c) > most && !combines(c) && !line.is_empty() {
                    lines.push(std::mem::take(&mut line));
                    used = 0.0;
                }
                line.push(c);
                used += long(c);
            }
        }
        if !line.is_empty() {
            lines.push(line);
        }
        lines
    }

    /// The glyphs of a line.
    pub(super) fn glyphs(&self, text: &str) -> Vec<KrillaGlyph> {
        let mut glyphs = Vec::new();
        let mut before: Option<Letter> = None;
        for (at, c) in text.char_indices() {
            let Some(letter) = self.letter(c) else {
                continue;
            };
            let (across, up) = match before.filter(|_| combines(c)) {
                Some(base) => self.mark(c, letter, base),
                None => (0.0, 0.0),
            };
            if !combines(c) {
                before = Some(letter);
            }
            let glyph = GlyphId::new(letter.glyph.to_u32());
            let range = at..at + c.len_utf8();
            glyphs.push(KrillaGlyph::new(
                glyph,
                letter.advance,
                across,
                up,
                0.0,
                range,
                None,
            ));
        }
        glyphs
    }

    /// How far a mark is moved from the end of its letter, right and up, of the letters' size.
    fn mark(&self, c: char, mark: Letter, base: Letter) -> (f32, f32) {
        let bounds = |glyph| self.metrics.bounds(glyph);
        let (Some(own), Some(under)) = (bounds(mark.glyph), bounds(base.glyph)) else {
            return (0.0, 0.0);
        };
        // A mark of two letters stands between them.
        let middle = match c {
            '\u{35c}'..='\u{362}' => 0.0,
            _ => (under.x_min + under.x_max) / 2.0 - base.advance,
        };
        let up = match own.y_min > 0.0 {
            true => (under.y_max + OVER - own.y_min).max(0.0),
            false => 0.0,
        };
        (middle - (own.x_min + own.x_max) / 2.0, up)
    }
}

/// True for a mark that stands over or under the letter before it.
fn combines(c: char) -> bool {
    matches!(c, '\u{300}'..='\u{36f}')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn face() -> Face {
        Face::open().expect("the font")
    }

    #[test]
    fn lines_break_between_words_and_within_what_is_longer_than_a_line() {
        let face = face();
        let text =
            "Silver penny of nobody in particular, aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa";
        let lines = face.wrapped(text, 40.0, 10.0);
        assert!(lines.len() > 2);
        assert!(lines.iter().all(|line| face.width(line, 10.0) <= 40.0));
        let bare = |text: &str| text.replace(' ', "");
        assert_eq!(bare(&lines.concat()), bare(text));
        // No word, no line; no letter fits, one letter a line.
        assert!(face.wrapped("  ", 40.0, 10.0).is_empty());
        assert_eq!(face.wrapped("abc", 0.1, 10.0), ["a", "b", "c"]);
    }

    #[test]
    fn a_dot_below_stays_with_its_letter_and_under_its_middle() {
        let face = face();
        let text = "M\u{323}M\u{323}M\u{323}";
        for line in face.wrapped(text, 1.0, 10.0) {
            assert_eq!(line, "M\u{323}");
        }
        let glyphs = face.glyphs("M\u{323}");
        let [letter, dot] = glyphs.as_slice() else {
            panic!("two glyphs: {glyphs:?}");
        };
        let own = face
            .metrics
            .bounds(skrifa::GlyphId::new(dot.glyph_id.to_u32()));
        let own = own.expect("its bounds");
        let middle = letter.x_advance + dot.x_offset + (own.x_min + own.x_max) / 2.0;
        assert!((middle - letter.x_advance / 2.0).abs() < 0.02, "{middle}");
        assert_eq!(dot.x_advance, 0.0);
    }

    #[test]
    fn what_the_font_lacks_stands_as_its_number() {
        let face = face();
        assert_eq!(face.legible("Ða Є"), ("Ða Є".into(), false));
        assert_eq!(face.legible("a漢b"), ("a(U+6F22)b".into(), true));
        assert_eq!(face.legible("a\nb"), ("a b".into(), false));
    }
}
