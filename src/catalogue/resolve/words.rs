//! Words: the fixed lists a type's fields may be written with, and what each means.
//!
//! Linking and the rules read the same lists. Judges nothing and knows no type.
//!
//! Invariant: a list holds every word of its field, each once.

use super::super::resolved::{AxisHabit, Common, CopyKind, Habit};
use crate::find::Making;

/// How a type's dies were set to each other.
pub(in crate::catalogue) const AXES: &[(&str, AxisHabit)] = &[
    ("any", AxisHabit::Any),
    ("upright", AxisHabit::Upright),
    ("inverted", AxisHabit::Inverted),
    ("upright-or-inverted", AxisHabit::UprightOrInverted),
    ("quarters", AxisHabit::Quarters),
];

/// How a type was made.
pub(in crate::catalogue) const MAKINGS: &[(&str, Making)] = &[
    ("hammered", Making::Hammered),
    ("milled", Making::Milled),
    ("cast", Making::Cast),
];

/// What often befell pieces of a type.
pub(in crate::catalogue) const HABITS: &[(&str, Habit)] = &[
    ("clipped", Habit::Clipped),
    ("halved", Habit::Halved),
    ("quartered", Habit::Quartered),
    ("pierced", Habit::Pierced),
    ("plated", Habit::Plated),
    ("cracked", Habit::Cracked),
];

/// What kind of copy a type is.
pub(in crate::catalogue) const COPIES: &[(&str, CopyKind)] = &[
    ("irregular", CopyKind::Irregular),
    ("plated", CopyKind::Plated),
    ("forgery", CopyKind::Forgery),
    ("imitation", CopyKind::Imitation),
];

/// How often a type is found.
pub(in crate::catalogue) const COMMON: &[(&str, Common)] = &[
    ("very-common", Common::VeryCommon),
    ("common", Common::Common),
    ("uncommon", Common::Uncommon),
    ("rare", Common::Rare),
    ("very-rare", Common::VeryRare),
];
