//! A file made for one answer, in a folder of its own, and gone with it.
//!
//! Nothing is left behind in the machine's folder for passing things, however the answer ends.
//!
//! Invariant: the folder is this program's alone, and what is in it goes when the value does.

use std::fs::{self, DirBuilder};
use std::io;
use std::path::{Path, PathBuf};

/// A folder and the file in it.
#[derive(Debug)]
pub(super) struct Passing {
    folder: PathBuf,
    file: PathBuf,
}

impl Passing {
    /// A new folder, and the name of a file in it that is not there yet.
    ///
    /// # Errors
    ///
    /// When the machine's folder for passing things cannot be written to.
    pub(super) fn new(name: &str) -> io::Result<Passing> {
        let mut chance = [0; 12];
        getrandom::fill(&mut chance).map_err(io::Error::other)?;
        let signs: String = chance.iter().map(|byte| format!("{byte:02x}")).collect();
        let folder = std::env::temp_dir().join(format!("lynchet-{signs}"));
        let mut builder = DirBuilder::new();
        own_alone(&mut builder);
        builder.create(&folder)?;
        let file = folder.join(name);
        Ok(Passing { folder, file })
    }

    /// The file.
    pub(super) fn file(&self) -> &Path {
        &self.file
    }

    /// The folder, for what is made beside the file.
    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }
}

/// Nobody else on the machine may look into it.
#[cfg(unix)]
fn own_alone(builder: &mut DirBuilder) {
    use std::os::unix::fs::DirBuilderExt;
    builder.mode(0o700);
}

#[cfg(not(unix))]
fn own_alone(_: &mut DirBuilder) {}

impl Drop for Passing {
    fn drop(&mut self) {
        // Nothing can be done about a folder that will not go.
        let _ = fs::remove_dir_all(&self.folder);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_left_behind() {
        let passing = Passing::new("a.zip").expect("a folder");
        fs::write(passing.file(), b"x").expect("a file");
        let folder = passing.folder().to_path_buf();
        assert!(folder.is_dir());
        drop(passing);
        assert!(!folder.exists());
    }
}
