//! Lynchet: from what can be measured and read of a find to what it is.
//!
//! A find walks through rooms; each hands the next a plain value, and this file
//! names them in that order:
//!
//! 1. [`find`]: what a person holds, with its units.
//! 2. [`catalogue`]: the library of types, checked and linked.
//! 3. [`parse`]: words and form fields to a [`find::Find`] and remarks.
//! 4. [`retrieve`]: the types worth judging.
//! 5. [`score`]: each of them judged, with reasons.
//! 6. [`explain`]: the account in sentences.
//!
//! Side rooms: [`titles`] (what dates by itself), [`findspot`] (where a find lay, as a square of the
//! National Grid), [`treasure`] (what the law asks of a find), [`photo`] (its size by a photograph,
//! plates), [`reckon`] (what a ball, a weight or a stamp says by its figures), [`hoard`] (several finds
//! from one hole), [`record`] (the draft for the recording officer) and `collect` (the user's own
//! finds, kept). Beside them, [`simulate`] makes
//! finds that never were, to try and to calibrate the others.
//!
//! The doors (the `cli` module, and the binary over it) call [`House::identify`] or
//! [`House::compare`] and print; rooms never print. Without default features only the rooms that need
//! no files, index, threads or clock are built.
//!
//! ```
//! # #[cfg(feature = "doors")] {
//! use lynchet::{House, HouseOptions, IdentifyOptions, parse};
//!
//! let house = House::open(&HouseOptions { cache: None, ..HouseOptions::default() }).unwrap();
//! let (find, remarks) = parse::words("silver, 18 mm, 1.2 g, long cross, reads EDW R ANGL", &house.lexicon);
//! let answer = house.identify(&find, IdentifyOptions::default());
//! assert_eq!(house.catalogue.denominations[answer.shares.denomination[0].of.unwrap()].id, "penny");
//! # assert!(remarks.is_empty(), "{remarks:?}");
//! # }
//! ```

pub mod find;

pub mod catalogue;

pub mod parse;

pub mod titles;

#[cfg(feature = "index")]
pub mod retrieve;

pub mod score;

pub mod explain;

pub mod fault;

pub mod findspot;

pub mod treasure;

pub mod photo;

pub mod reckon;

pub mod hoard;

pub mod record;

#[cfg(feature = "shelf")]
pub mod collect;

pub mod simulate;

#[cfg(any(feature = "doors", feature = "shelf"))]
mod svg;

#[cfg(feature = "index")]
mod house;

#[cfg(feature = "index")]
pub mod drawn;

#[cfg(feature = "doors")]
pub mod web;

#[cfg(feature = "doors")]
pub mod cli;

#[cfg(feature = "index")]
pub use house::{
    Compared, HeardThing, House, HouseFault, HouseOptions, Identification, IdentifyOptions,
    LaidArtefacts, Taken, ThingIdentification, Things, Told,
};
