//! Labels as pictures of their sheets, to be seen in a page and printed from it.
//!
//! Draws what is laid out for the PDF, in mm; brings no style, since a page may not.
//!
//! Invariant: any text comes out as text, and what does not fit its label is cut off at its edge.

use super::Label;
use super::paper::{laid, opened};
use super::sheet::{A4, Sheet};
use crate::cli::error::Trouble;
use crate::cli::record::pdf::{Mark, POINT, Part};
use crate::drawn::{escaped, put};

/// Labels on sheets, each sheet a picture of A4 as SVG.
pub(crate) fn sheets(labels: &[Label], sheet: &Sheet) -> Result<Vec<String>, Trouble> {
    let face = opened()?;
    let pages = laid(labels, sheet, &face);
    let count = pages.len();
    let mut drawn = Vec::with_capacity(count);
    for (number, things) in pages.iter().enumerate() {
        let mut svg = String::new();
        let (wide, high) = A4;
        put(
            &mut svg,
            &format!(
                r#"<svg xmlns="http://www.w3.org/2000/svg" class="label-sheet" width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}" role="group" aria-label="Sheet {} of {count}">"#,
                number + 1
            ),
        );
        for thing in things {
            let corner = match thing.part {
                Part::Paragraph(at) => sheet.place(at).1,
                _ => (0.0, 0.0),
            };
            let size = match thing.part {
                Part::Paragraph(_) => sheet.size,
                _ => A4,
            };
            put(&mut svg, &within(corner, size, &thing.marks));
        }
        put(&mut svg, "</svg>");
        drawn.push(svg);
    }
    Ok(drawn)
}

/// Marks within a frame that cuts off what stands out of it.
fn within((left, top): (f64, f64), (wide, high): (f64, f64), marks: &[Mark]) -> String {
    let mut part = format!(
        r#"<svg x="{left:.2}" y="{top:.2}" width="{wide:.2}" height="{high:.2}" viewBox="{left:.2} {top:.2} {wide:.2} {high:.2}">"#
    );
    for mark in marks {
        match mark {
            Mark::Words {
                words,
                at: [x, y],
                size,
                strong,
                ..
            } => {
                let weight = if *strong { " font-weight=\"700\"" } else { "" };
                let size = size * POINT;
                let words = escaped(words);
                part.push_str(&format!(
                    r#"<text x="{x:.2}" y="{y:.2}" font-size="{size:.2}"{weight}>{words}</text>"#
                ));
            }
            Mark::Block {
                at: [x, y],
                size: [wide, high],
                ..
            } => part.push_str(&format!(
                r#"<rect x="{x:.2}" y="{y:.2}" width="{wide:.2}" height="{high:.2}"/>"#
            )),
            Mark::Image { .. } => {}
        }
    }
    part + "</svg>"
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::shared::SheetFlags;

    #[test]
    fn every_label_stands_on_its_sheet_and_text_stays_text() {
        let label = |at: usize| Label {
            code: format!("LA-{at}"),
            lines: vec!["<script>alert(1)</script>".into(), "a".repeat(4_000)],
        };
        let labels: Vec<Label> = (0..30).map(label).collect();
        let flags = SheetFlags {
            sheet: "3x8".into(),
            used: 2,
            ..SheetFlags::default()
        };
        let sheet = flags.sheet().expect("a sheet");
        let pages = sheets(&labels, &sheet).expect("pictures");
        assert_eq!(pages.len(), 2);
        let mut codes = 0;
        for svg in &pages {
            let read = roxmltree::Document::parse(svg).expect("it is well formed");
            let words = read.descendants().filter(|node| node.has_tag_name("text"));
            codes += words
                .filter(|node| node.text().is_some_and(|text| text.starts_with("LA-")))
                .count();
            assert!(!svg.contains("<script") && !svg.contains("style="), "{svg}");
        }
        assert_eq!(codes, 30);
    }
}
