//! Findspots as sentences and as JSON.
//!
//! Prints what the findspot room says of a square; reads nothing.
//!
//! Invariant: every position in degrees stands with how far off it may be.

use std::io::Write;

use serde::Serialize;

use super::super::error::Trouble;
use super::lain::Lain;
use crate::findspot::{Degrees, Findspot, SHIFT_GOOD_TO, Side, about, countries};

/// Most letters of a line beside the margin.
const WIDE_MOST: usize = 84;
/// What stands under every list of findspots that is not cut.
const CAUTION: &str = "Findspots are sensitive: give the full figures to the recording officer and \
the owner of the land,\nand to others the square of 1 km or 10 km (--redact 1km).";

/// What `findspot --json` prints.
#[derive(Serialize)]
pub(super) struct FindspotsView {
    /// Metres by which the plain shift of datums may be off.
    shift_good_to_m: f64,
    /// The side that all was cut to, if it was.
    redacted_to_m: Option<u32>,
    findspots: Vec<FindspotView>,
    left_out: Vec<String>,
}

/// One findspot.
#[derive(Serialize)]
struct FindspotView {
    reference: String,
    figures: usize,
    square_m: u32,
    /// South-west corner.
    easting: u32,
    northing: u32,
    /// Middle of the square.
    latitude: f64,
    longitude: f64,
    /// Metres by which it may be off each way.
    within_m: f64,
    /// Where it was given in degrees: metres by which those may be off each way.
    given_within_m: Option<f64>,
    countries: Vec<&'static str>,
    notes: Vec<&'static str>,
    finds: usize,
    name: Option<String>,
}

/// The view of all findspots.
pub(super) fn view(places: &[Lain], side: Option<Side>, left_out: &[String]) -> FindspotsView {
    let one = |place: &Lain| {
        let square = place.spot.square;
        let middle = Degrees::of(square);
        let places = 10_f64.powi(middle.decimals() as i32);
        let rounded = |value: f64| (value * places).round() / places;
        FindspotView {
            reference: square.to_string(),
            figures: square.side().figures(),
            square_m: square.side().metres(),
            easting: square.east(),
            northing: square.north(),
            latitude: rounded(middle.latitude),
            longitude: rounded(middle.longitude),
            within_m: middle.within,
            given_within_m: place.spot.within.map(f64::ceil),
            countries: countries(square).iter().map(|c| c.name()).collect(),
            notes: about(square),
            finds: place.count,
            name: place.name.clone(),
        }
    };
    FindspotsView {
        shift_good_to_m: SHIFT_GOOD_TO,
        redacted_to_m: side.map(Side::metres),
        findspots: places.iter().map(one).collect(),
        // Why a point was left out may name it, so it is not shared.
        left_out: match side {
            Some(_) => Vec::new(),
            None => left_out.to_vec(),
        },
    }
}

/// Prints findspots as sentences, or as lines when there are several.
pub(super) fn text(
    places: &[Lain],
    side: Option<Side>,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    match places {
        [place] if place.count == 1 && place.name.is_none() => account(place.spot, out)?,
        places => {
            for place in places {
                line(place, out)?;
            }
        }
    }
    if side.is_none() {
        writeln!(out, "\n{CAUTION}")?;
    }
    Ok(())
}

fn names(spot: Findspot) -> String {
    let names: Vec<&str> = countries(spot.square).iter().map(|c| c.name()).collect();
    match names.split_last() {
        Some((last, [])) => last.to_string(),
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
        None => String::new(),
    }
}

fn line(place: &Lain, out: &mut dyn Write) -> Result<(), Trouble> {
    let spot = place.spot;
    let square = spot.square;
    write!(
        out,
        "{:<14}  {:>5}  {:<29}  {}",
        square.to_string(),
        square.side().text(),
        Degrees::of(square).to_string(),
        names(spot)
    )?;
    if place.count > 1 {
        write!(out, "; {} finds", place.count)?;
    }
    if let Some(name) = &place.name {
        write!(out, "; {name}")?;
    }
    writeln!(out)?;
    Ok(())
}

fn account(spot: Findspot, out: &mut dyn Write) -> Result<(), Trouble> {
    let square = spot.square;
    let side = square.side();
    writeln!(out, "{square}")?;
    let last = side.metres() - 1;
    let (east, north) = (square.east(), square.north());
    let along = |from: u32| match last {
        0 => from.to_string(),
        last => format!("{from} to {}", from + last),
    };
    writeln!(
        out,
        "  square       {}: easting {}, northing {}",
        side.text(),
        along(east),
        along(north)
    )?;
    writeln!(
        out,
        "  degrees      {} each way (its middle, WGS 84)",
        Degrees::of(square)
    )?;
    writeln!(
        out,
        "               the plain shift of datums is good to {SHIFT_GOOD_TO} m, which is counted in"
    )?;
    if let Some(within) = spot.within {
        let within = within.ceil();
        writeln!(
            out,
            "  made from    degrees known to ± {within} m, so it may lie in a neighbouring square"
        )?;
    }
    writeln!(
        out,
        "  country      {} (by the letters alone; unverified but for Wales)",
        names(spot)
    )?;
    for note in about(square) {
        for line in wrapped(note) {
            writeln!(out, "               {line}")?;
        }
    }
    let coarser = [Side::Kilometre, Side::TenKilometres];
    let coarser: Vec<String> = coarser
        .into_iter()
        .filter(|coarser| *coarser > side)
        .map(|coarser| format!("{} ({})", square.redacted(coarser), coarser.text()))
        .collect();
    if !coarser.is_empty() {
        writeln!(out, "  for sharing  {}", coarser.join(", "))?;
    }
    Ok(())
}

/// A sentence in lines that fit beside the margin.
fn wrapped(text: &str) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let last = lines.len() - 1;
        if lines[last].len() + word.len() >= WIDE_MOST {
            lines.push(word.to_string());
        } else {
            let gap = if lines[last].is_empty() { "" } else { " " };
            lines[last].push_str(gap);
            lines[last].push_str(word);
        }
    }
    lines
}
