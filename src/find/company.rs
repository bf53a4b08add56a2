//! Where a find came from and what lay with it: weak traits beside what is seen of the piece.
//!
//! Knows no county and no coin; the parser turns names into these values.
//!
//! Invariant: a companion's ids are as the library writes them, and it is one piece or more.

use super::Opinion;

/// A part of England or Wales, as the library says where types are mostly found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Region {
    /// Yorkshire, Lancashire and all beyond.
    North,
    /// Lincolnshire to Essex.
    East,
    /// London, Kent, Surrey, Sussex and the counties about.
    SouthEast,
    /// Hampshire to Oxfordshire.
    South,
    /// Gloucestershire and Dorset to Cornwall.
    SouthWest,
    /// Cheshire to Northamptonshire.
    Midlands,
    /// Wales.
    Wales,
}

impl Region {
    /// Every region.
    pub const ALL: [Region; 7] = [
        Region::North,
        Region::East,
        Region::SouthEast,
        Region::South,
        Region::SouthWest,
        Region::Midlands,
        Region::Wales,
    ];

    /// The word written for it in the library.
    pub fn name(self) -> &'static str {
        match self {
            Region::North => "north",
            Region::East => "east",
            Region::SouthEast => "south-east",
            Region::South => "south",
            Region::SouthWest => "south-west",
            Region::Midlands => "midlands",
            Region::Wales => "wales",
        }
    }

    /// The region of a word of the library.
    pub fn named(word: &str) -> Option<Region> {
        Region::ALL.into_iter().find(|region| region.name() == word)
    }
}

/// What lay with a find in one hole or one deposit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Companion {
    /// How many pieces.
    pub count: u32,
    /// What they are, at each level that was said.
    pub means: Vec<Opinion>,
    /// The finder's own words.
    pub said: String,
}
