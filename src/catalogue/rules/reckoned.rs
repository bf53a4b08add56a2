//! Rule `reckoned`: standards, arms and stamps hold figures that are possible.
//!
//! Demands that units, steps and `often` are above nought; that the steps of a standard rise and
//! bear names of their own; that a ball's least diameter is below its greatest and both are those of
//! a ball; and that the letters of a stamp are capitals and figures without dots or signs.
//!
//! Why: these tables are reckoned with as they stand, and no type leans on them that would show a
//! slip.
//!
//! To mend: correct the figure, put the steps in order, write the letters plainly.

use super::super::fault::Fault;
use super::{Library, row_fault};

/// Diameters in mm that the ball of a gun can have.
const BALL: [f64; 2] = [1.0, 60.0];

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for row in &library.things.standards {
        let f = &row.fields;
        let mut fault = |field, what: &str, mend| {
            faults.push(row_fault("reckoned", row, field, what.to_string(), mend));
        };
        if !above_nought(f.unit) || !above_nought(f.often) {
            let what = "`unit` and `often` must be above nought";
            fault(
                "unit",
                what,
                "write the unit in grams and how often as a plain number",
            );
        }
        let rising = f.steps.windows(2).all(|pair| pair[0].of < pair[1].of);
        if f.steps.is_empty() || !rising || !f.steps.iter().all(|step| above_nought(step.of)) {
            let what = "the steps do not rise from above nought";
            fault("steps", what, "write at least one step, the lightest first");
        }
        let mut names: Vec<&str> = f.steps.iter().map(|step| step.name.trim()).collect();
        names.sort_unstable();
        if names.iter().any(|name| name.is_empty()) || names.windows(2).any(|p| p[0] == p[1]) {
            let what = "two steps bear one name, or one bears none";
            fault("steps", what, "give each step a name of its own");
        }
    }
    for row in &library.things.arms {
        let [least, most] = row.fields.ball;
        let possible = BALL[0] <= least && least < most && most <= BALL[1];
        if !possible || !above_nought(row.fields.often) {
            let what = format!(
                "balls of {least} to {most} mm, `often` {}",
                row.fields.often
            );
            let mend =
                "write the least diameter first, within 1 to 60 mm, and `often` above nought";
            faults.push(row_fault("reckoned", row, "ball", what, mend));
        }
    }
    for row in &library.things.headstamps {
        let plain = |code: &String| {
            let signs = |c: char| c.is_ascii_uppercase() || c.is_ascii_digit();
            !code.is_empty() && code.chars().all(signs)
        };
        if row.fields.codes.is_empty() || !row.fields.codes.iter().all(plain) {
            let what = "letters of a stamp are missing or not plain";
            let mend = "write capitals and figures without dots, arrows or spaces";
            faults.push(row_fault("reckoned", row, "codes", what, mend));
        }
    }
    faults
}

fn above_nought(figure: f64) -> bool {
    figure.is_finite() && figure > 0.0
}
