//! Packs the library's text into one file that the program carries, with the digests of it.
//!
//! Reads `catalogue/`, writes below `OUT_DIR`, and nothing else. A build without the library's
//! rooms packs nothing.
//!
//! Invariant: the same text gives the same bytes on every machine.

use std::collections::BTreeMap;
use std::env;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use flate2::Compression;
use flate2::write::ZlibEncoder;

#[allow(dead_code, reason = "the program unpacks what is packed here")]
#[path = "src/catalogue/packed.rs"]
mod packed;

use packed::{digest_where, held, is_learnt_from, joined, judges_artefacts, judges_coins};

fn main() -> io::Result<()> {
    println!("cargo::rerun-if-changed=catalogue");
    println!("cargo::rerun-if-changed=src/catalogue/packed.rs");
    if env::var_os("CARGO_FEATURE_LIBRARY").is_none() {
        return Ok(());
    }
    let home = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").unwrap_or_default());
    let out = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    let mut files = BTreeMap::new();
    gather(&home.join("catalogue"), "", &mut files)?;
    let text = joined(&files);
    let mut packed = ZlibEncoder::new(Vec::new(), Compression::best());
    packed.write_all(&text)?;
    fs::write(out.join("library.packed"), packed.finish()?)?;
    fs::write(out.join("coins.digest"), digest_where(&files, judges_coins))?;
    fs::write(
        out.join("artefacts.digest"),
        digest_where(&files, judges_artefacts),
    )
}

/// Reads the library's files of a folder and of the folders in it.
fn gather(folder: &Path, before: &str, files: &mut BTreeMap<String, String>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name();
        let name = name.to_str().ok_or_else(|| {
            io::Error::new(
                io::ErrorKind::InvalidData,
                "the name of a file is not UTF-8",
            )
        })?;
        let path = format!("{before}{name}");
        if entry.file_type()?.is_dir() {
            gather(&entry.path(), &format!("{path}/"), files)?;
        } else if held(&path) && !is_learnt_from(&path) {
            files.insert(path, fs::read_to_string(entry.path())?);
        }
    }
    Ok(())
}
