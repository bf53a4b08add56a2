//! What is told of a find beside what it looks like: where, when and how it was found, by whom,
//! and what was decided of it.
//!
//! Plain values; an unsaid one is `None` or empty. Knows no library.
//!
//! Invariant: texts are as they were told, without signs that steer a terminal.

use super::lists::{Landuse, Method};
use crate::find::{Measured, Millimetres, Span};
use crate::findspot::Findspot;
use crate::treasure::When;

/// What is told of a find.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Circumstances {
    /// The finder's number for it.
    pub number: Option<String>,
    /// The day it was found, as far as it is known.
    pub found: Option<When>,
    /// How it was found.
    pub method: Option<Method>,
    /// What the land is used for.
    pub landuse: Option<Landuse>,
    /// Where it lay.
    pub findspot: Option<Findspot>,
    /// Who found it.
    pub finder: Option<String>,
    /// Whose land it was.
    pub landowner: Option<String>,
    /// What the landowner has agreed to.
    pub consent: Option<String>,
    /// How deep it lay, in centimetres.
    pub depth: Option<f64>,
    /// How the pieces of a group lay to one another.
    pub lay: Option<String>,
    /// The group that it belongs to.
    pub group: Option<String>,
    /// The moneyer, where somebody has read the name.
    pub moneyer: Option<String>,
    /// The pictures there are of it, by their names.
    pub images: Vec<String>,
    /// Anything else.
    pub notes: Vec<String>,
    /// What only an artefact has.
    pub artefact: Artefact,
}

/// What is told of an artefact: no library knows it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Artefact {
    /// What it is, in one term.
    pub object_type: Option<String>,
    /// When it was made.
    pub made: Option<Span>,
    /// Its shape, one view an entry, in the order given.
    pub shape: Vec<String>,
    /// Technique, then motif.
    pub decoration: Vec<String>,
    /// How it was fixed to something.
    pub attachment: Option<String>,
    /// Breaks, and whether they are old.
    pub damage: Option<String>,
    /// Colour, patina, tinning, gilding, enamel.
    pub surface: Option<String>,
    /// Length.
    pub length: Option<Measured<Millimetres>>,
    /// Width.
    pub width: Option<Measured<Millimetres>>,
    /// Like things that were published.
    pub parallels: Vec<String>,
    /// What it was for.
    pub interpretation: Option<String>,
}

/// What was decided of a coin by a person, beside what its traits say.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Told {
    /// Position of the type.
    pub coin: Option<usize>,
    /// Position of the ruler.
    pub ruler: Option<usize>,
    /// Position of the denomination.
    pub denomination: Option<usize>,
    /// Position of the period.
    pub period: Option<usize>,
    /// Position of the mint.
    pub mint: Option<usize>,
    /// Who decided: "officer", "finder".
    pub by: Option<String>,
}

impl Told {
    /// True when nothing was decided.
    pub fn is_empty(&self) -> bool {
        let Told {
            coin,
            ruler,
            denomination,
            period,
            mint,
            by: _,
        } = self;
        [coin, ruler, denomination, period, mint]
            .iter()
            .all(|place| place.is_none())
    }
}
