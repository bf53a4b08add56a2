//! `photo`: a find measured in its photograph, plates, small copies, copies that tell nothing.
//!
//! Opens no library. Reads the photographs it is given and writes the files that are named.
//!
//! Invariant: originals are never changed, and nothing is printed of where they were taken.

mod args;
mod files;
mod print;
mod shown;

use std::io::Write;
use std::path::Path;

pub(super) use args::{EXAMPLES, PhotoArgs};
pub(super) use files::{about, opened};

use super::error::Trouble;
use super::{Outcome, print_json};
use crate::photo::{
    Fault, Picture, Point, Scale, Terms, across, beside, corners, cut, doubts, drawn, lay, marks,
    measure, only, outlines, packed, point, thumbnail, told_apart, two_points,
};
use args::{MeasureArgs, PhotoVerb, PlateArgs, ToArgs};
use files::{form_of, may_write, put};

/// Most views of a plate.
pub(super) const VIEWS_MOST: usize = 8;

/// Answers about photographs.
pub(super) fn run(asked: &PhotoArgs, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    match &asked.verb {
        PhotoVerb::Measure(asked) => measured(asked, out),
        PhotoVerb::Plate(asked) => plate(asked, out),
        PhotoVerb::Thumbnail {
            picture,
            within,
            to,
        } => {
            if !(16..=4096).contains(within) {
                return Err(figure(
                    "within",
                    &within.to_string(),
                    "a number of pixels from 16 to 4096",
                ));
            }
            copied(picture, to, out, |picture| thumbnail(picture, *within))
        }
        PhotoVerb::Strip { picture, to } => copied(picture, to, out, Picture::clone),
    }
}

fn figure(field: &str, given: &str, wanted: &str) -> Trouble {
    let short: String = given.chars().filter(|c| !c.is_control()).take(40).collect();
    Trouble::new(
        format!("{field}: {short:?} is not possible"),
        format!("give {wanted}"),
    )
}

pub(super) fn from(fault: Fault) -> Trouble {
    Trouble::new(fault.what, fault.mend)
}

/// A number within bounds.
fn number(field: &str, given: &str, bounds: (f64, f64), unit: &str) -> Result<f64, Trouble> {
    let bare = given.trim();
    let bare = bare.strip_suffix(unit).unwrap_or(bare).trim();
    let read = bare
        .parse::<f64>()
        .ok()
        .filter(|value| (bounds.0..=bounds.1).contains(value));
    read.ok_or_else(|| {
        figure(
            field,
            given,
            &format!("a number of {unit} from {} to {}", bounds.0, bounds.1),
        )
    })
}

/// Makes a copy of a photograph from its pixels.
fn copied(
    path: &Path,
    to: &ToArgs,
    out: &mut dyn Write,
    make: impl Fn(&Picture) -> Picture,
) -> Result<Outcome, Trouble> {
    let form = form_of(&to.to)?;
    let originals = [path.to_path_buf()];
    may_write(&to.to, &originals, to.force)?;
    let photograph = opened(path)?;
    let made = make(&photograph.picture);
    put(
        &packed(&made, form, None).map_err(from)?,
        &to.to,
        &originals,
        to.force,
    )?;
    print::copied(&photograph, &made, &to.to, out)?;
    Ok(Outcome::Answer)
}

fn terms(asked: &MeasureArgs) -> Result<Terms, Trouble> {
    let optional = |field: &str, given: &Option<String>, bounds: (f64, f64)| {
        let read = given
            .as_deref()
            .map(|given| number(field, given, bounds, "mm"));
        read.transpose()
    };
    Ok(Terms {
        tilt: number("tilt", &asked.tilt, (0.0, 40.0), "degrees")?,
        distance: number("distance", &asked.distance, (60.0, 5000.0), "mm")?,
        thickness: optional("thickness", &asked.thickness, (0.05, 50.0))?,
        raised: optional("raised", &asked.raised, (0.0, 50.0))?,
        ..Terms::default()
    })
}

fn scale(asked: &MeasureArgs) -> Result<Scale, Trouble> {
    let coins = (!asked.beside.is_empty()).then(|| beside(&asked.beside));
    let read = [
        asked.scale.as_deref().map(two_points),
        asked.marks.as_deref().map(marks),
        asked.corners.as_deref().map(corners),
        coins,
    ];
    let mut given: Vec<_> = read.into_iter().flatten().collect();
    match given.len() {
        1 => given.remove(0).map_err(from),
        0 => Err(Trouble::new(
            "scale: nothing says how large the picture is",
            "give two points of a ruler as --scale 120,340,720,352=30mm, its marks with --marks, a \
             card's corners with --corners, or a coin with --beside 1p",
        )),
        _ => Err(Trouble::new(
            "scale: it is given in more than one way",
            "give one of --scale, --marks, --corners and --beside",
        )),
    }
}

pub(super) fn at(given: Option<&String>, picture: &Picture) -> Result<Option<Point>, Trouble> {
    let Some(given) = given else { return Ok(None) };
    let [x, y] = point(given, "find-at").map_err(from)?;
    if x < 0.0 || y < 0.0 || x >= picture.width as f64 || y >= picture.height as f64 {
        let size = format!(
            "a point within {} x {} pixels",
            picture.width, picture.height
        );
        return Err(figure("find-at", given, &size));
    }
    Ok(Some([x, y]))
}

fn measured(asked: &MeasureArgs, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let (scale, terms) = (scale(asked)?, terms(asked)?);
    let originals = [asked.picture.clone()];
    if let Some(file) = &asked.outline {
        shown::form(file)?;
        may_write(file, &originals, asked.force)?;
    }
    let photograph = opened(&asked.picture)?;
    let picture = &photograph.picture;
    inside(&scale, picture)?;
    let name = |fault| about(&asked.picture, fault);
    let wanted = at(asked.find_at.as_ref(), picture)?;
    let seen = outlines(picture).map_err(name)?;
    let told = told_apart(&seen, &scale, wanted);
    if let (Err(_), Some(file)) = (&told, &asked.outline) {
        // What was seen helps most where it could not be told apart.
        let all: Vec<_> = seen.objects.iter().collect();
        put(
            &shown::drawn(picture, &all, &scale, file)?,
            file,
            &originals,
            asked.force,
        )?;
    }
    let (object, seal) = told.map_err(name)?;
    let found = measure(&seen, object, &seal, &terms).map_err(name)?;
    if let Some(file) = &asked.outline {
        put(
            &shown::drawn(picture, &[object], &scale, file)?,
            file,
            &originals,
            asked.force,
        )?;
    }
    let answer = print::Answer {
        asked,
        photograph: &photograph,
        scale: &scale,
        object,
        measured: &found,
        terms: &terms,
        doubts: doubts(&seen, object, &found, &terms),
    };
    match asked.json {
        true => print_json(&print::view(&answer), out)?,
        false => print::text(&answer, out)?,
    }
    Ok(Outcome::Answer)
}

/// Refuses points of the scale that lie outside the picture.
fn inside(scale: &Scale, picture: &Picture) -> Result<(), Trouble> {
    let points: Vec<Point> = match scale {
        Scale::Marks(marks) => marks.iter().map(|mark| mark.0).collect(),
        Scale::Coins(coins) => coins.iter().filter_map(|coin| coin.1).collect(),
    };
    let (width, height) = (picture.width as f64, picture.height as f64);
    let out = points
        .iter()
        .find(|[x, y]| *x < -1.0 || *y < -1.0 || *x > width || *y > height);
    match out {
        None => Ok(()),
        Some([x, y]) => Err(Trouble::new(
            format!(
                "scale: the point {x},{y} lies outside the picture of {width} x {height} pixels"
            ),
            "take the points in the upright picture at its full size",
        )),
    }
}

/// One figure a view, from one for all or one a view.
pub(super) fn each(
    field: &str,
    given: &[String],
    views: usize,
    bounds: (f64, f64),
) -> Result<Vec<f64>, Trouble> {
    let read: Result<Vec<f64>, Trouble> = given
        .iter()
        .map(|given| number(field, given, bounds, "mm"))
        .collect();
    let read = read?;
    match read.len() {
        1 => Ok(vec![read[0]; views]),
        count if count == views => Ok(read),
        count => Err(Trouble::new(
            format!("{field}: given {count} times for {views} view(s)"),
            "give it once for all, or once a view",
        )),
    }
}

fn plate(asked: &PlateArgs, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let views = asked.pictures.len();
    let form = form_of(&asked.to.to)?;
    may_write(&asked.to.to, &asked.pictures, asked.to.force)?;
    if views > VIEWS_MOST {
        return Err(Trouble::new(
            format!("plate: {views} views were given"),
            format!("give at most {VIEWS_MOST}"),
        ));
    }
    if !(72..=1200).contains(&asked.dpi) {
        return Err(figure(
            "dpi",
            &asked.dpi.to_string(),
            "dots an inch from 72 to 1200",
        ));
    }
    let by_width = asked.mm_per_pixel.is_empty();
    if by_width && asked.diameter.is_empty() {
        return Err(Trouble::new(
            "plate: nothing says how large the find is",
            "give its largest width with --diameter 18.2, or --mm-per-pixel as measured",
        ));
    }
    let figures = match by_width {
        true => each(
            "diameter",
            &asked.diameter,
            views,
            (1.0, crate::photo::LARGEST),
        )?,
        false => each("mm-per-pixel", &asked.mm_per_pixel, views, (0.000_1, 10.0))?,
    };
    let mut cuts = Vec::new();
    for (place, path) in asked.pictures.iter().enumerate() {
        let photograph = opened(path)?;
        let picture = &photograph.picture;
        let wanted = at(asked.find_at.get(place), picture)?;
        let seen = outlines(picture).map_err(|fault| about(path, fault))?;
        let object = only(&seen, wanted).map_err(|fault| about(path, fault))?;
        let mm = match by_width {
            true => figures[place] / across(object).0,
            false => figures[place],
        };
        cuts.push(cut(picture, object, mm, !asked.keep_ground));
    }
    let times = if asked.twice { 2.0 } else { 1.0 };
    let laid = lay(cuts, &asked.number, &asked.name, times).map_err(from)?;
    let sheet = drawn(&laid, asked.dpi).map_err(from)?;
    let bytes = packed(&sheet, form, Some(asked.dpi)).map_err(from)?;
    put(&bytes, &asked.to.to, &asked.pictures, asked.to.force)?;
    print::plate(&laid, &sheet, asked.dpi, &asked.to.to, out)?;
    Ok(Outcome::Answer)
}
