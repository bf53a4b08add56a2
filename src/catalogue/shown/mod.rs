//! The library as it is shown: rows as facts, and types found by the words they hold.
//!
//! Words facts and prints nothing; judges no find and never says more than the rows do.
//!
//! Invariant: every door that shows a row tells the same facts of it, in the same order.

mod facts;
mod search;
mod things;

pub use facts::{FactView, ShownView, fact, same_thing, shown, source};
pub use search::{things_holding, types_holding};
pub use things::{shown_things, thing_ids};
