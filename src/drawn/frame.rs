//! The frame of the picture: its axes, and where grams and millimetres stand in it.
//!
//! Knows no type; turns outlines and points into paths.
//!
//! Invariant: both axes are even, so a place in the picture and its measures follow from one another.

use std::fmt::Write;

use super::measures::{Point, cross};
use super::put;
use crate::score::{Outline, Region};

/// Left and upper edge of the frame, its width and its height.
pub(super) const LEFT: f64 = 48.0;
/// See [`LEFT`].
pub(super) const TOP: f64 = 30.0;
/// See [`LEFT`].
pub(super) const PLOT: f64 = 338.0;
/// See [`LEFT`].
pub(super) const HEIGHT: f64 = 270.0;
/// How many steps an axis has, about.
const STEPS: f64 = 5.0;
/// Share of an axis left free beyond what is drawn.
const FREE: f64 = 0.05;
/// How many times as far as the regions an axis reaches at most for the sake of a find.
const STRETCHED: f64 = 1.0;
/// Where no diameter, or no weight, is known of any type: millimetres and grams of most coins.
const USUAL: [(f64, f64); 2] = [(10.0, 40.0), (0.0, 12.0)];
/// Points of a path nearer than this, in units of the drawing, are left out.
const FINE: f64 = 0.5;

/// One axis: what stands at its ends.
#[derive(Clone, Copy)]
struct Reach {
    least: f64,
    most: f64,
}

/// The frame with its two axes.
pub(super) struct Frame {
    across: Reach,
    up: Reach,
}

impl Frame {
    /// A frame in which regions have room, and a find too unless it lies far from all of them.
    pub(super) fn round<'r>(
        regions: impl Iterator<Item = &'r Region>,
        point: Option<&Point>,
    ) -> Frame {
        let (mut widths, mut weights): (Vec<f64>, Vec<f64>) = (Vec::new(), Vec::new());
        for region in regions {
            match &region.outline {
                Outline::Nothing => {}
                Outline::Grams(stretches) => weights.extend(stretches.iter().flat_map(ends)),
                Outline::Millimetres(stretches) => widths.extend(stretches.iter().flat_map(ends)),
                Outline::Rings(rings) => {
                    widths.extend(rings.iter().flatten().map(|point| point.0));
                    weights.extend(rings.iter().flatten().map(|point| point.1));
                }
            }
        }
        Frame {
            across: Reach::round(&widths, point.and_then(|p| p.width), USUAL[0]),
            up: Reach::round(&weights, point.and_then(|p| p.weight), USUAL[1]),
        }
    }

    /// Where so many millimetres stand.
    pub(super) fn x(&self, millimetres: f64) -> f64 {
        LEFT + PLOT * self.across.way(millimetres)
    }

    /// Where so many grams stand.
    pub(super) fn y(&self, grams: f64) -> f64 {
        TOP + HEIGHT * (1.0 - self.up.way(grams))
    }

    /// The path of an outline; a measure that is not known is drawn as a band over the frame.
    pub(super) fn outline(&self, outline: &Outline) -> Option<String> {
        let band = |corners: [f64; 4]| {
            let [left, top, right, foot] = corners;
            format!("M{left:.2} {top:.2}H{right:.2}V{foot:.2}H{left:.2}Z")
        };
        // The ends of a band lie outside the frame, so that no line is drawn across it there.
        let beyond = 10.0;
        let path: String = match outline {
            Outline::Nothing => return None,
            Outline::Grams(stretches) => stretches
                .iter()
                .map(|(least, most)| {
                    let (left, right) = (LEFT - beyond, LEFT + PLOT + beyond);
                    band([left, self.y(*most), right, self.y(*least)])
                })
                .collect(),
            Outline::Millimetres(stretches) => stretches
                .iter()
                .map(|(least, most)| {
                    let (top, foot) = (TOP - beyond, TOP + HEIGHT + beyond);
                    band([self.x(*least), top, self.x(*most), foot])
                })
                .collect(),
            Outline::Rings(rings) => rings.iter().map(|ring| self.ring(ring)).collect(),
        };
        (!path.is_empty()).then_some(path)
    }

    fn ring(&self, ring: &[(f64, f64)]) -> String {
        let mut path = String::new();
        let mut last: Option<(f64, f64)> = None;
        for (millimetres, grams) in ring {
            let (x, y) = (self.x(*millimetres), self.y(*grams));
            if last.is_some_and(|(a, b)| (x - a).hypot(y - b) < FINE) {
                continue;
            }
            let sign = if last.is_none() { 'M' } else { 'L' };
            let _ = write!(path, "{sign}{x:.2} {y:.2}");
            last = Some((x, y));
        }
        path.push('Z');
        path
    }

    /// The frame, its grid and the figures along it.
    pub(super) fn axes(&self, svg: &mut String) {
        let foot = TOP + HEIGHT;
        for (value, figure) in self.across.figures() {
            let (x, under) = (self.x(value), foot + 17.0);
            put(
                svg,
                &format!(r#"<path class="ly-grid" d="M{x:.2} {TOP}V{foot}"/>"#),
            );
            put(
                svg,
                &format!(
                    r#"<text class="ly-x" x="{x:.2}" y="{under}" text-anchor="middle">{figure}</text>"#
                ),
            );
        }
        for (value, figure) in self.up.figures() {
            let y = self.y(value);
            let (right, before, under) = (LEFT + PLOT, LEFT - 6.0, y + 4.5);
            put(
                svg,
                &format!(r#"<path class="ly-grid" d="M{LEFT} {y:.2}H{right}"/>"#),
            );
            put(
                svg,
                &format!(
                    r#"<text class="ly-y" x="{before}" y="{under:.2}" text-anchor="end">{figure}</text>"#
                ),
            );
        }
        put(
            svg,
            &format!(
                r#"<rect class="ly-axis" x="{LEFT}" y="{TOP}" width="{PLOT}" height="{HEIGHT}"/>"#
            ),
        );
        put(svg, r#"<text x="12" y="17">weight, g</text>"#);
        let (middle, under) = (LEFT + PLOT / 2.0, foot + 35.0);
        put(
            svg,
            &format!(r#"<text x="{middle}" y="{under}" text-anchor="middle">diameter, mm</text>"#),
        );
    }

    /// The find: a cross as wide and high as its errors, a line where only one measure is known,
    /// an arrow where it lies beyond the frame.
    pub(super) fn point(&self, point: &Point) -> String {
        let (foot, right) = (TOP + HEIGHT, LEFT + PLOT);
        let across = point
            .width
            .map(|(at, error)| (self.x(at), self.x(at + error) - self.x(at)));
        let up = point
            .weight
            .map(|(at, error)| (self.y(at), self.y(at) - self.y(at + error)));
        match (across, up) {
            (None, None) => String::new(),
            (Some((x, _)), None) if self.across.holds(point.width) => {
                format!(r#"<path class="ly-find" d="M{x:.2} {TOP}V{foot}"/>"#)
            }
            (None, Some((y, _))) if self.up.holds(point.weight) => {
                format!(r#"<path class="ly-find" d="M{LEFT} {y:.2}H{right}"/>"#)
            }
            (Some((x, wide)), Some((y, high))) if self.shows(point) => {
                let sure = |error: f64| error.max(3.0);
                cross((x, y), (sure(wide), sure(high)))
            }
            (across, up) => {
                let inset = 9.0;
                let x = across.map_or(LEFT + PLOT / 2.0, |a| a.0);
                let y = up.map_or(TOP + HEIGHT / 2.0, |u| u.0);
                let end = (
                    x.clamp(LEFT + inset, right - inset),
                    y.clamp(TOP + inset, foot - inset),
                );
                arrow(end, (x - end.0, y - end.1))
            }
        }
    }

    /// What is said of the find beside its cross.
    pub(super) fn told(&self, point: &Point) -> Option<String> {
        let weight = point
            .weight
            .map(|(at, error)| format!("{at} g \u{b1} {error:.2}"));
        let width = point
            .width
            .map(|(at, error)| format!("{at} mm \u{b1} {error:.1}"));
        let told: Vec<String> = weight.into_iter().chain(width).collect();
        let beyond = if self.shows(point) {
            ""
        } else {
            " (beyond the picture)"
        };
        (!told.is_empty()).then(|| format!("your find: {}{beyond}", told.join(", ")))
    }

    fn shows(&self, point: &Point) -> bool {
        self.across.holds(point.width) && self.up.holds(point.weight)
    }
}

fn ends(stretch: &(f64, f64)) -> [f64; 2] {
    [stretch.0, stretch.1]
}

/// An arrow head at a place, pointing some way.
fn arrow((x, y): (f64, f64), (right, down): (f64, f64)) -> String {
    let length = right.hypot(down).max(1e-9);
    let (right, down) = (8.0 * right / length, 8.0 * down / length);
    let at = |along: f64, aside: f64| {
        (
            x + along * right - aside * down,
            y + along * down + aside * right,
        )
    };
    let (tip, one, other) = (at(1.0, 0.0), at(-0.8, 0.7), at(-0.8, -0.7));
    format!(
        r#"<path class="ly-find" d="M{:.2} {:.2}L{:.2} {:.2}L{:.2} {:.2}"/>"#,
        one.0, one.1, tip.0, tip.1, other.0, other.1
    )
}

impl Reach {
    fn round(values: &[f64], point: Option<(f64, f64)>, usual: (f64, f64)) -> Reach {
        let least = values.iter().copied().reduce(f64::min);
        let most = values.iter().copied().reduce(f64::max);
        let (mut least, mut most) = least.zip(most).unwrap_or(usual);
        let far = STRETCHED * (most - least);
        if let Some((at, error)) = point
            && (least - far..=most + far).contains(&at)
        {
            least = least.min(at - error);
            most = most.max(at + error);
        }
        let free = FREE * (most - least).max(1e-3 * most);
        Reach {
            least: (least - free).max(0.0),
            most: most + free,
        }
    }

    /// How far along the axis a value stands, 0 to 1.
    fn way(self, value: f64) -> f64 {
        (value - self.least) / (self.most - self.least)
    }

    /// True when a measure, where there is one, lies on the axis.
    fn holds(self, measure: Option<(f64, f64)>) -> bool {
        measure.is_none_or(|(at, _)| (self.least..=self.most).contains(&at))
    }

    /// Round values along the axis, as they are written.
    fn figures(self) -> Vec<(f64, String)> {
        let rough = (self.most - self.least) / STEPS;
        let power = rough.log10().floor();
        let ten = 10f64.powf(power);
        let step = [1.0, 2.0, 5.0, 10.0].map(|n| n * ten);
        let step = step
            .into_iter()
            .find(|step| *step >= rough)
            .unwrap_or(rough);
        let places = (-step.log10().floor()).max(0.0) as usize;
        let first = (self.least / step).ceil() as i64;
        let last = (self.most / step).floor() as i64;
        let figure = |n: i64| (n as f64 * step, format!("{:.places$}", n as f64 * step));
        (first..=last).map(figure).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_bear_round_figures_within_their_ends() {
        for (least, most) in [
            (15.3, 21.2),
            (0.0, 0.12),
            (0.96, 31.0),
            (14.12, 14.16),
            (3.0, 130.0),
        ] {
            let figures = Reach { least, most }.figures();
            assert!(
                (2..=7).contains(&figures.len()),
                "{least} {most}: {figures:?}"
            );
            for (value, figure) in &figures {
                assert!(*value >= least && *value <= most);
                let written: f64 = figure.parse().expect("a number");
                assert!((written - value).abs() < 1e-9, "{figure} for {value}");
            }
        }
    }

    #[test]
    fn a_find_far_off_does_not_squeeze_the_regions() {
        let reach = Reach::round(&[1.0, 1.5], Some((1000.0, 0.1)), USUAL[1]);
        assert!(reach.most < 2.0);
        assert!(!reach.holds(Some((1000.0, 0.1))));
        let near = Reach::round(&[1.0, 1.5], Some((0.8, 0.1)), USUAL[1]);
        assert!(near.least < 0.7 && near.holds(Some((0.8, 0.1))));
    }
}
