//! Where the shelf is unless told.
//!
//! Looks at the environment alone; makes nothing.
//!
//! Invariant: the same environment gives the same folder.

use std::path::{Path, PathBuf};

use super::super::error::Trouble;

/// The folder of the shelf: as told, as `LYNCHET_SHELF` says, or within the user's data folder.
pub(in crate::cli) fn folder(told: Option<&Path>) -> Result<PathBuf, Trouble> {
    let set = |name: &str| {
        std::env::var_os(name)
            .filter(|value| !value.is_empty())
            .map(PathBuf::from)
    };
    let own = |folder: PathBuf| folder.join("lynchet").join("shelf");
    let found = told
        .map(Path::to_path_buf)
        .or_else(|| set("LYNCHET_SHELF"))
        .or_else(|| set("XDG_DATA_HOME").map(own))
        .or_else(|| match cfg!(target_os = "macos") {
            true => set("HOME").map(|home| own(home.join("Library/Application Support"))),
            false => set("HOME").map(|home| own(home.join(".local/share"))),
        })
        .or_else(|| set("APPDATA").map(own));
    found.ok_or_else(|| {
        Trouble::new(
            "the user's data folder is not known here",
            "say where the shelf is with --shelf DIR",
        )
    })
}
