//! Draws how times grow with the library, both axes logarithmic, in SVG.
//!
//! Each curve has a colour, a dash and a marker of its own, so that no one sign is needed; in light
//! and dark. Measures nothing. Invariant: words stand only outside the frame.

use std::fmt::Write;

/// One curve: types and milliseconds.
pub struct Curve {
    pub name: &'static str,
    pub points: Vec<(f64, f64)>,
}

/// What an answer may take at most, milliseconds, at so many types.
pub struct Bar {
    pub types: f64,
    pub most: f64,
}

/// Frame: left, top, width and height, in the drawing's own units.
const FRAME: (f64, f64, f64, f64) = (52.0, 30.0, 334.0, 250.0);
/// Ends of the axes.
const TYPES: (f64, f64) = (4_000.0, 130_000.0);
const TIMES: (f64, f64) = (0.05, 100.0);
/// Lines of the grid, with what stands beside them.
const ACROSS: [(f64, &str); 5] = [
    (5_000.0, "5,000"),
    (10_000.0, "10,000"),
    (20_000.0, "20,000"),
    (50_000.0, "50,000"),
    (100_000.0, "100,000"),
];
const UP: [(f64, &str); 4] = [(0.1, "0.1"), (1.0, "1"), (10.0, "10"), (100.0, "100")];
const CLASSES: [&str; 3] = ["a", "b", "c"];
const STYLE: &str = "\
.paper{fill:#ffffff}\
.axis{fill:none;stroke:#6b6b66;stroke-width:1}\
.grid{fill:none;stroke:#6b6b66;stroke-width:.5;stroke-opacity:.3}\
.bar{fill:none;stroke:#1c1c1a;stroke-width:2}\
.a,.b,.c{fill:none;stroke-width:2}\
.a{stroke:#1f5fa8}.b{stroke:#b3461a;stroke-dasharray:7 3}.c{stroke:#0a7d6c;stroke-dasharray:2 3}\
.mark{stroke-dasharray:none}\
text{font-family:system-ui,sans-serif;font-size:12.5px;fill:#1c1c1a}\
@media (prefers-color-scheme:dark){\
.paper{fill:#15181b}.axis,.grid{stroke:#9a9a94}.bar{stroke:#f2f2ee}\
.a{stroke:#7fb6f2}.b{stroke:#f59a6b}.c{stroke:#5fd0ba}text{fill:#f2f2ee}}";

fn way(value: f64, (least, most): (f64, f64)) -> f64 {
    (value / least).ln() / (most / least).ln()
}

fn x(types: f64) -> f64 {
    FRAME.0 + FRAME.2 * way(types, TYPES)
}

fn y(ms: f64) -> f64 {
    FRAME.1 + FRAME.3 * (1.0 - way(ms, TIMES))
}

/// Draws curves and bars.
pub fn svg(curves: &[Curve], bars: &[Bar]) -> String {
    let (left, top, width, height) = FRAME;
    let (right, foot) = (left + width, top + height);
    let lines = curves.len() + 1;
    let whole = foot + 48.0 + 16.0 * lines as f64;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 400 {whole:.0}\" role=\"img\">\n\
         <title>Time of an answer by the size of the library</title>\n<style>{STYLE}</style>\n\
         <rect class=\"paper\" width=\"400\" height=\"{whole:.0}\"/>\n\
         <text x=\"{left}\" y=\"20\">milliseconds, one core</text>\n"
    );
    for (types, name) in ACROSS {
        let at = x(types);
        let _ = writeln!(
            svg,
            "<path class=\"grid\" d=\"M{at:.1} {top}V{foot}\"/>\
             <text x=\"{at:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{name}</text>",
            foot + 16.0
        );
    }
    for (ms, name) in UP {
        let at = y(ms);
        let _ = writeln!(
            svg,
            "<path class=\"grid\" d=\"M{left} {at:.1}H{right}\"/>\
             <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{name}</text>",
            left - 6.0,
            at + 4.0
        );
    }
    let _ = writeln!(
        svg,
        "<rect class=\"axis\" x=\"{left}\" y=\"{top}\" width=\"{width}\" height=\"{height}\"/>\
         <text x=\"{right}\" y=\"{:.1}\" text-anchor=\"end\">types in the library</text>",
        foot + 32.0
    );
    for (place, curve) in curves.iter().enumerate() {
        drawn(curve, CLASSES[place % CLASSES.len()], &mut svg);
        let line = foot + 52.0 + 16.0 * place as f64;
        sample(CLASSES[place % CLASSES.len()], curve.name, line, &mut svg);
    }
    for bar in bars {
        let (across, up) = (x(bar.types), y(bar.most));
        let _ = writeln!(
            svg,
            "<path class=\"bar\" d=\"M{:.1} {up:.1}h20\"/>",
            across - 10.0
        );
    }
    let line = foot + 52.0 + 16.0 * curves.len() as f64;
    sample("bar", "what the median may take", line, &mut svg);
    svg.push_str("</svg>\n");
    svg
}

fn drawn(curve: &Curve, class: &str, svg: &mut String) {
    let mut path = String::new();
    for (place, (types, ms)) in curve.points.iter().enumerate() {
        let sign = if place == 0 { 'M' } else { 'L' };
        let _ = write!(path, "{sign}{:.1} {:.1}", x(*types), y(*ms));
    }
    let _ = writeln!(svg, "<path class=\"{class}\" d=\"{path}\"/>");
    for (types, ms) in &curve.points {
        let (x, y) = (x(*types), y(*ms));
        let shape = match class {
            "a" => format!("M{:.1} {y:.1}a3 3 0 1 0 6 0a3 3 0 1 0 -6 0", x - 3.0),
            "b" => format!("M{:.1} {:.1}h6v6h-6z", x - 3.0, y - 3.0),
            _ => format!("M{x:.1} {:.1}l3.5 6h-7z", y - 4.0),
        };
        let _ = writeln!(svg, "<path class=\"{class} mark\" d=\"{shape}\"/>");
    }
}

fn sample(class: &str, name: &str, line: f64, svg: &mut String) {
    let _ = writeln!(
        svg,
        "<path class=\"{class}\" d=\"M{} {:.1}h26\"/><text x=\"{}\" y=\"{line:.1}\">{name}</text>",
        FRAME.0,
        line - 4.0,
        FRAME.0 + 34.0
    );
}
