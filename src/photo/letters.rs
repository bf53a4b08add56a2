//! Letters drawn into pictures, from the font that ships with the project.
//!
//! Lays out one line without kerning and draws it; breaks no lines. Letters that the font lacks
//! are told before anything is drawn.
//!
//! Invariant: a line is as wide as the sum of its letters' advances.

use ab_glyph_rasterizer::{Point as At, Rasterizer, point};
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{FontRef, GlyphId, MetadataProvider};

use super::fault::{Fault, Kind};
use super::picture::Picture;

/// The font: DejaVu Sans, cut down; its licence lies beside it.
pub(crate) const FONT: &[u8] = include_bytes!("font/lynchet-letters.ttf");

fn font() -> Option<FontRef<'static>> {
    FontRef::new(FONT).ok()
}

/// The letters of a text that the font lacks.
pub(crate) fn lacking(text: &str) -> Vec<char> {
    let Some(font) = font() else {
        return text.chars().collect();
    };
    let charmap = font.charmap();
    text.chars()
        .filter(|c| charmap.map(*c).is_none_or(|glyph| glyph == GlyphId::NOTDEF))
        .collect()
}

/// Checks that a text can be drawn.
///
/// # Errors
///
/// When a letter is not in the font.
pub(crate) fn checked(text: &str, field: &str) -> Result<(), Fault> {
    match lacking(text).first() {
        None => Ok(()),
        Some(letter) => Err(Fault::new(
            Kind::Letter,
            format!(
                "{field}: the letter {:?} (U+{:04X}) cannot be drawn",
                letter, *letter as u32
            ),
            "write it with Latin or Greek letters, figures and common signs",
        )),
    }
}

/// Width of a line in pixels at a size in pixels.
pub(crate) fn width(text: &str, size: f32) -> f32 {
    let Some(font) = font() else { return 0.0 };
    let metrics = font.glyph_metrics(Size::new(size), LocationRef::default());
    let charmap = font.charmap();
    text.chars()
        .filter_map(|c| charmap.map(c))
        .filter_map(|glyph| metrics.advance_width(glyph))
        .sum()
}

/// Draws a line in black, its left end on the baseline at a point.
pub(crate) fn draw(picture: &mut Picture, text: &str, size: f32, left: f32, baseline: f32) {
    let Some(font) = font() else { return };
    let across = (width(text, size).ceil() as usize + 4).min(picture.width + 4);
    let (up, down) = ((size * 1.1).ceil() as usize, (size * 0.4).ceil() as usize);
    let mut pen = Pen {
        raster: Rasterizer::new(across, up + down),
        origin: point(2.0, up as f32),
        start: point(0.0, 0.0),
        last: point(0.0, 0.0),
    };
    let charmap = font.charmap();
    let glyphs = font.outline_glyphs();
    let metrics = font.glyph_metrics(Size::new(size), LocationRef::default());
    for glyph in text.chars().filter_map(|c| charmap.map(c)) {
        if let Some(outline) = glyphs.get(glyph) {
            let settings = DrawSettings::unhinted(Size::new(size), LocationRef::default());
            // A letter that cannot be drawn leaves its place blank.
            let _ = outline.draw(settings, &mut pen);
        }
        pen.origin.x += metrics.advance_width(glyph).unwrap_or(0.0);
    }
    let (from_x, from_y) = (
        left.round() as isize - 2,
        baseline.round() as isize - up as isize,
    );
    pen.raster.for_each_pixel_2d(|x, y, cover| {
        let (x, y) = (from_x + x as isize, from_y + y as isize);
        let within = x >= 0 && y >= 0 && x < picture.width as isize && y < picture.height as isize;
        if within && cover > 0.0 {
            let at = 3 * (y as usize * picture.width + x as usize);
            for value in &mut picture.rgb[at..at + 3] {
                *value = (f32::from(*value) * (1.0 - cover.min(1.0))).round() as u8;
            }
        }
    });
}

struct Pen {
    raster: Rasterizer,
    origin: At,
    start: At,
    last: At,
}

impl Pen {
    fn place(&self, x: f32, y: f32) -> At {
        point(self.origin.x + x, self.origin.y - y)
    }
}

impl OutlinePen for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.start = self.place(x, y);
        self.last = self.start;
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let to = self.place(x, y);
        self.raster.draw_line(self.last, to);
        self.last = to;
    }

    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        let (by, to) = (self.place(cx, cy), self.place(x, y));
        self.raster.draw_quad(self.last, by, to);
        self.last = to;
    }

    fn curve_to(&mut self, ax: f32, ay: f32, bx: f32, by: f32, x: f32, y: f32) {
        let (a, b, to) = (self.place(ax, ay), self.place(bx, by), self.place(x, y));
        self.raster.draw_cubic(self.last, a, b, to);
        self.last = to;
    }

    fn close(&mut self) {
        self.raster.draw_line(self.last, self.start);
        self.last = self.start;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // The marks of damaged legends (Leiden; EpiDoc Guidelines 9.8) and the letters of the coins.
    #[test]
    fn the_font_has_the_letters_of_legends_and_their_marks() {
        let text = "ABCXYZabcxyz0123456789 ÆæÐðÞþЄ [---] [..] (abc) <a> {b} ⟦c⟧ ⌈d⌉ a\u{323} † ± × · – — “” ‘’ £ ½ ΑΩ";
        assert_eq!(lacking(text), Vec::<char>::new());
        assert_eq!(lacking("a漢"), ['漢']);
        let fault = checked("x漢", "name").expect_err("no such letter");
        assert!(
            fault.what.contains("name") && fault.what.contains("U+6F22"),
            "{fault}"
        );
    }

    #[test]
    fn a_line_is_drawn_where_it_is_put() {
        let mut picture = Picture::plain(120, 40, [255; 3]);
        draw(&mut picture, "10 mm", 20.0, 10.0, 30.0);
        let dark = |x: usize, y: usize| picture.rgb[3 * (y * 120 + x)] < 128;
        assert!((10..80).any(|x| dark(x, 25)));
        assert!((0..120).all(|x| !dark(x, 5) && !dark(x, 38)));
        // Out of the picture is no harm.
        draw(&mut picture, "far", 20.0, -500.0, 9000.0);
    }
}
