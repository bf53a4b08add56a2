//! Doubts: what a finder should look at before believing a measure.
//!
//! Words only; changes no figure.
//!
//! Invariant: each says what was seen and what would settle it.

use super::measure::Measured;
use super::outline::{Outline, Seen};
use super::pose::Terms;

/// Share of the picture in shadow from which it is told.
const SHADOW: f64 = 0.03;
/// Share of a faint border from which it is told.
const FAINT: f64 = 0.15;
/// Pixels across below which a picture is small.
const SMALL: f64 = 120.0;
/// Blur, as one sigma in pixels and as a share of the width, from which it is told.
const BLUR: (f64, f64) = (3.0, 0.012);

/// What to look at before believing the measure.
pub fn doubts(seen: &Seen, object: &Outline, measured: &Measured, terms: &Terms) -> Vec<String> {
    let mut told = Vec::new();
    let across = 2.0 * (object.area / std::f64::consts::PI).sqrt();
    if seen.shadow > SHADOW {
        told.push(
            "there is much shadow: look at the outline (--outline), or use softer light".into(),
        );
    }
    if object.faint > FAINT {
        told.push(format!(
            "{:.0} in 100 of the border is faint: look at the outline (--outline), or choose a ground that differs more",
            100.0 * object.faint
        ));
    }
    if across < SMALL {
        told.push(format!(
            "the find is only {across:.0} pixels across: go nearer or crop less"
        ));
    }
    if object.blur > BLUR.0 && object.blur > BLUR.1 * across {
        told.push("the edge is blurred: focus on the rim, or hold the camera still".into());
    }
    if object.contrast < 25.0 {
        told.push(
            "the find hardly differs from the ground: look at the outline (--outline)".into(),
        );
    }
    let share = object.area / (seen.size[0] * seen.size[1]) as f64;
    if share < 0.005 {
        told.push("the find is a small part of the picture: check that it is the find that was measured (--outline)".into());
    }
    let others = seen
        .objects
        .iter()
        .filter(|other| other.area > 2.0 * object.area && !other.cut)
        .count();
    if others > 0 {
        told.push("something larger lies in the picture: check that it is the find that was measured (--outline)".into());
    }
    if terms.thickness.is_none() {
        told.push(
            "thickness is not known and counted in as 0.6 to 2.4 mm: --thickness narrows the error"
                .into(),
        );
    }
    let wide = (measured.largest.high - measured.largest.low) / measured.largest.value.max(1e-9);
    if wide > 0.06 {
        told.push(
            "the error is wide: photograph from straight above and far off, with the scale near the find"
                .into(),
        );
    }
    told
}
