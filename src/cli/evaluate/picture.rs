//! The reliability diagram: what was right against what was said, level by level.
//!
//! Draws the bins of the report in SVG, in light and dark. A dot is a bin at its mean, its bar
//! Wilson's interval, the figure under the frame how many finds it holds.
//!
//! Invariant: everything drawn lies within its frame and every word outside it.

use std::fmt::Write;

use super::calibration::CalibrationView;
use super::report::ReportView;
use crate::drawn::{escaped, put};

/// Width of the drawing in its own units.
const WIDTH: f64 = 800.0;
/// Room of one level, with its words.
const ROOM: (f64, f64) = (400.0, 404.0);
/// Where a frame stands in its room, and how wide and high it is.
const FRAME: (f64, f64, f64) = (64.0, 40.0, 300.0);
/// Words above all and below all.
const HEAD: f64 = 34.0;
const FOOT: f64 = 50.0;
/// Half the width of the foot of a bar.
const SERIF: f64 = 4.0;

/// Colours by scheme; ink and dots stand out from the paper by more than three to one.
const STYLE: &str = "\
.rl-paper{fill:#ffffff}\
.rl-axis{fill:none;stroke:#6b6b66;stroke-width:1}\
.rl-grid{fill:none;stroke:#6b6b66;stroke-width:.5;stroke-opacity:.3}\
.rl-even{fill:none;stroke:#1c1c1a;stroke-width:1;stroke-dasharray:5 4}\
.rl-bar{fill:none;stroke:#1f5fa8;stroke-width:1.5}\
.rl-dot{fill:#1f5fa8}\
text{font-family:system-ui,sans-serif;font-size:13px;fill:#1c1c1a}\
.rl-name{font-size:15px;font-weight:600}\
.rl-mid{text-anchor:middle}\
.rl-end{text-anchor:end}\
@media (prefers-color-scheme:dark){\
.rl-paper{fill:#15181b}\
.rl-axis,.rl-grid{stroke:#9a9a94}\
.rl-even{stroke:#f2f2ee}\
.rl-bar{stroke:#7fb6f2}\
.rl-dot{fill:#7fb6f2}\
text{fill:#f2f2ee}}";

/// Draws a report's bins.
pub(super) fn reliability(report: &ReportView) -> String {
    let height = HEAD + 2.0 * ROOM.1 + FOOT;
    let mut svg = String::new();
    let title = "Reliability: share right against share said";
    put(
        &mut svg,
        &format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" role="img" aria-labelledby="rl-title rl-desc" style="width:100%;max-width:56rem">"#
        ),
    );
    put(
        &mut svg,
        &format!(r#"<title id="rl-title">{title}</title>"#),
    );
    let desc = escaped(&described(report));
    put(&mut svg, &format!(r#"<desc id="rl-desc">{desc}</desc>"#));
    put(&mut svg, &format!("<style>{STYLE}</style>"));
    put(
        &mut svg,
        &format!(r#"<rect class="rl-paper" width="{WIDTH}" height="{height}"/>"#),
    );
    text(&mut svg, "rl-name", (16.0, 24.0), title);
    for (place, (rung, view)) in report.calibration.each().enumerate() {
        let corner = (
            ROOM.0 * (place % 2) as f64,
            HEAD + ROOM.1 * (place / 2) as f64,
        );
        panel(&mut svg, rung.name(), view, corner);
    }
    let key = [
        "A dot: finds of which about the same was said. Bar: 95 in 100, Wilson. Figures under a frame: finds a dot.",
        "Broken line: what was said is what was right. Finds with one truth at the level.",
    ];
    for (line, told) in key.into_iter().enumerate() {
        let y = height - FOOT + 18.0 + 18.0 * line as f64;
        text(&mut svg, "rl-key", (16.0, y), told);
    }
    put(&mut svg, "</svg>");
    svg
}

/// The figures in words, for whoever cannot see the picture.
fn described(report: &ReportView) -> String {
    let levels = report.calibration.each().map(|(rung, view)| {
        let bins = view
            .bins
            .iter()
            .map(|bin| format!("{:.2} said, {:.2} right of {}", bin.said, bin.right, bin.n));
        let bins: Vec<String> = bins.collect();
        let none = "nothing known";
        let told = if bins.is_empty() {
            none.to_string()
        } else {
            bins.join(", ")
        };
        format!("{}: {told}", rung.name())
    });
    levels.collect::<Vec<_>>().join("; ")
}

fn text(svg: &mut String, class: &str, (x, y): (f64, f64), told: &str) {
    let told = escaped(told);
    put(
        svg,
        &format!(r#"<text class="{class}" x="{x:.1}" y="{y:.1}">{told}</text>"#),
    );
}

/// One level in its frame.
fn panel(svg: &mut String, name: &str, view: &CalibrationView, corner: (f64, f64)) {
    let (left, top, side) = (corner.0 + FRAME.0, corner.1 + FRAME.1, FRAME.2);
    let foot = top + side;
    let x = |share: f64| left + side * share;
    let y = |share: f64| foot - side * share;
    let finds = if view.single == 1 { "find" } else { "finds" };
    let heading = format!("{name}, {} {finds}", view.single);
    text(svg, "rl-name", (left, top - 12.0), &heading);
    let mut grid = String::new();
    for step in 0..=5 {
        let share = f64::from(step) / 5.0;
        let _ = write!(grid, "M{left:.1} {:.1}H{:.1}", y(share), left + side);
        let _ = write!(grid, "M{:.1} {top:.1}V{foot:.1}", x(share));
        let told = format!("{share:.1}");
        text(svg, "rl-end", (left - 8.0, y(share) + 4.5), &told);
        text(svg, "rl-mid", (x(share), foot + 18.0), &told);
    }
    put(svg, &format!(r#"<path class="rl-grid" d="{grid}"/>"#));
    put(
        svg,
        &format!(
            r#"<rect class="rl-axis" x="{left:.1}" y="{top:.1}" width="{side}" height="{side}"/>"#
        ),
    );
    put(
        svg,
        &format!(
            r#"<path class="rl-even" d="M{left:.1} {foot:.1}L{:.1} {top:.1}"/>"#,
            left + side
        ),
    );
    let middle = left + side / 2.0;
    text(svg, "rl-mid", (middle, foot + 54.0), "said");
    let (across, down) = (left - 42.0, top + side / 2.0);
    put(
        svg,
        &format!(
            r#"<text class="rl-mid" transform="translate({across:.1} {down:.1}) rotate(-90)">right</text>"#
        ),
    );
    text(svg, "rl-end", (left - 8.0, foot + 36.0), "finds");
    dots(svg, view, (left, top));
}

/// The dots of a level with their bars and counts.
fn dots(svg: &mut String, view: &CalibrationView, (left, top): (f64, f64)) {
    let (side, foot) = (FRAME.2, top + FRAME.2);
    let x = |share: f64| left + side * share;
    let y = |share: f64| foot - side * share;
    for bin in &view.bins {
        let (at, [least, most]) = (x(bin.said), bin.interval);
        let (high, low) = (y(most), y(least));
        let (a, b) = ((at - SERIF).max(left), (at + SERIF).min(left + side));
        put(
            svg,
            &format!(
                r#"<path class="rl-bar" d="M{at:.1} {high:.1}V{low:.1}M{a:.1} {high:.1}H{b:.1}M{a:.1} {low:.1}H{b:.1}"/>"#
            ),
        );
        let (dot, n) = (y(bin.right), bin.n);
        put(
            svg,
            &format!(r#"<circle class="rl-dot" cx="{at:.1}" cy="{dot:.1}" r="4.5" data-n="{n}"/>"#),
        );
        // Under the middle of the bin, so that no two figures meet.
        let under = x(f64::midpoint(bin.from, bin.to));
        text(svg, "rl-mid", (under, foot + 36.0), &n.to_string());
    }
}

#[cfg(test)]
mod tests {
    use super::STYLE;
    use crate::svg::{colour_of, contrast};

    #[test]
    fn colours_stand_out_from_the_paper_in_light_and_dark() {
        let (light, dark) = STYLE.split_once("@media").expect("a dark scheme");
        for scheme in [light, dark] {
            let colour = |class: &str, what: &str| colour_of(scheme, class, what);
            let paper = colour(".rl-paper", "fill:");
            for (class, what) in [
                (".rl-axis", "stroke:"),
                (".rl-even", "stroke:"),
                (".rl-bar", "stroke:"),
                (".rl-dot", "fill:"),
                ("text{", "fill:"),
            ] {
                let ink = colour(class, what);
                let contrast = contrast(&ink, &paper);
                assert!(contrast >= 4.5, "{class} {ink} on {paper}: {contrast}");
            }
        }
    }
}
