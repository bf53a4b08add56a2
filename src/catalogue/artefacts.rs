//! The library of artefacts with every link followed: classes, the words of form, and types.
//!
//! Plain values that refer to one another by position, and to the metals and motifs of a
//! [`Catalogue`](super::Catalogue) by theirs. Holds facts only: nothing here says how likely a type
//! is, and no coin is judged by any of it.
//!
//! Invariant: every position is within its list, of the catalogue with the same text; the periods
//! begin with those of the catalogue, each in its place there.

use std::collections::HashMap;

use super::reckoned::{Arm, Headstamp, WeightStandard};
use super::resolved::{Apart, Common, Period, Series, Standing};
use super::wording::Wording;
use crate::find::{Region, Span};

pub use crate::find::Dimension;

/// A kind of thing that can be seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Facet {
    /// Shape seen from the front.
    Outline,
    /// Shape of a cut across.
    Section,
    /// A part with a name of its own.
    Part,
    /// The particular way in which a part is made.
    Feature,
    /// How it was made or finished.
    Technique,
    /// What is shown on it.
    Motif,
    /// How it was fastened to something.
    Fixing,
    /// What has become of it.
    State,
}

impl Facet {
    /// Every facet, in the order of the manual.
    pub const ALL: [Facet; 8] = [
        Facet::Outline,
        Facet::Section,
        Facet::Part,
        Facet::Feature,
        Facet::Technique,
        Facet::Motif,
        Facet::Fixing,
        Facet::State,
    ];

    /// The word written for it in the library, which is also the name of its file.
    pub fn name(self) -> &'static str {
        match self {
            Facet::Outline => "outline",
            Facet::Section => "section",
            Facet::Part => "part",
            Facet::Feature => "feature",
            Facet::Technique => "technique",
            Facet::Motif => "motif",
            Facet::Fixing => "fixing",
            Facet::State => "state",
        }
    }
}

/// What somebody who holds a piece ought to be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Caution {
    /// It may still go off.
    Ordnance,
    /// It is of lead, which poisons.
    Lead,
    /// It comes from graves.
    HumanRemains,
    /// It is of iron, which falls apart once dug up.
    Iron,
    /// Pieces of the class are often treasure in law.
    TreasureLikely,
}

impl Caution {
    /// The word written for it in the library.
    pub fn name(self) -> &'static str {
        match self {
            Caution::Ordnance => "ordnance",
            Caution::Lead => "lead",
            Caution::HumanRemains => "human-remains",
            Caution::Iron => "iron",
            Caution::TreasureLikely => "treasure-likely",
        }
    }

    /// What the finder is told, which rules nothing: the law and its officers do.
    pub fn advice(self) -> &'static str {
        match self {
            Caution::Ordnance => {
                "it may still be live: do not handle or move it, keep away and call the police on 999"
            }
            Caution::Lead => "it is often of lead: wash your hands, and do not scrape or heat it",
            Caution::HumanRemains => {
                "such pieces lie with the dead: stop digging where bone shows, and tell the police and the finds liaison officer"
            }
            Caution::Iron => {
                "iron falls apart once it is out of the ground: do not clean it, keep it dry, ask the finds liaison officer"
            }
            Caution::TreasureLikely => {
                "such pieces are often treasure: see `lynchet treasure`, and ask the finds liaison officer or the coroner"
            }
        }
    }
}

/// How a type was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Made {
    /// Poured into a mould.
    Cast,
    /// Shaped with a hammer.
    Hammered,
    /// Struck from dies.
    Struck,
    /// Worked hot at the forge.
    Wrought,
    /// Cut and bent from sheet.
    Sheet,
    /// Bent from wire.
    Wire,
    /// Put together from parts made in several ways.
    Composite,
    /// Drawn.
    Drawn,
}

impl Made {
    /// The word written for it in the library.
    pub fn name(self) -> &'static str {
        match self {
            Made::Cast => "cast",
            Made::Hammered => "hammered",
            Made::Struck => "struck",
            Made::Wrought => "wrought",
            Made::Sheet => "sheet",
            Made::Wire => "wire",
            Made::Composite => "composite",
            Made::Drawn => "drawn",
        }
    }
}

/// A class of object.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Class {
    /// Id.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// Positions of the next wider classes.
    pub under: Vec<usize>,
    /// Positions of all wider classes, nearest first, without itself.
    pub ancestors: Vec<usize>,
    /// What people say.
    pub words: Vec<String>,
    /// Positions of the forms that are its parts.
    pub parts: Vec<usize>,
    /// Dimensions in which it is customarily measured.
    pub sizes: Vec<Dimension>,
    /// How they are taken, where that is not plain.
    pub along: Option<String>,
    /// What its finder ought to be told.
    pub caution: Option<Caution>,
    /// Sources, as written.
    pub sources: Vec<String>,
    /// How far it is vouched for.
    pub standing: Standing,
}

/// A concept of the vocabulary of form.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Form {
    /// Id.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// What kind of thing it is.
    pub facet: Facet,
    /// Positions of the parts that it is a feature of; none where it is of the whole.
    pub of: Vec<usize>,
    /// Positions of direct parents.
    pub under: Vec<usize>,
    /// Positions of all ancestors, nearest first, without itself.
    pub ancestors: Vec<usize>,
    /// What people say.
    pub words: Vec<String>,
    /// Sources, as written.
    pub sources: Vec<String>,
    /// How far it is vouched for.
    pub standing: Standing,
}

/// What is usual on a type: a word of form, or a motif that coins bear too.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Decoration {
    /// Position among the forms.
    Form(usize),
    /// Position among the catalogue's motifs.
    Motif(usize),
}

/// Usual sizes of a whole piece, least and most in millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Sizes(pub [Option<(f64, f64)>; 5]);

impl Sizes {
    /// The range in a dimension, millimetres, where one is given.
    pub fn of(&self, dimension: Dimension) -> Option<(f64, f64)> {
        self.0[dimension as usize]
    }

    /// The dimensions given, each with its range in millimetres.
    pub fn given(&self) -> impl Iterator<Item = (Dimension, (f64, f64))> + '_ {
        let all = Dimension::ALL.into_iter();
        all.filter_map(|dimension| Some((dimension, self.of(dimension)?)))
    }
}

/// A type of artefact with every link followed.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct ArtefactType {
    /// Permanent id, which no coin type has either.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// Position of the class.
    pub class: usize,
    /// The published group or type it belongs to, as an id shared by its members.
    pub group: String,
    /// Position of the series.
    pub series: usize,
    /// Position of the period.
    pub period: usize,
    /// Years in which it was made and used.
    pub span: Span,
    /// Positions of the metals, any of which it may be of.
    pub materials: Vec<usize>,
    /// Author and year of the typology that the names follow.
    pub typology: Option<String>,
    /// How it was made.
    pub made: Option<Made>,
    /// Sizes of a whole piece.
    pub sizes: Sizes,
    /// Usual weight of a whole piece, grams.
    pub weight: Option<(f64, f64)>,
    /// Positions of outlines, any of them.
    pub outline: Vec<usize>,
    /// Positions of sections, any of them.
    pub section: Vec<usize>,
    /// Positions of the forms that a whole piece shows.
    pub has: Vec<usize>,
    /// Positions of the forms that some show.
    pub may: Vec<usize>,
    /// Positions of the forms that speak against it.
    pub lacks: Vec<usize>,
    /// What is usual on it.
    pub decoration: Vec<Decoration>,
    /// Letters or words often on it.
    pub letters: Vec<String>,
    /// Positions of the forms that usually survive alone, commonest first; none: the whole piece.
    pub survives: Vec<usize>,
    /// How common.
    pub common: Common,
    /// Where it is mostly found; none: anywhere.
    pub regions: Vec<Region>,
    /// Numbers in the typology or a handbook.
    pub refs: Vec<String>,
    /// Neighbours, by their positions among the artefact types.
    pub apart: Vec<Apart>,
    /// Remark.
    pub note: Option<String>,
    /// Sources, as written.
    pub sources: Vec<String>,
    /// How far it is vouched for.
    pub standing: Standing,
}

/// The library of artefacts, linked.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Artefacts {
    /// Periods: the catalogue's in their places, then those before there were coins.
    pub periods: Vec<Period>,
    /// Classes, in alphabetical order of id.
    pub classes: Vec<Class>,
    /// The vocabulary of form, facet by facet.
    pub forms: Vec<Form>,
    /// Position of each form by its id.
    pub form_places: HashMap<String, usize>,
    /// Series.
    pub series: Vec<Series>,
    /// Types, in order of series file, first year and id.
    pub types: Vec<ArtefactType>,
    /// Standards of weight.
    pub standards: Vec<WeightStandard>,
    /// Arms by their balls.
    pub arms: Vec<Arm>,
    /// Makers by the stamps on cartridge cases.
    pub headstamps: Vec<Headstamp>,
    /// What words tell of the types.
    pub wording: Wording,
}

impl Artefacts {
    /// Position of a type by its id.
    pub fn type_by_id(&self, id: &str) -> Option<usize> {
        self.types.iter().position(|artefact| artefact.id == id)
    }

    /// Position of a form by its id.
    pub fn form_by_id(&self, id: &str) -> Option<usize> {
        self.form_places.get(id).copied()
    }

    /// Positions of the periods, in order of first year.
    pub fn periods_in_order(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.periods.len()).collect();
        order.sort_by_key(|period| self.periods[*period].span);
        order
    }

    /// True when a type is of a class, or of one that lies under it.
    pub fn is_of(&self, artefact: &ArtefactType, class: usize) -> bool {
        artefact.class == class || self.classes[artefact.class].ancestors.contains(&class)
    }
}
