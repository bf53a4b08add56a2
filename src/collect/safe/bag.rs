//! The layout of a backup: a bag by RFC 8493, its names and its lists.
//!
//! Makes and reads texts; opens no file. A backup holds the declaration, what is said of it, the
//! database, the kept files by their digests, the person's own types, and the sums of all of these, and nothing else.
//!
//! Invariant: only names that a backup can have are ever read from one.

use std::collections::BTreeMap;

use super::super::fault::{Kind, ShelfFault};
use super::is_digest;

/// The declaration (RFC 8493, 2.1.1).
pub(super) const DECLARATION: &str = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";
/// Name of the declaration.
pub(super) const BAGIT: &str = "bagit.txt";
/// Name of what is said of the bag (RFC 8493, 2.2.2).
pub(super) const INFO: &str = "bag-info.txt";
/// Name of the list of sums of what is kept (RFC 8493, 2.1.3).
pub(super) const MANIFEST: &str = "manifest-sha256.txt";
/// Name of the list of sums of the lists (RFC 8493, 2.2.1).
pub(super) const TAG_MANIFEST: &str = "tagmanifest-sha256.txt";
/// The database.
pub(super) const DATABASE: &str = "data/shelf.sqlite";
/// Label of a file that was missing on the shelf when the backup was made.
pub(super) const MISSING: &str = "Lynchet-Missing";

/// What the names of own types begin with.
pub(super) const OWN_TYPES: &str = "data/types/";

/// The name of a kept file.
pub(super) fn file_name(digest: &str) -> String {
    format!("data/files/{}/{digest}", &digest[..2])
}

/// What an entry of a backup is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Entry {
    /// One of the texts at the top.
    Text,
    /// The database.
    Database,
    /// The kept file of this digest.
    File(String),
    /// The file of own types of this name.
    Own(String),
}

impl Entry {
    /// What the entry of a name is.
    ///
    /// # Errors
    ///
    /// When no entry of a backup has such a name; the words say why.
    pub(super) fn of(name: &str) -> Result<Entry, String> {
        match name {
            BAGIT | INFO | MANIFEST | TAG_MANIFEST => return Ok(Entry::Text),
            DATABASE => return Ok(Entry::Database),
            _ => {}
        }
        let digest = name.strip_prefix("data/files/").and_then(|rest| {
            let (two, digest) = rest.split_once('/')?;
            (is_digest(digest) && two == &digest[..2]).then_some(digest)
        });
        if let Some(digest) = digest {
            return Ok(Entry::File(digest.to_string()));
        }
        let own = name.strip_prefix(OWN_TYPES);
        if let Some(own) = own.filter(|own| super::own::is_harmless(own)) {
            return Ok(Entry::Own(own.to_string()));
        }
        let shown = shown(name);
        let drive = name.as_bytes().get(1) == Some(&b':');
        Err(if name.split(['/', '\\']).any(|part| part == "..") {
            format!("the entry {shown} would lead out of the folder")
        } else if name.starts_with(['/', '\\']) || drive {
            format!("the entry {shown} is an absolute path")
        } else {
            format!("the entry {shown} is none that a backup holds")
        })
    }
}

/// A name to be shown: its signs made harmless, not long.
pub(super) fn shown(name: &str) -> String {
    let short: String = name.chars().take(80).collect();
    format!("{short:?}")
}

/// A list of sums: a line for each.
pub(super) fn sums(of: &BTreeMap<String, String>) -> String {
    of.iter()
        .map(|(name, sum)| format!("{sum}  {name}\n"))
        .collect()
}

/// Reads a list of sums: the sum by name.
pub(super) fn read_sums(list: &str, text: &str) -> Result<BTreeMap<String, String>, ShelfFault> {
    let mut all = BTreeMap::new();
    for (at, line) in text.lines().enumerate() {
        let parts = line.split_once([' ', '\t']);
        let read = parts.map(|(sum, name)| (sum.to_ascii_lowercase(), name.trim_start()));
        let Some((sum, name)) = read.filter(|(sum, _)| is_digest(sum)) else {
            return Err(broken(format!("{list} line {}: no sum and name", at + 1)));
        };
        if all.insert(name.to_string(), sum).is_some() {
            let name = shown(name);
            return Err(broken(format!(
                "{list} line {}: {name} is named twice",
                at + 1
            )));
        }
    }
    Ok(all)
}

/// The fault of a backup that is not whole or not sound.
pub(super) fn broken(what: impl Into<String>) -> ShelfFault {
    ShelfFault::new(
        Kind::Damaged,
        format!("the backup cannot be used: {}", what.into()),
        "copy it again from where it was kept, or take another; nothing was changed",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_a_backup_are_known() {
        let digest = "ab".repeat(32);
        assert_eq!(
            Entry::of(&file_name(&digest)),
            Ok(Entry::File(digest.clone()))
        );
        assert_eq!(Entry::of("data/shelf.sqlite"), Ok(Entry::Database));
        for (name, why) in [
            ("../x", "lead out"),
            ("data/files/../../x", "lead out"),
            ("data\\..\\x", "lead out"),
            ("/etc/passwd", "absolute"),
            ("C:\\x", "absolute"),
            ("data/shelf.sqlite-wal", "none that"),
            ("data/files/", "none that"),
            (&format!("data/files/cd/{digest}"), "none that"),
            (
                &format!("data/files/ab/{}", digest.to_uppercase()),
                "none that",
            ),
            ("\u{1b}[2J", "none that"),
        ] {
            let told = Entry::of(name).unwrap_err();
            assert!(told.contains(why) && !told.contains('\u{1b}'), "{told}");
        }
    }

    #[test]
    fn lists_of_sums_are_read_as_they_were_written() {
        let one = BTreeMap::from([("data/a b".to_string(), "0f".repeat(32))]);
        assert_eq!(read_sums("list", &sums(&one)).unwrap(), one);
        let twice = sums(&one).repeat(2);
        assert!(read_sums("list", &twice).is_err() && read_sums("list", "x").is_err());
    }
}
