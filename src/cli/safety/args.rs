//! The arguments of `backup` and `restore`.
//!
//! Definitions only.
//!
//! Invariant: every verb takes the flags that all verbs over the shelf take.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Subcommand, ValueEnum};

use super::super::shelf::ShelfFlags;

/// What keeps the shelf safe.
#[derive(Debug, Subcommand)]
pub(in crate::cli) enum SafetyVerb {
    /// Put the whole shelf into one file, with sums of everything, also while it is in use
    #[command(after_help = BACKUP)]
    Backup(BackupArgs),
    /// Make a shelf from a backup in an empty place, after everything in the backup was checked
    #[command(after_help = RESTORE)]
    Restore(RestoreArgs),
}

const BACKUP: &str = "\
Examples:
  lynchet backup /media/stick/shelf-2026-03-14.zip
  lynchet backup shelf.zip --shelf ./finds

The file is a bag (BagIt, RFC 8493) in a zip file: the database, every photograph and document,
and the SHA-256 sum of each. It holds exact findspots and the names of owners: keep it as safe as
the shelf itself. A file that is there is never written over.
Exit code: 0 a whole backup, 2 a fault, or photographs that are gone and so not in it.";

const RESTORE: &str = "\
Examples:
  lynchet restore /media/stick/shelf-2026-03-14.zip
  lynchet restore shelf.zip --shelf ./finds-again

The folder of the shelf must be empty or not there: a shelf is never written over.
Exit code: 0 all is there, 2 a fault (then nothing was made), or files that the backup lacked.";

/// Arguments of `backup`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct BackupArgs {
    /// The file to make; one that is not there yet
    pub(super) file: PathBuf,
    /// Which shelf
    #[command(flatten)]
    pub(super) shelf: ShelfFlags,
}

/// Arguments of `restore`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct RestoreArgs {
    /// The backup
    pub(super) file: PathBuf,
    /// Which shelf
    #[command(flatten)]
    pub(super) shelf: ShelfFlags,
}

/// Examples of `collection export`.
pub(in crate::cli) const EXPORT_EXAMPLES: &str = "\
Examples:
  lynchet collection export ./finds-2026
  lynchet collection export ./for-the-club --share
  lynchet collection export ./for-the-museum --share --square 100m --with-notes

Whole, it holds everything as tables (CSV), GeoJSON, photographs and RO-Crate, and a shelf is made
of it again with lynchet collection import DIR --shelf EMPTY-DIR. With --share, findspots are
squares, and owners, tenants, finders, names of land, leave and places of storage are left out.
Exit code: 0 all was written, 2 a fault, or something on the shelf could not be read (it is named).";

/// Arguments of `collection export`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct ExportArgs {
    /// The folder to make, new or empty
    #[arg(value_name = "DIR")]
    pub(super) folder: PathBuf,
    /// For others: without owners, finders, names of land and exact findspots
    #[arg(long)]
    pub(super) share: bool,
    /// With --share: no findspot finer than such a square
    #[arg(long, value_enum, default_value_t = Square::Kilometre, requires = "share")]
    pub(super) square: Square,
    /// With --share: words, notes and tags too, where they tell no name and no place
    #[arg(long, requires = "share")]
    pub(super) with_notes: bool,
    /// With --share: your own types too, as you wrote them
    #[arg(long, requires = "share")]
    pub(super) with_types: bool,
}

/// The finest square that is shared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum Square {
    /// 100 m, six figures: only by agreement
    #[value(name = "100m")]
    HundredMetres,
    /// 1 km, four figures
    #[value(name = "1km")]
    Kilometre,
    /// 10 km, two figures
    #[value(name = "10km")]
    TenKilometres,
}
