//! Pages to the bytes of a PDF: text with its font, pictures packed anew, tags, the foot.
//!
//! The only place that knows the PDF library. Writes no time and no identity of the machine; the
//! day stands in the text, where it was handed in.
//!
//! Invariant: the same pages give the same bytes, and every thing that is read has a tag.

use krilla::color::luma;
use krilla::geom::{PathBuilder, Point as At, Rect, Size, Transform};
use krilla::image::Image;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke};
use krilla::surface::Surface;
use krilla::tagging::{ArtifactType, ContentTag, Identifier, Node, SpanTag, TagTree};
use krilla::text::Font;
use krilla::{Document, SerializeSettings};

use super::super::super::error::Trouble;
use super::flow::{BODY, Mark, Part, SHEET, SIDE, Thing, Tone};
use super::letters::{Face, POINT};
use super::tags;
use crate::photo::{FONT, Form, packed};

/// Length of the ruler at the foot, mm.
const RULER: f64 = 50.0;
/// Where the ruler stands, mm from the top.
const FOOT: f64 = 281.0;
/// Language of the text, as a language tag.
const LANGUAGE: &str = "en-GB";

/// Draws pages. With a `day` every page has a foot: a ruler, the day, its number.
pub(in crate::cli) fn drawn(
    pages: &[Vec<Thing>],
    title: &str,
    day: Option<&str>,
    face: &Face,
) -> Result<Vec<u8>, Trouble> {
    let font = Font::new(FONT.into(), 0).ok_or_else(|| broken("the font cannot be read"))?;
    let settings = SerializeSettings {
        xmp_metadata: false,
        ..SerializeSettings::default()
    };
    let mut document = Document::new_with(settings);
    let about = Metadata::new()
        .title(title.to_string())
        .creator("Lynchet".into())
        .language(LANGUAGE.into());
    document.set_metadata(about);
    let size = PageSettings::from_wh(points(SHEET[0]), points(SHEET[1]));
    let size = size.ok_or_else(|| broken("a page has no size"))?;
    let mut heard: Vec<(Part, Identifier)> = Vec::new();
    for (at, things) in pages.iter().enumerate() {
        let mut page = document.start_page_with(size.clone());
        let mut surface = page.surface();
        let pen = Pen { font: &font, face };
        for thing in things {
            thing_drawn(thing, &pen, &mut surface, &mut heard)?;
        }
        if let Some(day) = day {
            let number = format!("{day} \u{b7} page {} of {}", at + 1, pages.len());
            let foot = Thing {
                part: Part::Trim,
                marks: foot(&number, face),
            };
            thing_drawn(&foot, &pen, &mut surface, &mut heard)?;
        }
        surface.finish();
        page.finish();
    }
    let mut tree = TagTree::new().with_lang(Some(LANGUAGE.into()));
    for node in tags::tree(heard) {
        tree.push(node);
    }
    document.set_tag_tree(tree);
    document
        .finish()
        .map_err(|fault| broken(&format!("{fault}")))
}

fn broken(why: &str) -> Trouble {
    Trouble::new(
        format!("the page cannot be drawn as PDF: {why}"),
        "print the page as HTML instead",
    )
}

/// Points of so many mm.
fn points(mm: f64) -> f32 {
    (mm / POINT) as f32
}

struct Pen<'p> {
    font: &'p Font,
    face: &'p Face,
}

fn thing_drawn(
    thing: &Thing,
    pen: &Pen<'_>,
    surface: &mut Surface<'_>,
    heard: &mut Vec<(Part, Identifier)>,
) -> Result<(), Trouble> {
    let tag = match &thing.part {
        Part::Trim => {
            ContentTag::Artifact(krilla::tagging::Artifact::with_kind(ArtifactType::Layout))
        }
        Part::Figure(_) => ContentTag::Other,
        _ => ContentTag::Span(SpanTag::empty()),
    };
    let id = surface.start_tagged(tag);
    for mark in &thing.marks {
        mark_drawn(mark, pen, surface)?;
    }
    surface.end_tagged();
    if thing.part != Part::Trim {
        heard.push((thing.part.clone(), id));
    }
    Ok(())
}

fn fill(tone: Tone) -> Fill {
    let light = match tone {
        Tone::Ink => 0,
        Tone::Quiet => 88,
        Tone::Line => 190,
        Tone::White => 255,
    };
    Fill {
        paint: luma::Color::new(light).into(),
        ..Fill::default()
    }
}

fn mark_drawn(mark: &Mark, pen: &Pen<'_>, surface: &mut Surface<'_>) -> Result<(), Trouble> {
    match mark {
        Mark::Words {
            words,
            at,
            size,
            tone,
            strong,
        } => {
            surface.set_fill(Some(fill(*tone)));
            // The font has one weight; a heading is drawn a little thicker.
            surface.set_stroke(strong.then(|| Stroke {
                width: (*size * 0.03) as f32,
                ..Stroke::default()
            }));
            let glyphs = pen.face.glyphs(words);
            let start = At::from_xy(points(at[0]), points(at[1]));
            let font = pen.font.clone();
            surface.draw_glyphs(start, &glyphs, font, words, *size as f32, false);
            surface.set_stroke(None);
        }
        Mark::Block { at, size, tone } => {
            surface.set_fill(Some(fill(*tone)));
            surface.set_stroke(None);
            let (left, top) = (points(at[0]), points(at[1]));
            let rect = Rect::from_xywh(left, top, points(size[0]), points(size[1]));
            let mut path = PathBuilder::new();
            if let Some(rect) = rect {
                path.push_rect(rect);
            }
            if let Some(path) = path.finish() {
                surface.draw_path(&path);
            }
        }
        Mark::Image { picture, at, size } => {
            let bytes = packed(picture, Form::Jpeg, None).map_err(|fault| broken(&fault.what))?;
            let image = Image::from_jpeg(bytes.into(), true).map_err(|why| broken(&why))?;
            let size = Size::from_wh(points(size[0]), points(size[1]));
            let size = size.ok_or_else(|| broken("a picture has no size"))?;
            let place = Transform::from_translate(points(at[0]), points(at[1]));
            surface.push_transform(&place);
            surface.draw_image(image, size);
            surface.pop();
        }
    }
    Ok(())
}

/// The foot: a ruler to check the print by, the day and the page.
fn foot(number: &str, face: &Face) -> Vec<Mark> {
    let block = |at, size| Mark::Block {
        at,
        size,
        tone: Tone::Ink,
    };
    let mut marks = vec![block([SIDE, FOOT], [RULER, 0.35])];
    for step in 0..=5 {
        let along = SIDE + 10.0 * f64::from(step);
        let (tall, thick) = if step % 5 == 0 {
            (2.4, 0.2)
        } else {
            (1.4, 0.2)
        };
        // The outer ticks end where the ruler ends.
        let left = match step {
            0 => along,
            5 => along - thick,
            _ => along - thick / 2.0,
        };
        marks.push(block([left, FOOT - tall], [thick, tall]));
    }
    let words = |words: &str, left: f64| Mark::Words {
        words: words.to_string(),
        at: [left, FOOT + 0.35],
        size: 8.0,
        tone: Tone::Quiet,
        strong: false,
    };
    marks.push(words("50 mm when printed at 100 %", SIDE + RULER + 3.0));
    let left = SIDE + BODY - face.width(number, 8.0);
    marks.push(words(number, left));
    marks
}

/// A node of the tree.
pub(super) fn leaf(id: Identifier) -> Node {
    id.into()
}
