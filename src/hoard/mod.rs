//! The hoard: several finds from one hole, read together.
//!
//! Says from which year at the earliest the group was closed, how its making is spread over time,
//! of what it is made up, which pieces stand out and what the law may ask of it as one find. Reads
//! no file and no clock; identifies nothing; never says in which year something was hidden, and
//! never drops a piece in silence.
//!
//! Invariant: the order of the pieces changes no figure, and a piece of which nothing is known
//! changes none but the count.

mod aoristic;
mod axis;
mod care;
mod closing;
mod composition;
mod group;
mod lots;
mod made;
mod mixture;
mod record;
mod state;
mod student;
mod triage;
mod unusual;

pub use aoristic::Aoristic;
pub use axis::{Axis, BINS_MOST};
pub use care::{CARE, Care, PLOUGHED};
pub use closing::{ALONE_YEARS, Closing, Without};
pub use composition::{Composition, Part, Parts};
pub use group::{COUNT_MOST, Fault, Group, Kind, Piece, ROWS_MOST, Share};
pub use lots::{Lot, Lots, PIECES_LEAST};
pub use made::{by_sight, described, named, told};
pub use mixture::{DateLaw, SMOOTHED, in_company, law, law_of};
pub use record::{Circumstances, DEEP, GroupRecord, lacking, record};
pub use student::tails;
pub use triage::facts;
pub use unusual::{LEVEL, Unusual, Why};
