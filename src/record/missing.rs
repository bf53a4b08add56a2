//! What is still missing of a draft, most useful first.
//!
//! While the identification is open the looks that would settle it stand first. After them comes
//! what nobody can make good later (where and when it lay there), then what a second person needs
//! to check the identification, then the rest. The order is a judgement from common practice,
//! without a source; that a findspot should be a square of 100 m at most is from the code of
//! practice for responsible metal detecting in England and Wales (2006).
//!
//! Invariant: a field that is filled well enough is not asked for.

use super::draft::{Kind, Missing};
use super::sheet::Sheet;
use crate::findspot::{Findspot, Side};

/// A field to be asked for, and how.
type Ask = (&'static str, &'static str);

const CIRCUMSTANCES: [Ask; 2] = [
    ("date_found", "the day it was found"),
    (
        "method",
        "how it was found: with a metal detector, by chance, on the surface",
    ),
];

/// Asked where a design or letters stand on a side that is not known.
const SIDE: &str = "on which side the design or the letters stand whose side is not known";

const COIN: [Ask; 13] = [
    ("weight", "weight, in grams to two decimals"),
    ("diameter", "diameter, in millimetres to one decimal"),
    (
        "images",
        "photographs of both faces with a scale, uncleaned, each upright by its own design",
    ),
    (
        "obverse_legend",
        "the letters of the obverse, or that none can be read",
    ),
    (
        "reverse_legend",
        "the letters of the reverse, or that none can be read",
    ),
    ("obverse_description", "what the obverse shows"),
    ("reverse_description", "what the reverse shows"),
    (
        "die_axis",
        "die axis: the hour to which the top of the reverse points",
    ),
    ("material", "the metal as it looks"),
    ("completeness", "how much of it is there"),
    ("wear", "wear, on the scale W-A 1 to W-A 5"),
    ("corrosion", "corrosion, on the scale C 1 to C 5"),
    ("thickness", "thickness, in millimetres"),
];

const ARTEFACT: [Ask; 13] = [
    ("object_type", "what it is, in one term"),
    (
        "images",
        "photographs of front, back, side and section with a scale, uncleaned",
    ),
    ("weight", "weight, in grams to two decimals"),
    (
        "length",
        "length, in millimetres; of a broken thing what is left of it",
    ),
    ("width", "width, in millimetres"),
    ("thickness", "thickness, in millimetres"),
    (
        "material",
        "the material as it looks: copper alloy unless it was analysed",
    ),
    ("completeness", "how much of it is there"),
    (
        "shape",
        "its shape, one view at a time, from general to particular",
    ),
    (
        "decoration",
        "decoration: the technique, then the motif; or that there is none",
    ),
    ("damage", "breaks and damage, old or new"),
    (
        "surface",
        "surface: colour, patina, tinning, gilding, enamel",
    ),
    ("date", "when it was made, as near as it is known"),
];

const GROUP: [Ask; 5] = [
    (
        "depth",
        "the depth of the pieces, and whether any lay below the plough",
    ),
    (
        "lay",
        "how the pieces lay: which touched, in what order, spread over how much ground",
    ),
    (
        "container",
        "whether there was a container, or a trace of one: sherds, cloth, a stain in the soil",
    ),
    (
        "images",
        "photographs: of the hole before anything more is lifted, and of both faces of each piece",
    ),
    ("material", "the metals of the pieces as they look"),
];

const LAST: [Ask; 4] = [
    ("landuse", "what the land is used for"),
    ("depth", "how deep it lay"),
    (
        "consent",
        "whether the landowner agreed to the search and to the record",
    ),
    ("finder", "who found it, for the recording officer alone"),
];

/// What is missing, with the looks that the identification asks for first.
pub(super) fn of(
    kind: Kind,
    sheet: &Sheet,
    findspot: Option<Findspot>,
    looks: &[String],
) -> Vec<Missing> {
    let mut missing: Vec<Missing> = looks.iter().map(|look| named("look", look)).collect();
    missing.extend(place(findspot));
    let own: &[Ask] = match kind {
        Kind::Coin => &COIN,
        Kind::Artefact => &ARTEFACT,
        Kind::Group => &GROUP,
    };
    let loose = ["description", "legend"];
    if kind == Kind::Coin && loose.iter().any(|name| sheet.get(name).is_some()) {
        missing.push(named("side", SIDE));
    }
    let asks = CIRCUMSTANCES.iter().chain(own).chain(&LAST);
    for (name, text) in asks {
        // Depth is asked for first of all of a group, and once.
        let asked = missing.iter().any(|one| one.name == *name);
        if !asked && !is_filled(name, sheet) {
            missing.push(named(name, text));
        }
    }
    missing
}

/// A field that was inferred alone still wants somebody's eyes.
fn is_filled(name: &str, sheet: &Sheet) -> bool {
    use super::draft::Standing;
    let field = sheet.get(name);
    let filled = field.is_some_and(|field| !matches!(field.standing, Standing::Inferred(_)));
    // Letters and designs of a side that is not known do for either side.
    let loose = match name {
        "obverse_legend" | "reverse_legend" => "legend",
        "obverse_description" | "reverse_description" => "description",
        // A round thing has a diameter in place of length and width.
        "length" | "width" => "diameter",
        _ => return filled,
    };
    filled || sheet.get(loose).is_some()
}

fn place(findspot: Option<Findspot>) -> Option<Missing> {
    let asked = "where it lay, as a grid reference of six figures (100 m) or more";
    match findspot {
        None => Some(named("findspot", asked)),
        Some(spot) if spot.square.side() > Side::HundredMetres => {
            let now = spot.square.side().text();
            let text = format!("{asked}; now it is a square of {now}");
            Some(named("findspot", &text))
        }
        Some(_) => None,
    }
}

fn named(name: &'static str, text: &str) -> Missing {
    Missing {
        name,
        text: text.to_string(),
    }
}
