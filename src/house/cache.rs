//! The cache: the parsed library, its words, its groundwork and its index, kept between calls.
//!
//! Knows nothing of what it keeps but its shape. Writes into the folder it is given and nowhere else.
//!
//! Invariant: what is read was written whole, by this program, of this library.

use std::fs;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::Ready;
use crate::catalogue::Catalogue;
use crate::retrieve::Shelves;

/// Bytes of the digest that stands before the kept library, so that a spoilt one is not read.
const SUM_BYTES: usize = 32;

/// The cache of one library. Everything in it can be made again, so every failure
/// to write is passed over and every failure to read means "make it again".
pub(super) struct Cache {
    folder: PathBuf,
}

impl Cache {
    /// Raised when the shape of what is kept changes.
    const SHAPE: &str = "30";

    pub(super) fn at(folder: &Path, digest: &str) -> Cache {
        Cache {
            folder: folder.join(format!(
                "{digest}-{}-{}",
                env!("CARGO_PKG_VERSION"),
                Cache::SHAPE
            )),
        }
    }

    pub(super) fn index(&self) -> PathBuf {
        self.folder.join("index")
    }

    /// What was kept, its parts read side by side.
    pub(super) fn ready(&self) -> Option<Ready> {
        std::thread::scope(|scope| {
            let rest = scope.spawn(|| Some((self.part("words")?, self.part("groundwork")?)));
            let catalogue: Catalogue = self.part("library")?;
            let own_faults = self.part("own")?;
            let (lexicon, groundwork) = rest.join().ok().flatten()?;
            Some(Ready {
                catalogue,
                lexicon,
                groundwork,
                own_faults,
            })
        })
    }

    pub(super) fn part<T: serde::de::DeserializeOwned>(&self, name: &str) -> Option<T> {
        let kept = fs::read(self.folder.join(format!("{name}.bin"))).ok()?;
        let (sum, bytes) = kept.split_at_checked(SUM_BYTES)?;
        (sum == &Sha256::digest(bytes)[..]).then(|| postcard::from_bytes(bytes).ok())?
    }

    pub(super) fn keep(&self, ready: &Ready) {
        self.keep_part("library", &ready.catalogue);
        self.keep_part("words", &ready.lexicon);
        self.keep_part("groundwork", &ready.groundwork);
        self.keep_part("own", &ready.own_faults);
    }

    pub(super) fn keep_part(&self, name: &str, part: &impl serde::Serialize) {
        let Ok(rows) = postcard::to_stdvec(part) else {
            return;
        };
        let bytes = [&Sha256::digest(&rows)[..], &rows].concat();
        // Written beside and renamed, so a half-written file is never read.
        let beside = self.folder.join(format!("{name}.{}", std::process::id()));
        let written = fs::create_dir_all(&self.folder).and_then(|()| fs::write(&beside, bytes));
        let kept = self.folder.join(format!("{name}.bin"));
        let _ = written.and_then(|()| fs::rename(&beside, kept));
        let _ = fs::remove_file(&beside);
    }

    pub(super) fn keep_index(&self, catalogue: &Catalogue, priority: &[f64]) {
        let beside = self.folder.join(format!("index.{}", std::process::id()));
        let made = fs::create_dir_all(&beside).is_ok()
            && Shelves::create(&beside, catalogue, priority).is_ok();
        if made && fs::rename(&beside, self.index()).is_err() {
            // Something stands in the way: a spoilt index, or another run's good one.
            let _ = fs::remove_dir_all(self.index());
            let _ = fs::remove_file(self.index());
            let _ = fs::rename(&beside, self.index());
        }
        let _ = fs::remove_dir_all(&beside);
    }
}
