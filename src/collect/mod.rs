//! The shelf: a person's own finds and land, kept in one folder.
//!
//! Keeps what was found, where and with whose leave, what it was identified as and by whom it was
//! confirmed, its photographs, and every change that was made, so that each can be taken back. The
//! only writer of the user's data. Never identifies, never prints, reads no clock (who acts and when
//! is handed in as a [`Stamp`]), sends nothing, and deletes no file.
//!
//! Invariant: what a call has confirmed is on the disk with its history, or the call failed and
//! nothing changed.
//!
//! # What is stable
//!
//! [`Shelf::open`], [`Stamp`], the values of `entry` and `land` ([`Entry`], [`Identified`],
//! [`Photograph`], [`Land`], [`Leave`] ...), [`NewFind`], and the calls
//!
//! | of finds | of land | of both |
//! |---|---|---|
//! | [`Shelf::add_find`], [`Shelf::add_finds`], [`Shelf::edit_find`], [`Shelf::remove_find`] | [`Shelf::add_land`], [`Shelf::edit_land`], [`Shelf::remove_land`] | [`Shelf::undo`], [`Shelf::history`], [`Shelf::act`] |
//! | [`Shelf::find`], [`Shelf::find_by_code`], [`Shelf::list`], [`Shelf::count`], [`Shelf::statistics`] | [`Shelf::holding`], [`Shelf::lands`] | [`Shelf::last_act`] |
//! | [`Shelf::set_status`], [`Shelf::identify`], [`Shelf::confirm`], [`Shelf::tag`] | [`Shelf::keep_for_land`], [`Shelf::keep_leave`] | [`Shelf::database`], [`Shelf::folder`] |
//! | [`Shelf::add_photographs`], [`Shelf::bytes_of`], [`Shelf::path_of`], [`Shelf::search`] | | [`Shelf::check`], [`Shelf::index_fault`], [`Shelf::rebuild_index`], [`Shelf::setting`], [`Shelf::set_setting`], [`Shelf::mapping`], [`Shelf::keep_mapping`] |
//!
//! The tables stand in `schema/0001.sql`, their indexes there and in the later ones; every value is the row of one table, its fields the
//! columns by the same names, so a row can be read as JSON without knowing it. Every write goes
//! through `Shelf::write` (`write.rs`).

mod aside;
mod cells;
pub mod charts;
mod code;
mod confirmed;
mod entry;
mod fault;
mod files;
mod finds;
mod health;
mod history;
mod kept;
mod land;
mod lands;
mod list;
mod named;
mod open;
mod places;
mod safe;
mod search;
mod settings;
mod stamp;
mod statistics;
mod text;
mod write;

pub use cells::{cell_as_read, cell_to_write};
pub use code::code;
pub use confirmed::ConfirmedFind;
pub use entry::{
    Confirmer, Entry, FindKind, Identified, KeptFile, Mapping, Photograph, Setting, Standing,
    Status, Tag, Whereabouts, Whole,
};
pub use fault::{Kind, ShelfFault};
pub use files::{FILE_MOST, NewDocument, NewPhotograph, PHOTOGRAPHS_MOST};
pub use finds::{Beside, FINDS_MOST, NewFind};
pub use health::Health;
pub use history::CHANGES_LISTED;
pub use land::{
    Barred, Boundary, Form, Holding, Land, LandKind, LandNote, Leave, Person, Restriction, Role,
    SearchDay,
};
pub use lands::OfLand;
pub use list::{Filter, Listed, Order};
pub use places::Place;
pub(crate) use safe::in_zip;
pub use safe::{Backed, Exported, Imported, Restored, Sharing, import, restore};
pub use search::Found;
pub use stamp::{Act, Change, Stamp};
pub use statistics::{Statistics, Tally};
pub use text::{ID_MOST, LINE_MOST, TEXT_MOST, folded};

use std::path::PathBuf;

/// What a shelf is opened for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// To read; nothing is made or changed.
    Read,
    /// To read and write.
    Write,
}

/// An open shelf.
#[derive(Debug)]
pub struct Shelf {
    folder: PathBuf,
    db: rusqlite::Connection,
    access: Access,
    indexed: std::cell::RefCell<Option<search::Indexed>>,
}

impl Shelf {
    /// The database's file.
    pub fn database(&self) -> PathBuf {
        self.folder.join(open::DATABASE)
    }
}

#[cfg(test)]
mod tests;
