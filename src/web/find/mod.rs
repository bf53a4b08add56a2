//! A find's page: its pictures, what it is and who says so, where it is, what the law asks.
//!
//! Shows what the shelf keeps; judges through the rooms alone. Guests reach a find by its number on
//! the shelf, since an id may tell a place, and see what may be shared of it.
//!
//! Invariant: a guest's page holds no findspot, land, owner, finder, storage, note, tag or words of
//! the finder.

mod acts;
mod edit;
mod measure;
mod photos;
mod record;
mod shown;

pub(super) use photos::{may_be_shown, new_photographs};
pub(super) use record::drafted;
pub(super) use shown::{may_be_told, said_by};

use super::asked::Asked;
use super::desk::Desk;
use super::form::Wrong;
use super::keep::UPLOAD_MOST;
use super::page::Place;
use super::reply::{Fault, Reply};
use super::routes::{Route, change, open, own, upload};
use crate::collect::{Photograph, Shelf, Whole};

/// The addresses of a find.
pub(super) const ROUTES: [Route; 20] = [
    open("/find/{id}", page),
    open("/find/{id}/picture/{place}/{size}", photos::picture),
    upload("/find/{id}/photographs", UPLOAD_MOST, photos::add),
    change("/find/{id}/photographs/{place}", photos::edit),
    own("/find/{id}/plate.png", photos::plate),
    own("/find/{id}/measure/{place}", measure::page),
    own("/find/{id}/measure/{place}/part", measure::part),
    change("/find/{id}/measured", measure::keep),
    own("/find/{id}/record", record::page),
    own("/find/{id}/record/{form}", record::file),
    own("/find/{id}/edit", edit::page),
    change("/find/{id}/edit", edit::keep),
    change("/find/{id}/again", acts::again),
    change("/find/{id}/confirm", acts::confirm),
    change("/find/{id}/status", acts::status),
    change("/find/{id}/tags", acts::tags),
    own("/find/{id}/remove", acts::asks_to_remove),
    change("/find/{id}/remove", acts::remove),
    own("/history", acts::history),
    change("/undo", acts::undo),
];

/// The address of a find's page.
pub(super) fn address(id: &str) -> String {
    format!("/find/{}", segment(id))
}

/// The address of a find for a guest.
pub(super) fn address_of_key(key: i64) -> String {
    format!("/find/~{key}")
}

/// A text as one part of a path.
pub(super) fn segment(text: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_~.".contains(&byte);
    let mut out = String::new();
    for byte in text.bytes() {
        match plain(byte) {
            true => out.push(char::from(byte)),
            false => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}

/// The find that the path names: by its id, or by its number on the shelf with `~` before it, which
/// is the only name a guest has for it.
pub(super) fn found(desk: &Desk, asked: &Asked) -> Result<(Shelf, Whole), Fault> {
    let gone = || Fault::new(404, "there is no such find", "see what is kept in the tray");
    let shelf = desk.shelf()?.ok_or_else(gone)?;
    let id = asked.path.get("id").unwrap_or_default();
    let key = id.strip_prefix('~').and_then(|key| key.parse().ok());
    let own = match asked.visitor.guest {
        true => None,
        false => shelf.find(id).ok(),
    };
    let whole = match (own, key) {
        (Some(whole), _) => whole,
        (None, Some(key)) => shelf.whole(key).map_err(|_| gone())?,
        (None, None) => return Err(gone()),
    };
    Ok((shelf, whole))
}

/// Its photograph of the path's number; `first` is the first that there is.
fn photograph<'w>(whole: &'w Whole, asked: &Asked) -> Result<&'w Photograph, Fault> {
    let place = asked.path.get("place").unwrap_or_default();
    let mut shown = whole
        .photographs
        .iter()
        .filter(|one| !asked.visitor.guest || photos::may_be_shown(one));
    let found = match place {
        "first" => shown.next(),
        place => shown.find(|one| one.place.to_string() == place),
    };
    found.ok_or_else(|| {
        Fault::new(
            404,
            "the find has no such photograph",
            "go back to the find",
        )
    })
}

fn page(desk: &Desk, asked: &Asked) -> Reply {
    shown_with(desk, asked, None).into()
}

/// The page again after a form of it was refused.
fn refused(desk: &Desk, asked: &Asked, form: &'static str, wrong: Wrong) -> Reply {
    Reply::from(shown_with(desk, asked, Some((form, &wrong)))).refused()
}

/// The page; with the form that was refused and what was wrong with it.
fn shown_with(
    desk: &Desk,
    asked: &Asked,
    wrong: Option<(&'static str, &Wrong)>,
) -> Result<Reply, Fault> {
    let (shelf, whole) = found(desk, asked)?;
    let page = shown::Page {
        desk,
        asked,
        shelf: &shelf,
        whole: &whole,
        wrong,
    };
    let title = match asked.visitor.guest {
        true => format!("Find {}", whole.entry.key),
        false => whole.entry.id.clone(),
    };
    Ok(Reply::Page {
        place: Place::Tray,
        title,
        body: page.body()?,
    })
}
