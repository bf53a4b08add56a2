//! The artefacts as written: classes, the words of form, and types.
//!
//! One struct a kind of table, unknown fields refused, as for coins. Follows no links and judges
//! nothing.
//!
//! Invariant: fields stand in the order in which they are written.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Grade, RawApart, RawPeriod, Row};

/// All rows of the library of artefacts, unlinked.
#[derive(Clone, Debug, Default)]
pub struct RawArtefacts {
    /// `periods-before-coins.toml`
    pub periods: Vec<Row<RawPeriod>>,
    /// `classes.toml`
    pub classes: Vec<Row<RawClass>>,
    /// `forms/*.toml`
    pub forms: Vec<Row<RawForm>>,
    /// `artefacts/**/*.toml`
    pub series: Vec<RawArtefactSeries>,
    /// `reckoned/standards.toml`
    pub standards: Vec<Row<RawWeightStandard>>,
    /// `reckoned/arms.toml`
    pub arms: Vec<Row<RawArm>>,
    /// `reckoned/headstamps.toml`
    pub headstamps: Vec<Row<RawHeadstamp>>,
    /// `said/*.toml`, each row by the id of the type it is of.
    pub said: Vec<Row<RawSaid>>,
    /// `told/*.toml`, each row by the id of the period, in the file of its class.
    pub told: Vec<Row<RawSaid>>,
    /// `wording.txt`, as it stands.
    pub wording: String,
}

/// What finders might say of a type, or of a class in a period.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawSaid {
    /// Descriptions in everyday words.
    pub said: Vec<String>,
}

/// A standard that weights were made to.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawWeightStandard {
    /// Printed name.
    pub name: String,
    /// Years in which it was kept.
    pub span: [i32; 2],
    /// The unit in grams.
    pub unit: f64,
    /// How often pieces of it come up beside those of the others.
    pub often: f64,
    /// Weights that are met.
    pub steps: Vec<RawStep>,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// A weight of a standard.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawStep {
    /// Printed name.
    pub name: String,
    /// How many units it weighs.
    pub of: f64,
}

/// A kind of gun by its lead balls.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawArm {
    /// Printed name.
    pub name: String,
    /// Years in which such balls were fired.
    pub span: [i32; 2],
    /// Least and greatest diameter of its balls as cast, in mm.
    pub ball: [f64; 2],
    /// How often such balls come up beside those of the others.
    pub often: f64,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// A maker of cartridges by the letters on the heads of the cases.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawHeadstamp {
    /// Printed name.
    pub name: String,
    /// Years in which it stamped them.
    pub span: [i32; 2],
    /// The letters.
    pub codes: Vec<String>,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// One series file.
#[derive(Clone, Debug)]
pub struct RawArtefactSeries {
    /// File, relative to the library's folder.
    pub file: String,
    /// What is true of every type of the file.
    pub shared: RawArtefact,
    /// The types by id.
    pub types: BTreeMap<String, RawArtefact>,
}

/// A class of object.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawClass {
    /// Printed name.
    pub name: String,
    /// Ids of wider classes.
    pub under: Vec<String>,
    /// What people say.
    pub words: Vec<String>,
    /// Ids of the forms that are its parts.
    pub parts: Vec<String>,
    /// Dimensions in which it is customarily measured.
    pub sizes: Vec<String>,
    /// How they are taken.
    pub along: Option<String>,
    /// What its finder ought to be told.
    pub caution: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// A concept of the vocabulary of form.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawForm {
    /// Printed name.
    pub name: String,
    /// outline, section, part, feature, technique, motif, fixing or state.
    pub facet: String,
    /// Ids of the parts that it is a feature of.
    pub of: Vec<String>,
    /// Is a kind of.
    pub under: Vec<String>,
    /// What people say.
    pub words: Vec<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// Sizes of a whole piece, least and most in millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawSizes {
    /// Along it.
    pub length: Option<[f64; 2]>,
    /// Across it.
    pub width: Option<[f64; 2]>,
    /// Through it.
    pub thickness: Option<[f64; 2]>,
    /// As it stands.
    pub height: Option<[f64; 2]>,
    /// Across what is round.
    pub diameter: Option<[f64; 2]>,
}

impl RawSizes {
    /// The ranges in the order of the manual.
    pub fn all(&self) -> [Option<[f64; 2]>; 5] {
        [
            self.length,
            self.width,
            self.thickness,
            self.height,
            self.diameter,
        ]
    }
}

/// An artefact type, or the shared head of a series.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawArtefact {
    /// Name of the series (shared head only).
    pub series: Option<String>,
    /// Printed name (type only).
    pub name: Option<String>,
    /// Class id.
    pub class: Option<String>,
    /// Published group or type (type only).
    pub group: Option<String>,
    /// Period id.
    pub period: Option<String>,
    /// Years in which it was made and used (type only).
    pub span: Option<[i32; 2]>,
    /// Metal ids, any of them.
    pub materials: Option<Vec<String>>,
    /// Author and year of the typology followed.
    pub typology: Option<String>,
    /// cast, hammered, struck, wrought, sheet, wire, composite or drawn.
    pub made: Option<String>,
    /// Sizes of a whole piece.
    pub sizes: Option<RawSizes>,
    /// Weight of a whole piece, least and most in grams.
    pub weight: Option<[f64; 2]>,
    /// Form ids of facet outline, any of them.
    pub outline: Option<Vec<String>>,
    /// Form ids of facet section, any of them.
    pub section: Option<Vec<String>>,
    /// Form ids that a whole piece shows.
    pub has: Option<Vec<String>>,
    /// Form ids that some show.
    pub may: Option<Vec<String>>,
    /// Form ids that speak against it.
    pub lacks: Option<Vec<String>>,
    /// Form ids of facet technique or motif, or motif ids.
    pub decoration: Option<Vec<String>>,
    /// Letters or words often on it.
    pub letters: Option<Vec<String>>,
    /// Form ids of what usually survives alone, commonest first.
    pub survives: Option<Vec<String>>,
    /// How common as a field find.
    pub common: Option<String>,
    /// Where it is mostly found.
    pub regions: Option<Vec<String>>,
    /// Numbers in the typology or a handbook.
    #[serde(rename = "ref")]
    pub refs: Option<Vec<String>>,
    /// Neighbours.
    pub apart: Option<Vec<RawApart>>,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    pub sources: Option<Vec<String>>,
    /// Grade.
    pub grade: Option<Grade>,
}
