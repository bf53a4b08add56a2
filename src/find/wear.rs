//! State of the piece: wear, corrosion, how much is left, how it was made and treated.
//!
//! The wear and corrosion steps are the five-step published scale (a Lausanne
//! guide of 1995, as held in Nomisma), not dealers' grades.

/// Wear in five steps, with their Nomisma concepts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Wear {
    /// All parts clear (`little_to_no_wear`).
    Little,
    /// Highest points flat (`lightly_worn`).
    Light,
    /// Detail merged, outlines still lines (`worn`).
    Worn,
    /// Weak silhouette, legend normally gone (`heavily_worn`).
    Heavy,
    /// Blank or nearly (`extremely_worn`).
    Extreme,
}

/// Corrosion in five steps, with their Nomisma concepts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Corrosion {
    /// Surface intact (`little_to_no_corrosion`).
    Little,
    /// Slight, in places (`lightly_corroded`).
    Light,
    /// Most of the surface (`corroded`).
    Corroded,
    /// All the surface deformed (`heavily_corroded`).
    Heavy,
    /// Relief gone (`extremely_corroded`).
    Extreme,
}

/// How much of the piece is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Completeness {
    /// All of it.
    Whole,
    /// A little missing.
    Chipped,
    /// About half: cut or broken.
    Half,
    /// About a quarter: cut or broken.
    Quarter,
    /// Some part, size unknown.
    Fragment,
}

/// How the piece was made, as it looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Making {
    /// Struck by hand: uneven edge, uncentred.
    Hammered,
    /// Made in a press: round, even, often a grained or lettered edge.
    Milled,
    /// Cast: blurred, sometimes with a sprue.
    Cast,
}

/// What was done to a piece after it was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Treatment {
    /// Metal cut from the edge.
    Clipped,
    /// Holed.
    Pierced,
    /// Bent or folded.
    Bent,
    /// Punched with a later stamp.
    Countermarked,
    /// Loop or mount added.
    Mounted,
    /// Gilded.
    Gilded,
}

impl Wear {
    /// The word printed for this step.
    pub fn name(self) -> &'static str {
        match self {
            Wear::Little => "little or no wear",
            Wear::Light => "lightly worn",
            Wear::Worn => "worn",
            Wear::Heavy => "heavily worn",
            Wear::Extreme => "extremely worn",
        }
    }
}

impl Corrosion {
    /// The word printed for this step.
    pub fn name(self) -> &'static str {
        match self {
            Corrosion::Little => "little or no corrosion",
            Corrosion::Light => "lightly corroded",
            Corrosion::Corroded => "corroded",
            Corrosion::Heavy => "heavily corroded",
            Corrosion::Extreme => "extremely corroded",
        }
    }
}

impl Completeness {
    /// The word printed for it.
    pub fn name(self) -> &'static str {
        match self {
            Completeness::Whole => "whole",
            Completeness::Chipped => "chipped",
            Completeness::Half => "half",
            Completeness::Quarter => "quarter",
            Completeness::Fragment => "fragment",
        }
    }
}

impl Making {
    /// The word printed for it.
    pub fn name(self) -> &'static str {
        match self {
            Making::Hammered => "struck by hand",
            Making::Milled => "milled",
            Making::Cast => "cast",
        }
    }
}

impl Treatment {
    /// The word printed for it.
    pub fn name(self) -> &'static str {
        match self {
            Treatment::Clipped => "clipped",
            Treatment::Pierced => "pierced",
            Treatment::Bent => "bent",
            Treatment::Countermarked => "countermarked",
            Treatment::Mounted => "mounted",
            Treatment::Gilded => "gilded",
        }
    }
}
