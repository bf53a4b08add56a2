//! `catalogue tidy`: the files of a library folder in their canonical order.
//!
//! Writes only into the folder named, and never touches a file that has faults.
//!
//! Invariant: a file is replaced whole or not at all.

use std::io::Write;
use std::path::Path;

use super::super::Outcome;
use super::super::error::Trouble;
use super::super::whole;
use super::files;
use crate::catalogue;

/// Puts the files of a folder in order, or says with `only_check` which are not.
pub(super) fn run(
    folder: &Path,
    only_check: bool,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let mut changed = 0;
    let mut faulty = 0;
    for (file, text) in files(Some(folder))? {
        match catalogue::tidy::tidy(&file, &text) {
            Ok(tidied) if tidied == text => {}
            Ok(tidied) => {
                changed += 1;
                writeln!(
                    out,
                    "{} {file}",
                    if only_check { "would change" } else { "tidied" }
                )?;
                if !only_check {
                    replace(&folder.join(&file), &tidied)?;
                }
            }
            Err(fault) => {
                faulty += 1;
                writeln!(out, "{fault}")?;
            }
        }
    }
    writeln!(
        out,
        "{changed} file(s) {}, {faulty} left alone for faults",
        if only_check {
            "out of order"
        } else {
            "put in order"
        }
    )?;
    Ok(if faulty > 0 || (only_check && changed > 0) {
        Outcome::NothingFits
    } else {
        Outcome::Answer
    })
}

/// Written beside and renamed, so a run that is cut off leaves the old file whole.
fn replace(path: &Path, text: &str) -> Result<(), Trouble> {
    whole::write(path, text.as_bytes()).map_err(|error| {
        Trouble::new(
            format!("{}: {error}", path.display()),
            "name a library folder whose files can be written to",
        )
    })
}
