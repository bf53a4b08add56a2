//! The library's text as the binary carries it: what belongs to it, its digests, one packed file.
//!
//! Shared by the build script, which packs, and by the program, which unpacks; so it leans on
//! nothing but the standard library and the digest. Knows no rows.
//!
//! Invariant: unpacked is what was packed, and the digests kept beside it are those of its text.

use std::collections::BTreeMap;

use sha2::{Digest, Sha256};

/// Where the weights of words stand.
pub(crate) const WORDING: &str = "wording.txt";

/// Where the weights of words for what coins show stand.
pub(crate) const PICTURED: &str = "pictured.txt";

/// True for a file of weights: written by a command, and no TOML.
pub(crate) fn is_weights(path: &str) -> bool {
    [WORDING, PICTURED].contains(&path)
}

/// The first folder of a path, or the name of a file in no folder, without its ending.
pub(crate) fn folder(path: &str) -> &str {
    let first = path.split('/').next().unwrap_or("");
    first.trim_end_matches(".toml")
}

/// True for the path of a drawing, whatever it is of.
pub(crate) fn is_drawing(path: &str) -> bool {
    path.starts_with("drawings/") && path.ends_with(".svg")
}

/// True for a file of the library: a table of rows or a drawing.
pub(crate) fn held(path: &str) -> bool {
    path.ends_with(".toml") || is_drawing(path) || is_weights(path)
}

/// True for a file that only artefacts need.
pub(crate) fn of_artefacts(path: &str) -> bool {
    let theirs = [
        "artefacts",
        "classes",
        "drawings",
        "forms",
        "periods-before-coins",
        "reckoned",
        "said",
        "told",
        WORDING,
    ];
    theirs.contains(&folder(path))
}

/// True for a file of descriptions: the weights of words are learnt from them, and then nothing is
/// judged by them.
pub(crate) fn is_learnt_from(path: &str) -> bool {
    ["pictured", "said", "told"].contains(&folder(path))
}

/// True for a file by which coins are judged.
pub(crate) fn judges_coins(path: &str) -> bool {
    held(path) && !of_artefacts(path) && !is_learnt_from(path)
}

/// True for a file by which artefacts are judged; no drawing is one, and no description.
pub(crate) fn judges_artefacts(path: &str) -> bool {
    held(path) && of_artefacts(path) && !is_drawing(path) && !is_learnt_from(path)
}

/// Digest of those files of a library that are wanted: changes when any byte of them does.
pub(crate) fn digest_where(files: &BTreeMap<String, String>, wanted: fn(&str) -> bool) -> String {
    let mut hash = Sha256::new();
    for (path, text) in files.iter().filter(|(path, _)| wanted(path)) {
        hash.update(path.len().to_le_bytes());
        hash.update(path.as_bytes());
        hash.update(text.len().to_le_bytes());
        hash.update(text.as_bytes());
    }
    let bytes = hash.finalize();
    bytes
        .iter()
        .take(16)
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Files as one run of bytes: of each the length of its path, its path, the length of its text,
/// its text; lengths of four bytes, the least first.
#[allow(dead_code, reason = "the build script packs, the program unpacks")]
pub(crate) fn joined(files: &BTreeMap<String, String>) -> Vec<u8> {
    let mut bytes = Vec::new();
    for part in files.iter().flat_map(|(path, text)| [path, text]) {
        let length = u32::try_from(part.len()).unwrap_or(u32::MAX);
        bytes.extend_from_slice(&length.to_le_bytes());
        bytes.extend_from_slice(part.as_bytes());
    }
    bytes
}

/// The files of [`joined`]; none when the bytes are not such.
pub(crate) fn parted(mut bytes: &[u8]) -> Option<BTreeMap<String, String>> {
    fn part(bytes: &mut &[u8]) -> Option<String> {
        let (length, rest) = bytes.split_first_chunk::<4>()?;
        let length = usize::try_from(u32::from_le_bytes(*length)).ok()?;
        let (text, rest) = rest.split_at_checked(length)?;
        *bytes = rest;
        String::from_utf8(text.to_vec()).ok()
    }
    let mut files = BTreeMap::new();
    while !bytes.is_empty() {
        let path = part(&mut bytes)?;
        files.insert(path, part(&mut bytes)?);
    }
    Some(files)
}
