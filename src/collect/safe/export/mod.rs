//! The export: the whole shelf as tables, pictures and descriptions, or what of it may be shared.
//!
//! Writes a folder that needs no Lynchet to be read and from which a shelf can be made again, or,
//! for sharing, one without owners, finders, names of land and exact findspots. What cannot be read
//! is left out and said.
//!
//! Invariant: the same shelf gives the same bytes; the folder gets its name when it is whole.

mod described;
mod folder;
mod guard;
mod place;
mod share;
pub(super) mod sheets;
pub(super) mod walk;
mod whole;

pub use share::Sharing;
pub(super) use whole::{some, text_of};

use std::path::Path;

use super::super::Shelf;
use super::super::fault::ShelfFault;
use super::{Passing, plain, refuse_taken};
use folder::Out;

/// What was exported.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Exported {
    /// Rows by table.
    pub rows: Vec<(String, u64)>,
    /// Photographs and documents.
    pub files: u64,
    /// Files of own types.
    pub own: u64,
    /// What could not be read, in words.
    pub lost: Vec<String>,
    /// Cells that were left empty, and photographs left out, because they would tell too much.
    pub withheld: u64,
}

impl Shelf {
    /// Writes the shelf into a folder that is empty or not there: the whole of it, or what may be
    /// shared.
    ///
    /// # Errors
    ///
    /// When something is in the folder, or it cannot be written. What cannot be read of the shelf
    /// is no error: it is said in [`Exported::lost`].
    pub fn export(&self, folder: &Path, share: Option<Sharing>) -> Result<Exported, ShelfFault> {
        let folder = plain(folder);
        refuse_taken(&folder, true, "name a new or empty folder")?;
        let beside = Passing::beside(&folder, "export");
        let mut out = Out::new(&beside.path)?;
        // One instant of the shelf, whatever is written meanwhile; a damaged one may not hold still.
        let still = self.db.unchecked_transaction().ok();
        let exported = match share {
            Some(sharing) => share::export(self, &mut out, sharing)?,
            None => whole::export(self, &mut out)?,
        };
        drop(still);
        out.settled()?;
        if folder.is_dir() {
            // Only an empty one can be taken away.
            std::fs::remove_dir(&folder).map_err(|error| ShelfFault::of_io(&error, &folder))?;
        }
        let placed = beside.becomes(&folder);
        placed.map_err(|error| ShelfFault::of_io(&error, &folder))?;
        Ok(exported)
    }
}
