//! GeoJSON (RFC 7946): points in, squares out.
//!
//! A square is written as a polygon, since a point would be taken for the spot itself. Reads
//! points, and polygons that name their square; nothing of what they carry but name and reference.
//!
//! Invariant: what is written is the square and nothing finer, and read again is the same square.

use std::path::Path;

use serde_json::{Map, Value, json};

use super::super::error::Trouble;
use super::lain::{Gathered, Lain, POINTS_MOST, position, text_of, too_many};
use crate::findspot::{Fault, Findspot, Kind, ring};

/// The property that names the square.
const REFERENCE: &str = "grid_reference";

/// The points of a file.
pub(super) fn gather(path: &Path) -> Result<Gathered, Trouble> {
    let text = text_of(path, "GeoJSON")?;
    let name = path.display();
    let whole: Value = serde_json::from_str(&text).map_err(|error| {
        Trouble::new(
            format!("{name}: not sound JSON: {error}"),
            "export the points as GeoJSON again; GPX is read with --gpx",
        )
    })?;
    let kind = whole.get("type").and_then(Value::as_str);
    let features: Vec<&Value> = match (kind, whole.get("features")) {
        (Some("FeatureCollection"), Some(Value::Array(features))) => features.iter().collect(),
        (Some("Feature" | "Point" | "Polygon"), _) => vec![&whole],
        _ => {
            return Err(Trouble::new(
                format!("{name}: neither a FeatureCollection nor a Feature nor a Point"),
                "export the points as GeoJSON again; GPX is read with --gpx",
            ));
        }
    };
    if features.len() > POINTS_MOST {
        return Err(too_many(path));
    }
    let mut gathered = Gathered::default();
    for (at, feature) in features.into_iter().enumerate() {
        let property = |name: &str| feature.get("properties")?.get(name)?.as_str();
        let found = findspot(feature, property(REFERENCE));
        gathered.take(&format!("feature {}", at + 1), found, property("name"));
    }
    Ok(gathered)
}

fn fault(what: impl Into<String>, mend: &str) -> Fault {
    Fault {
        kind: Kind::Degrees,
        what: what.into(),
        mend: mend.to_string(),
    }
}

fn findspot(feature: &Value, reference: Option<&str>) -> Result<Findspot, Fault> {
    let geometry = match feature.get("type").and_then(Value::as_str) {
        Some("Feature") => feature.get("geometry").unwrap_or(&Value::Null),
        _ => feature,
    };
    let coordinates = geometry.get("coordinates").unwrap_or(&Value::Null);
    match geometry.get("type").and_then(Value::as_str) {
        Some("Point") => {
            let (longitude, latitude) = pair(coordinates)?;
            position(
                (latitude, decimals(latitude)),
                (longitude, decimals(longitude)),
                reference,
            )
        }
        Some("Polygon") if reference.is_some() => {
            let (longitude, latitude) = middle(coordinates)?;
            position((latitude, 0), (longitude, 0), reference)
        }
        kind => Err(fault(
            format!("its geometry is {}", kind.unwrap_or("missing")),
            "only a Point is read, or a Polygon with the property grid_reference",
        )),
    }
}

/// Longitude and latitude, in the order of the standard.
fn pair(coordinates: &Value) -> Result<(f64, f64), Fault> {
    let number = |at: usize| coordinates.get(at).and_then(Value::as_f64);
    match (number(0), number(1)) {
        (Some(longitude), Some(latitude)) if longitude.abs() > 180.0 || latitude.abs() > 90.0 => {
            Err(fault(
                format!("coordinates: {longitude}, {latitude} are no degrees"),
                "GeoJSON holds longitude and latitude in degrees of WGS 84: export it so",
            ))
        }
        (Some(longitude), Some(latitude)) => Ok((longitude, latitude)),
        _ => Err(fault(
            "coordinates: two numbers are missing",
            "write longitude, then latitude: [-0.12828, 51.50403]",
        )),
    }
}

/// The middle of the corners of a ring.
fn middle(coordinates: &Value) -> Result<(f64, f64), Fault> {
    let ring = coordinates.get(0).and_then(Value::as_array);
    let ring = ring.map_or(&[][..], Vec::as_slice);
    // The last corner of a ring is the first again.
    let corners = ring.split_last().map_or(&[][..], |(_, corners)| corners);
    let (mut longitude, mut latitude) = (0.0, 0.0);
    for corner in corners {
        let (x, y) = pair(corner)?;
        longitude += x;
        latitude += y;
    }
    let count = corners.len() as f64;
    if corners.is_empty() {
        return pair(&Value::Null);
    }
    Ok((longitude / count, latitude / count))
}

/// Decimals of a number as it would be written shortest.
fn decimals(value: f64) -> usize {
    let text = value.to_string();
    text.split_once('.').map_or(0, |(_, after)| after.len())
}

/// The findspots as a GeoJSON file.
pub(super) fn written(places: &[Lain]) -> Value {
    let features: Vec<Value> = places.iter().map(feature).collect();
    json!({ "type": "FeatureCollection", "features": features })
}

fn feature(place: &Lain) -> Value {
    let square = place.spot.square;
    let mut properties = Map::new();
    properties.insert(REFERENCE.into(), square.to_string().into());
    properties.insert("square_m".into(), square.side().metres().into());
    properties.insert("finds".into(), place.count.into());
    if let Some(name) = &place.name {
        properties.insert("name".into(), name.as_str().into());
    }
    json!({
        "type": "Feature",
        "geometry": { "type": "Polygon", "coordinates": [ring(square)] },
        "properties": properties,
    })
}
