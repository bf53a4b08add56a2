//! The arguments of `findspot`.
//!
//! Definitions only.
//!
//! Invariant: one source of findspots at a time.

use std::ffi::OsString;
use std::path::PathBuf;

use clap::{Args as ClapArgs, ValueEnum};

use crate::findspot::Side;

pub(in crate::cli) const EXAMPLES: &str = "\
Examples:
  lynchet findspot \"TQ 3000 8000\"
  lynchet findspot \"TQ 3000 8000\" --to latlon
  lynchet findspot 51.50403 -0.12828 --redact 1km
  lynchet findspot --gpx walk.gpx
  lynchet findspot --gpx walk.gpx --to geojson > shared.geojson

A reference names a square by its south-west corner: 2 figures 10 km, 4 figures 1 km, 6 figures
100 m, 8 figures 10 m, 10 figures 1 m. Degrees are WGS 84 and turned by the plain shift of datums,
good to 5 m, so that they never make a square below 10 m. GPX and GeoJSON are written in squares of
1 km without names, unless --redact 10km or --exact says otherwise: findspots are sensitive.
Exit code: 0 an answer, 2 a fault, or points of a file that were left out.";

/// The arguments of a call, a position that begins below nought set off by a blank: else
/// `"-0.12828, 51.50403"`, which is to be told that its halves have changed places, would be taken
/// for a flag.
pub(in crate::cli) fn told_from_flags(mut arguments: Vec<OsString>) -> Vec<OsString> {
    if arguments.get(1).is_none_or(|verb| verb != "findspot") {
        return arguments;
    }
    for argument in &mut arguments {
        let text = argument.to_str().unwrap_or_default();
        let after = text.strip_prefix('-').unwrap_or_default();
        if after.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
            *argument = format!(" {text}").into();
        }
    }
    arguments
}

/// Where the findspots come from.
#[derive(ClapArgs, Debug)]
#[group(required = true, multiple = false)]
pub(in crate::cli) struct Source {
    /// A grid reference, easting and northing in full, or latitude and longitude
    #[arg(value_name = "FINDSPOT", allow_negative_numbers = true)]
    pub(super) words: Vec<String>,
    /// Read the waypoints of a GPX file; its tracks and routes are left out
    #[arg(long, value_name = "FILE")]
    pub(super) gpx: Option<PathBuf>,
    /// Read the points of a GeoJSON file
    #[arg(long, value_name = "FILE")]
    pub(super) geojson: Option<PathBuf>,
}

/// Arguments of `findspot`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct FindspotArgs {
    #[command(flatten)]
    pub(super) source: Source,
    /// Write nothing but this
    #[arg(long, value_name = "FORM")]
    pub(super) to: Option<Form>,
    /// Cut to squares of this side first; names, times and order are left out
    #[arg(long, value_name = "SIDE")]
    pub(super) redact: Option<Redaction>,
    /// Write GPX or GeoJSON as exactly as it was read, names too
    #[arg(long, conflicts_with = "redact")]
    pub(super) exact: bool,
    /// Answer with JSON
    #[arg(long, conflicts_with = "to")]
    pub(super) json: bool,
}

impl FindspotArgs {
    /// The side to cut to, if any.
    pub(super) fn side(&self) -> Option<Side> {
        let file = matches!(self.to, Some(Form::Gpx | Form::Geojson));
        match self.redact {
            Some(Redaction::Kilometre) => Some(Side::Kilometre),
            Some(Redaction::TenKilometres) => Some(Side::TenKilometres),
            None if file && !self.exact => Some(Side::Kilometre),
            None => None,
        }
    }
}

/// What to write.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Form {
    /// Grid references
    Grid,
    /// Easting and northing of the corners, in full
    Numeric,
    /// Latitude and longitude of the middles
    Latlon,
    /// A GPX file of waypoints
    Gpx,
    /// A GeoJSON file of squares
    Geojson,
}

/// How coarse to make findspots for sharing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Redaction {
    /// Squares of 1 km, four figures
    #[value(name = "1km")]
    Kilometre,
    /// Squares of 10 km, two figures
    #[value(name = "10km")]
    TenKilometres,
}
