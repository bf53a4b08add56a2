//! Words: the fixed lists that fields may be written with, and what each means.
//!
//! Linking and the rules read the same lists. Judges nothing and knows no type.
//!
//! Invariant: a list holds every word of its field, each once.

use super::super::artefacts::{Caution, Dimension, Facet, Made};
use super::super::resolved::{AxisHabit, Common, CopyKind, Habit, Script};
use crate::find::{Making, MetalSeen};

/// What a word of a list means.
pub(super) fn meaning<T: Copy>(list: &[(&str, T)], word: &str) -> Option<T> {
    let found = list.iter().find(|(known, _)| *known == word);
    found.map(|(_, meaning)| *meaning)
}

/// What a finder sees of a metal.
pub(crate) const LOOKS: &[(&str, MetalSeen)] = &[
    ("gold", MetalSeen::Gold),
    ("silver", MetalSeen::Silver),
    ("base-silver", MetalSeen::BaseSilver),
    ("copper-alloy", MetalSeen::CopperAlloy),
    ("white-metal", MetalSeen::WhiteMetal),
    ("lead", MetalSeen::Lead),
    ("iron", MetalSeen::Iron),
];

/// Scripts of legends.
pub(crate) const SCRIPTS: &[(&str, Script)] = &[
    ("roman", Script::Roman),
    ("lombardic", Script::Lombardic),
    ("anglo-saxon", Script::AngloSaxon),
    ("runic", Script::Runic),
    ("greek", Script::Greek),
    ("modern", Script::Modern),
];

/// How a type's dies were set to each other.
pub(crate) const AXES: &[(&str, AxisHabit)] = &[
    ("any", AxisHabit::Any),
    ("upright", AxisHabit::Upright),
    ("inverted", AxisHabit::Inverted),
    ("upright-or-inverted", AxisHabit::UprightOrInverted),
    ("quarters", AxisHabit::Quarters),
];

/// How a type was made.
pub(crate) const MAKINGS: &[(&str, Making)] = &[
    ("hammered", Making::Hammered),
    ("milled", Making::Milled),
    ("cast", Making::Cast),
];

/// What often befell pieces of a type.
pub(crate) const HABITS: &[(&str, Habit)] = &[
    ("clipped", Habit::Clipped),
    ("halved", Habit::Halved),
    ("quartered", Habit::Quartered),
    ("pierced", Habit::Pierced),
    ("plated", Habit::Plated),
    ("cracked", Habit::Cracked),
];

/// What kind of copy a type is.
pub(crate) const COPIES: &[(&str, CopyKind)] = &[
    ("irregular", CopyKind::Irregular),
    ("plated", CopyKind::Plated),
    ("forgery", CopyKind::Forgery),
    ("imitation", CopyKind::Imitation),
];

/// How often a type is found.
pub(crate) const COMMON: &[(&str, Common)] = &[
    ("very-common", Common::VeryCommon),
    ("common", Common::Common),
    ("uncommon", Common::Uncommon),
    ("rare", Common::Rare),
    ("very-rare", Common::VeryRare),
];

/// Kinds of thing that can be seen of an artefact.
pub(crate) const FACETS: &[(&str, Facet)] = &[
    ("outline", Facet::Outline),
    ("section", Facet::Section),
    ("part", Facet::Part),
    ("feature", Facet::Feature),
    ("technique", Facet::Technique),
    ("motif", Facet::Motif),
    ("fixing", Facet::Fixing),
    ("state", Facet::State),
];

/// Directions in which an artefact is measured.
pub(crate) const DIMENSIONS: &[(&str, Dimension)] = &[
    ("length", Dimension::Length),
    ("width", Dimension::Width),
    ("thickness", Dimension::Thickness),
    ("height", Dimension::Height),
    ("diameter", Dimension::Diameter),
];

/// What the finder of a piece ought to be told.
pub(crate) const CAUTIONS: &[(&str, Caution)] = &[
    ("ordnance", Caution::Ordnance),
    ("lead", Caution::Lead),
    ("human-remains", Caution::HumanRemains),
    ("iron", Caution::Iron),
    ("treasure-likely", Caution::TreasureLikely),
];

/// How an artefact was made.
pub(crate) const MADE: &[(&str, Made)] = &[
    ("cast", Made::Cast),
    ("hammered", Made::Hammered),
    ("struck", Made::Struck),
    ("wrought", Made::Wrought),
    ("sheet", Made::Sheet),
    ("wire", Made::Wire),
    ("composite", Made::Composite),
    ("drawn", Made::Drawn),
];
