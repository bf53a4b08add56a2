//! Places of finds as GeoJSON: the squares that they lay in.
//!
//! Writes degrees of WGS 84, longitude first (RFC 7946). Reads no text: the squares are handed in.
//!
//! Invariant: with a side to cut to, no corner tells more than the square of that side.

use serde_json::{Map, Value, json};

use crate::findspot::{Side, Square, ring};

/// A find's square as it stands on the shelf, made no finer than asked.
pub(super) fn square(
    east: Option<i64>,
    north: Option<i64>,
    side_m: Option<i64>,
    no_finer: Option<Side>,
) -> Option<Square> {
    let whole = |value: Option<i64>| value.and_then(|value| u32::try_from(value).ok());
    let side = Side::of_metres(whole(side_m)?)?;
    let square = Square::cut_whole(whole(east)?, whole(north)?, side)?;
    Some(match no_finer {
        Some(side) => square.redacted(side),
        None => square,
    })
}

/// A square with what is said of it.
pub(super) fn feature(square: Square, mut properties: Map<String, Value>) -> Value {
    properties.insert("square".into(), square.to_string().into());
    properties.insert("square_m".into(), square.side().metres().into());
    json!({
        "type": "Feature",
        "geometry": { "type": "Polygon", "coordinates": [ring(square)] },
        "properties": properties,
    })
}
