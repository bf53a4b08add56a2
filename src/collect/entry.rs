//! A find as it is kept: what was typed of it, what it was identified as, its photographs, where
//! it went.
//!
//! Plain values with public fields; an unsaid one is `None` or empty. Knows no database and no
//! library: what was typed is kept as it was typed, so that any later Lynchet can hear it again.
//!
//! Invariant: days are texts year first, so that they sort by day.

use serde::{Deserialize, Serialize};

use super::kept::{as_text, kept, words};

words! {
    /// Where a find is now.
    Status "status" {
        /// With the finder.
        InHand = "in-hand",
        /// With the recording officer.
        WithOfficer = "with-officer",
        /// In the treasure process.
        InTreasureProcess = "in-treasure-process",
        /// Came back from the officer or the process.
        Returned = "returned",
        /// With a museum.
        WithMuseum = "with-museum",
        /// Given away.
        Given = "given",
        /// Sold back to the owner of the land.
        SoldToOwner = "sold-to-owner",
    }
}

words! {
    /// Coin or artefact.
    FindKind "kind" {
        /// A coin, token or jetton.
        Coin = "coin",
        /// Anything else.
        Artefact = "artefact",
    }
}

words! {
    /// Who confirmed an identification.
    Confirmer "by" {
        /// The finder.
        Own = "self",
        /// The recording officer.
        Officer = "officer",
        /// A book, named in the reference.
        Book = "book",
    }
}

words! {
    /// Whether an identification stands.
    Standing "standing" {
        /// It is the one that stands; a find has at most one.
        Current = "current",
        /// Another took its place.
        Earlier = "earlier",
    }
}

/// A find.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// Key on the shelf; 0 before it is kept.
    pub key: i64,
    /// The user's own number for it.
    pub id: String,
    /// The id in the form by which look-alikes are the same; filled in by the shelf.
    pub folded: String,
    /// Coin or artefact.
    pub kind: FindKind,
    /// The find in the finder's words.
    pub words: String,
    /// What was typed field by field: the name of the field (of [`crate::parse::Field`], or of the
    /// record) and its text.
    #[serde(with = "as_text")]
    pub said: Vec<(String, String)>,
    /// Key of the land.
    pub land: Option<i64>,
    /// The day it was found, as far as it is known.
    pub found_on: Option<String>,
    /// Where it lay, exactly as given; never in what is shared, but coarser.
    pub findspot: Option<String>,
    /// Easting of the findspot's square, metres; filled in by the shelf.
    pub east: Option<i64>,
    /// Northing of the findspot's square, metres; filled in by the shelf.
    pub north: Option<i64>,
    /// Side of the findspot's square, metres; filled in by the shelf.
    pub side_m: Option<i64>,
    /// Metres by which it may be off, where it was given in degrees; filled in by the shelf.
    pub within_m: Option<f64>,
    /// Depth in centimetres.
    pub depth_cm: Option<f64>,
    /// Metal as it looks (a name of [`crate::find::MetalSeen`]).
    pub metal: Option<String>,
    /// Weight in grams.
    pub weight_g: Option<f64>,
    /// Diameter in millimetres.
    pub diameter_mm: Option<f64>,
    /// Thickness in millimetres.
    pub thickness_mm: Option<f64>,
    /// Die axis in hours, 1 to 12.
    pub die_axis: Option<i64>,
    /// How much is there.
    pub completeness: Option<String>,
    /// Who found it.
    pub finder: Option<String>,
    /// The group that it belongs to.
    pub grouped: Option<String>,
    /// Where it is now; changed by [`super::Shelf::set_status`], which keeps the days.
    pub status: Status,
    /// Its box, drawer, album.
    pub storage: Option<String>,
    /// The number that the officer gave it.
    pub official_number: Option<String>,
    /// Anything else.
    pub notes: String,
    /// When it was first kept; filled in by the shelf.
    pub created: String,
    /// When it was last changed; filled in by the shelf.
    pub changed: String,
}
kept!(Entry, "find");

impl Entry {
    /// A coin in hand of which nothing but the id is said.
    pub fn new(id: &str) -> Entry {
        Entry {
            key: 0,
            id: id.into(),
            folded: String::new(),
            kind: FindKind::Coin,
            words: String::new(),
            said: Vec::new(),
            land: None,
            found_on: None,
            findspot: None,
            east: None,
            north: None,
            side_m: None,
            within_m: None,
            depth_cm: None,
            metal: None,
            weight_g: None,
            diameter_mm: None,
            thickness_mm: None,
            die_axis: None,
            completeness: None,
            finder: None,
            grouped: None,
            status: Status::InHand,
            storage: None,
            official_number: None,
            notes: String::new(),
            created: String::new(),
            changed: String::new(),
        }
    }
}

/// Where a find went, and when.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Whereabouts {
    /// Key on the shelf.
    pub key: i64,
    /// Key of the find.
    pub find: i64,
    /// Where it went.
    pub status: Status,
    /// The day.
    pub day: Option<String>,
    /// More of it: to whom, under which number.
    pub note: Option<String>,
}
kept!(Whereabouts, "whereabouts");

/// What a find was identified as.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Identified {
    /// Key on the shelf; 0 before it is kept.
    pub key: i64,
    /// Key of the find.
    pub find: i64,
    /// When it was identified; filled in by the shelf where it is empty.
    pub made_at: String,
    /// Digest of the library it was identified by.
    pub library: Option<String>,
    /// Version of Lynchet.
    pub version: Option<String>,
    /// Id of the period.
    pub period: Option<String>,
    /// Id of the ruler.
    pub ruler: Option<String>,
    /// Id of the denomination.
    pub denomination: Option<String>,
    /// Id of the series; of a thing, its class and group (`brooch/penannular-d`).
    pub series: Option<String>,
    /// Id of the type.
    pub type_id: Option<String>,
    /// Id of an artefact's class.
    pub class: Option<String>,
    /// How narrow it is (a name of [`crate::score::Level`]).
    pub level: Option<String>,
    /// The answer as a phrase.
    pub text: String,
    /// Its probability, 0 to 1; none for a person's decision.
    pub share: Option<f64>,
    /// First year (BC negative).
    pub from_year: Option<i64>,
    /// Last year.
    pub to_year: Option<i64>,
    /// The whole answer as JSON.
    pub answer: Option<String>,
    /// Who confirmed it.
    pub confirmed_by: Option<Confirmer>,
    /// The book and number, the officer's record.
    pub reference: Option<String>,
    /// The day of it.
    pub confirmed_on: Option<String>,
    /// Whether it stands.
    pub standing: Standing,
}
kept!(Identified, "identification");

impl Identified {
    /// An identification of which nothing but its phrase is said.
    pub fn new(text: &str) -> Identified {
        Identified {
            key: 0,
            find: 0,
            made_at: String::new(),
            library: None,
            version: None,
            period: None,
            ruler: None,
            denomination: None,
            series: None,
            type_id: None,
            class: None,
            level: None,
            text: text.into(),
            share: None,
            from_year: None,
            to_year: None,
            answer: None,
            confirmed_by: None,
            reference: None,
            confirmed_on: None,
            standing: Standing::Current,
        }
    }
}

/// A photograph of a find.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Photograph {
    /// Key on the shelf.
    pub key: i64,
    /// Key of the find.
    pub find: i64,
    /// Its place among the find's photographs, from 1.
    pub place: i64,
    /// What it shows: obverse, reverse, edge, in the ground.
    pub view: Option<String>,
    /// Digest of the file.
    pub digest: String,
    /// The file's name as it was given; never used as a path.
    pub name: String,
    /// The day it was taken, where that was said.
    pub taken: Option<String>,
    /// Width in pixels, upright.
    pub width: i64,
    /// Height in pixels, upright.
    pub height: i64,
    /// Size of the file in bytes.
    pub bytes: i64,
}
kept!(Photograph, "photograph");

/// A file that is kept beside the database.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct KeptFile {
    /// Key on the shelf.
    pub key: i64,
    /// SHA-256 of its bytes, in hexadecimal.
    pub digest: String,
    /// Size in bytes.
    pub bytes: i64,
    /// What it is: `image/jpeg`, `application/pdf`, `text/plain`, `application/geo+json`.
    pub media: String,
}
kept!(KeptFile, "file");

/// A tag of a find.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Tag {
    /// Key on the shelf.
    pub key: i64,
    /// Key of the find.
    pub find: i64,
    /// The tag.
    pub tag: String,
}
kept!(Tag, "tag");

/// How the columns of a table go to fields.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Mapping {
    /// Key on the shelf; 0 before it is kept.
    pub key: i64,
    /// Its name.
    pub name: String,
    /// The field, and the column that holds it.
    #[serde(with = "as_text")]
    pub columns: Vec<(String, String)>,
}
kept!(Mapping, "mapping");

/// Something the shelf remembers by name.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Setting {
    /// Key on the shelf; 0 before it is kept.
    pub key: i64,
    /// Its name.
    pub name: String,
    /// Its value.
    pub value: String,
}
kept!(Setting, "setting");

/// A find with all that is kept of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Whole {
    /// The find itself.
    pub entry: Entry,
    /// Id and name of the land.
    pub land: Option<(String, String)>,
    /// What it was identified as, the one that stands first.
    pub identified: Vec<Identified>,
    /// Its photographs in their order.
    pub photographs: Vec<Photograph>,
    /// Its tags in order.
    pub tags: Vec<String>,
    /// Where it went, the earliest first.
    pub whereabouts: Vec<Whereabouts>,
}
