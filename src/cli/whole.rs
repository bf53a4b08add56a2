//! Files written whole: beside the place and renamed.
//!
//! Knows nothing of what is written; the caller says what went wrong in his own words.
//!
//! Invariant: a file of that name is the old one or the new one, whole, and nothing is left beside it.

use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::Path;

/// Writes a file, over one that is there.
///
/// # Errors
///
/// What the file system says; the old file is as it was.
pub(super) fn write(file: &Path, bytes: &[u8]) -> io::Result<()> {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let beside = file.with_file_name(format!(".{name}.{}.tmp", std::process::id()));
    // A file of that name that is there is not ours: nothing is written through it.
    let mut new = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(&beside)?;
    let written = new.write_all(bytes).and_then(|()| new.sync_all());
    let renamed = written.and_then(|()| fs::rename(&beside, file));
    renamed.inspect_err(|_| {
        let _ = fs::remove_file(&beside);
    })
}
