//! The library room: curated text to a checked, linked catalogue.
//!
//! Reads the library's files, follows their links and lists every fault at once,
//! each as `file:line: what, and what to do`. It never judges how likely a type
//! is: weights of evidence live in the score room.
//!
//! Invariant: a catalogue made from files without faults has every link followed,
//! every span within its ruler's reign or excused, and ids that never change.

mod artefacts;
mod dated;
mod perfect;
mod pictured;
mod reckoned;
mod resolved;
// Rows of the rest are made where the library is read; the scorer asks only for coinages.
#[cfg_attr(not(feature = "library"), allow(dead_code))]
mod rest;
mod said;
mod weights;
mod wording;

#[cfg(feature = "library")]
mod drawings;
#[cfg(feature = "library")]
mod fault;
#[cfg(feature = "library")]
mod files;
#[cfg(feature = "library")]
mod inscribe;
#[cfg(feature = "library")]
mod own;
#[cfg(feature = "library")]
mod packed;
#[cfg(feature = "library")]
pub mod raw;
#[cfg(feature = "library")]
mod read;
#[cfg(feature = "library")]
mod resolve;
#[cfg(feature = "library")]
pub mod rules;
#[cfg(feature = "library")]
mod shown;
#[cfg(feature = "library")]
mod spread;
#[cfg(feature = "library")]
pub mod tidy;

pub use artefacts::*;
pub use dated::{Career, Entry};
pub use perfect::perfect;
pub use pictured::*;
pub use reckoned::*;
pub use resolved::*;
pub(crate) use rest::{Coinage, coinage};
pub use weights::*;
pub use wording::*;

#[cfg(feature = "library")]
pub use drawings::{Drawn, drawing, drawing_path};
#[cfg(feature = "library")]
pub use fault::{Fault, place};
#[cfg(feature = "library")]
pub use files::{
    Files, artefact_digest, coin_digest, digest, drawings_of, embedded, embedded_artefact_digest,
    embedded_coin_digest, from_folder,
};
#[cfg(feature = "library")]
pub use own::{
    Layered, LayeredThings, OWN, OwnFiles, TYPES, layered, layered_digest, layered_things,
};
#[cfg(feature = "library")]
pub use read::{descriptions_digest, pictured_digest, read, read_artefacts};
#[cfg(feature = "library")]
pub use resolve::{resolve, resolve_artefacts};
#[cfg(feature = "library")]
pub use shown::{
    FactView, ShownView, fact, same_thing, shown, shown_things, source, thing_ids, things_holding,
    types_holding,
};

/// The words that fields with a fixed list may be written with.
#[cfg(feature = "doors")]
pub(crate) mod lists {
    pub(crate) use super::resolve::{
        AXES, CAUTIONS, COMMON, COPIES, DIMENSIONS, FACETS, HABITS, LOOKS, MADE, MAKINGS, SCRIPTS,
    };
    pub(crate) use super::rules::{REGIONS, RULER_KINDS, SOURCE_KINDS};
}

/// A library from text, with every fault of reading, linking and the rules.
#[cfg(feature = "library")]
pub struct Checked {
    /// Coins and near-coins, and what both halves share.
    pub catalogue: Catalogue,
    /// Artefacts.
    pub artefacts: Artefacts,
    /// The faults, each placed on its line, in order of file and line.
    pub faults: Vec<Fault>,
}

/// Reads, links and checks a whole library.
#[cfg(feature = "library")]
pub fn check(files: &Files) -> Checked {
    let (raw, mut faults) = read(files);
    let (things, unread) = read_artefacts(files);
    let (catalogue, unlinked) = resolve(&raw, &digest(files));
    let (artefacts, loose) = resolve_artefacts(&things, &catalogue);
    faults.extend(unread.into_iter().chain(unlinked).chain(loose));
    faults.extend(rules::apply(files, &raw, &things, &catalogue, &artefacts));
    place(&mut faults, files);
    faults.dedup();
    Checked {
        catalogue,
        artefacts,
        faults,
    }
}
