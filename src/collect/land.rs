//! Land as it is kept: holdings and fields, leave, boundaries, restrictions, notes, search days.
//!
//! Plain values with public fields; an unsaid one is `None` or empty. Knows no database.
//!
//! Invariant: days are texts year first, so that they sort by day.

use serde::{Deserialize, Serialize};

use super::kept::{kept, words};

words! {
    /// A whole holding or one field of it.
    LandKind "kind" {
        /// Farm, estate, common.
        Holding = "holding",
        /// One field.
        Field = "field",
    }
}

words! {
    /// What somebody is to the shelf.
    Role "role" {
        /// Owns the land: a find belongs to the owner, unless the law or an agreement says otherwise.
        Owner = "owner",
        /// Has the use of it.
        Tenant = "tenant",
        /// Found things.
        Finder = "finder",
        /// Records finds.
        Officer = "officer",
    }
}

words! {
    /// Why land may not be searched, or only with care.
    Barred "restriction" {
        /// A scheduled monument or another protected place.
        Protected = "protected",
        /// A site of special scientific interest.
        Sssi = "sssi",
        /// Where a military aircraft crashed.
        MilitaryCrash = "military-crash",
        /// A burial place.
        Burial = "burial",
        /// The ground of a church.
        Church = "church",
        /// Between high and low water.
        Foreshore = "foreshore",
        /// An agreement of land management that bars or limits searching.
        Stewardship = "stewardship",
        /// Ordnance may lie there.
        Ordnance = "ordnance",
        /// Something else, said in the note.
        Other = "other",
    }
}

words! {
    /// How a boundary is given.
    Form "boundary" {
        /// Squares of the National Grid, with spaces or commas between.
        Squares = "squares",
        /// GeoJSON.
        GeoJson = "geojson",
    }
}

/// A holding or a field.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Land {
    /// Key on the shelf; 0 before it is kept.
    pub key: i64,
    /// The user's own id.
    pub id: String,
    /// The id in the form by which look-alikes are the same; filled in by the shelf.
    pub folded: String,
    /// Holding or field.
    pub kind: LandKind,
    /// Key of the holding that a field belongs to.
    pub parent: Option<i64>,
    /// Its name.
    pub name: String,
    /// What it is used for ("cultivated", "pasture").
    pub landuse: Option<String>,
    /// The country, where the letters of the grid do not tell.
    pub country: Option<String>,
    /// Anything else.
    pub notes: String,
    /// When it was first kept; filled in by the shelf.
    pub created: String,
    /// When it was last changed; filled in by the shelf.
    pub changed: String,
}
kept!(Land, "land");

impl Land {
    /// Land of which nothing but id, kind and name is said.
    pub fn new(id: &str, kind: LandKind, name: &str) -> Land {
        Land {
            key: 0,
            id: id.into(),
            folded: String::new(),
            kind,
            parent: None,
            name: name.into(),
            landuse: None,
            country: None,
            notes: String::new(),
            created: String::new(),
            changed: String::new(),
        }
    }
}

/// Somebody: an owner or tenant of land, a finder, an officer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Person {
    /// Key on the shelf; 0 before it is kept.
    pub key: i64,
    /// Key of the land, for an owner or tenant.
    pub land: Option<i64>,
    /// What they are.
    pub role: Role,
    /// Their name.
    pub name: String,
    /// Address, telephone: never in what is shared.
    pub contact: Option<String>,
}
kept!(Person, "person");

/// Leave to search.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Leave {
    /// Key on the shelf; 0 before it is kept.
    pub key: i64,
    /// Key of the land.
    pub land: i64,
    /// Who gave it.
    pub given_by: Option<String>,
    /// First day.
    pub from_day: Option<String>,
    /// Last day; none while it holds until taken back.
    pub to_day: Option<String>,
    /// What was agreed.
    pub terms: Option<String>,
    /// How value is shared, as agreed ("half each").
    pub split: Option<String>,
    /// Digest of the document kept with it.
    pub document: Option<String>,
    /// The document's name as it was given.
    pub document_name: Option<String>,
}
kept!(Leave, "leave");

/// Where land ends.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Boundary {
    /// Key on the shelf; 0 before it is kept.
    pub key: i64,
    /// Key of the land.
    pub land: i64,
    /// How it is given.
    pub form: Form,
    /// Squares, or GeoJSON.
    pub text: String,
}
kept!(Boundary, "boundary");

/// Why land may not be searched, or only with care.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Restriction {
    /// Key on the shelf; 0 before it is kept.
    pub key: i64,
    /// Key of the land.
    pub land: i64,
    /// What it is.
    pub kind: Barred,
    /// More of it: the number of the list, which part of the field, the terms of a consent.
    pub note: Option<String>,
    /// First day, where it has one.
    pub from_day: Option<String>,
    /// Last day, where it has one.
    pub to_day: Option<String>,
}
kept!(Restriction, "restriction");

/// What a map, a photograph from the air or earlier work shows of land.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct LandNote {
    /// Key on the shelf; 0 before it is kept.
    pub key: i64,
    /// Key of the land.
    pub land: i64,
    /// The day it is of.
    pub day: Option<String>,
    /// Where it is from: the map, the report.
    pub source: Option<String>,
    /// What it says.
    pub text: String,
}
kept!(LandNote, "land_note");

/// A day on which land was searched.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct SearchDay {
    /// Key on the shelf; 0 before it is kept.
    pub key: i64,
    /// Key of the land.
    pub land: i64,
    /// The day.
    pub day: String,
    /// Hours of searching.
    pub hours: Option<f64>,
    /// Who searched.
    pub who: Option<String>,
    /// What was done: lines walked, weather, the state of the ground.
    pub text: Option<String>,
}
kept!(SearchDay, "search_day");

/// Land with all that is kept of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Holding {
    /// The land itself.
    pub land: Land,
    /// The holding it belongs to.
    pub parent: Option<Land>,
    /// Owners and tenants.
    pub people: Vec<Person>,
    /// Leave, the earliest first.
    pub leave: Vec<Leave>,
    /// Where it ends.
    pub boundaries: Vec<Boundary>,
    /// Why it may not be searched, or only with care.
    pub restrictions: Vec<Restriction>,
    /// What maps and earlier work show.
    pub notes: Vec<LandNote>,
    /// The days it was searched.
    pub search_days: Vec<SearchDay>,
    /// How many finds are kept from it.
    pub finds: u64,
}
