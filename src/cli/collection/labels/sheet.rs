//! The sheet: how many labels down and across, and where each stands, in mm on A4.
//!
//! Knows no find.
//!
//! Invariant: every label lies whole on the sheet, and no two overlap.

use clap::Args as ClapArgs;

use crate::cli::error::Trouble;
use crate::cli::ids::shortened;

/// A4, mm (ISO 216).
pub(super) const A4: (f64, f64) = (210.0, 297.0);
/// Least width and height of a label, mm.
const LEAST: (f64, f64) = (18.0, 8.0);
/// Most labels across and down.
const MOST: (u32, u32) = (12, 35);
/// Margins of a sheet of which only the grid is said, mm: at the sides, at top and foot.
const MARGINS: (f64, f64) = (8.0, 12.0);
/// The grid of plain paper.
const PLAIN: (u32, u32) = (3, 8);

/// Which sheet.
#[derive(ClapArgs, Clone, Debug, Default)]
#[command(next_help_heading = "The sheet (A4)")]
pub(crate) struct SheetFlags {
    /// plain (with lines to cut along), or labels across x down: 2x7, 3x8, 4x10, 5x13
    #[arg(long, value_name = "NAME", default_value = "plain")]
    pub(crate) sheet: String,
    /// Labels across
    #[arg(long, value_name = "N")]
    pub(crate) columns: Option<u32>,
    /// Labels down
    #[arg(long, value_name = "N")]
    pub(crate) rows: Option<u32>,
    /// From the upper edge of the sheet to the first label
    #[arg(long, value_name = "MM")]
    pub(crate) margin_top_mm: Option<f64>,
    /// From the lower edge to the last [default: as at the top]
    #[arg(long, value_name = "MM")]
    pub(crate) margin_bottom_mm: Option<f64>,
    /// From the left edge to the first
    #[arg(long, value_name = "MM")]
    pub(crate) margin_left_mm: Option<f64>,
    /// From the right edge to the last [default: as on the left]
    #[arg(long, value_name = "MM")]
    pub(crate) margin_right_mm: Option<f64>,
    /// Between two labels side by side
    #[arg(long, value_name = "MM", default_value_t = 0.0)]
    pub(crate) gap_across_mm: f64,
    /// Between two labels one under the other
    #[arg(long, value_name = "MM", default_value_t = 0.0)]
    pub(crate) gap_down_mm: f64,
    /// Labels of the first sheet that are used already
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub(crate) used: u32,
}

/// A sheet of labels.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Sheet {
    columns: u32,
    rows: u32,
    left: f64,
    top: f64,
    gaps: (f64, f64),
    used: u32,
    /// Width and height of a label, mm.
    pub(super) size: (f64, f64),
    /// True where lines are drawn to cut along.
    pub(super) lines: bool,
}

impl SheetFlags {
    /// The sheet that is meant.
    pub(crate) fn sheet(&self) -> Result<Sheet, Trouble> {
        let plain = self.sheet.trim() == "plain";
        let (columns, rows) = match plain {
            true => PLAIN,
            false => grid(&self.sheet)?,
        };
        let columns = counted("--columns", self.columns.unwrap_or(columns), MOST.0)?;
        let rows = counted("--rows", self.rows.unwrap_or(rows), MOST.1)?;
        let left = length("--margin-left-mm", self.margin_left_mm.unwrap_or(MARGINS.0))?;
        let right = length("--margin-right-mm", self.margin_right_mm.unwrap_or(left))?;
        let top = length("--margin-top-mm", self.margin_top_mm.unwrap_or(MARGINS.1))?;
        let foot = length("--margin-bottom-mm", self.margin_bottom_mm.unwrap_or(top))?;
        let gaps = (
            length("--gap-across-mm", self.gap_across_mm)?,
            length("--gap-down-mm", self.gap_down_mm)?,
        );
        let (across, down) = (f64::from(columns), f64::from(rows));
        let size = (
            (A4.0 - left - right - gaps.0 * (across - 1.0)) / across,
            (A4.1 - top - foot - gaps.1 * (down - 1.0)) / down,
        );
        if size.0 < LEAST.0 || size.1 < LEAST.1 {
            let (wide, high) = (size.0.max(0.0), size.1.max(0.0));
            return Err(Trouble::new(
                format!(
                    "--sheet: a label would be {wide:.1} mm wide and {high:.1} mm high; it must be \
                     {} by {} at least",
                    LEAST.0, LEAST.1
                ),
                "say fewer --columns or --rows, or narrower margins",
            ));
        }
        if self.used >= columns * rows {
            let what = format!(
                "--used: {} of {} labels are used",
                self.used,
                columns * rows
            );
            return Err(Trouble::new(what, "take a new sheet, and leave it out"));
        }
        Ok(Sheet {
            columns,
            rows,
            left,
            top,
            gaps,
            used: self.used,
            size,
            lines: plain,
        })
    }
}

fn grid(name: &str) -> Result<(u32, u32), Trouble> {
    let parts = name.trim().split_once(['x', 'X', '\u{d7}']);
    let read = parts
        .and_then(|(across, down)| Some((across.trim().parse().ok()?, down.trim().parse().ok()?)));
    read.ok_or_else(|| {
        let what = format!("--sheet: \"{}\" is no sheet", shortened(name));
        Trouble::new(what, "say plain, or labels across x down, as 3x8")
    })
}

fn counted(flag: &str, count: u32, most: u32) -> Result<u32, Trouble> {
    match (1..=most).contains(&count) {
        true => Ok(count),
        false => Err(Trouble::new(
            format!("{flag}: {count} labels do not go there"),
            format!("say a number from 1 to {most}"),
        )),
    }
}

fn length(flag: &str, mm: f64) -> Result<f64, Trouble> {
    match (0.0..=150.0).contains(&mm) {
        true => Ok(mm),
        false => Err(Trouble::new(
            format!("{flag}: {mm} mm is not possible"),
            "give millimetres from 0 to 150",
        )),
    }
}

impl Sheet {
    fn each(&self) -> usize {
        (self.columns * self.rows) as usize
    }

    /// How many sheets so many labels take.
    pub(crate) fn sheets(&self, labels: usize) -> usize {
        (labels + self.used as usize).div_ceil(self.each())
    }

    /// Where a label stands: its sheet from nought, and its upper left in mm.
    pub(super) fn place(&self, label: usize) -> (usize, (f64, f64)) {
        let at = label + self.used as usize;
        let (sheet, on) = (at / self.each(), at % self.each());
        let (column, row) = (on % self.columns as usize, on / self.columns as usize);
        let left = self.left + column as f64 * (self.size.0 + self.gaps.0);
        let top = self.top + row as f64 * (self.size.1 + self.gaps.1);
        (sheet, (left, top))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flags(name: &str) -> SheetFlags {
        SheetFlags {
            sheet: name.into(),
            ..SheetFlags::default()
        }
    }

    #[test]
    fn labels_lie_on_the_sheet_and_beside_one_another() {
        for name in ["plain", "2x7", "3x8", "4x10", "5x13"] {
            let flags = SheetFlags {
                gap_across_mm: 2.0,
                gap_down_mm: 1.0,
                used: 3,
                ..flags(name)
            };
            let sheet = flags.sheet().unwrap();
            let count = 2 * sheet.each();
            assert_eq!(sheet.sheets(count), 3, "{name}: three are used already");
            let places: Vec<_> = (0..count).map(|at| sheet.place(at)).collect();
            for (at, (page, (left, top))) in places.iter().enumerate() {
                assert!(*left >= 0.0 && left + sheet.size.0 <= A4.0 + 1e-9);
                assert!(*top >= 0.0 && top + sheet.size.1 <= A4.1 + 1e-9);
                for (other, (x, y)) in &places[at + 1..] {
                    let apart = page != other
                        || (x - left).abs() >= sheet.size.0
                        || (y - top).abs() >= sheet.size.1;
                    assert!(apart, "{name}");
                }
            }
        }
    }

    #[test]
    fn what_cannot_be_printed_is_refused_with_words() {
        let bad = [
            ("3by8", None, "is no sheet"),
            ("0x8", None, "--columns"),
            ("12x35", Some(100.0), "mm wide"),
            ("3x8", Some(f64::NAN), "--margin-left-mm"),
            ("3x8", Some(-1.0), "--margin-left-mm"),
            ("99999999999x1", None, "is no sheet"),
        ];
        for (name, margin_left_mm, part) in bad {
            let flags = SheetFlags {
                margin_left_mm,
                ..flags(name)
            };
            let told = flags.sheet().unwrap_err().told();
            assert!(told.contains(part), "{name}: {told}");
        }
    }
}
