//! The person's own types carried along: the files of the folder `types` of the shelf.
//!
//! Takes only tables of the names that the library's rules would let stand; whether a row is sound is
//! for the library to say. Never follows a link.
//!
//! Invariant: a name that is written was made of harmless parts, and never leads out of the folder.

use std::fs::{self, File};
use std::io::Write;
use std::path::Path;

use super::super::fault::ShelfFault;
use super::{parent, settled};
use crate::catalogue::{OwnFiles, TYPES};

/// Most bytes of one file, as the library reads it.
pub(super) const OWN_MOST: u64 = 512 * 1024;
/// Most parts of a name, and letters of one.
const PARTS_MOST: usize = 6;
const PART_MOST: usize = 80;

/// The files of a folder of own types by their names below it, and what is left out, in words.
pub(super) fn held(folder: &Path) -> (Vec<(String, String)>, Vec<String>) {
    let own = OwnFiles::of(&folder.join(TYPES));
    let mut left_out: Vec<String> = own.faults.iter().map(ToString::to_string).collect();
    let mut files = Vec::new();
    for (name, text) in own.files {
        match is_harmless(&name) {
            true => files.push((name, text)),
            false => left_out.push(format!(
                "{TYPES}/{}: its name has other signs than a to z, 0 to 9, - and _",
                super::bag::shown(&name)
            )),
        }
    }
    (files, left_out)
}

/// True for a name of plain parts that ends as a table does.
pub(super) fn is_harmless(name: &str) -> bool {
    let plain = |part: &str| {
        !part.is_empty()
            && part.len() <= PART_MOST
            && part
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b"-_".contains(&b))
    };
    let Some(stem) = name.strip_suffix(".toml") else {
        return false;
    };
    stem.split('/').count() <= PARTS_MOST && stem.split('/').all(plain)
}

/// Writes files of own types below a folder; they are on the disk when this returns.
pub(super) fn lay(folder: &Path, files: &[(String, String)]) -> Result<(), ShelfFault> {
    for (name, text) in files {
        let path = folder.join(TYPES).join(name);
        let above = parent(&path);
        let of_io = |error| ShelfFault::of_io(&error, &path);
        fs::create_dir_all(&above).map_err(of_io)?;
        let mut new = File::create_new(&path).map_err(of_io)?;
        new.write_all(text.as_bytes())
            .and_then(|()| new.sync_all())
            .map_err(of_io)?;
        settled(&above).map_err(of_io)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::is_harmless;

    #[test]
    fn only_plain_names_are_carried() {
        for name in [
            "coins/own-tokens.toml",
            "rulers.toml",
            "coins/roman/own_1.toml",
        ] {
            assert!(is_harmless(name), "{name}");
        }
        for name in [
            "../coins/own.toml",
            "/coins/own.toml",
            "coins//own.toml",
            "coins/own.TOML",
            "coins/own",
            ".toml",
            "coins/.own.toml",
            "c:/own.toml",
            "coins\\own.toml",
            "coins/\u{e9}.toml",
            "a/b/c/d/e/f/g.toml",
        ] {
            assert!(!is_harmless(name), "{name}");
        }
    }
}
