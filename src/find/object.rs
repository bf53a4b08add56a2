//! What a person says of a thing that is not a coin.
//!
//! Plain values, as for coins: classes, forms and motifs by their ids in the library, sizes by the
//! direction in which they were taken. An unsaid trait is `None` or an empty list.
//!
//! Invariant: a size is possible (finite, above nought), as its type holds.

use super::{Grams, Measured, MetalSeen, Millimetres, Region};

/// A direction in which a thing is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Dimension {
    /// Along it.
    Length,
    /// Across it.
    Width,
    /// Through it.
    Thickness,
    /// As it stands.
    Height,
    /// Across what is round.
    Diameter,
}

impl Dimension {
    /// Every dimension, in the order of the manual.
    pub const ALL: [Dimension; 5] = [
        Dimension::Length,
        Dimension::Width,
        Dimension::Thickness,
        Dimension::Height,
        Dimension::Diameter,
    ];

    /// The word written for it in the library.
    pub fn name(self) -> &'static str {
        match self {
            Dimension::Length => "length",
            Dimension::Width => "width",
            Dimension::Thickness => "thickness",
            Dimension::Height => "height",
            Dimension::Diameter => "diameter",
        }
    }
}

/// A size that was said.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeSaid {
    /// The direction; `None` where it was not said.
    pub dimension: Option<Dimension>,
    /// The size, millimetres.
    pub size: Measured<Millimetres>,
    /// The finder's own words.
    pub said: String,
}

/// How much of a thing is there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Left {
    /// Not said.
    #[default]
    Unsaid,
    /// All that matters for its size.
    Whole,
    /// Something is broken off.
    Incomplete,
    /// A piece of it.
    Fragment,
}

impl Left {
    /// The word printed for it.
    pub fn name(self) -> &'static str {
        match self {
            Left::Unsaid => "not said",
            Left::Whole => "whole",
            Left::Incomplete => "incomplete",
            Left::Fragment => "fragment",
        }
    }
}

/// A class that was named.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// Ids of the classes that bear the name itself.
    pub ids: Vec<String>,
    /// Ids of classes whose longer names end in it ("crotal bell" for "bell").
    pub near: Vec<String>,
    /// The finder's own words.
    pub said: String,
    /// False after "perhaps".
    pub sure: bool,
}

/// Whether a part or feature is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Presence {
    /// It is there.
    Present,
    /// It is not there.
    Absent,
    /// It was there, and is lost.
    BrokenAway,
}

/// A word of form, or a motif, that was said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormSaid {
    /// Ids in the vocabulary of form that the words may mean.
    pub forms: Vec<String>,
    /// Ids of motifs that coins bear too.
    pub motifs: Vec<String>,
    /// The finder's own words.
    pub said: String,
    /// Whether it is there.
    pub presence: Presence,
    /// False after "perhaps".
    pub sure: bool,
    /// False where the words stood apart from one another and were put together.
    pub exact: bool,
}

/// A period that was named.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PeriodSaid {
    /// Ids of the periods it may mean.
    pub ids: Vec<String>,
    /// The finder's own words.
    pub said: String,
}

/// Another word of which the library's names and notes know.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WordSaid {
    /// The shape in which words are compared.
    pub stem: String,
    /// The finder's own word.
    pub said: String,
    /// True where it also went into a form, and so has spoken.
    pub heard: bool,
}

/// Everything a person has said about one thing that may be no coin.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Object {
    /// Metal as it looks, and whether the finder is sure.
    pub metal: Option<(MetalSeen, bool)>,
    /// Weight as found.
    pub weight: Option<Measured<Grams>>,
    /// Sizes.
    pub sizes: Vec<SizeSaid>,
    /// How much is there.
    pub left: Left,
    /// Classes named.
    pub classes: Vec<Named>,
    /// Forms and motifs.
    pub forms: Vec<FormSaid>,
    /// Letters read, one text a reading.
    pub letters: Vec<String>,
    /// Periods named.
    pub periods: Vec<PeriodSaid>,
    /// Other words.
    pub words: Vec<WordSaid>,
    /// All words of the text, clause by clause, in the shape in which they are compared; those of
    /// sizes and of letters read are left out.
    pub told: Vec<Vec<String>>,
    /// The part of the land it was found in.
    pub region: Option<Region>,
}

impl Object {
    /// True when nothing was said that could bear on what the thing is.
    pub fn says_nothing(&self) -> bool {
        self.metal.is_none()
            && self.weight.is_none()
            && self.sizes.is_empty()
            && self.classes.is_empty()
            && self.forms.is_empty()
            && self.letters.is_empty()
            && self.periods.is_empty()
            && self.words.is_empty()
    }
}
