//! Where the library's text comes from: the copy in the binary, or a folder.
//!
//! Reads text and nothing else; does not parse it.
//! Invariant: the files are keyed by their path below the library's folder with
//! forward slashes, so both origins give the same library.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use include_dir::{Dir, include_dir};
use sha2::{Digest, Sha256};

use super::drawings::is_drawing;

static EMBEDDED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/catalogue");

/// Largest file read from a folder, in bytes; a larger one is no series file.
const LARGEST_FILE: u64 = 8 * 1024 * 1024;

/// The text of a library, file by file.
pub type Files = BTreeMap<String, String>;

/// The library in the binary.
pub fn embedded() -> Files {
    let owned = |(path, text): (String, &str)| (path, text.to_string());
    embedded_where(held).into_iter().map(owned).collect()
}

/// The drawings alone, of a folder or of the library in the binary.
///
/// # Errors
///
/// When the folder or a file in it cannot be read.
pub fn drawings_of(folder: Option<&Path>) -> io::Result<Files> {
    let Some(folder) = folder else {
        let owned = |(path, text): (String, &str)| (path, text.to_string());
        return Ok(embedded_where(is_drawing).into_iter().map(owned).collect());
    };
    let mut files = from_folder(folder)?;
    files.retain(|path, _| is_drawing(path));
    Ok(files)
}

/// [`coin_digest`] of [`embedded`], without a copy of its text.
pub fn embedded_coin_digest() -> String {
    let coins = embedded_where(judges_coins);
    digest_of(coins.iter().map(|(path, text)| (path.as_str(), *text)))
}

/// [`artefact_digest`] of [`embedded`], without a copy of its text.
pub fn embedded_artefact_digest() -> String {
    let theirs = embedded_where(judges_artefacts);
    digest_of(theirs.iter().map(|(path, text)| (path.as_str(), *text)))
}

/// The first folder of a path, or the name of a file in no folder, without its ending.
pub(super) fn folder(path: &str) -> &str {
    let first = path.split('/').next().unwrap_or("");
    first.trim_end_matches(".toml")
}

/// True for a file of the library: a table of rows or a drawing.
fn held(path: &str) -> bool {
    path.ends_with(".toml") || is_drawing(path)
}

/// True for a file that only artefacts need.
pub(super) fn of_artefacts(path: &str) -> bool {
    let theirs = [
        "artefacts",
        "classes",
        "drawings",
        "forms",
        "periods-before-coins",
        "reckoned",
    ];
    theirs.contains(&folder(path))
}

/// True for a file by which coins are judged.
fn judges_coins(path: &str) -> bool {
    held(path) && !of_artefacts(path)
}

/// True for a file by which artefacts are judged; no drawing is one.
fn judges_artefacts(path: &str) -> bool {
    held(path) && of_artefacts(path) && !is_drawing(path)
}

/// The files of the copy in the binary that are wanted; the others are not looked into, since the
/// digests are made anew at each start.
fn embedded_where(wanted: fn(&str) -> bool) -> BTreeMap<String, &'static str> {
    let mut files = BTreeMap::new();
    let mut waiting = vec![&EMBEDDED];
    while let Some(dir) = waiting.pop() {
        waiting.extend(dir.dirs());
        for file in dir.files() {
            let path = file.path().to_string_lossy().replace('\\', "/");
            if wanted(&path)
                && let Some(text) = file.contents_utf8()
            {
                files.insert(path, text);
            }
        }
    }
    files
}

/// The library in a folder. Fails when the folder or a file in it cannot be read.
pub fn from_folder(folder: &Path) -> io::Result<Files> {
    let mut files = Files::new();
    let mut waiting: Vec<(PathBuf, usize)> = vec![(folder.to_path_buf(), 0)];
    while let Some((here, depth)) = waiting.pop() {
        for entry in fs::read_dir(&here).map_err(|error| named(&here, error))? {
            let entry = entry?;
            let path = entry.path();
            // Links are not followed: a circle of them would never end.
            let kind = entry.file_type()?;
            if kind.is_dir() && depth < 8 {
                waiting.push((path, depth + 1));
            } else if kind.is_file() {
                let inside = path.strip_prefix(folder).unwrap_or(&path);
                let inside = inside.to_string_lossy().replace('\\', "/");
                if held(&inside) {
                    files.insert(inside, read_file(&path)?);
                }
            }
        }
    }
    if files.keys().all(|path| is_drawing(path)) {
        let message = format!(
            "{} holds no .toml file; name a folder shaped like the library's own",
            folder.display()
        );
        return Err(io::Error::new(io::ErrorKind::NotFound, message));
    }
    Ok(files)
}

/// An error that names its file or folder.
fn named(path: &Path, error: io::Error) -> io::Error {
    io::Error::new(error.kind(), format!("{}: {error}", path.display()))
}

fn read_file(path: &Path) -> io::Result<String> {
    if fs::metadata(path)
        .map_err(|error| named(path, error))?
        .len()
        > LARGEST_FILE
    {
        let message = format!(
            "{} is larger than 8 MiB; split it into series",
            path.display()
        );
        return Err(io::Error::new(io::ErrorKind::InvalidData, message));
    }
    fs::read_to_string(path).map_err(|error| named(path, error))
}

/// Digest of a library's text: changes when any byte of any file does.
pub fn digest(files: &Files) -> String {
    digest_of(
        files
            .iter()
            .map(|(path, text)| (path.as_str(), text.as_str())),
    )
}

/// Digest of the files by which coins are judged: the same whatever is said of artefacts.
pub fn coin_digest(files: &Files) -> String {
    digest_where(files, judges_coins)
}

/// Digest of the rows that only artefacts need; no drawing changes it.
pub fn artefact_digest(files: &Files) -> String {
    digest_where(files, judges_artefacts)
}

fn digest_where(files: &Files, wanted: fn(&str) -> bool) -> String {
    let files = files.iter().filter(|(path, _)| wanted(path));
    digest_of(files.map(|(path, text)| (path.as_str(), text.as_str())))
}

fn digest_of<'f>(files: impl Iterator<Item = (&'f str, &'f str)>) -> String {
    let mut hash = Sha256::new();
    for (path, text) in files {
        hash.update(path.len().to_le_bytes());
        hash.update(path.as_bytes());
        hash.update(text.len().to_le_bytes());
        hash.update(text.as_bytes());
    }
    hash.finalize()
        .iter()
        .take(16)
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
