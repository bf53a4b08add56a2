//! Where the library's text comes from: the copy in the binary, or a folder.
//!
//! Reads text and nothing else; does not parse it.
//! Invariant: the files are keyed by their path below the library's folder with
//! forward slashes, so both origins give the same library.

use std::collections::BTreeMap;
use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use flate2::read::ZlibDecoder;

use super::packed::{self, held, is_drawing, judges_artefacts, judges_coins};

/// The library as the build script packed it.
static EMBEDDED: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/library.packed"));

/// Largest file read from a folder, in bytes; a larger one is no series file.
const LARGEST_FILE: u64 = 8 * 1024 * 1024;

/// The text of a library, file by file.
pub type Files = BTreeMap<String, String>;

/// The library in the binary.
pub fn embedded() -> Files {
    let mut text = Vec::new();
    let unpacked = ZlibDecoder::new(EMBEDDED).read_to_end(&mut text);
    let files = unpacked.ok().and_then(|_| packed::parted(&text));
    files.expect("the build script packed the library whole")
}

/// The drawings alone, of a folder or of the library in the binary.
///
/// # Errors
///
/// When the folder or a file in it cannot be read.
pub fn drawings_of(folder: Option<&Path>) -> io::Result<Files> {
    let mut files = folder.map_or_else(|| Ok(embedded()), from_folder)?;
    files.retain(|path, _| is_drawing(path));
    Ok(files)
}

/// [`coin_digest`] of [`embedded`], taken when the program was built.
pub fn embedded_coin_digest() -> String {
    include_str!(concat!(env!("OUT_DIR"), "/coins.digest")).to_string()
}

/// [`artefact_digest`] of [`embedded`], taken when the program was built.
pub fn embedded_artefact_digest() -> String {
    include_str!(concat!(env!("OUT_DIR"), "/artefacts.digest")).to_string()
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

/// Digest of a library's text: changes when any byte of any file does that the program carries.
pub fn digest(files: &Files) -> String {
    packed::digest_where(files, |path| !packed::is_learnt_from(path))
}

/// Digest of the files by which coins are judged: the same whatever is said of artefacts.
pub fn coin_digest(files: &Files) -> String {
    packed::digest_where(files, judges_coins)
}

/// Digest of the rows that only artefacts need; no drawing changes it.
pub fn artefact_digest(files: &Files) -> String {
    packed::digest_where(files, judges_artefacts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_binary_carries_the_library_as_it_lies() {
        let held = embedded();
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalogue");
        let mut written = from_folder(&folder).expect("it is there");
        written.retain(|path, _| !packed::is_learnt_from(path));
        assert!(held == written);
        assert_eq!(coin_digest(&held), embedded_coin_digest());
        assert_eq!(artefact_digest(&held), embedded_artefact_digest());
        assert_ne!(embedded_coin_digest(), embedded_artefact_digest());
    }

    #[test]
    fn bytes_that_were_not_packed_are_no_files() {
        let files = Files::from([("a.toml".to_string(), "x = 1".to_string())]);
        let joined = packed::joined(&files);
        assert_eq!(packed::parted(&joined), Some(files));
        assert_eq!(packed::parted(&joined[..joined.len() - 1]), None);
        assert_eq!(packed::parted(&[255; 4]), None);
    }
}
