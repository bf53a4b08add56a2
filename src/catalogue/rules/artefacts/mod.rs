//! What the rules demand of artefact types, one file a rule that coins are held to as well.
//!
//! Each is called by the rule of its name, which is its manual entry; the rules for artefacts
//! alone are `classes`, `forms` and `shapes`, beside the others.
//!
//! Invariant: faults carry the name of the rule that called.

pub(super) mod ranges;
pub(super) mod spans;
pub(super) mod twice;
pub(super) mod twins;
pub(super) mod values;
