//! The picture: weight against diameter, the region of each type and the point of the find.
//!
//! Draws what the laws of the scorer say, in SVG, for a telephone as for a desk, in light and dark.
//! Each type has a colour, a dash and a marker of its own, so that no one sign is needed.
//!
//! Invariant: everything drawn lies within the frame, and words stand only outside the frame, so
//! none lies upon another.

use std::fmt::Write;

use super::frame::{Frame, HEIGHT, LEFT, PLOT, TOP};
use super::{Setting, escaped, letter, put, wrap};
use crate::catalogue::{Catalogue, WeightPart};
use crate::explain::type_name;
use crate::find::Find;
use crate::score::{MeasureLaw, Outline, Region, reading_errors};

/// Shares of the pieces that the regions hold, the wider first, as they are drawn.
const SHARES: [f64; 2] = [0.9, 0.5];
/// Width of the drawing in its own units; at 360 pixels its words are eleven pixels high.
const WIDTH: f64 = 400.0;
/// Height of a line of words.
const LINE: f64 = 16.0;
/// Letters of a line of words beside a sample, and of one without.
const LETTERS: (usize, usize) = (46, 51);

/// Colours by scheme: paper, ink, faint lines, and the three types. Each of ink and types stands out
/// from the paper by more than three to one.
const STYLE: &str = "\
.ly-paper{fill:#ffffff}\
.ly-axis{fill:none;stroke:#6b6b66;stroke-width:1}\
.ly-grid{fill:none;stroke:#6b6b66;stroke-width:.5;stroke-opacity:.3}\
.ly-find{fill:none;stroke:#1c1c1a;stroke-width:2}\
.ly-a{fill:#1f5fa8;stroke:#1f5fa8}\
.ly-b{fill:#b3461a;stroke:#b3461a}\
.ly-c{fill:#0a7d6c;stroke:#0a7d6c}\
.ly-b.ly-dash{stroke-dasharray:7 3}\
.ly-c.ly-dash{stroke-dasharray:2 3}\
.ly-struck{fill-opacity:.16;stroke-width:2}\
.ly-found{fill-opacity:.07;stroke-width:.9}\
.ly-mark{stroke:#ffffff}\
text{font-family:system-ui,sans-serif;font-size:12.5px;fill:#1c1c1a}\
@media (prefers-color-scheme:dark){\
.ly-paper{fill:#15181b}\
.ly-axis,.ly-grid{stroke:#9a9a94}\
.ly-find{stroke:#f2f2ee}\
.ly-a{fill:#7fb6f2;stroke:#7fb6f2}\
.ly-b{fill:#f59a6b;stroke:#f59a6b}\
.ly-c{fill:#5fd0ba;stroke:#5fd0ba}\
.ly-mark{stroke:#15181b}\
text{fill:#f2f2ee}}";

/// The classes of the types.
const CLASSES: [&str; 3] = ["ly-a", "ly-b", "ly-c"];

/// One type with its regions.
struct Drawn<'a> {
    id: &'a str,
    name: String,
    class: &'static str,
    place: usize,
    struck: Vec<Region>,
    found: Vec<Region>,
    /// The middle of each standard, grams and millimetres.
    middles: Vec<(f64, f64)>,
}

/// Draws types and a find; none where the library gives no measure of any of the types.
pub fn measures(
    types: &[usize],
    [struck, found]: [&[MeasureLaw]; 2],
    find: Option<&Find>,
    library: &Catalogue,
    setting: Setting,
) -> Option<String> {
    let (struck, found) = rayon::join(|| regions(struck), || regions(found));
    let areas = struck.into_iter().zip(found).enumerate();
    let types: Vec<Drawn<'_>> = areas
        .map(|(place, areas)| drawn((place, types[place]), areas, library))
        .collect();
    let areas = || {
        types
            .iter()
            .flat_map(|one| one.struck.iter().chain(&one.found))
    };
    if areas().all(|region| region.outline == Outline::Nothing) {
        return None;
    }
    let point = find.map(point);
    let frame = Frame::round(areas(), point.as_ref());
    let (words, height) = words(&types, point.as_ref(), &frame);
    let mut svg = String::new();
    head(&types, height, setting, &mut svg);
    frame.axes(&mut svg);
    let clip = r#"<g clip-path="url(#ly-frame)">"#;
    put(&mut svg, clip);
    for one in &types {
        one.outlines(&one.found, "found", &frame, &mut svg);
    }
    for one in &types {
        one.outlines(&one.struck, "struck", &frame, &mut svg);
    }
    for one in &types {
        for (grams, millimetres) in &one.middles {
            let (x, y) = (frame.x(*millimetres), frame.y(*grams));
            put(&mut svg, &marker(one.place, one.class, (x, y)));
        }
    }
    put(&mut svg, "</g>");
    if let Some(point) = &point {
        put(&mut svg, &frame.point(point));
    }
    put(&mut svg, &words);
    put(&mut svg, "</svg>");
    Some(svg)
}

/// The regions of some laws; of laws that are alike they are sought once.
fn regions(laws: &[MeasureLaw]) -> Vec<Vec<Region>> {
    let mut known: Vec<Vec<Region>> = Vec::new();
    for (place, law) in laws.iter().enumerate() {
        let alike = laws[..place].iter().position(|other| other == law);
        known.push(alike.map_or_else(|| law.regions(&SHARES), |alike| known[alike].clone()));
    }
    known
}

fn drawn<'a>(
    (place, coin): (usize, usize),
    (struck, found): (Vec<Region>, Vec<Region>),
    library: &'a Catalogue,
) -> Drawn<'a> {
    let coin = &library.types[coin];
    let middle = |part: &WeightPart| {
        let (least, most) = coin.diameter?;
        Some((part.grams, f64::midpoint(least, most)))
    };
    Drawn {
        id: &coin.id,
        name: format!("{}, {}", type_name(coin, library), coin.span.text()),
        class: CLASSES[place % CLASSES.len()],
        place,
        struck,
        found,
        middles: coin.weights.iter().filter_map(middle).collect(),
    }
}

/// A find's measures with their errors.
pub(super) struct Point {
    /// Grams.
    pub(super) weight: Option<(f64, f64)>,
    /// Millimetres.
    pub(super) width: Option<(f64, f64)>,
}

fn point(find: &Find) -> Point {
    let errors = reading_errors(find);
    Point {
        weight: find.weight.map(|weight| weight.value.get()).zip(errors.0),
        width: find.diameter.map(|width| width.value.get()).zip(errors.1),
    }
}

fn head(types: &[Drawn<'_>], height: f64, setting: Setting, svg: &mut String) {
    let names: Vec<String> = types
        .iter()
        .map(|one| format!("{}: {}", letter(one.place), one.name))
        .collect();
    let said = "Weight in grams against diameter in millimetres";
    put(
        svg,
        &format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" role="img" aria-labelledby="ly-title ly-desc"{}>"#,
            match setting {
                Setting::Alone => r#" style="width:100%;max-width:48rem""#,
                Setting::Page => r#" class="ly-picture""#,
            }
        ),
    );
    put(svg, &format!(r#"<title id="ly-title">{said}</title>"#));
    let desc = escaped(&names.join("; "));
    put(svg, &format!(r#"<desc id="ly-desc">{desc}</desc>"#));
    if setting == Setting::Alone {
        put(svg, &format!("<style>{STYLE}</style>"));
    }
    put(
        svg,
        &format!(
            r#"<clipPath id="ly-frame"><rect x="{LEFT}" y="{TOP}" width="{PLOT}" height="{HEIGHT}"/></clipPath>"#
        ),
    );
    put(
        svg,
        &format!(r#"<rect class="ly-paper" width="{WIDTH}" height="{height}"/>"#),
    );
}

impl Drawn<'_> {
    fn outlines(&self, regions: &[Region], state: &str, frame: &Frame, svg: &mut String) {
        for region in regions {
            let Some(path) = frame.outline(&region.outline) else {
                continue;
            };
            let (class, share, id) = (self.class, region.share, escaped(self.id));
            put(
                svg,
                &format!(
                    r#"<path class="{class} ly-dash ly-{state}" fill-rule="evenodd" data-type="{id}" data-state="{state}" data-share="{share}" d="{path}"/>"#
                ),
            );
        }
    }
}

/// The marker of a type: a disc, a square, a triangle, each smaller than the one before, so that all
/// are seen where they lie upon one another.
fn marker(place: usize, class: &str, (x, y): (f64, f64)) -> String {
    match place {
        0 => format!(r#"<circle class="{class}" cx="{x:.1}" cy="{y:.1}" r="7"/>"#),
        1 => {
            let (x, y) = (x - 4.0, y - 4.0);
            format!(r#"<rect class="{class} ly-mark" x="{x:.1}" y="{y:.1}" width="8" height="8"/>"#)
        }
        _ => {
            let (left, right, top, foot) = (x - 4.5, x + 4.5, y - 4.5, y + 3.2);
            format!(
                r#"<path class="{class} ly-mark" d="M{x:.1} {top:.1}L{right:.1} {foot:.1}L{left:.1} {foot:.1}Z"/>"#
            )
        }
    }
}

/// The words under the frame, and how deep the picture is with them.
fn words(types: &[Drawn<'_>], point: Option<&Point>, frame: &Frame) -> (String, f64) {
    let mut out = String::new();
    let mut foot = TOP + HEIGHT + 58.0;
    for one in types {
        let (top, class) = (foot - 10.0, one.class);
        let known = one.struck.iter().any(|r| r.outline != Outline::Nothing);
        let known = if known {
            ""
        } else {
            " (weight and diameter not known)"
        };
        let _ = writeln!(
            out,
            r#"<rect class="{class} ly-dash ly-struck" x="12" y="{top:.1}" width="32" height="12"/>"#
        );
        put(&mut out, &marker(one.place, class, (28.0, foot - 4.0)));
        let name = format!("{} {}{known}", letter(one.place), one.name);
        foot = lines(&mut out, &name, (54.0, foot), LETTERS.0) + 4.0;
    }
    if let Some(told) = point.and_then(|point| frame.told(point)) {
        put(&mut out, &cross((28.0, foot - 4.0), (8.0, 6.0)));
        foot = lines(&mut out, &told, (54.0, foot), LETTERS.0) + 4.0;
    }
    let key = "Thick lines: as struck. Thin lines: as found, worn and clipped as the scorer allows for. The inner line holds half of the pieces, the outer nine tenths.";
    let foot = lines(&mut out, key, (12.0, foot), LETTERS.1);
    (out, foot)
}

/// The find's cross.
pub(super) fn cross((x, y): (f64, f64), (wide, high): (f64, f64)) -> String {
    let (left, right, top, foot) = (x - wide, x + wide, y - high, y + high);
    format!(r#"<path class="ly-find" d="M{left:.2} {y:.2}H{right:.2}M{x:.2} {top:.2}V{foot:.2}"/>"#)
}

/// Writes lines of words from a place on; gives where the next would stand.
fn lines(out: &mut String, text: &str, (x, mut y): (f64, f64), letters: usize) -> f64 {
    for line in wrap(text, letters) {
        let line = escaped(&line);
        put(out, &format!(r#"<text x="{x}" y="{y:.1}">{line}</text>"#));
        y += LINE;
    }
    y
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::svg::{colour_of, contrast};

    #[test]
    fn colours_stand_out_from_the_paper_in_light_and_dark() {
        assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
        let (light, dark) = STYLE.split_once("@media").expect("a dark scheme");
        for scheme in [light, dark] {
            let colour = |class: &str, what: &str| colour_of(scheme, class, what);
            let paper = colour(".ly-paper", "fill:");
            let inks = [
                (".ly-axis", "stroke:"),
                (".ly-find", "stroke:"),
                (".ly-a{", "fill:"),
                (".ly-b{", "fill:"),
                (".ly-c{", "fill:"),
                ("text", "fill:"),
            ];
            for (class, what) in inks {
                let ink = colour(class, what);
                let contrast = contrast(&ink, &paper);
                assert!(contrast >= 3.0, "{class} {ink} on {paper}: {contrast}");
            }
        }
    }
}
