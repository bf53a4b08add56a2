//! `identify --keep`: from identifying to the shelf in one step.
//!
//! Keeps what was typed with the identification that is shown. Prints nothing.
//!
//! Invariant: a find of which nothing was understood is not kept, and without `--keep` no shelf is
//! opened.

use clap::Args as ClapArgs;

use super::super::answering::Answering;
use super::super::error::Trouble;
use super::super::identify::nothing_said;
use super::super::opened::Opened;
use super::super::shelf::ShelfFlags;
use super::args::KeptFlags;
use super::{gather, judged};
use crate::collect::{Access, NewFind};

/// Whether and how a find is kept once it was identified.
#[derive(ClapArgs, Clone, Debug, Default)]
pub(in crate::cli) struct KeepFlags {
    /// Keep it on the shelf with this answer, as lynchet collection add does
    #[arg(long, conflicts_with = "ask", help_heading = "Options")]
    pub(in crate::cli) keep: bool,
    #[command(flatten)]
    kept: KeptFlags,
    /// Which shelf
    #[command(flatten)]
    pub(in crate::cli) shelf: ShelfFlags,
}

impl KeepFlags {
    /// The land it was found on, by its id.
    pub(in crate::cli) fn land(&self) -> Option<String> {
        self.kept.land.clone()
    }

    /// True when there is a shelf to learn from.
    pub(in crate::cli) fn shelf_is_there(&self) -> bool {
        matches!(self.shelf.open_or_none(), Ok(Some(_)))
    }

    /// Keeps what was typed with its answer where that is asked; gives the number it was kept under.
    pub(in crate::cli) fn kept(
        &self,
        typed: gather::Typed,
        answering: &Answering<'_>,
        opened: &Opened<'_>,
    ) -> Result<Option<String>, Trouble> {
        if !self.keep {
            let other = KeptFlags {
                land: None,
                ..self.kept.clone()
            };
            return match other.first() {
                None => Ok(None),
                Some(flag) => Err(Trouble::new(
                    format!("{flag}: it is kept with a find, and this one is not kept"),
                    "add --keep, or leave it out",
                )),
            };
        }
        let stamp = self.shelf.stamp()?;
        // Judged before the shelf is opened to write, so that what is not understood makes none.
        let mut entry = typed.entry(|| match self.shelf.open_or_none()? {
            Some(shelf) => Ok(shelf.next_id()?),
            None => Ok("1".into()),
        })?;
        let judged = judged::as_answered(&mut entry, answering, opened)?;
        if judged.nothing {
            return Err(nothing_said(&judged.remarks, "lynchet identify"));
        }
        let mut shelf = self.shelf.open(Access::Write)?;
        gather::tell(&mut entry, &self.kept, &shelf)?;
        let mut new = NewFind::of(entry);
        new.identified = judged.identified;
        Ok(Some(shelf.add_find(&stamp, new)?.0.entry.id))
    }
}
