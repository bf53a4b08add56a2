//! Photographs read from files, and pictures written to new ones.
//!
//! Changes no original: what is written goes to another file, by way of a file beside it.
//!
//! Invariant: a file is whole or not there, and one that was there is written over only with force.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use crate::cli::error::Trouble;
use crate::cli::whole;
use crate::photo::{BYTES_MOST, Fault, Form, Opened, open};

/// A fault of the room about a file.
pub(in crate::cli) fn about(path: &Path, fault: Fault) -> Trouble {
    Trouble::new(format!("{}: {}", path.display(), fault.what), fault.mend)
}

/// Opens a photograph.
pub(in crate::cli) fn opened(path: &Path) -> Result<Opened, Trouble> {
    let trouble = |error: io::Error| {
        Trouble::new(
            format!("{}: {error}", path.display()),
            "name a photograph that is there and can be read",
        )
    };
    if path.is_dir() {
        return Err(Trouble::new(
            format!("{}: this is a folder", path.display()),
            "name one photograph in it",
        ));
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(trouble)?;
    file.take(BYTES_MOST as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(trouble)?;
    open(&bytes).map_err(|fault| about(path, fault))
}

/// The form that a file to be written has by its name.
pub(super) fn form_of(path: &Path) -> Result<Form, Trouble> {
    let ending = path
        .extension()
        .and_then(|ending| ending.to_str())
        .unwrap_or_default();
    Form::by_ending(ending).ok_or_else(|| {
        Trouble::new(
            format!(
                "{}: what form to write does not show in the name",
                path.display()
            ),
            "name a file that ends in .jpg or .png",
        )
    })
}

/// True when both name the same file, one of which is there.
fn same(a: &Path, b: &Path) -> bool {
    match (fs::canonicalize(a), fs::canonicalize(b)) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    }
}

/// Checks that a file may be written, before any work is done.
pub(super) fn may_write(file: &Path, originals: &[PathBuf], force: bool) -> Result<(), Trouble> {
    if originals.iter().any(|original| same(original, file)) {
        return Err(Trouble::new(
            format!(
                "{}: this is the original, which is never written over",
                file.display()
            ),
            "name another file",
        ));
    }
    if file.exists() && (!force || !file.is_file()) {
        return Err(Trouble::new(
            format!("{}: it is there already", file.display()),
            "name a new file, or write over this one with: --force",
        ));
    }
    Ok(())
}

/// Writes a file by way of one beside it.
pub(super) fn put(
    bytes: &[u8],
    file: &Path,
    originals: &[PathBuf],
    force: bool,
) -> Result<(), Trouble> {
    may_write(file, originals, force)?;
    whole::write(file, bytes).map_err(|error| {
        Trouble::new(
            format!("{}: {error}", file.display()),
            "name a file in a folder that can be written to",
        )
    })
}
