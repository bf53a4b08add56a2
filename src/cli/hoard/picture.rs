//! The dates of a group, drawn: the aoristic sum as steps, the shared law as a line, and the year
//! before which it was not closed.
//!
//! Draws what the record holds, in SVG without script, for a telephone as for a desk, in light and
//! dark. The sum is filled, the law is a line, the year a dashed upright: no colour is needed.
//!
//! Invariant: words stand outside the frame; everything drawn lies within it.

use super::super::compare::layout::wrap;
use crate::drawn::{Setting, escaped, put};
use crate::find::{Span, Year, era, ordinal};
use crate::hoard::{Aoristic, Axis, GroupRecord};

/// The drawing in its own units; at 360 pixels its words are eleven pixels high.
const WIDTH: f64 = 400.0;
const LEFT: f64 = 14.0;
const TOP: f64 = 44.0;
const PLOT: f64 = 372.0;
const HEIGHT: f64 = 190.0;
const LINE: f64 = 16.0;
/// Letters of a line of words, and of one beside a sample.
const LETTERS: (usize, usize) = (47, 47);
/// Years drawn at least, so that a single year is no wall.
const YEARS_LEAST: i32 = 12;

const STYLE: &str = "\
.ho-paper{fill:#fdfcf8}\
.ho-edge{fill:none;stroke:#6f6a5e;stroke-width:1}\
.ho-tick{stroke:#6f6a5e;stroke-width:.6;stroke-opacity:.35}\
.ho-sum{fill:#c9a24b;fill-opacity:.55;stroke:#8a6a1c;stroke-width:.8}\
.ho-law{fill:none;stroke:#22506b;stroke-width:2.2;stroke-linejoin:round}\
.ho-main{fill:#22506b}\
.ho-year{fill:none;stroke:#8c2f2b;stroke-width:2;stroke-dasharray:6 3}\
.ho-band{fill:#8c2f2b;fill-opacity:.13}\
text{font-family:system-ui,sans-serif;font-size:12.5px;fill:#22201b}\
.ho-name{font-weight:600}\
@media (prefers-color-scheme:dark){\
.ho-paper{fill:#16171a}\
.ho-edge,.ho-tick{stroke:#a49e90}\
.ho-sum{fill:#d9b45f;fill-opacity:.45;stroke:#e6c983}\
.ho-law{stroke:#8cc4e6}\
.ho-main{fill:#8cc4e6}\
.ho-year{stroke:#f0928c}\
.ho-band{fill:#f0928c;fill-opacity:.16}\
text{fill:#f1eee6}}";

/// Where years and pieces stand.
struct Frame {
    first: f64,
    years: f64,
    most: f64,
}

impl Frame {
    /// A frame round the main stretch of the sum, and round the year of closing unless it lies far
    /// off: then that is said in words.
    fn of(sum: &Aoristic, closing: &[Year], most: f64) -> Frame {
        let (begin, end) = sum.main_stretch();
        let mut first = sum.axis.start(begin);
        let mut last = sum.axis.start(end) + sum.axis.width;
        let far = (last - first).max(YEARS_LEAST);
        for year in closing.iter().map(|year| ordinal(*year)) {
            if (first - far..=last + far).contains(&year) {
                first = first.min(year);
                last = last.max(year + 1);
            }
        }
        let short = (YEARS_LEAST - (last - first)).max(0);
        let (first, last) = (first - short / 2, last + short - short / 2);
        // A little air, so that nothing is drawn on the edge.
        let air = f64::from(last - first) * 0.02;
        Frame {
            first: f64::from(first) - air,
            years: f64::from(last - first) + 2.0 * air,
            most: most.max(f64::MIN_POSITIVE) * 1.06,
        }
    }

    /// True of a year within the frame.
    fn holds(&self, year: Year) -> bool {
        let at = f64::from(ordinal(year));
        at >= self.first && at <= self.first + self.years
    }

    fn x(&self, position: f64) -> f64 {
        LEFT + PLOT * ((position - self.first) / self.years).clamp(-0.05, 1.05)
    }

    fn y(&self, pieces: f64) -> f64 {
        TOP + HEIGHT * (1.0 - (pieces / self.most).clamp(0.0, 1.0))
    }
}

/// Draws a group; none where no piece has years.
pub(crate) fn svg(record: &GroupRecord, setting: Setting) -> Option<String> {
    let (sum, law) = (record.aoristic.as_ref()?, record.law.as_ref()?);
    let inside: f64 = sum.expected.iter().sum();
    let together: Vec<f64> = law.density.iter().map(|p| p * inside).collect();
    let most = sum
        .expected
        .iter()
        .chain(&together)
        .copied()
        .fold(0.0, f64::max);
    let closing = &record.closing;
    let years = [closing.earliest, closing.not_before, closing.latest];
    let years: Vec<Year> = years.into_iter().flatten().collect();
    let frame = Frame::of(sum, &years, most);
    let words = words(record, &frame);
    let foot = TOP + HEIGHT + 44.0;
    let height = foot
        + LINE
            * words
                .iter()
                .map(|(_, lines)| lines.len() as f64)
                .sum::<f64>();
    let mut svg = String::new();
    head(record, height + 6.0, setting, &mut svg);
    ticks(&frame, &mut svg);
    band(&frame, record, &mut svg);
    let clip = r#"<g clip-path="url(#ho-frame)">"#;
    put(&mut svg, clip);
    put(&mut svg, &steps(&frame, sum.axis, &sum.expected));
    put(&mut svg, &line(&frame, sum.axis, &together));
    put(&mut svg, "</g>");
    main_years(&frame, record.main_years, &mut svg);
    if let Some(year) = closing.not_before.filter(|year| frame.holds(*year)) {
        let x = frame.x(f64::from(ordinal(year)));
        let end = TOP + HEIGHT;
        put(
            &mut svg,
            &format!(r#"<path class="ho-year" d="M{x:.1} {TOP}V{end}"/>"#),
        );
    }
    put(
        &mut svg,
        &format!(
            r#"<rect class="ho-edge" x="{LEFT}" y="{TOP}" width="{PLOT}" height="{HEIGHT}"/>"#
        ),
    );
    legend(&words, foot, &mut svg);
    put(&mut svg, "</svg>");
    Some(svg)
}

fn head(record: &GroupRecord, height: f64, setting: Setting, svg: &mut String) {
    put(
        svg,
        &format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:.0}" role="img" aria-labelledby="ho-title ho-desc">"#
        ),
    );
    let title = escaped(&record.title);
    put(svg, &format!(r#"<title id="ho-title">{title}</title>"#));
    let desc = escaped(&record.summary.join(". "));
    put(svg, &format!(r#"<desc id="ho-desc">{desc}</desc>"#));
    if setting == Setting::Alone {
        put(svg, &format!("<style>{STYLE}</style>"));
    }
    put(
        svg,
        &format!(
            r#"<clipPath id="ho-frame"><rect x="{LEFT}" y="{TOP}" width="{PLOT}" height="{HEIGHT}"/></clipPath>"#
        ),
    );
    put(
        svg,
        &format!(r#"<rect class="ho-paper" width="{WIDTH}" height="{height:.0}"/>"#),
    );
    // What hangs on one row is said below, beside the year.
    let heading = record.title.split(" (by one row").next();
    let lines = wrap(heading.unwrap_or_default(), LETTERS.0);
    for (place, text) in lines.iter().take(2).enumerate() {
        let (y, text) = (18.0 + LINE * place as f64, escaped(text));
        put(
            svg,
            &format!(r#"<text class="ho-name" x="{LEFT}" y="{y}">{text}</text>"#),
        );
    }
}

/// Years along the foot, at round figures.
fn ticks(frame: &Frame, svg: &mut String) {
    let step = [
        1, 2, 5, 10, 20, 50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000, 50_000, 200_000,
    ]
    .into_iter()
    .find(|step| frame.years / f64::from(*step) <= 6.5)
    .unwrap_or(500_000);
    let first = (frame.first.ceil() as i32).div_euclid(step);
    let end = TOP + HEIGHT;
    for place in first..=first + 8 {
        // There is no year 0: the round figure there is AD 1.
        let year = if place == 0 { 1 } else { place * step };
        let at = f64::from(ordinal(year));
        if at < frame.first || at >= frame.first + frame.years {
            continue;
        }
        let (x, label) = (frame.x(at), era(year));
        put(
            svg,
            &format!(r#"<path class="ho-tick" d="M{x:.1} {TOP}V{end}"/>"#),
        );
        let y = end + 16.0;
        let half = label.chars().count() as f64 * 3.6;
        let middle = x.clamp(LEFT + half, LEFT + PLOT - half);
        put(
            svg,
            &format!(r#"<text x="{middle:.1}" y="{y}" text-anchor="middle">{label}</text>"#),
        );
    }
}

/// The middle 80 in 100 of the year before which it was not closed.
fn band(frame: &Frame, record: &GroupRecord, svg: &mut String) {
    let (Some(from), Some(to)) = (record.closing.earliest, record.closing.latest) else {
        return;
    };
    let (left, right) = (
        frame.x(f64::from(ordinal(from))),
        frame.x(f64::from(ordinal(to))),
    );
    if right - left > 0.5 {
        let wide = right - left;
        put(
            svg,
            &format!(
                r#"<rect class="ho-band" x="{left:.1}" y="{TOP}" width="{wide:.1}" height="{HEIGHT}"/>"#
            ),
        );
    }
}

fn steps(frame: &Frame, axis: Axis, expected: &[f64]) -> String {
    let foot = TOP + HEIGHT;
    let mut path = format!("M{:.1} {foot}", frame.x(f64::from(axis.start(0))));
    for (bin, pieces) in expected.iter().enumerate() {
        let right = frame.x(f64::from(axis.start(bin) + axis.width));
        path.push_str(&format!("V{:.1}H{right:.1}", frame.y(*pieces)));
    }
    path.push_str(&format!("V{foot}Z"));
    format!(r#"<path class="ho-sum" d="{path}"/>"#)
}

fn line(frame: &Frame, axis: Axis, together: &[f64]) -> String {
    let mut path = String::new();
    for (bin, pieces) in together.iter().enumerate() {
        let sign = if bin == 0 { 'M' } else { 'L' };
        let x = frame.x(axis.middle(bin) + 0.5);
        path.push_str(&format!("{sign}{x:.1} {:.1}", frame.y(*pieces)));
    }
    if together.len() == 1 {
        path.push_str("h0.1");
    }
    format!(r#"<path class="ho-law" d="{path}"/>"#)
}

/// A bar under the frame for the years that hold 80 in 100 of the law.
fn main_years(frame: &Frame, years: Option<Span>, svg: &mut String) {
    let Some(years) = years else { return };
    let left = frame.x(f64::from(ordinal(years.from)));
    let wide = (frame.x(f64::from(ordinal(years.to) + 1)) - left).max(1.0);
    let y = TOP + HEIGHT + 21.0;
    put(
        svg,
        &format!(r#"<rect class="ho-main" x="{left:.1}" y="{y}" width="{wide:.1}" height="4"/>"#),
    );
}

/// What each sign means: a sample, and lines of words.
fn words(record: &GroupRecord, frame: &Frame) -> Vec<(&'static str, Vec<String>)> {
    let wrapped = |text: String| wrap(&text, LETTERS.1);
    let mut words = vec![
        (
            "sum",
            wrapped("pieces to be expected of each year, each by itself (aoristic sum)".into()),
        ),
        ("law", wrapped("the same, read together".into())),
    ];
    if let Some(years) = record.main_years {
        let text = format!("80 in 100 of it: {}", years.text());
        words.push(("main", wrapped(text)));
    }
    let closing = &record.closing;
    if let Some(year) = closing.not_before {
        let range = match (closing.earliest, closing.latest) {
            (Some(from), Some(to)) if from != to => {
                format!(", 80 in 100: {} to {}", era(from), era(to))
            }
            _ => String::new(),
        };
        let outside = match frame.holds(year) {
            true => "",
            false => " (outside the picture)",
        };
        let year = era(year);
        let text = format!("not closed before {year}{range}{outside}; how long after is not known");
        words.push(("year", wrapped(text)));
    }
    if let Some(without) = closing.without.filter(|without| without.alone) {
        let left = without.not_before.map_or("no year".to_string(), era);
        let text = format!("that year hangs on one row alone; without it: {left}");
        words.push(("none", wrapped(text)));
    }
    words
}

fn legend(words: &[(&'static str, Vec<String>)], foot: f64, svg: &mut String) {
    let mut y = foot;
    for (class, lines) in words {
        let (right, middle) = (LEFT + 26.0, y - 4.5);
        let (over, under) = (y - 10.0, y - 6.5);
        let sample = match *class {
            "sum" => {
                format!(r#"<rect class="ho-sum" x="{LEFT}" y="{over}" width="26" height="10"/>"#)
            }
            "main" => {
                format!(r#"<rect class="ho-main" x="{LEFT}" y="{under}" width="26" height="4"/>"#)
            }
            "none" => String::new(),
            class => format!(r#"<path class="ho-{class}" d="M{LEFT} {middle}H{right}"/>"#),
        };
        put(svg, &sample);
        for text in lines {
            let (x, text) = (LEFT + 34.0, escaped(text));
            put(svg, &format!(r#"<text x="{x}" y="{y}">{text}</text>"#));
            y += LINE;
        }
    }
}
