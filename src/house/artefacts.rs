//! The artefacts of the library, read only when somebody asks for them.
//!
//! They lie beside the rest in the cache, in a part of their own that no identification of a coin
//! reads. The person's own types of things are laid on them where the house was opened with a layer.
//! Never changes what coins are judged by.
//!
//! Invariant: with the kept part, without it, and with a spoilt one, what is given is the same.

use super::{Cache, House, HouseFault, HouseOptions};
use crate::catalogue::{self, Artefacts, Fault};

/// The artefacts as they were opened.
#[derive(Debug, Default)]
pub struct LaidArtefacts {
    /// The rows.
    pub artefacts: Artefacts,
    /// Faults met in reading and linking the library's; rows with them are left out.
    pub faults: Vec<Fault>,
    /// Faults of the person's own types of things, in words; types with them are left out.
    pub own_faults: Vec<String>,
}

impl House {
    /// The artefacts of the library that this house was opened with, linked over its catalogue, and
    /// the faults met in reading and linking them; `options` are those of the opening.
    pub fn artefacts(&self, options: &HouseOptions) -> Result<(Artefacts, Vec<Fault>), HouseFault> {
        let laid = self.laid_artefacts(options)?;
        Ok((laid.artefacts, laid.faults))
    }

    /// The same, with the faults of the person's own types.
    pub fn laid_artefacts(&self, options: &HouseOptions) -> Result<LaidArtefacts, HouseFault> {
        let cache = self.cache_of(options);
        let part = artefact_part(options)?;
        let own = options.own();
        let kept = |cache: &Cache| laid(cache, &part, own.has_things());
        if let Some(kept) = cache.as_ref().and_then(kept) {
            return Ok(kept);
        }
        let files = match &options.library {
            Some(folder) => catalogue::from_folder(folder).map_err(HouseFault::Library)?,
            None => catalogue::embedded(),
        };
        let made = match own.has_things() {
            true => {
                let laid = catalogue::layered_things(&files, &own, &self.catalogue);
                let own_faults = laid.own_faults.iter().map(ToString::to_string);
                LaidArtefacts {
                    own_faults: own_faults.collect(),
                    artefacts: laid.artefacts,
                    faults: laid.faults,
                }
            }
            false => {
                let (raw, mut faults) = catalogue::read_artefacts(&files);
                let (artefacts, unlinked) = catalogue::resolve_artefacts(&raw, &self.catalogue);
                faults.extend(unlinked);
                catalogue::place(&mut faults, &files);
                LaidArtefacts {
                    artefacts,
                    faults,
                    own_faults: Vec::new(),
                }
            }
        };
        // As for coins: what has faults is read afresh each time, so that they are shown each time.
        if let (Some(cache), true) = (cache, made.faults.is_empty()) {
            cache.keep_part(&part, &made.artefacts);
            if own.has_things() {
                cache.keep_part(&format!("{part}-own"), &made.own_faults);
            }
        }
        Ok(made)
    }

    /// The cache of the library that this house was opened with; none where the person's own types
    /// were changed since, which are not to be kept as those of before.
    pub(super) fn cache_of(&self, options: &HouseOptions) -> Option<Cache> {
        let changed = || {
            options
                .digest()
                .map_or(true, |now| now != self.catalogue.digest)
        };
        if !options.own().is_empty() && changed() {
            return None;
        }
        let cache = options.cache.as_ref();
        cache.map(|folder| Cache::at(folder, &self.catalogue.digest))
    }
}

/// What was kept.
fn laid(cache: &Cache, part: &str, own: bool) -> Option<LaidArtefacts> {
    Some(LaidArtefacts {
        artefacts: cache.part(part)?,
        faults: Vec::new(),
        own_faults: own_faults(cache, part, own)?,
    })
}

/// The kept faults of the person's own types of things; none are kept where there is no such type.
pub(super) fn own_faults(cache: &Cache, part: &str, own: bool) -> Option<Vec<String>> {
    match own {
        true => cache.part(&format!("{part}-own")),
        false => Some(Vec::new()),
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
