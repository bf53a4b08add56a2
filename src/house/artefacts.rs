//! The artefacts of the library, read only when somebody asks for them.
//!
//! They lie beside the rest in the cache, in a part of their own that no identification of a coin
//! reads.
//! Never changes what coins are judged by.
//!
//! Invariant: with the kept part, without it, and with a spoilt one, what is given is the same.

use super::{Cache, House, HouseFault, HouseOptions};
use crate::catalogue::{self, Artefacts, Fault};

impl House {
    /// The artefacts of the library that this house was opened with, linked over its catalogue, and
    /// the faults met in reading and linking them; `options` are those of the opening.
    pub fn artefacts(&self, options: &HouseOptions) -> Result<(Artefacts, Vec<Fault>), HouseFault> {
        let cache = options.cache.as_ref();
        let cache = cache.map(|folder| Cache::at(folder, &self.catalogue.digest));
        let part = artefact_part(options)?;
        if let Some(kept) = cache.as_ref().and_then(|cache| cache.part(&part)) {
            return Ok((kept, Vec::new()));
        }
        let files = match &options.library {
            Some(folder) => catalogue::from_folder(folder).map_err(HouseFault::Library)?,
            None => catalogue::embedded(),
        };
        let (raw, mut faults) = catalogue::read_artefacts(&files);
        let (artefacts, unlinked) = catalogue::resolve_artefacts(&raw, &self.catalogue);
        faults.extend(unlinked);
        catalogue::place(&mut faults, &files);
        // As for coins: what has faults is read afresh each time, so that they are shown each time.
        if let (Some(cache), true) = (cache, faults.is_empty()) {
            cache.keep_part(&part, &artefacts);
        }
        Ok((artefacts, faults))
    }
}

/// What the part of the cache is called that holds the artefacts, by the digest of their text.
pub(super) fn artefact_part(options: &HouseOptions) -> Result<String, HouseFault> {
    let digest = match &options.library {
        Some(folder) => {
            let files = catalogue::from_folder(folder).map_err(HouseFault::Library)?;
            catalogue::artefact_digest(&files)
        }
        None => catalogue::embedded_artefact_digest(),
    };
    Ok(format!("artefacts-{digest}"))
}
