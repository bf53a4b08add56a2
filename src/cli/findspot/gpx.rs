//! GPX: waypoints in, waypoints out.
//!
//! Follows no entity, opens nothing the file names, and reads tracks, heights and times never.
//!
//! Invariant: what is written holds the middle of each square and nothing finer, and read again
//! gives the same squares.

use std::fmt::Write;
use std::path::Path;

use roxmltree::{Document, Error, Node, ParsingOptions};

use super::super::error::Trouble;
use super::lain::{Gathered, Lain, POINTS_MOST, position, text_of, too_many};
use crate::findspot::{Degrees, Fault, Findspot, Kind};

/// Namespace of the square's reference among the extensions of a waypoint.
const OURS: &str = "urn:lynchet:findspot";
/// Most pieces of a file that are kept at once.
const NODES_MOST: u32 = 2_000_000;

/// The waypoints of a file.
pub(super) fn gather(path: &Path) -> Result<Gathered, Trouble> {
    let text = text_of(path, "GPX")?;
    let options = ParsingOptions {
        nodes_limit: NODES_MOST,
        ..ParsingOptions::default()
    };
    let document =
        Document::parse_with_options(&text, options).map_err(|error| refused(path, &error))?;
    let root = document.root_element();
    if root.tag_name().name() != "gpx" {
        return Err(Trouble::new(
            format!(
                "{}: its outermost element is {:?}, not gpx",
                path.display(),
                root.tag_name().name()
            ),
            "export the waypoints as GPX; GeoJSON is read with --geojson",
        ));
    }
    let mut gathered = Gathered::default();
    let named = |name: &'static str| move |node: &Node| node.tag_name().name() == name;
    for (at, node) in root.children().filter(named("wpt")).enumerate() {
        if at == POINTS_MOST {
            return Err(too_many(path));
        }
        let name = child(node, "name").and_then(|name| name.text());
        gathered.take(&format!("waypoint {}", at + 1), waypoint(node), name);
    }
    for (kind, points) in [("track", "trkpt"), ("route", "rtept")] {
        let count = root.descendants().filter(named(points)).count();
        if count > 0 {
            gathered.left_out.push(format!(
                "{count} points of a {kind}: where somebody walked is no findspot; mark finds as \
                 waypoints"
            ));
        }
    }
    Ok(gathered)
}

fn refused(path: &Path, error: &Error) -> Trouble {
    let name = path.display();
    match error {
        Error::DtdDetected => Trouble::new(
            format!("{name}: it declares a document type (DOCTYPE), which is not read"),
            "a GPX file needs none: export it again, or take that part out",
        ),
        Error::NodesLimitReached => Trouble::new(
            format!("{name}: more than {NODES_MOST} elements"),
            "split it, or take the tracks out and keep the waypoints",
        ),
        error => Trouble::new(
            format!("{name}: not sound XML: {error}"),
            "export the waypoints as GPX again",
        ),
    }
}

fn child<'a, 'i>(node: Node<'a, 'i>, name: &str) -> Option<Node<'a, 'i>> {
    node.children()
        .find(|child| child.tag_name().name() == name)
}

fn waypoint(node: Node) -> Result<Findspot, Fault> {
    let reference = child(node, "extensions").and_then(|extensions| {
        let ours = |node: &Node| node.tag_name() == (OURS, "reference").into();
        extensions
            .children()
            .find(ours)
            .and_then(|node| node.text())
    });
    let (latitude, longitude) = (degrees(node, "lat")?, degrees(node, "lon")?);
    position(latitude, longitude, reference)
}

/// A number of degrees and its decimals.
fn degrees(node: Node, name: &str) -> Result<(f64, usize), Fault> {
    let text = node.attribute(name).unwrap_or_default().trim();
    let decimals = text.split_once('.').map_or(0, |(_, after)| after.len());
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() && !text.contains(['e', 'E']) => Ok((value, decimals)),
        _ => Err(Fault {
            kind: Kind::Degrees,
            what: format!("{name}: {text:?} is no number of degrees"),
            mend: format!("write it as {name}=\"51.50403\""),
        }),
    }
}

/// The findspots as a GPX file.
pub(super) fn written(places: &[Lain]) -> String {
    let mut text = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"Lynchet\" \
         xmlns=\"http://www.topografix.com/GPX/1/1\" xmlns:findspot=\"urn:lynchet:findspot\">\n",
    );
    for place in places {
        let square = place.spot.square;
        let middle = Degrees::of(square);
        let decimals = middle.decimals();
        let reference = square.to_string();
        let name = escaped(place.name.as_deref().unwrap_or(&reference));
        let many = match place.count {
            1 => String::new(),
            count => format!("{count} finds; "),
        };
        // Writing to a string cannot fail.
        let _ = write!(
            text,
            "  <wpt lat=\"{:.decimals$}\" lon=\"{:.decimals$}\">\n    <name>{name}</name>\n    \
             <desc>{many}{reference}, a square of {}; the point is its middle</desc>\n    \
             <extensions><findspot:reference>{reference}</findspot:reference></extensions>\n  \
             </wpt>\n",
            middle.latitude,
            middle.longitude,
            square.side().text(),
        );
    }
    text.push_str("</gpx>\n");
    text
}

/// Text as XML takes it; signs it has no place for are left out.
fn escaped(text: &str) -> String {
    let mut safe = String::new();
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => {}
            c => safe.push(c),
        }
    }
    safe
}
