//! The library as written: one struct a kind of table, unknown fields refused.
//!
//! These structs are the schema; there is no second one. They follow no links
//! and judge nothing. They are the only serialised form of the library: from
//! TOML, and to and from the cache.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

mod artefacts;

pub use artefacts::*;

/// A row with the place it was read from.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Row<T> {
    /// File, relative to the library's folder.
    pub file: String,
    /// Table name.
    pub id: String,
    /// The fields.
    pub fields: T,
}

/// All rows of a library, unlinked.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct RawLibrary {
    /// `sources.toml`
    pub sources: Vec<Row<RawSource>>,
    /// `periods.toml`
    pub periods: Vec<Row<RawPeriod>>,
    /// `metals.toml`
    pub metals: Vec<Row<RawMetal>>,
    /// `denominations/*.toml`
    pub denominations: Vec<Row<RawDenomination>>,
    /// `rulers/*.toml`
    pub rulers: Vec<Row<RawRuler>>,
    /// `mints/*.toml`
    pub mints: Vec<Row<RawMint>>,
    /// `motifs/*.toml`
    pub motifs: Vec<Row<RawMotif>>,
    /// `legends/*.toml`
    pub legends: Vec<Row<RawLegend>>,
    /// `coins/**/*.toml`
    pub series: Vec<RawSeries>,
    /// `attic/**/*.toml`: read and checked for form, never ranked.
    pub attic: Vec<RawSeries>,
    /// `titles/*.toml`
    pub titles: Vec<Row<RawCareer>>,
    /// `tables/*.toml`
    pub tables: Vec<Row<RawEntry>>,
    /// `moved.toml`
    pub moved: Vec<Row<RawMove>>,
    /// `pictured/*.toml`, by face; each row by the motifs of the design that it is of.
    pub pictured: Vec<Row<RawSaid>>,
    /// `pictured.txt`, as it stands.
    pub weights: String,
}

/// One series file.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct RawSeries {
    /// File, relative to the library's folder.
    pub file: String,
    /// What is true of every type of the file.
    pub shared: RawType,
    /// The types by id.
    pub types: BTreeMap<String, RawType>,
}

/// How far a row is vouched for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grade {
    /// From memory of the work named.
    Recalled,
    /// One published source was read.
    Cited,
    /// Two independent published sources agree.
    Checked,
}

/// A handbook, paper, statute or record.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawSource {
    /// handbook, paper, statute, record or web.
    pub kind: String,
    /// Author or body.
    pub author: String,
    /// Year of publication.
    pub year: i32,
    /// Title.
    pub title: String,
    /// How far to trust it.
    pub trust: String,
}

/// A period.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawPeriod {
    /// Printed name.
    pub name: String,
    /// First and last year.
    pub span: [i32; 2],
    /// Other names.
    #[serde(default)]
    pub words: Vec<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// A metal.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawMetal {
    /// Printed name.
    pub name: String,
    /// What a finder sees.
    pub looks: String,
    /// Other names.
    #[serde(default)]
    pub words: Vec<String>,
    /// Id of the same thing at nomisma.org, after `nomisma.org/id/`.
    pub nomisma: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// A denomination with its standards by date.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawDenomination {
    /// Printed name.
    pub name: String,
    /// Other names.
    #[serde(default)]
    pub words: Vec<String>,
    /// Id of the same thing at nomisma.org, after `nomisma.org/id/`.
    pub nomisma: Option<String>,
    /// Weight standards by date.
    #[serde(default)]
    pub standards: Vec<RawStandard>,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// A weight standard.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawStandard {
    /// First and last year.
    pub span: [i32; 2],
    /// Metal id.
    pub metal: String,
    /// Mean weight as struck, grams.
    pub weight: f64,
    /// Standard deviation as struck, as a share of the mean.
    pub cv: f64,
    /// Usual diameters as struck, millimetres.
    pub diameter: Option<[f64; 2]>,
    /// Usual thickness as struck, millimetres.
    pub thickness: Option<[f64; 2]>,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// Who issued.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawRuler {
    /// Printed name.
    pub name: String,
    /// ruler, joint, people or body.
    pub kind: String,
    /// Realm, free word shared by the rulers of one realm.
    pub realm: String,
    /// Periods of power.
    #[serde(default)]
    pub reigns: Vec<[i32; 2]>,
    /// Rulers meant by a joint authority.
    #[serde(default)]
    pub members: Vec<String>,
    /// Other names.
    #[serde(default)]
    pub words: Vec<String>,
    /// Id of the same thing at nomisma.org, after `nomisma.org/id/`.
    pub nomisma: Option<String>,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// A mint.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawMint {
    /// Printed name.
    pub name: String,
    /// Forms as they fill `{mint}`.
    #[serde(default)]
    pub struck: Vec<String>,
    /// Years it struck.
    #[serde(default)]
    pub lives: Vec<[i32; 2]>,
    /// Other names.
    #[serde(default)]
    pub words: Vec<String>,
    /// Id of the same thing at nomisma.org, after `nomisma.org/id/`.
    pub nomisma: Option<String>,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// A concept of the motif vocabulary.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawMotif {
    /// Printed name.
    pub name: String,
    /// Is a kind of.
    #[serde(default)]
    pub under: Vec<String>,
    /// Usually shown with.
    #[serde(default)]
    pub parts: Vec<String>,
    /// What people say.
    #[serde(default)]
    pub words: Vec<String>,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// An inscription.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawLegend {
    /// As struck.
    pub text: String,
    /// Other forms.
    #[serde(default)]
    pub variants: Vec<String>,
    /// roman, lombardic, anglo-saxon, runic, greek or modern.
    pub script: String,
    /// What it says.
    pub reads: Option<String>,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// A face of a type.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawFace {
    /// Motif ids.
    pub motifs: Option<Vec<String>>,
    /// Legend ids, any of which may stand there; empty: no letters; absent: not known.
    pub legends: Option<Vec<String>>,
}

/// A component of a type's weights.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawWeight {
    /// Mean as struck, grams.
    pub g: f64,
    /// Standard deviation as a share of the mean.
    pub cv: f64,
    /// Share of the type's pieces.
    pub share: f64,
}

/// What sets a type apart from a neighbour.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawApart {
    /// The neighbour's id.
    pub from: String,
    /// What a finder can see.
    pub by: String,
}

/// A type, or the shared head of a series.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawType {
    /// Name of the series (shared head only).
    pub series: Option<String>,
    /// Printed name (type only).
    pub name: Option<String>,
    /// Years of issue.
    pub span: Option<[i32; 2]>,
    /// Period id.
    pub period: Option<String>,
    /// Ruler id.
    pub ruler: Option<String>,
    /// Denomination id.
    pub denomination: Option<String>,
    /// Metal id.
    pub metal: Option<String>,
    /// Mint ids.
    pub mints: Option<Vec<String>>,
    /// Weights that differ from the standard.
    pub weights: Option<Vec<RawWeight>>,
    /// Diameters that differ from the standard.
    pub diameter: Option<[f64; 2]>,
    /// Thickness that differs from the standard.
    pub thickness: Option<[f64; 2]>,
    /// Die axis habit.
    pub axis: Option<String>,
    /// hammered, milled or cast.
    pub made: Option<String>,
    /// Front.
    pub obverse: Option<RawFace>,
    /// Back.
    pub reverse: Option<RawFace>,
    /// Edge.
    pub edge: Option<String>,
    /// Initial or mint marks.
    pub marks: Option<Vec<String>>,
    /// Usual on found pieces.
    pub habits: Option<Vec<String>>,
    /// Not an official piece.
    pub copy: Option<String>,
    /// How common as a field find.
    pub common: Option<String>,
    /// Where it is mostly found.
    pub regions: Option<Vec<String>>,
    /// Handbook numbers.
    #[serde(rename = "ref")]
    pub refs: Option<Vec<String>>,
    /// Why the span may lie outside the reign or a mint's life.
    pub outside: Option<String>,
    /// Neighbours.
    pub apart: Option<Vec<RawApart>>,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    pub sources: Option<Vec<String>>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// A renamed id.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawMove {
    /// The new id.
    pub to: String,
    /// Why.
    pub why: String,
}

/// The titles of one Roman emperor or Caesar by date; the row's id is the ruler's. A date is
/// `YYYY`, `YYYY-MM` or `YYYY-MM-DD`, before Christ with a minus before it.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawCareer {
    /// Letters by which his legends are known.
    #[serde(default)]
    pub signs: Vec<String>,
    /// First and last day as Caesar or emperor.
    pub held: [String; 2],
    /// From when Augustus.
    pub augustus: Option<String>,
    /// Each tribunician year with the day it began.
    #[serde(default)]
    pub tribunician: Vec<(u8, String)>,
    /// Each consulship with the day it began.
    #[serde(default)]
    pub consul: Vec<(u8, String)>,
    /// Each acclamation as imperator with its day.
    #[serde(default)]
    pub imperator: Vec<(u8, String)>,
    /// Names of victory and honour, the shortest safe letters, with the day taken.
    #[serde(default)]
    pub names: Vec<(String, String)>,
    /// From when father of his country.
    pub pater_patriae: Option<String>,
    /// From when chief priest.
    pub pontifex_maximus: Option<String>,
    /// Censor, from and to.
    pub censor: Option<[String; 2]>,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}

/// An entry of a table that dates by itself. Which fields a table's entries have is told by the
/// rule `tables`.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawEntry {
    /// Printed name.
    pub name: Option<String>,
    /// Ruler id.
    pub ruler: Option<String>,
    /// Mint id.
    pub mint: Option<String>,
    /// Who put the mark: a bishop, a lord.
    pub authority: Option<String>,
    /// The mark, as seen: a motif id, or words.
    pub mark: Option<String>,
    /// Marks as read, workshop letters included.
    #[serde(default)]
    pub marks: Vec<String>,
    /// Workshop letters.
    #[serde(default)]
    pub officinae: Vec<String>,
    /// Forms of a name as read.
    #[serde(default)]
    pub signs: Vec<String>,
    /// Denomination ids.
    #[serde(default)]
    pub denominations: Vec<String>,
    /// Realm.
    pub realm: Option<String>,
    /// What it stands with.
    pub found: Option<String>,
    /// First and last year.
    pub span: Option<[i32; 2]>,
    /// First day.
    pub from: Option<String>,
    /// Last day.
    pub to: Option<String>,
    /// How it began: crowned, proclaimed.
    pub how: Option<String>,
    /// Pieces struck from one pound.
    pub to_the_pound: Option<f64>,
    /// Which pound: tower, troy, avoirdupois, roman.
    pub pound: Option<String>,
    /// Weight of a piece, grams.
    pub weight: Option<f64>,
    /// Share of the noble metal.
    pub fineness: Option<f64>,
    /// The law that set it.
    pub law: Option<String>,
    /// Share of finds, per mill.
    pub per_mill: Option<f64>,
    /// Remark.
    pub note: Option<String>,
    /// Sources.
    #[serde(default)]
    pub sources: Vec<String>,
    /// Grade.
    pub grade: Option<Grade>,
}
