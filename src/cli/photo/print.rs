//! What `photo` prints: measures in words and as JSON, and what was written.
//!
//! Rounds for reading by the error; reckons nothing.
//!
//! Invariant: no more figures are printed than the error leaves.

use std::io::Write;
use std::path::Path;

use serde::Serialize;

use super::args::MeasureArgs;
use crate::cli::error::Trouble;
use crate::photo::{Interval, Measured, Opened, Outline, Picture, Plate, Scale, Terms};

/// All that is answered.
pub(super) struct Answer<'a> {
    pub(super) asked: &'a MeasureArgs,
    pub(super) photograph: &'a Opened,
    pub(super) scale: &'a Scale,
    pub(super) object: &'a Outline,
    pub(super) measured: &'a Measured,
    pub(super) terms: &'a Terms,
    pub(super) doubts: Vec<String>,
}

/// A value with its interval, to as many decimals as its error leaves.
fn ranged(interval: &Interval, unit: &str) -> String {
    let half = (interval.high - interval.low) / 2.0;
    let decimals = if half < 0.05 {
        2
    } else {
        usize::from(half < 5.0)
    };
    let Interval { value, low, high } = interval;
    format!("{value:.decimals$} {unit} ({low:.decimals$} to {high:.decimals$})")
}

fn scale_said(scale: &Scale) -> String {
    match scale {
        Scale::Marks(marks) if marks.len() == 2 => "two points by hand".into(),
        Scale::Marks(marks) => format!("{} points by hand", marks.len()),
        Scale::Coins(coins) => {
            let named = coins.iter().map(|(coin, _)| {
                format!("{} of {} mm ({})", coin.name, coin.diameter, coin.source)
            });
            named.collect::<Vec<_>>().join(", ")
        }
    }
}

/// Prints what was measured.
pub(super) fn text(answer: &Answer, out: &mut dyn Write) -> Result<(), Trouble> {
    let found = answer.measured;
    writeln!(
        out,
        "{}, 95 in 100 within the bounds",
        ranged(&found.largest, "mm across at its widest")
    )?;
    writeln!(out, "  smallest   {}", ranged(&found.smallest, "mm"))?;
    writeln!(
        out,
        "  as circle  {} of the same area",
        ranged(&found.diameter, "mm")
    )?;
    writeln!(out, "  area       {}", ranged(&found.area, "mm²"))?;
    writeln!(
        out,
        "  how round  {:.2} (1 is a circle); smallest over largest {:.2}",
        found.roundness,
        found.smallest.value / found.largest.value
    )?;
    writeln!(
        out,
        "  scale      {:.5} mm a pixel at the find, by {}",
        found.mm_a_pixel,
        scale_said(answer.scale)
    )?;
    let known = if found.carried > 0.95 {
        ", of which the scale says nothing"
    } else {
        ""
    };
    writeln!(
        out,
        "  tilt       {:.0} to {:.0} degrees{known}; up to {:.0} allowed for, the camera at {:.0} mm or more",
        found.tilt.low, found.tilt.high, answer.terms.tilt, answer.terms.distance
    )?;
    if answer.photograph.turned {
        writeln!(out, "  the picture was turned upright, as its file says")?;
    }
    for doubt in &answer.doubts {
        writeln!(out, "  note: {doubt}")?;
    }
    if let Some(file) = &answer.asked.outline {
        writeln!(out, "  outline drawn in {}", file.display())?;
    }
    writeln!(
        out,
        "\nA caliper is surer. For a description: --diameter {:.1}",
        found.largest.value
    )?;
    writeln!(
        out,
        "Do not clean a find for its photograph; wash your hands after handling lead."
    )?;
    Ok(())
}

/// A measure for other programs.
#[derive(Serialize)]
struct RangeView {
    value: f64,
    low: f64,
    high: f64,
}

/// What was measured, for other programs.
#[derive(Serialize)]
pub(super) struct View {
    largest_mm: RangeView,
    smallest_mm: RangeView,
    equal_area_diameter_mm: RangeView,
    area_mm2: RangeView,
    roundness: f64,
    smallest_over_largest: f64,
    mm_per_pixel: f64,
    tilt_degrees: RangeView,
    coverage: f64,
    scale: String,
    middle_px: [f64; 2],
    picture_px: [usize; 2],
    turned: bool,
    notes: Vec<String>,
}

fn rounded(value: f64, decimals: i32) -> f64 {
    let times = 10_f64.powi(decimals);
    (value * times).round() / times
}

fn range(interval: &Interval) -> RangeView {
    RangeView {
        value: rounded(interval.value, 3),
        low: rounded(interval.low, 3),
        high: rounded(interval.high, 3),
    }
}

/// The answer as JSON has it.
pub(super) fn view(answer: &Answer) -> View {
    let found = answer.measured;
    let picture = &answer.photograph.picture;
    View {
        largest_mm: range(&found.largest),
        smallest_mm: range(&found.smallest),
        equal_area_diameter_mm: range(&found.diameter),
        area_mm2: range(&found.area),
        roundness: rounded(found.roundness, 4),
        smallest_over_largest: rounded(found.smallest.value / found.largest.value, 4),
        mm_per_pixel: rounded(found.mm_a_pixel, 7),
        tilt_degrees: range(&found.tilt),
        coverage: 0.95,
        scale: scale_said(answer.scale),
        middle_px: answer.object.middle.map(|at| rounded(at, 1)),
        picture_px: [picture.width, picture.height],
        turned: answer.photograph.turned,
        notes: answer.doubts.clone(),
    }
}

/// Says what copy was written and what was left out of it.
pub(super) fn copied(
    from: &Opened,
    made: &Picture,
    to: &Path,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    let upright = if from.turned { ", turned upright" } else { "" };
    writeln!(
        out,
        "{}: {} x {} pixels{upright}",
        to.display(),
        made.width,
        made.height
    )?;
    let left = match from.carried.as_slice() {
        [] => "nothing but pixels was in the original that is known here".to_string(),
        carried => format!("left out: {}", carried.join(", ")),
    };
    writeln!(out, "  {left}")?;
    Ok(())
}

/// Says what plate was written.
pub(super) fn plate(
    laid: &Plate,
    sheet: &Picture,
    dpi: u16,
    to: &Path,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    writeln!(
        out,
        "{}: {} view(s) at {}:1, {:.0} x {:.0} mm, {} x {} pixels at {dpi} dots an inch",
        to.display(),
        laid.pieces.len(),
        laid.times,
        laid.size[0],
        laid.size[1],
        sheet.width,
        sheet.height
    )?;
    writeln!(out, "  print it at 100 in 100, and hold a ruler to the bar")?;
    Ok(())
}
