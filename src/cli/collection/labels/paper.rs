//! Labels at true size: what stands where, and a PDF of it.
//!
//! Lays out by the letters of the font that ships with the project; chooses nothing.
//!
//! Invariant: a line is no wider than its label, and lines that do not fit are left out from the
//! last.

use super::Label;
use super::sheet::Sheet;
use crate::cli::error::Trouble;
use crate::cli::record::pdf::{Face, Mark, POINT, Part, Thing, Tone, drawn};

/// Room within a label, mm.
const ROOM: (f64, f64) = (1.6, 1.2);
/// Thickness of a line to cut along, mm.
const LINE: f64 = 0.15;

/// Labels on sheets.
pub(crate) fn pdf(labels: &[Label], sheet: &Sheet) -> Result<Vec<u8>, Trouble> {
    let face = opened()?;
    drawn(&laid(labels, sheet, &face), "Labels of finds", None, &face)
}

/// The letters that ship with the project.
pub(super) fn opened() -> Result<Face, Trouble> {
    let face = Face::open();
    face.ok_or_else(|| Trouble::new("the font cannot be read", "install it anew"))
}

/// What stands on each sheet.
pub(super) fn laid(labels: &[Label], sheet: &Sheet, face: &Face) -> Vec<Vec<Thing>> {
    let mut pages: Vec<Vec<Thing>> = (0..sheet.sheets(labels.len()))
        .map(|_| Vec::new())
        .collect();
    for (at, label) in labels.iter().enumerate() {
        let (number, corner) = sheet.place(at);
        let Some(page) = pages.get_mut(number) else {
            continue;
        };
        if sheet.lines {
            page.push(Thing {
                part: Part::Trim,
                marks: outline(corner, sheet.size),
            });
        }
        page.push(Thing {
            part: Part::Paragraph(at),
            marks: words(label, corner, sheet.size, face),
        });
    }
    pages
}

/// The four sides of a label.
fn outline((left, top): (f64, f64), (wide, high): (f64, f64)) -> Vec<Mark> {
    let side = |at, size| Mark::Block {
        at,
        size,
        tone: Tone::Line,
    };
    vec![
        side([left, top], [wide, LINE]),
        side([left, top + high], [wide, LINE]),
        side([left, top], [LINE, high]),
        side([left + wide, top], [LINE, high]),
    ]
}

fn words(
    label: &Label,
    (left, top): (f64, f64),
    (wide, high): (f64, f64),
    face: &Face,
) -> Vec<Mark> {
    let room = wide - 2.0 * ROOM.0;
    let size = (high / 6.2).clamp(1.8, 3.6) / POINT;
    let mut marks = Vec::new();
    let mut down = top + ROOM.1;
    let foot = top + high - ROOM.1;
    let mut put = |text: &str, size: f64, strong: bool, most: usize| {
        let (shown, _) = face.legible(text);
        let lines = face.wrapped(&shown, room, size);
        let cut = lines.len() > most;
        for (place, line) in lines.into_iter().take(most).enumerate() {
            let step = size * POINT * 1.2;
            if down + step > foot + 0.01 {
                return;
            }
            let words = match cut && place + 1 == most {
                true => ended(&line, room, size, face),
                false => line,
            };
            marks.push(Mark::Words {
                words,
                at: [left + ROOM.0, down + size * POINT * 0.95],
                size,
                tone: Tone::Ink,
                strong,
            });
            down += step;
        }
    };
    put(&label.code, size * 1.2, true, 2);
    for (place, line) in label.lines.iter().enumerate() {
        put(line, size, false, if place == 0 { 2 } else { 1 });
    }
    marks
}

/// A line that goes on, with dots at its end.
fn ended(line: &str, room: f64, size: f64, face: &Face) -> String {
    let mut line = line.to_string();
    while !line.is_empty() && face.width(&line, size) + face.width("...", size) > room {
        line.pop();
    }
    line + "..."
}
