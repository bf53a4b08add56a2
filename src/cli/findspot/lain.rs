//! Findspots gathered from a file, and what was left out of it.
//!
//! Reads bounded text; knows no format.
//!
//! Invariant: what is shared holds neither a name nor an order nor a finer square than asked for.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::Read;
use std::path::Path;

use super::super::error::Trouble;
use crate::findspot::{Degrees, Fault, Findspot, Side, Square, read, to_grid};

/// Most bytes of a file that are read.
const BYTES_MOST: u64 = 16 << 20;
/// Most findspots of a file.
pub(super) const POINTS_MOST: usize = 100_000;
/// How far a position may lie outside the square that is named beside it, metres: what the shift
/// of datums and a rounded last decimal may do.
const APART_MOST: f64 = 10.0;

/// A findspot of a file.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Lain {
    pub(super) spot: Findspot,
    /// Its name in the file.
    pub(super) name: Option<String>,
    /// How many findspots of the file lie in this square; one unless they were put together.
    pub(super) count: usize,
}

/// What a file gave.
#[derive(Debug, Default)]
pub(super) struct Gathered {
    pub(super) places: Vec<Lain>,
    /// Which point was left out, and why.
    pub(super) left_out: Vec<String>,
}

impl Gathered {
    /// Takes one point in, or notes why not.
    pub(super) fn take(&mut self, which: &str, found: Result<Findspot, Fault>, name: Option<&str>) {
        match found {
            Ok(spot) => self.places.push(Lain {
                spot,
                name: name.map(plain).filter(|name| !name.is_empty()),
                count: 1,
            }),
            Err(fault) => self.left_out.push(format!("{which}: {fault}")),
        }
    }
}

/// A name without signs that would steer a terminal.
fn plain(name: &str) -> String {
    let signs = name.chars().map(|c| if c.is_control() { ' ' } else { c });
    signs.take(200).collect::<String>().trim().to_string()
}

/// The same findspots for sharing: in squares of this side, those of one square put together, in
/// the order of the grid, without names.
pub(super) fn shared(places: &[Lain], side: Side) -> Vec<Lain> {
    let mut squares: BTreeMap<Square, Lain> = BTreeMap::new();
    for place in places {
        let spot = place.spot.redacted(side);
        let entry = squares.entry(spot.square).or_insert(Lain {
            spot,
            name: None,
            count: 0,
        });
        entry.count += place.count;
    }
    squares.into_values().collect()
}

/// A position of a file: by the reference written beside it where there is one and the two agree,
/// else by its decimals. The finer of the two counts, since files drop trailing noughts.
pub(super) fn position(
    latitude: (f64, usize),
    longitude: (f64, usize),
    reference: Option<&str>,
) -> Result<Findspot, Fault> {
    let decimals = latitude.1.max(longitude.1).min(15);
    let step = 10_f64.powi(-i32::try_from(decimals).unwrap_or(15));
    let Some(reference) = reference else {
        return Findspot::of_degrees(Degrees::counted(latitude.0, longitude.0, step));
    };
    let spot = read(reference)?;
    let (east, north) = to_grid(latitude.0, longitude.0);
    let side = f64::from(spot.square.side().metres());
    let (x, y) = spot.square.middle();
    let within = side / 2.0 + APART_MOST;
    if (east - x).abs() <= within && (north - y).abs() <= within {
        return Ok(spot);
    }
    Err(Fault {
        kind: crate::findspot::Kind::Degrees,
        what: format!("its grid reference {reference:?} and its position lie apart"),
        mend: "keep the one that is right and take the other out".to_string(),
    })
}

/// The whole text of a file, if it is text and no larger than is read.
pub(super) fn text_of(path: &Path, what: &str) -> Result<String, Trouble> {
    let name = path.display();
    let trouble = |error: std::io::Error| {
        Trouble::new(format!("{name}: {error}"), format!("name a file of {what}"))
    };
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(trouble)?;
    file.take(BYTES_MOST + 1)
        .read_to_end(&mut bytes)
        .map_err(trouble)?;
    if bytes.len() as u64 > BYTES_MOST {
        return Err(Trouble::new(
            format!("{name}: larger than {} MB", BYTES_MOST >> 20),
            "split it, or take the tracks out and keep the waypoints",
        ));
    }
    let text = String::from_utf8(bytes).map_err(|_| {
        Trouble::new(
            format!("{name}: not text in UTF-8"),
            format!("save it again as {what} in UTF-8"),
        )
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text).to_string();
    if text.trim().is_empty() {
        return Err(Trouble::new(
            format!("{name}: the file is empty"),
            format!("name a file of {what} with points in it"),
        ));
    }
    Ok(text)
}

/// Fault of a file that holds more than is read.
pub(super) fn too_many(path: &Path) -> Trouble {
    Trouble::new(
        format!("{}: more than {POINTS_MOST} points", path.display()),
        "split it",
    )
}
