//! What is done to a find from its page: confirmed, identified anew, sent on, tagged, removed, and
//! any act taken back.
//!
//! Each is one call of the shelf.
//!
//! Invariant: a find is removed only from a page that asked whether it should be.

use maud::{Markup, html};

use super::{address, found, refused};
use crate::collect::{Act, Confirmer, Status};
use crate::web::asked::Asked;
use crate::web::desk::Desk;
use crate::web::form::Wrong;
use crate::web::keep::{decide, judge};
use crate::web::page::{Place, token};
use crate::web::reply::{Fault, Reply};

/// Most acts that the page of the history shows.
const ACTS_MOST: usize = 100;

fn done(
    desk: &Desk,
    asked: &Asked,
    form: &'static str,
    act: impl FnOnce(&str) -> Result<(), Wrong>,
) -> Reply {
    let id = match found(desk, asked) {
        Ok((_, whole)) => whole.entry.id,
        Err(fault) => return fault.into(),
    };
    match act(&id) {
        Ok(()) => Reply::Onward(format!("{}#{form}", address(&id))),
        Err(wrong) => refused(desk, asked, form, wrong),
    }
}

pub(super) fn confirm(desk: &Desk, asked: &Asked) -> Reply {
    done(desk, asked, "identified", |id| {
        let text = |name: &str| asked.form.get(name).map(str::to_string);
        let by = Confirmer::read(asked.form.get("by").unwrap_or_default())?;
        let decided = asked
            .form
            .get("as")
            .map(|what| decide(desk, what))
            .transpose()?;
        let day = text("on").unwrap_or(desk.today()?.iso());
        let stamp = desk.stamp()?;
        let mut shelf = desk.shelf_to_write(&asked.visitor)?;
        shelf.confirm(&stamp, id, by, text("reference"), Some(day), decided)?;
        Ok(())
    })
}

/// Identifies it anew by what is kept of it.
pub(super) fn again(desk: &Desk, asked: &Asked) -> Reply {
    done(desk, asked, "identified", |id| {
        let mut shelf = desk.shelf_to_write(&asked.visitor)?;
        let mut entry = shelf.find(id)?.entry;
        let Some(identified) = judge(desk, &mut entry, true)?.identified else {
            return Err(Wrong::new(
                "nothing that is kept of it can be identified",
                "say more of it: edit what was measured, read and seen",
            ));
        };
        shelf.identify(&desk.stamp()?, id, identified)?;
        Ok(())
    })
}

pub(super) fn status(desk: &Desk, asked: &Asked) -> Reply {
    done(desk, asked, "status", |id| {
        let text = |name: &str| asked.form.get(name).map(str::to_string);
        let status = Status::read(asked.form.get("status").unwrap_or_default())?;
        let day = text("day").unwrap_or(desk.today()?.iso());
        let stamp = desk.stamp()?;
        let mut shelf = desk.shelf_to_write(&asked.visitor)?;
        shelf.set_status(&stamp, id, status, Some(day), text("note"))?;
        Ok(())
    })
}

pub(super) fn tags(desk: &Desk, asked: &Asked) -> Reply {
    done(desk, asked, "tags", |id| {
        let give = crate::web::keep::tags(asked.form.get("tag").unwrap_or_default());
        let take: Vec<String> = asked.form.all("take").map(str::to_string).collect();
        let stamp = desk.stamp()?;
        let mut shelf = desk.shelf_to_write(&asked.visitor)?;
        shelf.tag(&stamp, id, &give, &take)?;
        Ok(())
    })
}

pub(super) fn asks_to_remove(desk: &Desk, asked: &Asked) -> Reply {
    let (_, whole) = match found(desk, asked) {
        Ok(found) => found,
        Err(fault) => return fault.into(),
    };
    let id = &whole.entry.id;
    let what = whole.identified.first().map(|one| one.text.as_str());
    Reply::Page {
        place: Place::Tray,
        title: format!("Remove {id}"),
        body: html! {
            h1 { "Remove " (id) "?" }
            p { (what.unwrap_or("It was not identified yet.")) }
            p { "It goes from the tray with its photographs and its history of places. Nothing is lost: the removal can be taken back from the history of the shelf." }
            form method="post" action=(format!("{}/remove", address(id))) {
                (token(&asked.visitor))
                button { "Remove it" }
                " "
                a.button.quiet href=(address(id)) { "Leave it where it is" }
            }
        },
    }
}

pub(super) fn remove(desk: &Desk, asked: &Asked) -> Reply {
    let made = (|| -> Result<(), Fault> {
        let (_, whole) = found(desk, asked)?;
        let stamp = desk.stamp()?;
        let mut shelf = desk.shelf_to_write(&asked.visitor)?;
        Ok(shelf.remove_find(&stamp, &whole.entry.id)?)
    })();
    match made {
        Ok(()) => Reply::Onward("/history".into()),
        Err(fault) => fault.into(),
    }
}

/// The last acts of the shelf.
pub(super) fn history(desk: &Desk, asked: &Asked) -> Reply {
    let listed = (|| -> Result<Vec<Act>, Fault> {
        Ok(match desk.shelf()? {
            Some(shelf) => shelf.history(None, ACTS_MOST)?,
            None => Vec::new(),
        })
    })();
    match listed {
        Err(fault) => fault.into(),
        Ok(acts) => Reply::Page {
            place: Place::Tray,
            title: "History".into(),
            body: html! {
                h1 { "What was done" }
                p { "The last first. An act can be taken back while what it changed is still as it left it." }
                @if acts.is_empty() { p { "Nothing yet." } }
                (list(&acts, asked, "/history"))
            },
        },
    }
}

/// Acts, each with a button that takes it back.
pub(super) fn list(acts: &[Act], asked: &Asked, back: &str) -> Markup {
    html! {
        ol.done {
            @for act in acts {
                li {
                    span { strong { (crate::web::page::raised(&act.verb)) } " " (act.about) }
                    span.how { (act.at.replace('T', " ").trim_end_matches('Z')) ", " (act.who) ", act " (act.seq)
                        @if let Some(undoes) = act.undoes { ", takes back act " (undoes) }
                        @if let Some(by) = act.undone_by { ", taken back by act " (by) }
                    }
                    @if act.undone_by.is_none() {
                        form method="post" action="/undo" {
                            (token(&asked.visitor))
                            input type="hidden" name="act" value=(act.seq);
                            input type="hidden" name="back" value=(back);
                            button.quiet aria-label=(format!("Take back: {} {}, act {}", act.verb, act.about, act.seq)) { "Take back" }
                        }
                    }
                }
            }
        }
    }
}

/// Takes an act back.
pub(super) fn undo(desk: &Desk, asked: &Asked) -> Reply {
    let made = (|| -> Result<(), Fault> {
        let act = asked.form.get("act").and_then(|act| act.parse().ok());
        let act =
            act.ok_or_else(|| Fault::new(422, "no act was named", "open the history again"))?;
        let stamp = desk.stamp()?;
        if desk.shelf()?.is_none() {
            return Err(Fault::new(
                404,
                "nothing is kept yet",
                "go back to the tray",
            ));
        }
        let mut shelf = desk.shelf_to_write(&asked.visitor)?;
        shelf.undo(&stamp, act).map_err(Wrong::from)?;
        Ok(())
    })();
    match made {
        // The find that an act was about may be gone now.
        Ok(()) => Reply::Onward(asked.form.get("back").unwrap_or("/history").into()),
        Err(fault) => fault.into(),
    }
}
