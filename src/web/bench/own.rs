//! What the finder's own finds say at the bench: of which land a find is, and whether they are asked.
//!
//! Asks the shelf through the desk as the command line does; a guest's page never opens it. Keeps
//! nothing.
//!
//! Invariant: a shelf that cannot be asked costs what it teaches, not the answer, and the page says so.

use std::sync::Arc;

use maud::{Markup, html};

use crate::score::Learnt;
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::form::Wrong;
use crate::web::keep::{lands, without};
use crate::web::reply::Fault;

/// The land that a find is from, by its id on the shelf.
pub(in crate::web) const LAND: &str = "land";
/// Judges as if there were no shelf.
pub(in crate::web) const WITHOUT: &str = "without-shelf";

/// The finder's own finds, as far as a page may go by them.
#[derive(Default)]
pub(super) struct Own {
    /// True where there is a shelf, and its owner asks.
    there: bool,
    /// Land to choose from.
    lands: Vec<(String, String)>,
    /// What it teaches.
    pub(super) learnt: Option<Arc<Learnt>>,
    /// Why it was not asked.
    trouble: Option<String>,
}

impl Own {
    /// What may be asked for a page, and where something was said of a find, what it teaches.
    pub(super) fn of(desk: &Desk, asked: &Asked, said: bool) -> Own {
        let mut own = Own::default();
        if asked.visitor.guest {
            return own;
        }
        if let Err(wrong) = own.ask(desk, &asked.query, said) {
            let fault = Fault::from(wrong);
            own.trouble = Some(format!("{}; {}", fault.what, fault.mend));
        }
        own
    }

    fn ask(&mut self, desk: &Desk, fields: &Fields, said: bool) -> Result<(), Wrong> {
        let Some(shelf) = desk.shelf()? else {
            return Ok(());
        };
        self.there = true;
        self.lands = lands(Some(&shelf))?;
        if said && fields.get(WITHOUT).is_none() {
            let land = fields.get(LAND).map(|id| shelf.land_key(id)).transpose()?;
            self.learnt = desk.learnt(&shelf, land, None)?;
        }
        Ok(())
    }

    /// That the finder's own finds could not be asked.
    pub(super) fn told(&self) -> Markup {
        html! {
            @if let Some(trouble) = &self.trouble {
                section.unused aria-label="Your own finds were not asked" {
                    h3 { "Your own finds were not asked" }
                    p { (trouble) }
                }
            }
        }
    }

    /// The fields by which they are asked.
    pub(super) fn fields(&self, fields: &Fields) -> Markup {
        let now = fields.get(LAND).unwrap_or_default();
        let known = self.lands.iter().any(|(id, _)| id == now);
        html! {
            @if self.there {
                fieldset {
                    legend { "Your own finds" }
                    p.how { "Finds that somebody confirmed lean on the answer: those of its field, and how you weigh, measure and read." }
                    @if !self.lands.is_empty() || !now.is_empty() {
                        div.field {
                            label for=(LAND) { "The land it is from" }
                            select id=(LAND) name=(LAND) {
                                option value="" { "not said" }
                                @for (id, name) in &self.lands { option value=(id) selected[now == id] { (name) } }
                                @if !known && !now.is_empty() { option value=(now) selected { (now) } }
                            }
                        }
                    }
                    (without(fields))
                }
            }
        }
    }
}
