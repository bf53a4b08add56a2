//! The open scale of wear and corrosion, and the open ids of what is seen of a piece.
//!
//! The steps are those of a guide of 1995 from Lausanne on the wear and corrosion of coin finds
//! (OCLC 174260520), as Nomisma holds them. Only ids that were seen in a copy of Nomisma's files
//! (commit a760113 of 9 February 2026) are named. Copper alloy by eye has none: `ae` is bronze,
//! and that is for an analysis to say.
//!
//! Invariant: each step of the scale has one code and one id.

use crate::catalogue::Catalogue;
use crate::find::{Completeness, Corrosion, Making, MetalSeen, Treatment, Wear};

/// The address of a concept of Nomisma.
pub(super) fn nomisma(id: &str) -> String {
    format!("http://nomisma.org/id/{id}")
}

/// Code and id of a step of wear.
pub fn wear(wear: Wear) -> (&'static str, &'static str) {
    match wear {
        Wear::Little => ("W-A 1", "little_to_no_wear"),
        Wear::Light => ("W-A 2", "lightly_worn"),
        Wear::Worn => ("W-A 3", "worn"),
        Wear::Heavy => ("W-A 4", "heavily_worn"),
        Wear::Extreme => ("W-A 5", "extremely_worn"),
    }
}

/// Code and id of a step of corrosion.
pub fn corrosion(corrosion: Corrosion) -> (&'static str, &'static str) {
    match corrosion {
        Corrosion::Little => ("C 1", "little_to_no_corrosion"),
        Corrosion::Light => ("C 2", "lightly_corroded"),
        Corrosion::Corroded => ("C 3", "corroded"),
        Corrosion::Heavy => ("C 4", "heavily_corroded"),
        Corrosion::Extreme => ("C 5", "extremely_corroded"),
    }
}

/// Id of what was done to a piece.
pub fn treatment(treatment: Treatment) -> &'static str {
    match treatment {
        Treatment::Clipped => "clipped",
        Treatment::Pierced => "pierced",
        Treatment::Bent => "bent",
        Treatment::Countermarked => "countermark",
        Treatment::Mounted => "mounted",
        Treatment::Gilded => "gilded",
    }
}

/// Id of how a piece was made: what was struck by hand and what was struck in a press was struck.
pub fn making(making: Making) -> &'static str {
    match making {
        Making::Hammered | Making::Milled => "struck",
        Making::Cast => "cast",
    }
}

/// Id of a metal by eye, where one is safe to name.
pub fn metal(metal: MetalSeen) -> Option<&'static str> {
    match metal {
        MetalSeen::Gold => Some("av"),
        MetalSeen::Silver => Some("ar"),
        MetalSeen::Lead => Some("pb"),
        MetalSeen::Iron => Some("fe"),
        // Billon, tin or pewter, and the core of a plated piece are not told by eye.
        MetalSeen::BaseSilver
        | MetalSeen::Plated
        | MetalSeen::WhiteMetal
        | MetalSeen::CopperAlloy => None,
    }
}

/// Completeness in the words of the closed list (common practice), with what the finder said of it.
pub fn completeness(completeness: Completeness) -> &'static str {
    match completeness {
        Completeness::Whole => "complete",
        Completeness::Chipped => "incomplete (chipped)",
        Completeness::Half => "incomplete (about half)",
        Completeness::Quarter => "incomplete (about a quarter)",
        Completeness::Fragment => "fragment",
    }
}

/// Denominations with an id that was seen.
const DENOMINATIONS: [&str; 26] = [
    "denarius",
    "aureus",
    "antoninianus",
    "sestertius",
    "dupondius",
    "as",
    "semis",
    "quadrans",
    "solidus",
    "semissis",
    "tremissis",
    "siliqua",
    "half_siliqua",
    "reduced_siliqua",
    "miliarensis",
    "argenteus",
    "nummus",
    "follis",
    "centenionalis",
    "stater_celtic",
    "quarter-stater_celtic",
    "unit_celtic",
    "half-unit_celtic",
    "minim",
    "potin_denomination",
    "florin_en",
];

/// English denominations of 1066 on whose ids carry another name than the library's.
const ENGLISH: [(&str, &str); 5] = [
    ("penny", "penny_en"),
    ("halfpenny", "half-penny_en"),
    ("groat", "groat_en"),
    ("halfgroat", "half-groat_en"),
    ("shilling", "shilling_en"),
];

/// Periods of the library in which [`ENGLISH`] holds.
const ENGLISH_PERIODS: [&str; 3] = ["medieval", "tudor", "stuart"];

/// Mints of Britain with an id that was seen; it has no others here.
const MINTS: [&str; 3] = ["london", "londinium", "camulodunum"];

/// The id of a denomination, where one was seen.
pub fn denomination(place: usize, period: Option<usize>, catalogue: &Catalogue) -> Option<String> {
    let one = catalogue.denominations.get(place)?;
    let own = one
        .nomisma
        .as_deref()
        .filter(|id| DENOMINATIONS.contains(id));
    let period = period.and_then(|place| catalogue.periods.get(place));
    let english = || {
        let here = period.is_some_and(|period| ENGLISH_PERIODS.contains(&period.id.as_str()));
        let known = ENGLISH.iter().find(|(id, _)| here && *id == one.id);
        known.map(|(_, id)| *id)
    };
    own.or_else(english).map(nomisma)
}

/// The id of a mint, where one was seen.
pub fn mint(place: usize, catalogue: &Catalogue) -> Option<String> {
    let one = catalogue.mints.get(place)?;
    let known = MINTS.iter().find(|id| **id == one.id);
    known.map(|id| nomisma(id))
}
