//! What dates by itself: the titles of emperors, and entries of tables of marks and reigns.
//!
//! Plain values, as the rest of the linked library; nothing is reckoned here.
//!
//! Invariant: a ruler's position is within the library's list.

use super::resolved::Standing;
use crate::find::Dated;

/// The titles of one Roman emperor or Caesar by date.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Career {
    /// Position of the ruler.
    pub ruler: usize,
    /// Letters by which his legends are known, folded.
    pub signs: Vec<String>,
    /// First day as Caesar or emperor, and the last.
    pub held: (Dated, Dated),
    /// From when Augustus.
    pub augustus: Option<Dated>,
    /// Tribunician years, each with the day it began.
    pub tribunician: Vec<(u8, Dated)>,
    /// Consulships, each with the day it began.
    pub consul: Vec<(u8, Dated)>,
    /// Acclamations, each with its day.
    pub imperator: Vec<(u8, Dated)>,
    /// Names of victory and honour, folded, each with the day taken.
    pub names: Vec<(String, Dated)>,
    /// From when father of his country.
    pub pater_patriae: Option<Dated>,
    /// From when chief priest.
    pub pontifex_maximus: Option<Dated>,
    /// Censor, from and to.
    pub censor: Option<(Dated, Dated)>,
}

/// An entry of a table that dates by itself, as it is shown.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Entry {
    /// Name of the table: its file's.
    pub table: String,
    /// Id.
    pub id: String,
    /// What is seen or read: the marks, the forms of a name.
    pub seen: Vec<String>,
    /// Whose or what it is.
    pub of: String,
    /// When.
    pub when: String,
    /// What more there is to say.
    pub more: Vec<String>,
    /// How far it is vouched for.
    pub standing: Standing,
    /// Sources, as written.
    pub sources: Vec<String>,
}
