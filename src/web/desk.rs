//! The desk: what every page works with. The library, the shelf's folder, the day, the guard.
//!
//! Opens the shelf anew for each request: that takes less than a millisecond, and another program
//! may write meanwhile. Never holds a lock while a page is made.
//!
//! Invariant: asking makes no shelf; only a page that keeps something opens it to write, and a search
//! once after each change, to bring the index beside the shelf up to date.

use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicI64, Ordering};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use super::guard::{Guard, Passes, Visitor};
use super::reply::Fault;
use crate::catalogue::{self, Files};
use crate::cli::shared::{Trouble, learnt_of};
use crate::collect::{Access, Found, Kind, Shelf, Stamp};
use crate::score::Learnt;
use crate::treasure::CalendarDay;
use crate::{House, HouseOptions, Things};

/// How the pages are served.
pub struct Settings {
    /// How the house was opened: the things are opened in the same way when one is asked for.
    pub options: HouseOptions,
    /// The folder of the shelf.
    pub shelf: PathBuf,
    /// Hosts and ports under which the pages are asked for, as a browser sends them.
    pub hosts: Vec<String>,
    /// Pass phrases; none where only this machine can ask.
    pub passes: Option<Passes>,
    /// Today.
    pub today: Box<dyn Fn() -> Option<CalendarDay> + Send + Sync>,
    /// Who acts, and the instant.
    pub stamp: Box<dyn Fn() -> Option<Stamp> + Send + Sync>,
}

/// What every page works with.
pub struct Desk {
    /// The library.
    pub(super) house: &'static House,
    pub(super) guard: Guard,
    settings: Settings,
    things: OnceLock<Option<Things>>,
    /// True once the shelf was opened: then it can only go missing.
    met: AtomicBool,
    drawings: OnceLock<Files>,
    /// The act up to which the index of the search was brought; below nought before the first.
    indexed: AtomicI64,
    taught: Mutex<Taught>,
}

/// What the shelf teaches as of an act, for each land that was asked for.
#[derive(Default)]
struct Taught {
    as_of: String,
    by_land: HashMap<Option<i64>, Option<Arc<Learnt>>>,
}

/// Most lands of which it is remembered what they teach.
const TAUGHT_MOST: usize = 64;

impl Desk {
    /// A desk over an open house.
    ///
    /// # Errors
    ///
    /// When the machine gives no chance to make the tokens of.
    pub fn new(house: &'static House, mut settings: Settings) -> Result<Desk, getrandom::Error> {
        let hosts = std::mem::take(&mut settings.hosts);
        let met = Shelf::open(&settings.shelf, Access::Read).is_ok();
        Ok(Desk {
            house,
            guard: Guard::new(hosts, settings.passes.take())?,
            settings,
            things: OnceLock::new(),
            met: AtomicBool::new(met),
            drawings: OnceLock::new(),
            indexed: AtomicI64::new(-1),
            taught: Mutex::default(),
        })
    }

    /// The things of the library, opened when the first page wants them.
    pub(super) fn things(&self) -> Option<&Things> {
        let open = || self.house.things(&self.settings.options).ok();
        self.things.get_or_init(open).as_ref()
    }

    /// The drawings of the library, read when the first page wants one; none where they cannot be.
    pub(super) fn drawings(&self) -> &Files {
        let folder = self.settings.options.library.as_deref();
        let read = || catalogue::drawings_of(folder).unwrap_or_default();
        self.drawings.get_or_init(read)
    }

    /// What the shelf teaches of a find of a land (by its key), one find left out; remembered until
    /// the shelf changes.
    pub(super) fn learnt(
        &self,
        shelf: &Shelf,
        land: Option<i64>,
        except: Option<i64>,
    ) -> Result<Option<Arc<Learnt>>, Trouble> {
        if except.is_some() {
            return learnt_of(shelf, land, except, self.house);
        }
        let as_of = shelf.as_of()?;
        let taught = || self.taught.lock().unwrap_or_else(PoisonError::into_inner);
        {
            let held = taught();
            let known = held.by_land.get(&land).filter(|_| held.as_of == as_of);
            if let Some(known) = known {
                return Ok(known.clone());
            }
        }
        let learnt = learnt_of(shelf, land, None, self.house)?;
        let mut held = taught();
        if held.as_of != as_of || held.by_land.len() >= TAUGHT_MOST {
            held.by_land.clear();
            held.as_of = as_of;
        }
        held.by_land.insert(land, learnt.clone());
        Ok(learnt)
    }

    /// The shelf to read; none where there is none yet.
    pub(super) fn shelf(&self) -> Result<Option<Shelf>, Fault> {
        match Shelf::open(&self.settings.shelf, Access::Read) {
            Ok(shelf) => Ok(Some(self.meet(shelf))),
            Err(fault) if fault.kind == Kind::NotThere => self.missed().map(|()| None),
            Err(fault) => Err(fault.into()),
        }
    }

    /// The shelf to write, made where it is not there.
    pub(super) fn shelf_to_write(&self, visitor: &Visitor) -> Result<Shelf, Fault> {
        if visitor.guest {
            return Err(super::guard::not_for_guests());
        }
        // One that was there is not made anew: the finder would take it for an empty one.
        self.shelf()?;
        Ok(self.meet(Shelf::open(&self.settings.shelf, Access::Write)?))
    }

    /// The finds that hold these words. Only where something was done since the last search is the
    /// shelf opened to write, so that the index beside it is brought up to date; a shelf that can
    /// only be read has its own in memory.
    pub(super) fn search(&self, shelf: &Shelf, words: &str, most: usize) -> Result<Found, Fault> {
        let last = shelf.last_act()?;
        if self.indexed.load(Ordering::Relaxed) == last || self.shelf()?.is_none() {
            return Ok(shelf.search(words, most)?);
        }
        let Ok(writer) = Shelf::open(&self.settings.shelf, Access::Write) else {
            return Ok(shelf.search(words, most)?);
        };
        let found = writer.search(words, most)?;
        self.indexed.store(last, Ordering::Relaxed);
        Ok(found)
    }

    fn meet(&self, shelf: Shelf) -> Shelf {
        self.met.store(true, Ordering::Relaxed);
        shelf
    }

    /// A fault when a shelf that was there is gone.
    fn missed(&self) -> Result<(), Fault> {
        match self.met.load(Ordering::Relaxed) {
            false => Ok(()),
            true => Err(Fault::new(
                409,
                format!(
                    "the shelf is no longer at {}",
                    self.settings.shelf.display()
                ),
                "put the folder or its disk back; nothing was changed",
            )),
        }
    }

    /// Today.
    pub(super) fn today(&self) -> Result<CalendarDay, Fault> {
        (self.settings.today)().ok_or_else(no_clock)
    }

    /// Who acts, and when.
    pub(super) fn stamp(&self) -> Result<Stamp, Fault> {
        (self.settings.stamp)().ok_or_else(no_clock)
    }
}

fn no_clock() -> Fault {
    Fault::new(
        500,
        "the clock of this machine shows no day that can be",
        "set the clock, or start again with --today",
    )
}
