//! The library as a verb needs it: opened when it is first asked for, and once.
//!
//! Judges nothing. A verb that needs no library opens none, and a find that is plainly a coin does
//! not open the things.
//!
//! Invariant: house and things are of the same library.

use std::cell::OnceCell;

use super::args::Args;
use super::error::Trouble;
use crate::find::Find;
use crate::parse::Remark;
use crate::{House, HouseFault, Taken, Things, Told};

/// What was opened of the library so far.
pub(crate) struct Opened<'a> {
    of: Of<'a>,
    house: OnceCell<&'static House>,
    things: OnceCell<Things>,
}

/// What it is opened by.
enum Of<'a> {
    /// What the command line names.
    Named(&'a Args),
    /// A house that is open, and the things that another door opens.
    Open(&'static House, &'a dyn Fn() -> Option<&'a Things>),
}

impl<'a> Opened<'a> {
    /// A library that another door opened; the things are asked for when a find needs them.
    pub(crate) fn open(
        house: &'static House,
        things: &'a dyn Fn() -> Option<&'a Things>,
    ) -> Opened<'a> {
        Opened {
            of: Of::Open(house, things),
            house: OnceCell::new(),
            things: OnceCell::new(),
        }
    }

    /// Nothing opened yet.
    pub(super) fn none(args: &'a Args) -> Opened<'a> {
        Opened {
            of: Of::Named(args),
            house: OnceCell::new(),
            things: OnceCell::new(),
        }
    }

    /// The house.
    pub(super) fn house(&self) -> Result<&'static House, Trouble> {
        if let Some(house) = self.house.get() {
            return Ok(house);
        }
        let house = match &self.of {
            Of::Open(house, _) => house,
            Of::Named(args) => super::open(args)?,
        };
        Ok(self.house.get_or_init(|| house))
    }

    /// The digest of the library, which is not opened for it.
    pub(super) fn digest(&self) -> Result<String, HouseFault> {
        match self.of {
            Of::Named(args) => super::options(args).digest(),
            Of::Open(house, _) => Ok(house.catalogue.digest.clone()),
        }
    }

    /// The things.
    pub(super) fn things(&self) -> Result<&Things, Trouble> {
        if let Some(things) = self.things.get() {
            return Ok(things);
        }
        let things = match &self.of {
            Of::Open(_, things) => {
                let none = || Trouble::new("the things of the library cannot be opened", "");
                return things().ok_or_else(none);
            }
            Of::Named(args) => super::things(args, self.house()?)?,
        };
        Ok(self.things.get_or_init(|| things))
    }

    /// What a find is taken for; the things are opened only where it is not plainly a coin.
    pub(super) fn taken(
        &self,
        told: &Told,
        find: &Find,
        remarks: &[Remark],
    ) -> Result<Taken, Trouble> {
        let house = self.house()?;
        match house.is_plainly_coin(told, find, remarks) {
            true => Ok(Taken::Coin),
            false => Ok(self.things()?.take(told, find, house)),
        }
    }
}
