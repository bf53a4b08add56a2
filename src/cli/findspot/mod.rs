//! `findspot`: where a find lay, read, turned, made coarser for sharing.
//!
//! Opens no library and keeps nothing; writes to its output alone.
//!
//! Invariant: with a side to cut to, nothing of what was read finer is printed.

mod asked;
mod geojson;
mod gpx;
mod lain;
mod print;

use std::io::{self, Write};

pub(super) use asked::{EXAMPLES, FindspotArgs, told_from_flags};

use super::error::Trouble;
use super::{Outcome, print_json};
use crate::findspot::{Degrees, Side, read};
use asked::Form;
use lain::{Gathered, Lain, shared};

/// How many of the points left out are told one by one.
const TOLD_MOST: usize = 10;

/// Answers with findspots.
pub(super) fn run(asked: &FindspotArgs, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let gathered = gather(asked)?;
    tell(&gathered.left_out);
    if gathered.places.is_empty() {
        return Err(Trouble::new(
            "no findspot could be read in the file",
            "finds are waypoints in GPX and points in GeoJSON, in degrees and in Britain",
        ));
    }
    let side = asked.side();
    let places = match side {
        Some(side) => shared(&gathered.places, side),
        None => gathered.places,
    };
    match (asked.to, asked.json) {
        (_, true) => print_json(&print::view(&places, side, &gathered.left_out), out)?,
        (None, false) => print::text(&places, side, out)?,
        (Some(form), false) => write_as(form, &places, asked, out)?,
    }
    Ok(if gathered.left_out.is_empty() {
        Outcome::Answer
    } else {
        Outcome::PartlyUnread
    })
}

fn gather(asked: &FindspotArgs) -> Result<Gathered, Trouble> {
    if let Some(path) = &asked.source.gpx {
        return gpx::gather(path);
    }
    if let Some(path) = &asked.source.geojson {
        return geojson::gather(path);
    }
    let spot = read(&asked.source.words.join(" "))
        .map_err(|fault| Trouble::new(fault.what, fault.mend))?;
    let place = Lain {
        spot,
        name: None,
        count: 1,
    };
    Ok(Gathered {
        places: vec![place],
        left_out: Vec::new(),
    })
}

/// Says on the error stream what was left out of a file.
fn tell(left_out: &[String]) {
    let mut told = io::stderr();
    for line in left_out.iter().take(TOLD_MOST) {
        let _ = writeln!(told, "left out: {line}");
    }
    if left_out.len() > TOLD_MOST {
        let _ = writeln!(told, "left out: and {} more", left_out.len() - TOLD_MOST);
    }
}

fn write_as(
    form: Form,
    places: &[Lain],
    asked: &FindspotArgs,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    match form {
        Form::Gpx => write!(out, "{}", gpx::written(places))?,
        Form::Geojson => print_json(&geojson::written(places), out)?,
        Form::Grid => lines(places, out, |place| place.spot.square.to_string())?,
        Form::Numeric => {
            lines(places, out, |place| place.spot.square.numeric())?;
            let fine = |place: &Lain| place.spot.square.side() == Side::Metre;
            if !places.iter().all(fine) {
                note("these are corners; how large the squares are does not show in them");
            }
        }
        Form::Latlon => lines(places, out, |place| {
            Degrees::of(place.spot.square).to_string()
        })?,
    }
    if matches!(form, Form::Gpx | Form::Geojson) && asked.redact.is_none() && !asked.exact {
        note(
            "cut to squares of 1 km, names left out, since findspots are sensitive; --redact 10km \
             is coarser, --exact keeps all",
        );
    }
    Ok(())
}

fn lines(
    places: &[Lain],
    out: &mut dyn Write,
    text: impl Fn(&Lain) -> String,
) -> Result<(), Trouble> {
    for place in places {
        writeln!(out, "{}", text(place))?;
    }
    Ok(())
}

fn note(text: &str) {
    let _ = writeln!(io::stderr(), "note: {text}");
}
