//! The date as a picture: how likely each year is, on a line with the periods.
//!
//! Draws the curve that the scorer gave, and works nothing out but where it stands.
//!
//! Invariant: everything drawn lies within the frame, and the ranges stand beside it in words.

use std::fmt::Write;

use maud::{Markup, PreEscaped, html};

use crate::catalogue::Period;
use crate::drawn::{escaped, put};
use crate::find::{era, ordinal};
use crate::score::{DateCurve, densest};

const WIDTH: f64 = 400.0;
const LEFT: f64 = 8.0;
const RIGHT: f64 = 392.0;
const TOP: f64 = 10.0;
const FOOT: f64 = 100.0;
/// Share of the probability that the line shows.
const SHOWN: f64 = 0.97;
/// Fewest years that the line shows.
const YEARS_LEAST: usize = 30;
/// Height of a period's band, and fewest units of the drawing in which its name has room.
const BAND: f64 = 18.0;
/// Most points of the curve.
const POINTS: usize = 192;

/// The years that a line shows, as ordinals.
struct Line {
    first: i32,
    last: i32,
}

impl Line {
    fn of(date: &DateCurve) -> Line {
        let (first, last) = densest(&date.density, SHOWN);
        let begin = ordinal(date.from);
        let (mut first, mut last) = (begin + first as i32, begin + last as i32);
        let years = (last - first + 1) as usize;
        let wanting = YEARS_LEAST.saturating_sub(years) as i32 / 2;
        let free = ((last - first) / 20).max(2);
        first -= wanting + free;
        last += wanting + free;
        Line { first, last }
    }

    /// Where a year begins.
    fn x(&self, year: i32) -> f64 {
        let way = f64::from(year - self.first) / f64::from(self.last + 1 - self.first);
        LEFT + (RIGHT - LEFT) * way.clamp(0.0, 1.0)
    }
}

/// The date in words, and its curve on a line.
pub(super) fn date(date: &DateCurve, periods: &[Period]) -> Markup {
    let ranges = date.ranges();
    html! {
        section aria-label="When" {
            h3 { "When" }
            p {
                "About " (era(date.median())) ". Half the chance " (ranges.p50.text())
                ", 80 in 100 " (ranges.p80.text()) ", 95 in 100 " (ranges.p95.text()) "."
            }
            (PreEscaped(picture(date, periods)))
        }
    }
}

fn picture(date: &DateCurve, periods: &[Period]) -> String {
    let line = Line::of(date);
    let (bands, foot) = bands(&line, periods);
    let height = foot + 22.0;
    let ranges = date.ranges();
    let said = format!(
        "Likelihood year by year, highest about {}, mostly {}",
        era(date.median()),
        ranges.p80.text()
    );
    let said = escaped(&said);
    let mut svg = format!(
        r#"<svg class="years" viewBox="0 0 {WIDTH} {height}" width="{WIDTH}" height="{height}" role="img" aria-label="{said}">"#
    );
    for (class, span) in [("wide", ranges.p80), ("half", ranges.p50)] {
        let (from, to) = (line.x(ordinal(span.from)), line.x(ordinal(span.to) + 1));
        let wide = (to - from).max(1.0);
        put(
            &mut svg,
            &format!(
                r#"<rect class="{class}" x="{from:.1}" y="{TOP}" width="{wide:.1}" height="{}"/>"#,
                FOOT - TOP
            ),
        );
    }
    put(
        &mut svg,
        &format!(r#"<path class="curve" d="{}"/>"#, curve(date, &line)),
    );
    put(
        &mut svg,
        &format!(r#"<path class="axis" d="M{LEFT} {FOOT}H{RIGHT}"/>"#),
    );
    svg.push_str(&bands);
    for (year, anchor) in [(line.first, "start"), (line.last, "end")] {
        let x = if anchor == "start" { LEFT } else { RIGHT };
        let name = era(crate::find::year_at(year));
        put(
            &mut svg,
            &format!(
                r#"<text x="{x}" y="{:.1}" text-anchor="{anchor}">{name}</text>"#,
                foot + 16.0
            ),
        );
    }
    svg.push_str("</svg>");
    svg
}

/// The curve as steps, the mean of the years of each.
fn curve(date: &DateCurve, line: &Line) -> String {
    let begin = ordinal(date.from);
    let at = |year: i32| {
        let place = usize::try_from(year - begin).ok();
        place
            .and_then(|place| date.density.get(place))
            .copied()
            .unwrap_or(0.0)
    };
    let years = (line.last - line.first + 1) as usize;
    let points = years.min(POINTS);
    let edge = |point: usize| line.first + (point * years / points) as i32;
    let mean = |point: usize| {
        let (from, to) = (edge(point), edge(point + 1).max(edge(point) + 1));
        (from..to).map(at).sum::<f64>() / f64::from(to - from)
    };
    let heights: Vec<f64> = (0..points).map(mean).collect();
    let highest = heights.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
    let mut path = format!("M{LEFT} {FOOT}");
    for (point, height) in heights.iter().enumerate() {
        let y = FOOT - (FOOT - TOP - 4.0) * height / highest;
        let (from, to) = (line.x(edge(point)), line.x(edge(point + 1)));
        let _ = write!(path, "L{from:.1} {y:.1}L{to:.1} {y:.1}");
    }
    let _ = write!(path, "L{RIGHT} {FOOT}Z");
    path
}

/// The periods under the line, each in a row of its own that it shares with those that end before
/// it begins; gives where they end.
fn bands(line: &Line, periods: &[Period]) -> (String, f64) {
    let mut svg = String::new();
    let mut rows: Vec<f64> = Vec::new();
    for period in periods {
        let (from, to) = (ordinal(period.span.from), ordinal(period.span.to));
        if to < line.first || from > line.last {
            continue;
        }
        let (x, end) = (line.x(from), line.x(to + 1));
        let row = rows.iter().position(|taken| *taken <= x + 0.5);
        let row = row.unwrap_or_else(|| {
            rows.push(0.0);
            rows.len() - 1
        });
        rows[row] = end;
        let y = FOOT + 4.0 + BAND * row as f64;
        let (wide, high) = ((end - x).max(1.0), BAND - 3.0);
        let name = escaped(&period.name);
        put(
            &mut svg,
            &format!(
                r#"<rect class="period" x="{x:.1}" y="{y:.1}" width="{wide:.1}" height="{high}"><title>{name}, {}</title></rect>"#,
                period.span.text()
            ),
        );
        // A name stands only where it has room.
        if wide > 7.0 * period.name.chars().count() as f64 {
            let (middle, base) = (f64::midpoint(x, end), y + 11.5);
            put(
                &mut svg,
                &format!(
                    r#"<text class="name" x="{middle:.1}" y="{base:.1}" text-anchor="middle">{name}</text>"#
                ),
            );
        }
    }
    (svg, FOOT + 4.0 + BAND * rows.len() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::find::Span;

    #[test]
    fn the_line_holds_the_curve_and_its_periods() {
        let span = |from, to| Span { from, to };
        let curve = DateCurve::mixture(&[(span(-10, 20), 0.5), (span(1900, 1900), 0.5)]);
        let period = |name: &str, from, to| Period {
            id: "p".into(),
            name: name.into(),
            span: span(from, to),
            words: Vec::new(),
        };
        let periods = [period("<Iron> Age", -200, 43), period("Roman", 43, 410)];
        let drawn = picture(&curve.expect("has weight"), &periods);
        assert!(drawn.contains("&lt;Iron&gt; Age") && drawn.contains("Roman"));
        assert!(!drawn.contains("NaN") && !drawn.contains("inf"), "{drawn}");
        let one = DateCurve::mixture(&[(span(1, 1), 1.0)]).expect("has weight");
        assert!(!picture(&one, &[]).contains("NaN"));
    }
}
