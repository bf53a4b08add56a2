//! The photographs of a find: read, stripped to their pixels, laid as a plate at true scale.
//!
//! Measures nothing: a view's size is what was measured on the find, or the scale that was given.
//! Never changes an original.
//!
//! Invariant: whatever leaves here was packed from pixels alone, under names made here.

use std::fs;
use std::path::Path;

use super::super::error::Trouble;
use super::super::photo::{VIEWS_MOST, about, at, each, from, opened};
use super::args::{Form, RecordArgs};
use super::pdf::Plates;
use super::pdf::plate::fits;
use crate::photo::{
    Form as PictureForm, Picture, Plate, View, across, cut, drawn, lacking, lay, only, outlines,
    packed,
};
use crate::record::Draft;

/// Dots an inch of the plate's picture.
const DOTS: u16 = 300;
/// Most letters of a number that is written on the plate.
const NUMBER_MOST: usize = 60;
/// Measures that may be the largest width of a find.
const WIDTHS: [&str; 3] = ["diameter", "length", "width"];

/// The photographs of a find.
pub(super) struct Taken {
    /// Each view's name and its stripped JPEG; filled for a pack.
    pub(super) photographs: Vec<(String, Vec<u8>)>,
    /// The plate for the page.
    pub(super) plates: Option<Plates>,
    /// The plate as a PNG; filled for a pack.
    pub(super) sheet: Option<Vec<u8>>,
}

/// Refuses photographs where they would go nowhere.
pub(super) fn may_be_used(asked: &RecordArgs) -> Result<(), Trouble> {
    let views = asked.pictures.named();
    let flag = match views.first() {
        Some((name, _)) if name.starts_with("view") => "--view",
        Some((name, _)) if name == "reverse" => "--reverse",
        Some(_) => "--obverse",
        None => return flags_alone(asked),
    };
    let fault = |what: &str, mend: &str| Err(Trouble::new(format!("{flag}: {what}"), mend));
    if asked.table.is_some() {
        return fault(
            "photographs go with one find, and a table has many",
            "draft that find by itself",
        );
    }
    if asked.pack.is_none() && asked.form() != Form::Pdf {
        return fault(
            "photographs go into the PDF and the pack alone",
            "add --form pdf --to draft.pdf, or --pack officer.zip; --image names a picture in text",
        );
    }
    if asked.pictures.no_plate && asked.pack.is_none() {
        return Err(Trouble::new(
            "--no-plate: the PDF shows photographs as a plate alone",
            "leave out the photographs, or pack them with --pack officer.zip",
        ));
    }
    if views.len() > VIEWS_MOST {
        let what = format!("{} views were given", views.len());
        return fault(&what, &format!("give at most {VIEWS_MOST}"));
    }
    Ok(())
}

/// Refuses what says something of photographs when there are none.
fn flags_alone(asked: &RecordArgs) -> Result<(), Trouble> {
    let flags = &asked.pictures;
    for (flag, given) in [
        ("--mm-per-pixel", !flags.mm_per_pixel.is_empty()),
        ("--find-at", !flags.find_at.is_empty()),
        ("--keep-ground", flags.keep_ground),
        ("--no-plate", flags.no_plate),
    ] {
        if given {
            return Err(Trouble::new(
                format!("{flag}: no photograph was given"),
                "name one with --obverse, --reverse or --view",
            ));
        }
    }
    Ok(())
}

/// Refuses to write over a photograph, forced or not.
pub(super) fn no_original(asked: &RecordArgs, flag: &str, path: &Path) -> Result<(), Trouble> {
    let Ok(place) = fs::canonicalize(path) else {
        return Ok(());
    };
    let same = |file: &Path| fs::canonicalize(file).is_ok_and(|file| file == place);
    match asked.pictures.named().iter().any(|(_, file)| same(file)) {
        false => Ok(()),
        true => Err(Trouble::new(
            format!("{flag}: {} is the original of a photograph", path.display()),
            "name another file: an original is never written over",
        )),
    }
}

/// Reads the photographs of a find, whose draft is as it may be passed on.
pub(super) fn taken(asked: &RecordArgs, draft: &Draft) -> Result<Taken, Trouble> {
    let views = asked.pictures.named();
    let names: Vec<&str> = views.iter().map(|(name, _)| name.as_str()).collect();
    let shows = names.join(", ").replace('-', " ");
    let scales = match asked.pictures.no_plate {
        true => None,
        false => Some(scales(asked, draft, views.len())?),
    };
    let (mut photographs, mut cuts) = (Vec::new(), Vec::new());
    for (place, (name, path)) in views.iter().enumerate() {
        let picture = opened(path)?.picture;
        if let Some(scales) = &scales {
            cuts.push(one(asked, place, path, &picture, scales[place])?);
        }
        if asked.pack.is_some() {
            let jpeg = packed(&picture, PictureForm::Jpeg, None);
            let jpeg = jpeg.map_err(|fault| about(path, fault))?;
            photographs.push((name.clone(), jpeg));
        }
    }
    if cuts.is_empty() {
        return Ok(Taken {
            photographs,
            plates: None,
            sheet: None,
        });
    }
    let sheet = match asked.pack {
        Some(_) => Some(sheet(&cuts, draft)?),
        None => None,
    };
    let plates = Some(plates(cuts, shows)?);
    Ok(Taken {
        photographs,
        plates,
        sheet,
    })
}

/// How large a view is.
#[derive(Clone, Copy)]
enum Scale {
    /// Its largest width, mm.
    Width(f64),
    /// Millimetres a pixel.
    Pixel(f64),
}

fn scales(asked: &RecordArgs, draft: &Draft, views: usize) -> Result<Vec<Scale>, Trouble> {
    let given = &asked.pictures.mm_per_pixel;
    if !given.is_empty() {
        let read = each("mm-per-pixel", given, views, (0.000_1, 10.0))?;
        return Ok(read.into_iter().map(Scale::Pixel).collect());
    }
    let measures = WIDTHS
        .iter()
        .filter_map(|name| Some(draft.field(name)?.quantity?.value));
    match measures.reduce(f64::max) {
        Some(width) => Ok(vec![Scale::Width(width); views]),
        None => Err(Trouble::new(
            "the plate: nothing says how large the find is",
            "give --diameter 18.2 (an artefact: --length), or --mm-per-pixel as measured; a pack \
             can do without a plate: --no-plate",
        )),
    }
}

/// A view cut from its photograph.
fn one(
    asked: &RecordArgs,
    place: usize,
    path: &Path,
    picture: &Picture,
    scale: Scale,
) -> Result<View, Trouble> {
    let wanted = at(asked.pictures.find_at.get(place), picture)?;
    let seen = outlines(picture).map_err(|fault| about(path, fault))?;
    let object = only(&seen, wanted).map_err(|fault| about(path, fault))?;
    let mm = match scale {
        Scale::Pixel(mm) => mm,
        Scale::Width(width) => width / across(object).0,
    };
    Ok(cut(picture, object, mm, !asked.pictures.keep_ground))
}

/// The plate as a picture of its own, with the number that may be passed on.
fn sheet(cuts: &[View], draft: &Draft) -> Result<Vec<u8>, Trouble> {
    let number = draft.value("number");
    let short = number.chars().nth(NUMBER_MOST).is_none() && lacking(number).is_empty();
    let number = if short { number } else { "" };
    let laid = lay(cuts.to_vec(), number, "", 1.0).map_err(from)?;
    let sheet = drawn(&laid, DOTS).map_err(from)?;
    packed(&sheet, PictureForm::Png, Some(DOTS)).map_err(from)
}

/// The plates of the page.
fn plates(cuts: Vec<View>, shows: String) -> Result<Plates, Trouble> {
    let plate = |cuts: Vec<View>, name: &str, times: f64| -> Result<Plate, Trouble> {
        lay(cuts, "", name, times).map_err(from)
    };
    let whole = plate(cuts.clone(), "true size (1:1)", 1.0)?;
    let (once, twice) = match fits(&whole) {
        true => {
            let twice = plate(cuts, "twice the size (2:1)", 2.0)?;
            (vec![whole], Some(twice).filter(fits))
        }
        // Wider than the sheet: each view by itself.
        false => {
            let each = cuts.into_iter();
            let each = each.map(|view| plate(vec![view], "true size (1:1)", 1.0));
            (each.collect::<Result<Vec<_>, _>>()?, None)
        }
    };
    Ok(Plates { once, twice, shows })
}

/// A name for files that a number can be made into: letters, figures and dashes.
pub(super) fn stem(number: &str) -> String {
    let plain = number.chars().map(|c| match c {
        c if c.is_ascii_alphanumeric() => c,
        _ => '-',
    });
    let plain: String = plain.collect();
    let parts: Vec<&str> = plain.split('-').filter(|part| !part.is_empty()).collect();
    let stem: String = parts.join("-").chars().take(40).collect();
    match stem.trim_end_matches('-') {
        "" => "find".to_string(),
        stem => stem.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::stem;

    #[test]
    fn a_hostile_number_makes_a_harmless_name() {
        for (number, name) in [
            ("12", "12"),
            ("A-17/3", "A-17-3"),
            ("../../x", "x"),
            ("..", "find"),
            ("", "find"),
            ("C:\\con", "C-con"),
            ("\u{202e}gpj.exe", "gpj-exe"),
            ("é 漢", "find"),
        ] {
            assert_eq!(stem(number), name);
        }
        assert_eq!(stem(&"a".repeat(500)).len(), 40);
    }
}
