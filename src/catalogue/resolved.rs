//! The library with every link followed: what the scorer reads.
//!
//! Plain values that refer to one another by position. Holds facts only: no
//! weight, prior or likelihood is kept here.
//!
//! Invariant: every position is within its list; spans run forwards; shares of a
//! type's weights sum to one.

use std::collections::HashMap;

use super::dated::{Career, Entry};
use super::pictured::Pictured;
use crate::find::{Making, MetalSeen, Region, Span};

/// How far a row is vouched for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Standing {
    /// From memory of the work named.
    Recalled,
    /// One published source was read.
    Cited,
    /// Two independent published sources agree.
    Checked,
}

impl Standing {
    /// The word printed for it.
    pub fn name(self) -> &'static str {
        match self {
            Standing::Checked => "checked",
            Standing::Cited => "cited",
            Standing::Recalled => "recalled",
        }
    }
}

/// A handbook, paper, statute or record.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Source {
    /// Key.
    pub id: String,
    /// Author, year and title in one line.
    pub text: String,
    /// How far to trust it.
    pub trust: String,
}

/// A period.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Period {
    /// Id.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// Years.
    pub span: Span,
    /// Other names.
    pub words: Vec<String>,
}

/// A metal.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Metal {
    /// Id.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// What a finder sees.
    pub looks: MetalSeen,
    /// Other names.
    pub words: Vec<String>,
    /// Id at nomisma.org, if it has one.
    pub nomisma: Option<String>,
}

/// A denomination.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Denomination {
    /// Id.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// Other names.
    pub words: Vec<String>,
    /// Id at nomisma.org, if it has one.
    pub nomisma: Option<String>,
    /// Weight standards by date.
    pub standards: Vec<Standard>,
}

/// A weight standard.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Standard {
    /// Years in force.
    pub span: Span,
    /// Position of the metal.
    pub metal: usize,
    /// Mean as struck, grams.
    pub weight: f64,
    /// Standard deviation as a share of the mean.
    pub cv: f64,
    /// Usual diameters as struck, millimetres.
    pub diameter: Option<(f64, f64)>,
    /// Usual thickness as struck, millimetres.
    pub thickness: Option<(f64, f64)>,
    /// How far it is vouched for.
    pub standing: Standing,
    /// Sources, as written.
    pub sources: Vec<String>,
}

/// Who issued.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Ruler {
    /// Id.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// ruler, joint, people or body.
    pub kind: String,
    /// Realm.
    pub realm: String,
    /// Periods of power.
    pub reigns: Vec<Span>,
    /// Positions of the rulers meant by a joint authority.
    pub members: Vec<usize>,
    /// Other names.
    pub words: Vec<String>,
    /// Id at nomisma.org, if it has one.
    pub nomisma: Option<String>,
}

/// A mint.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Mint {
    /// Id.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// Forms as they stand in legends.
    pub struck: Vec<String>,
    /// Years it struck.
    pub lives: Vec<Span>,
    /// Other names.
    pub words: Vec<String>,
    /// Id at nomisma.org, if it has one.
    pub nomisma: Option<String>,
}

/// A concept of the motif vocabulary.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Motif {
    /// Id.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// Positions of direct parents.
    pub under: Vec<usize>,
    /// Positions of all ancestors, nearest first, without itself.
    pub ancestors: Vec<usize>,
    /// Positions of what is usually shown with it.
    pub parts: Vec<usize>,
    /// What people say.
    pub words: Vec<String>,
}

/// Script of a legend: decides which letters are confused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Script {
    /// Roman capitals.
    Roman,
    /// Lombardic.
    Lombardic,
    /// Anglo-Saxon capitals with wynn, eth, ligatures.
    AngloSaxon,
    /// Runes, transliterated.
    Runic,
    /// Greek.
    Greek,
    /// Capitals of milled coin.
    Modern,
}

/// A legend as written in the library.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Legend {
    /// Id.
    pub id: String,
    /// As struck.
    pub text: String,
    /// Script.
    pub script: Script,
    /// What it says.
    pub reads: Option<String>,
}

/// One place of an inscription.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Glyph {
    /// A letter, folded.
    Letter(char),
    /// Any letters: they change from coin to coin.
    Free,
    /// The design cuts the legend here.
    Break,
}

/// A legend as it stands on a coin of one mint (or of any, where it names none), in all its spellings.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Inscription {
    /// Position of the legend.
    pub legend: usize,
    /// Position of the mint whose name fills it, if any.
    pub mint: Option<usize>,
    /// The spellings; at least one.
    pub forms: Vec<Spelling>,
}

/// One way an inscription is spelled.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Spelling {
    /// Its places in reading order.
    pub glyphs: Vec<Glyph>,
    /// As written in the library, mint filled in.
    pub text: String,
}

/// A face of a type.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Face {
    /// Positions of motifs; `None` when the library does not say.
    pub motifs: Option<Vec<usize>>,
    /// Positions of inscriptions, any of which may stand there; empty: no letters;
    /// `None` when the library does not say.
    pub inscriptions: Option<Vec<usize>>,
}

/// A component of a type's weights.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct WeightPart {
    /// Mean as struck, grams.
    pub grams: f64,
    /// Standard deviation as a share of the mean.
    pub cv: f64,
    /// Share of the type's pieces.
    pub share: f64,
}

/// Die axis habit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum AxisHabit {
    /// Any hour.
    Any,
    /// 12 o'clock.
    Upright,
    /// 6 o'clock.
    Inverted,
    /// 12 or 6.
    UprightOrInverted,
    /// 12, 3, 6 or 9.
    Quarters,
    /// The library does not say.
    Unstated,
}

/// What is usual on found pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Habit {
    /// Clipped.
    Clipped,
    /// Cut in half.
    Halved,
    /// Cut in quarters.
    Quartered,
    /// Holed.
    Pierced,
    /// Plated copies circulated.
    Plated,
    /// Cracked flan.
    Cracked,
}

/// How common a type is as a field find in England and Wales.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Common {
    /// A handful known.
    VeryRare,
    /// Rare.
    Rare,
    /// Uncommon.
    Uncommon,
    /// Common.
    Common,
    /// Very common.
    VeryCommon,
}

impl Common {
    /// The word printed for it.
    pub fn name(self) -> &'static str {
        match self {
            Common::VeryRare => "very rare",
            Common::Rare => "rare",
            Common::Uncommon => "uncommon",
            Common::Common => "common",
            Common::VeryCommon => "very common",
        }
    }
}

/// Kinds of unofficial piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum CopyKind {
    /// Blundered contemporary copy.
    Irregular,
    /// Base core with a skin of silver or gold.
    Plated,
    /// Made to deceive.
    Forgery,
    /// A foreign coinage after this pattern.
    Imitation,
}

/// What sets a type apart from a neighbour.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Apart {
    /// Position of the neighbour.
    pub from: usize,
    /// What a finder can see.
    pub by: String,
}

/// A series: one issue family.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Series {
    /// Id: the file's name.
    pub id: String,
    /// Printed name.
    pub name: String,
}

/// A type with every link followed.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct CoinType {
    /// Permanent id.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// True when it stands for the designs of a coinage that the library does not list.
    pub rest: bool,
    /// Position of the series.
    pub series: usize,
    /// Position of the period.
    pub period: usize,
    /// Position of the ruler, if any is known.
    pub ruler: Option<usize>,
    /// Position of the denomination.
    pub denomination: usize,
    /// Years of issue.
    pub span: Span,
    /// Position of the metal.
    pub metal: usize,
    /// Positions of the mints.
    pub mints: Vec<usize>,
    /// Weights as struck; empty when no standard is known.
    pub weights: Vec<WeightPart>,
    /// Usual diameters as struck, millimetres.
    pub diameter: Option<(f64, f64)>,
    /// Usual thickness as struck, millimetres.
    pub thickness: Option<(f64, f64)>,
    /// Die axis habit.
    pub axis: AxisHabit,
    /// How it was made.
    pub made: Making,
    /// Front.
    pub obverse: Face,
    /// Back.
    pub reverse: Face,
    /// Edge.
    pub edge: Option<String>,
    /// Positions of initial or mint marks of which a piece bears one.
    pub marks: Vec<usize>,
    /// Usual on found pieces.
    pub habits: Vec<Habit>,
    /// Kind of copy, when not official.
    pub copy: Option<CopyKind>,
    /// How common.
    pub common: Common,
    /// Where it is mostly found.
    pub regions: Vec<Region>,
    /// Handbook numbers.
    pub refs: Vec<String>,
    /// Neighbours.
    pub apart: Vec<Apart>,
    /// Remark.
    pub note: Option<String>,
    /// Sources, as written.
    pub sources: Vec<String>,
    /// How far it is vouched for.
    pub standing: Standing,
}

/// The whole library, linked.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Catalogue {
    /// Digest of the text it was made from.
    pub digest: String,
    /// Sources by key.
    pub sources: Vec<Source>,
    /// Periods in order of first year.
    pub periods: Vec<Period>,
    /// Metals.
    pub metals: Vec<Metal>,
    /// Denominations.
    pub denominations: Vec<Denomination>,
    /// Rulers.
    pub rulers: Vec<Ruler>,
    /// Mints.
    pub mints: Vec<Mint>,
    /// Motifs.
    pub motifs: Vec<Motif>,
    /// Position of each motif by its id.
    pub motif_places: HashMap<String, usize>,
    /// Legends.
    pub legends: Vec<Legend>,
    /// Legends as they stand on coins, one a legend and mint.
    pub inscriptions: Vec<Inscription>,
    /// Series.
    pub series: Vec<Series>,
    /// Types, in order of series file, first year and id; after them the rows of the rest.
    pub types: Vec<CoinType>,
    /// Titles of Roman emperors.
    pub careers: Vec<Career>,
    /// Entries of the tables that date by themselves.
    pub entries: Vec<Entry>,
    /// Old ids to new.
    pub moved: HashMap<String, String>,
    /// What words tell of what coins show.
    pub pictured: Pictured,
}

impl Catalogue {
    /// The types that the library lists, without the rows of the rest.
    pub fn listed(&self) -> &[CoinType] {
        &self.types[..self.types.partition_point(|coin| !coin.rest)]
    }

    /// Position of a type by its id, or by an id it once had.
    pub fn type_by_id(&self, id: &str) -> Option<usize> {
        let id = self.moved.get(id).map_or(id, String::as_str);
        self.types.iter().position(|t| t.id == id)
    }

    /// Position of a motif by its id.
    pub fn motif_by_id(&self, id: &str) -> Option<usize> {
        self.motif_places.get(id).copied()
    }

    /// The two faces of a type, front first.
    pub fn faces(coin: &CoinType) -> [&Face; 2] {
        [&coin.obverse, &coin.reverse]
    }
}
