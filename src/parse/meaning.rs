//! What a word can mean to the parser.
//!
//! Plain values, shared by the lexicon that holds them and the scan that finds
//! them. Nothing is matched here.
//!
//! Invariant: an entry means at least one thing.

use crate::find::{Completeness, Corrosion, Making, MetalSeen, OpinionLevel, Treatment, Wear};

/// A meaning that does not come from the catalogue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(super) enum Plain {
    /// A metal as it looks.
    Metal(MetalSeen),
    /// A colour that hints at a metal when none is named.
    Hue(MetalSeen),
    /// A step of wear.
    Wear(Wear),
    /// A step of corrosion.
    Corrosion(Corrosion),
    /// How much is left.
    Left(Completeness),
    /// How it was made.
    Making(Making),
    /// Done to it later.
    Treatment(Treatment),
    /// "no", "without".
    No,
    /// "perhaps", "looks like".
    Perhaps,
    /// "or", which carries a "no" or a "perhaps" on.
    Or,
    /// "small", "thick": a size that was not measured.
    Size,
    /// "In the left field", "in her right hand": where a thing lies, and not which way a figure looks.
    Where,
    /// Says that letters or figures cannot be made out.
    Unread,
}

/// Everything one phrase can mean.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Entry {
    /// Positions in the lexicon's list of motifs.
    pub motifs: Vec<u32>,
    /// Opinions: level and position in the lexicon's list of ids.
    pub opinions: Vec<(OpinionLevel, u32)>,
    /// Meaning from the everyday list, or a metal of the catalogue.
    pub plain: Option<Plain>,
    /// True when it is written without a capital somewhere, or wholly in capitals:
    /// such a word in capitals may still be a plain word and not a legend.
    pub ordinary: bool,
    /// True for words of size and metal only, such as "small silver": too common
    /// among free words to be the name of a coin.
    pub generic: bool,
}

impl Entry {
    /// True when it names a ruler or a mint: names stand in legends too.
    pub fn names(&self) -> bool {
        let name = |level: OpinionLevel| matches!(level, OpinionLevel::Ruler | OpinionLevel::Mint);
        self.opinions.iter().any(|(level, _)| name(*level))
    }
}

/// Which meanings a field admits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Scope {
    /// Free words: everything.
    All,
    /// Motifs only.
    Motifs,
    /// Metals only.
    Metals,
    /// Wear only.
    Wear,
    /// Corrosion only.
    Corrosion,
    /// How much is left.
    Left,
    /// Making only.
    Making,
    /// Treatments only.
    Treatments,
    /// Opinions only.
    Opinions,
    /// What was looked for in vain: motifs and treatments.
    Absent,
}

impl Scope {
    /// True when motifs count here.
    pub fn motifs(self) -> bool {
        matches!(self, Scope::All | Scope::Motifs | Scope::Absent)
    }

    /// True when opinions count here.
    pub fn opinions(self) -> bool {
        matches!(self, Scope::All | Scope::Opinions)
    }

    /// True when this everyday meaning counts here.
    pub fn plain(self, meaning: Plain) -> bool {
        match meaning {
            Plain::No | Plain::Perhaps | Plain::Or => true,
            Plain::Size | Plain::Unread => self == Scope::All,
            Plain::Where => self.motifs(),
            Plain::Metal(_) | Plain::Hue(_) => matches!(self, Scope::All | Scope::Metals),
            Plain::Wear(_) => matches!(self, Scope::All | Scope::Wear),
            Plain::Corrosion(_) => matches!(self, Scope::All | Scope::Corrosion),
            Plain::Left(_) => matches!(self, Scope::All | Scope::Left),
            Plain::Making(_) => matches!(self, Scope::All | Scope::Making),
            Plain::Treatment(_) => matches!(self, Scope::All | Scope::Treatments | Scope::Absent),
        }
    }

    /// True when some meaning of the entry counts here.
    pub fn admits(self, entry: &Entry) -> bool {
        if self == Scope::All && entry.generic {
            return false;
        }
        (self.motifs() && !entry.motifs.is_empty())
            || (self.opinions() && !entry.opinions.is_empty())
            || entry.plain.is_some_and(|meaning| self.plain(meaning))
    }
}
