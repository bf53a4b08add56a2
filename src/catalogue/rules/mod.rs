//! The rules of the library, one file a rule.
use super::fault::Fault;
use super::files::Files;
use super::raw::RawLibrary;
use super::resolved::Catalogue;

/// All faults the rules find.
pub fn apply(_files: &Files, _raw: &RawLibrary, _catalogue: &Catalogue) -> Vec<Fault> { Vec::new() }
