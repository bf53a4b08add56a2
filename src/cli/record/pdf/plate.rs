//! The plate on the page, at true scale: pictures, bar and words where the layout puts them.
//!
//! Beside the true size stands twice the size, or under it, where that fits. Scales nothing to fit:
//! a view that is larger than the sheet is told and left out.
//!
//! Invariant: a millimetre of the layout is a millimetre on the page.

use std::rc::Rc;

use super::find::set;
use super::flow::{BODY, END, Flow, Mark, Part, SIDE, TOP, Tone};
use super::letters::POINT;
use crate::photo::{Picture, Plate, thumbnail};

/// Dots an inch that a picture keeps at the larger size; more shows in no print.
const DOTS: f64 = 600.0;

/// What is drawn for a find.
pub(in crate::cli::record) struct Plates {
    /// At true size: all views in one, or each by itself where they are wider than the sheet.
    pub once: Vec<Plate>,
    /// At twice the size.
    pub twice: Option<Plate>,
    /// What the views are, for those who hear the page: "obverse, reverse".
    pub shows: String,
}

/// True for a plate that has room on a page.
pub(in crate::cli::record) fn fits(plate: &Plate) -> bool {
    plate.size[0] <= BODY && plate.size[1] <= END - TOP - 5.0
}

/// Puts the plates of a find.
pub(super) fn put(plates: &Plates, flow: &mut Flow<'_>) {
    let mut left_out = false;
    let mut beside: Option<[f64; 3]> = None;
    for plate in &plates.once {
        if !fits(plate) {
            left_out = true;
            continue;
        }
        flow.needs(plate.size[1]);
        let alt = format!("{}, at true size, with a bar in mm", plates.shows);
        flow.put(Part::Figure(alt), marks(plate, [SIDE, flow.down]));
        beside = Some([plate.size[0], plate.size[1], flow.down]);
        flow.down += plate.size[1];
    }
    if let (Some(twice), Some([width, height, top])) = (&plates.twice, beside) {
        let alt = format!("{}, at twice its size", plates.shows);
        if width + twice.size[0] <= BODY && top + twice.size[1] <= END {
            flow.put(Part::Figure(alt), marks(twice, [SIDE + width, top]));
            flow.down = top + twice.size[1].max(height);
        } else if flow.down + twice.size[1] <= END {
            flow.put(Part::Figure(alt), marks(twice, [SIDE, flow.down]));
            flow.down += twice.size[1];
        }
    }
    if left_out {
        let told = flow.fresh();
        let says = "A view is larger than this sheet at true size, and is left out here.";
        flow.block(Part::Paragraph(told), says, set(8.5));
    }
    flow.down += 2.0;
}

/// What is drawn for a plate with its upper left at a point.
fn marks(plate: &Plate, [left, top]: [f64; 2]) -> Vec<Mark> {
    let mut marks = Vec::new();
    for piece in &plate.pieces {
        marks.push(Mark::Image {
            picture: Rc::new(kept(&piece.picture, piece.size, plate.times)),
            at: [left + piece.at[0], top + piece.at[1]],
            size: piece.size,
        });
    }
    let bar = &plate.bar;
    let block = |at: [f64; 2], size: [f64; 2], tone| Mark::Block {
        at: [left + at[0], top + at[1]],
        size,
        tone,
    };
    let long = bar.step * bar.steps as f64;
    marks.push(block(bar.at, [long, bar.height], Tone::Ink));
    let line = 0.15;
    for step in (1..bar.steps).step_by(2) {
        let from = bar.at[0] + bar.step * step as f64;
        let end = if step + 1 == bar.steps { line } else { 0.0 };
        marks.push(block(
            [from, bar.at[1] + line],
            [bar.step - end, bar.height - 2.0 * line],
            Tone::White,
        ));
    }
    for label in &plate.labels {
        marks.push(Mark::Words {
            words: label.words.clone(),
            at: [left + label.at[0], top + label.at[1]],
            size: label.size / POINT,
            tone: Tone::Ink,
            strong: false,
        });
    }
    marks
}

/// A picture with no more pixels than print shows at twice its size, so that both plates share it.
fn kept(picture: &Picture, size: [f64; 2], times: f64) -> Picture {
    let longest = size[0].max(size[1]) * 2.0 / times;
    thumbnail(picture, (longest / 25.4 * DOTS).ceil().max(1.0) as usize)
}
