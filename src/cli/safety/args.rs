//! The arguments of `backup` and `restore`.
//!
//! Definitions only.
//!
//! Invariant: every verb of the shelf takes `--shelf DIR`.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Subcommand};

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

The folder must be empty or not there: a shelf is never written over.
Exit code: 0 all is there, 2 a fault (then nothing was made), or files that the backup lacked.";

/// Arguments of `backup`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct BackupArgs {
    /// The file to make; one that is not there yet
    pub(super) file: PathBuf,
    /// The folder of the shelf [default: LYNCHET_SHELF, or the user's data folder]
    #[arg(long, value_name = "DIR")]
    pub(super) shelf: Option<PathBuf>,
    /// Answer with JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// Arguments of `restore`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct RestoreArgs {
    /// The backup
    pub(super) file: PathBuf,
    /// The folder for the shelf, empty or not there [default: LYNCHET_SHELF, or the user's data folder]
    #[arg(long, value_name = "DIR")]
    pub(super) shelf: Option<PathBuf>,
    /// Answer with JSON
    #[arg(long)]
    pub(super) json: bool,
}
