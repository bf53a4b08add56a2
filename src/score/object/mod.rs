//! Things judged: what a finder says of a thing that is no coin, held against every type of the
//! library and the rest of every class.
//!
//! One file a witness; each gives a column of nats over the hypotheses, measured against the mean
//! over the library, with what it saw. An unsaid trait makes no column.
//!
//! Invariant: a total is its prior plus its terms, and depends neither on the order in which traits
//! were given nor on which other hypotheses are likely.

mod answer;
mod class;
mod constants;
mod fitted;
mod form;
mod ground;
mod look;
mod plain;
mod size;
mod sum;
mod word;

pub use answer::{ThingAnswer, ThingLevel, ThingShare, ThingShares, ThingTemper};
pub use form::{Relation, Relations, relation, told_of};
pub use ground::{Concept, ObjectGroundwork, ThingLoud};
pub use look::{ThingAim, ThingAsks, ThingLook, thing_looks};
pub use sum::{
    About, Hypothesis, ThingJudged, ThingRanking, ThingTerm, judge_thing, shared_evidence,
};
pub use word::wording_features;
