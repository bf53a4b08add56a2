//! A term of the account: what a witness says of one type, and what it saw.
//!
//! Holds no sentence (the explain room writes those) and no formula.

use super::words::WORDS_NAMED;
use crate::find::{MetalSeen, Side};

/// Who speaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Witness {
    /// What is seen against what it is made of.
    Metal,
    /// Weight and diameter together.
    Measures,
    /// Thickness.
    Thickness,
    /// Die axis.
    DieAxis,
    /// Struck, milled or cast.
    Making,
    /// Cut, clipped, pierced.
    Treatment,
    /// Letters read.
    Legend,
    /// The back, for the designs that are not listed.
    Back,
    /// Titles read.
    Titles,
    /// A value read in words.
    Value,
    /// Figures seen.
    Motif,
    /// The words in which what is seen was said.
    Words,
    /// Date standing on the piece.
    DateOnPiece,
    /// What the finder thinks it is.
    Opinion,
    /// Where it was found.
    Region,
    /// What lay with it.
    Company,
    /// What the field has given before.
    Field,
}

impl Witness {
    /// The word printed for it.
    pub fn name(self) -> &'static str {
        match self {
            Witness::Metal => "metal",
            Witness::Measures => "weight and size",
            Witness::Thickness => "thickness",
            Witness::DieAxis => "die axis",
            Witness::Making => "making",
            Witness::Treatment => "treatment",
            Witness::Legend => "legend",
            Witness::Back => "back",
            Witness::Titles => "titles",
            Witness::Value => "value in words",
            Witness::Motif => "motif",
            Witness::Words => "your words",
            Witness::DateOnPiece => "date on the piece",
            Witness::Opinion => "your own opinion",
            Witness::Region => "region",
            Witness::Company => "company",
            Witness::Field => "the field",
        }
    }
}

/// How a motif that was said relates to a type.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MotifMatch {
    /// The type shows it, or something that is a kind of it.
    Shown,
    /// The type shows a broader or a near thing: position of the motif that came nearest.
    Near(usize),
    /// It stands on the other face.
    OtherSide,
    /// The type does not show it.
    NotShown,
    /// It may stand on a face of which the library does not say what it shows.
    Unsaid,
}

/// What a witness saw.
#[derive(Clone, Debug, PartialEq)]
pub enum Detail {
    /// Metal named by the finder, and how the type's metal looks.
    Metal {
        /// What the finder named.
        seen: MetalSeen,
        /// How the type's metal looks.
        looks: MetalSeen,
    },
    /// Weight and diameter.
    Measures {
        /// Weight as found, grams.
        grams: Option<f64>,
        /// Mean weight as struck of the component that fits best, grams.
        struck: Option<f64>,
        /// Share of the weight that the best explanation takes as lost to wear and clipping.
        lost: f64,
        /// Share of the whole piece that the best explanation takes as present.
        present: f64,
        /// True when the best explanation takes it as a plated copy of its time.
        plated: bool,
        /// Diameter as found, millimetres.
        millimetres: Option<f64>,
        /// Usual diameters as struck, millimetres.
        usual: Option<(f64, f64)>,
        /// Finds of the finder's own by which the size of the type was put right; 0 where it was not.
        own: u32,
    },
    /// Thickness as found and as expected, millimetres.
    Thickness {
        /// As found.
        found: f64,
        /// As expected.
        expected: f64,
    },
    /// Die axis as found.
    DieAxis {
        /// Clock hour.
        hour: u8,
    },
    /// Making as named.
    Making {
        /// True when the type was made so.
        agrees: bool,
    },
    /// A treatment named (or denied), and whether it is usual for the type.
    Treatment {
        /// Name of the treatment.
        name: &'static str,
        /// False when the finder looked for it in vain.
        present: bool,
        /// True when it is usual.
        usual: bool,
    },
    /// A reading: which of the find's readings, and how it lies on which inscription.
    Legend {
        /// Position among the find's readings.
        reading: usize,
        /// Best-fitting inscription and its spelling; none when the type bears no letters there.
        inscription: Option<(usize, usize)>,
        /// True when it stands on the other side than the finder says.
        other_side: bool,
        /// True when no inscription is named since that side bears no letters, and not since the
        /// library does not say what stands there.
        bare: bool,
    },
    /// The back against the listed backs of the time.
    Back {
        /// The listed type whose back it is most like; none when it is like none.
        like: Option<usize>,
    },
    /// Titles that the ruler did not hold in the type's years.
    Titles,
    /// A value read in words.
    Value {
        /// The value.
        value: &'static str,
        /// True when the library's legends name it on pieces of the type's denomination and period.
        agrees: bool,
    },
    /// A motif: which of the find's sightings, and how it relates.
    Motif {
        /// Position among the find's sightings.
        sighting: usize,
        /// How it relates to the type.
        relation: MotifMatch,
    },
    /// The words said of a side, held against what is shown there.
    Words {
        /// The side.
        side: Side,
        /// Positions among the find's words of those that speak most for the type, the strongest first.
        words: [Option<usize>; WORDS_NAMED],
    },
    /// Date read on the piece.
    DateOnPiece {
        /// True when the type was struck that year.
        within: bool,
    },
    /// An opinion: which of the find's opinions, and whether the type agrees.
    Opinion {
        /// Position among the find's opinions.
        opinion: usize,
        /// Whether the type agrees.
        agrees: bool,
    },
    /// The region it was found in.
    Region {
        /// True when the type is mostly found there.
        usual: bool,
    },
    /// What lay with it.
    Company,
    /// What the field has given before.
    Field {
        /// Finds of the type's period.
        here: u32,
        /// All finds.
        of: u32,
    },
    /// What the finder's own confirmed finds of the field were.
    OwnField {
        /// All finds.
        of: u32,
        /// Finds of the type's period.
        period: u32,
        /// Finds of its stretch of time.
        stretch: u32,
        /// Finds of its ruler and denomination.
        coinage: u32,
    },
}

/// One term of the account.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// Who speaks.
    pub witness: Witness,
    /// Nats for the type (above nought) or against it, relative to "not in the library".
    pub nats: f64,
    /// What was seen.
    pub detail: Detail,
}
