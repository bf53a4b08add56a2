//! The hall: what a person holds, in the words of the trade and with its units.
//!
//! These are plain values with public fields: a metal as it looks, measures with
//! their error, a legend as far as it can be read, motifs as they seem.
//! This room does no input or output and does not know the catalogue; an unsaid
//! trait is `None` or an empty list, never a default that could count as evidence.
//!
//! Invariant: a value of these types is possible (weights and sizes are finite
//! and above nought, a die axis is an hour from 1 to 12); the constructors refuse
//! anything else, so no later room checks again.

mod company;
mod day;
mod legend;
mod measure;
mod object;
mod span;
mod wear;

pub use company::{Companion, Region};
pub use day::{Dated, Day};
pub use legend::{Mark, Reading, Side, fold, fold_to, worn_family};
pub use measure::{DieAxis, Grams, Impossible, Measured, Millimetres};
pub use object::{
    Dimension, FormSaid, Left, Named, Object, PeriodSaid, Presence, SizeSaid, WordSaid,
};
pub use span::{Span, Year, era, ordinal, year_at};
pub use wear::{Completeness, Corrosion, Making, Treatment, Wear};

/// Metal as it looks to the eye, not as an assay would have it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum MetalSeen {
    /// Yellow and heavy.
    Gold,
    /// White, or grey with a white scratch.
    Silver,
    /// Greyish or coppery silver: billon, or silver much debased.
    BaseSilver,
    /// A silver or gold skin with another metal showing through.
    Plated,
    /// Green, brown or reddish: bronze, brass, copper.
    CopperAlloy,
    /// White, light and soft or crumbly: tin, pewter; also cupro-nickel.
    WhiteMetal,
    /// Grey, heavy, soft.
    Lead,
    /// Rusty; a magnet draws it.
    Iron,
}

impl MetalSeen {
    /// Every metal a finder may name, in the order of the guide.
    pub const ALL: [MetalSeen; 8] = [
        MetalSeen::Gold,
        MetalSeen::Silver,
        MetalSeen::BaseSilver,
        MetalSeen::Plated,
        MetalSeen::CopperAlloy,
        MetalSeen::WhiteMetal,
        MetalSeen::Lead,
        MetalSeen::Iron,
    ];

    /// The word printed for this metal.
    pub fn name(self) -> &'static str {
        match self {
            MetalSeen::Gold => "gold",
            MetalSeen::Silver => "silver",
            MetalSeen::BaseSilver => "base silver",
            MetalSeen::Plated => "plated",
            MetalSeen::CopperAlloy => "copper alloy",
            MetalSeen::WhiteMetal => "white metal",
            MetalSeen::Lead => "lead",
            MetalSeen::Iron => "iron",
        }
    }
}

/// A motif the finder says is there, or has looked for in vain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sighting {
    /// Id of the concept in the motif vocabulary.
    pub motif: String,
    /// The finder's own words, for the explanation.
    pub said: String,
    /// Side on which it was seen.
    pub side: Side,
    /// False when the finder looked for it and it is not there.
    pub present: bool,
    /// False when the finder added "perhaps" or a question mark.
    pub sure: bool,
}

/// What the finder thinks the find is: a hint, weighed lightly, never a command.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opinion {
    /// What the opinion is about.
    pub level: OpinionLevel,
    /// Ids the opinion may mean (one word can name several).
    pub ids: Vec<String>,
    /// The finder's own words.
    pub said: String,
}

/// What an opinion is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum OpinionLevel {
    /// A period, such as "Roman".
    Period,
    /// A ruler or people, such as "Edward I".
    Ruler,
    /// A denomination, such as "penny".
    Denomination,
    /// A mint, such as "London".
    Mint,
}

/// A word of what the finder says is to be seen, in the shape in which words are compared.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct SeenWord {
    /// Face it is said of.
    pub side: Side,
    /// The word.
    pub word: String,
}

/// Everything a person has said about one find.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Find {
    /// The finder's own number or name for it.
    pub id: Option<String>,
    /// Metal as it looks, and whether the finder is sure.
    pub metal: Option<(MetalSeen, bool)>,
    /// Weight as found.
    pub weight: Option<Measured<Grams>>,
    /// Diameter, or the mean of the least and the greatest.
    pub diameter: Option<Measured<Millimetres>>,
    /// Thickness.
    pub thickness: Option<Measured<Millimetres>>,
    /// Angle between the tops of the two faces.
    pub die_axis: Option<DieAxis>,
    /// How much of it is there.
    pub completeness: Option<Completeness>,
    /// Clipped, pierced, bent and the like, as seen.
    pub treatments: Vec<Treatment>,
    /// Treatments looked for in vain.
    pub treatments_absent: Vec<Treatment>,
    /// How worn.
    pub wear: Option<Wear>,
    /// How corroded.
    pub corrosion: Option<Corrosion>,
    /// Struck by hand, milled or cast.
    pub making: Option<Making>,
    /// What letters there are, one reading a side or fragment.
    pub readings: Vec<Reading>,
    /// A date or year written on the piece itself.
    pub date_on_piece: Option<Year>,
    /// What figures there are.
    pub sightings: Vec<Sighting>,
    /// The words in which what is seen was said, in order, each once a side.
    pub seen_words: Vec<SeenWord>,
    /// What the finder thinks it is.
    pub opinions: Vec<Opinion>,
    /// The part of the land it was found in.
    pub region: Option<Region>,
    /// What lay with it.
    pub company: Vec<Companion>,
}

impl Find {
    /// Keeps a word of what is seen in its place.
    pub fn add_seen_word(&mut self, word: SeenWord) {
        if let Err(place) = self.seen_words.binary_search(&word) {
            self.seen_words.insert(place, word);
        }
    }

    /// True when nothing was said that could bear on what the find is.
    pub fn says_nothing(&self) -> bool {
        let unread = self
            .readings
            .iter()
            .all(|reading| reading.letters_seen() == 0);
        self.metal.is_none()
            && self.weight.is_none()
            && self.diameter.is_none()
            && self.thickness.is_none()
            && self.die_axis.is_none()
            && self.making.is_none()
            && self.date_on_piece.is_none()
            && self.treatments.is_empty()
            && self.treatments_absent.is_empty()
            && self.sightings.is_empty()
            && self.opinions.is_empty()
            && self.company.is_empty()
            && unread
    }

    /// How many separate traits were given (readings and motifs count each).
    pub fn trait_count(&self) -> usize {
        let single = [
            self.metal.is_some(),
            self.weight.is_some(),
            self.diameter.is_some(),
            self.thickness.is_some(),
            self.die_axis.is_some(),
            self.making.is_some(),
            self.date_on_piece.is_some(),
        ];
        let read = self
            .readings
            .iter()
            .filter(|r| r.letters_seen() > 0)
            .count();
        single.iter().filter(|given| **given).count()
            + read
            + self.sightings.len()
            + self.opinions.len()
    }
}
