//! Latitude and longitude: read as people write them, and made of squares.
//!
//! Decimal degrees, degrees and minutes, or degrees, minutes and seconds, with signs or with the
//! letters of the quarters. Never trusts a position more than its last figure and the shift of
//! datums allow.
//!
//! Invariant: the square made of a position is never smaller than what is known of it each way.

use std::fmt;

use super::convert::{SHIFT_GOOD_TO, to_degrees, to_grid};
use super::fault::{Fault, Kind};
use super::land::countries;
use super::square::{Side, Square};

/// Metres in a degree of latitude, near enough anywhere in Britain.
const DEGREE: f64 = 111_200.0;

/// A position in degrees (WGS 84), and how far off it may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Degrees {
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east; the west is below nought.
    pub longitude: f64,
    /// Metres by which it may be off, each way, the shift of datums counted.
    pub within: f64,
}

impl Degrees {
    /// A position whose last figure counts so many degrees.
    pub fn counted(latitude: f64, longitude: f64, step: f64) -> Degrees {
        Degrees {
            latitude,
            longitude,
            within: step * DEGREE / 2.0 + SHIFT_GOOD_TO,
        }
    }

    /// The middle of a square.
    pub fn of(square: Square) -> Degrees {
        let (east, north) = square.middle();
        let (latitude, longitude) = to_degrees(east, north);
        let within = f64::from(square.side().metres()) / 2.0 + SHIFT_GOOD_TO;
        Degrees {
            latitude,
            longitude,
            within,
        }
    }

    /// How many decimals are worth printing: a tenth of what it may be off, or finer.
    pub fn decimals(&self) -> usize {
        match self.within {
            w if w < 100.0 => 5,
            w if w < 1_000.0 => 4,
            _ => 3,
        }
    }

    /// The square that it lies in: not smaller than it may be off, nor than 10 m.
    pub fn square(&self) -> Result<Square, Fault> {
        let side = Side::ALL
            .into_iter()
            .skip(1)
            .find(|side| f64::from(side.metres()) >= self.within);
        let Some(side) = side else {
            return Err(Fault::new(
                Kind::TooCoarse,
                format!(
                    "latitude and longitude: known to ± {} only",
                    metres(self.within)
                ),
                "give at least one decimal, or minutes: 51.5, -0.1",
            ));
        };
        match cut(self.latitude, self.longitude, side) {
            Some(square) => Ok(square),
            None => Err(self.outside()),
        }
    }

    /// Why no land of Britain is there, as far as it can be guessed.
    fn outside(&self) -> Fault {
        let Degrees {
            latitude: lat,
            longitude: lon,
            ..
        } = *self;
        let land = |lat, lon| cut(lat, lon, Side::Kilometre).is_some();
        let what = format!("latitude {lat}, longitude {lon}: no land of Great Britain lies there");
        if land(lon, lat) {
            let mend = format!("latitude comes first; did you mean: {lon}, {lat}");
            return Fault::new(Kind::Swapped, what, mend);
        }
        if land(lat, -lon) {
            let mend = format!(
                "west of Greenwich is below nought; did you mean: {lat}, {}",
                -lon
            );
            return Fault::new(Kind::Swapped, what, mend);
        }
        Fault::new(
            Kind::Outside,
            what,
            "write degrees north, then degrees east with a minus for the west: 51.5074, -0.1278; \
             in Ireland ask the museum or the state service there",
        )
    }
}

/// The square on land in which a position lies.
fn cut(latitude: f64, longitude: f64, side: Side) -> Option<Square> {
    // Far away the series of the projection means nothing.
    let near = (49.0..62.0).contains(&latitude) && (-10.0..4.0).contains(&longitude);
    let (east, north) = near.then(|| to_grid(latitude, longitude))?;
    Square::cut(east, north, side).filter(|square| !countries(*square).is_empty())
}

/// A length in whole metres or in kilometres.
fn metres(length: f64) -> String {
    if length < 1_000.0 {
        format!("{} m", length.ceil())
    } else {
        format!("{:.1} km", (length / 100.0).ceil() / 10.0)
    }
}

impl fmt::Display for Degrees {
    /// `51.50403, -0.12828 ± 10 m`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Degrees {
            latitude,
            longitude,
            within,
        } = *self;
        let places = self.decimals();
        write!(
            f,
            "{latitude:.places$}, {longitude:.places$} ± {:.0} m",
            within.ceil()
        )
    }
}

/// A piece of a position as written.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Piece {
    /// A number, below nought or not, and its decimals.
    Number(f64, bool, usize),
    /// The mark after degrees, minutes or seconds: 0, 1, 2.
    Mark(usize),
    /// N, S, E or W.
    Quarter(char),
    Comma,
}

fn unreadable(what: impl Into<String>) -> Fault {
    Fault::new(
        Kind::Degrees,
        what,
        "write it as 51.50403, -0.12828 or 51 30 14.5 N 0 7 41.8 W",
    )
}

/// Reads latitude and longitude as people write them.
pub fn read_degrees(text: &str) -> Result<Degrees, Fault> {
    let (text, stated) = match text.split_once('±') {
        Some((before, after)) => (before, Some(stated(after)?)),
        None => (text, None),
    };
    let pieces = pieces(text)?;
    let is_quarter = |piece: &&Piece| matches!(piece, Piece::Quarter(_));
    if pieces.iter().filter(is_quarter).count() == 1 {
        return Err(unreadable(
            "latitude and longitude: one has a letter (N, S, E, W) and the other has none",
        ));
    }
    let [first, second] = halves(&pieces)?;
    let (first, second) = (coordinate(first)?, coordinate(second)?);
    let (latitude, longitude) = match (first.quarter, second.quarter) {
        (None, None) => (first, second),
        (Some('N' | 'S'), Some('E' | 'W')) => (first, second),
        (Some('E' | 'W'), Some('N' | 'S')) => (second, first),
        (Some(_), Some(_)) => {
            return Err(unreadable("latitude and longitude: the same letter twice"));
        }
        _ => {
            return Err(unreadable(
                "latitude and longitude: the letters (N, S, E, W) stand both with one of them",
            ));
        }
    };
    for (name, found, most) in [
        ("latitude", &latitude, 90.0),
        ("longitude", &longitude, 180.0),
    ] {
        if found.degrees.abs() > most {
            return Err(Fault::new(
                Kind::Degrees,
                format!(
                    "{name}: {} is not possible, it ends at {most}",
                    found.degrees
                ),
                "write degrees (51.50403, -0.12828), or a grid reference in full, six figures \
                 each: 530000 180000",
            ));
        }
    }
    let step = latitude.step.max(longitude.step);
    let mut place = Degrees::counted(latitude.degrees, longitude.degrees, step);
    if let Some(within) = stated {
        place.within = within;
    }
    Ok(place)
}

/// How far off the writer says it may be, in metres.
fn stated(text: &str) -> Result<f64, Fault> {
    let text = text.trim();
    let digits = text
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(digits);
    let factor = match unit.trim().to_ascii_lowercase().as_str() {
        "m" | "" => 1.0,
        "km" => 1_000.0,
        _ => return Err(unreadable(format!("±: {text:?} is no length in m or km"))),
    };
    let Ok(number) = number.parse::<f64>() else {
        return Err(unreadable(format!("±: {text:?} is no length in m or km")));
    };
    Ok((number * factor).max(SHIFT_GOOD_TO + 0.5))
}

fn pieces(text: &str) -> Result<Vec<Piece>, Fault> {
    let mut found = Vec::new();
    let mut rest = text.trim_start();
    while let Some(c) = rest.chars().next() {
        let mut taken = c.len_utf8();
        let piece = match c {
            '0'..='9' | '-' | '+' | '.' => {
                let more = rest[1..].find(|c: char| !c.is_ascii_digit() && c != '.');
                taken = more.map_or(rest.len(), |more| more + 1);
                number(&rest[..taken])?
            }
            '°' => Piece::Mark(0),
            '\'' if rest.starts_with("''") => {
                taken = 2;
                Piece::Mark(2)
            }
            '\'' => Piece::Mark(1),
            '"' => Piece::Mark(2),
            'N' | 'S' | 'E' | 'W' => Piece::Quarter(c),
            ',' | ';' | '/' => Piece::Comma,
            _ => {
                return Err(unreadable(format!(
                    "latitude and longitude: {c:?} has no meaning there"
                )));
            }
        };
        found.push(piece);
        rest = rest[taken..].trim_start();
    }
    Ok(found)
}

fn number(text: &str) -> Result<Piece, Fault> {
    let decimals = text.split_once('.').map_or(0, |(_, after)| after.len());
    let value: Result<f64, _> = text.parse();
    match value {
        Ok(value) if value.is_finite() => {
            Ok(Piece::Number(value.abs(), text.starts_with('-'), decimals))
        }
        _ => Err(unreadable(format!(
            "latitude and longitude: {text:?} is no number"
        ))),
    }
}

/// The pieces of the first and of the second coordinate.
fn halves(pieces: &[Piece]) -> Result<[&[Piece]; 2], Fault> {
    let is_quarter = |piece: &Piece| matches!(piece, Piece::Quarter(_));
    let commas = pieces
        .iter()
        .filter(|piece| **piece == Piece::Comma)
        .count();
    let at = match pieces.iter().position(|piece| *piece == Piece::Comma) {
        Some(at) if commas == 1 => return Ok([&pieces[..at], &pieces[at + 1..]]),
        Some(_) => {
            return Err(unreadable(
                "latitude and longitude: more than one comma; decimals take a point",
            ));
        }
        None if pieces.first().is_some_and(is_quarter) => {
            let next = pieces.iter().skip(1).position(is_quarter);
            next.map(|next| next + 1)
        }
        None if pieces.iter().any(is_quarter) => {
            let first = pieces.iter().position(is_quarter);
            first.map(|first| first + 1)
        }
        None => {
            let is_number = |piece: &&Piece| matches!(piece, Piece::Number(..));
            let half = pieces.iter().filter(is_number).count();
            if half % 2 == 1 {
                return Err(unreadable(
                    "latitude and longitude: they have not the same number of parts",
                ));
            }
            let numbers = pieces.iter().enumerate().filter(|(_, p)| is_number(p));
            numbers.map(|(at, _)| at).nth(half / 2)
        }
    };
    match at {
        Some(at) => Ok([&pieces[..at], &pieces[at..]]),
        None => Err(unreadable(
            "latitude and longitude: one of the two is missing",
        )),
    }
}

/// One coordinate.
struct Coordinate {
    degrees: f64,
    /// Degrees that its last figure counts.
    step: f64,
    quarter: Option<char>,
}

fn coordinate(pieces: &[Piece]) -> Result<Coordinate, Fault> {
    let (mut degrees, mut step, mut parts) = (0.0, 1.0, 0);
    let (mut below, mut quarter, mut fraction) = (false, None, false);
    for piece in pieces {
        match *piece {
            Piece::Number(value, minus, decimals) => {
                let sixtieths = parts > 0;
                if parts > 2 || fraction || sixtieths && (minus || value >= 60.0) {
                    return Err(unreadable(format!(
                        "latitude and longitude: {value} cannot stand there; minutes and seconds \
                         are below 60, and only the last part has decimals"
                    )));
                }
                let unit = 60_f64.powi(-parts);
                degrees += value * unit;
                step = unit * 10_f64.powi(-i32::try_from(decimals).unwrap_or(i32::MAX).min(20));
                below |= minus;
                fraction = decimals > 0;
                parts += 1;
            }
            Piece::Mark(mark) if parts == mark as i32 + 1 => {}
            Piece::Quarter(letter) if quarter.is_none() => quarter = Some(letter),
            _ => {
                return Err(unreadable(
                    "latitude and longitude: the marks for degrees, minutes and seconds are out \
                     of order",
                ));
            }
        }
    }
    if parts == 0 {
        return Err(unreadable(
            "latitude and longitude: one of the two is missing",
        ));
    }
    if below && quarter.is_some() {
        return Err(unreadable(
            "latitude and longitude: a minus and a letter (N, S, E, W) at once; keep one",
        ));
    }
    if below || matches!(quarter, Some('S' | 'W')) {
        degrees = -degrees;
    }
    Ok(Coordinate {
        degrees,
        step,
        quarter,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(text: &str, latitude: f64, longitude: f64) {
        // The words' signs are made plain by the reader; here they are plain already.
        let found = read_degrees(text).unwrap_or_else(|fault| panic!("{text}: {fault}"));
        let off = (found.latitude - latitude).abs() + (found.longitude - longitude).abs();
        assert!(off < 1e-9, "{text}: {found:?}");
    }

    #[test]
    fn one_place_is_read_however_it_is_written() {
        let (latitude, longitude) = (51.5 + 1.5 / 3600.0, -(7.0 / 60.0 + 30.0 / 3600.0));
        for text in [
            "51°30'1.5\"N 0°7'30\"W",
            "51 30 1.5 N 0 7 30 W",
            "N 51 30 1.5 W 0 7 30",
            "N51°30'1.5\", W0°7'30\"",
            "0 7 30 W, 51 30 1.5 N",
            "51 30 1.5, -0 7 30",
            "51 30 1.5 -0 7 30",
            "51°30'1.5'' -0°7'30''",
            "51 30.025 N 0 7.5 W",
        ] {
            near(text, latitude, longitude);
        }
        near("51.5, -0.125", 51.5, -0.125);
        near("51.5/-0.125", 51.5, -0.125);
        near("W0.125 N51.5", 51.5, -0.125);
    }

    #[test]
    fn the_last_figure_says_how_well_it_is_known() {
        for (text, side) in [
            ("51.50403, -0.12828", Side::TenMetres),
            ("51.504033871, -0.128280000", Side::TenMetres),
            ("51.5042, -0.1288", Side::HundredMetres),
            ("51.504, -0.129", Side::HundredMetres),
            ("51.50403, -0.129", Side::HundredMetres),
            ("51.50, -0.13", Side::Kilometre),
            ("51.5, -0.1", Side::TenKilometres),
            ("51 30 14.5 N 0 7 41.8 W", Side::TenMetres),
            ("51 30 15 N 0 7 43 W", Side::HundredMetres),
            ("51 30 N 0 7 W", Side::Kilometre),
            ("51.50403, -0.12828 ± 55 m", Side::HundredMetres),
            ("51.504, -0.129 ± 5.005 km", Side::TenKilometres),
            // A metre is never made of degrees, whatever is promised.
            ("51.5040338, -0.1282800 ± 0.1 m", Side::TenMetres),
        ] {
            let square = read_degrees(text).and_then(|place| place.square());
            assert_eq!(square.map(Square::side), Ok(side), "{text}");
        }
        let coarse = read_degrees("51, 0").and_then(|place| place.square());
        assert_eq!(coarse.map_err(|fault| fault.kind), Err(Kind::TooCoarse));
    }

    #[test]
    fn places_out_of_order_are_told_with_the_mend() {
        for (text, kind, mend) in [
            ("-0.12828, 51.50403", Kind::Swapped, "51.50403, -0.12828"),
            ("51.50403, 3.41", Kind::Swapped, "51.50403, -3.41"),
            ("48.85, 2.35", Kind::Outside, "51.5074"),
            ("51.5, -30.1", Kind::Outside, "51.5074"),
        ] {
            let fault = read_degrees(text)
                .and_then(|place| place.square())
                .expect_err(text);
            assert_eq!(fault.kind, kind, "{fault}");
            assert!(fault.mend.contains(mend), "{fault}");
        }
    }

    #[test]
    fn what_is_no_position_is_refused_by_name() {
        for text in [
            "51.5",
            "51.5 N",
            "51.5 N, 0.1",
            "51 30 N 0 61 W",
            "51.5 30 N 0 7 W",
            "-51.5 S -0.1 W",
            "51,5 -0,1",
            "51 30 15 0 7",
            "95.1, 0.1",
            "51.5, 181.2",
            "1.2.3, 4",
            "51' 30 N 0 7 W",
            "N N",
            "--5, 4",
            "51.5 N 0.1 N",
            "51.5, -0.1 ± far",
            "51.5, -0.1 ± ",
            ",",
            "±",
            "51.5 @ 0.1",
            "1 2 3 4 5 6 7 8",
        ] {
            let fault = read_degrees(text).expect_err(text);
            assert_eq!(fault.kind, Kind::Degrees, "{text}: {fault}");
            assert!(!fault.mend.is_empty());
        }
    }
}
