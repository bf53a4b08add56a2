//! Land: holdings and fields, with whose leave, where they end, what to heed, what was found there.
//!
//! Shows and keeps what the shelf keeps; what the law says of a restriction comes from its room.
//!
//! Invariant: what is to be heeded of land today stands before all else, and guests see no land.

mod files;
mod forms;
mod statement;

use maud::{Markup, html};

use super::asked::{Asked, Fields};
use super::desk::Desk;
use super::find::segment;
use super::form::{Wrong, for_pages};
use super::page::{Place, raised, sentence};
use super::reply::{Fault, Reply};
use super::routes::{Route, change, own, upload};
use crate::cli::shared::{heed, of_leave};
use crate::collect::{Form, Holding, LandKind, Shelf};

/// Most bytes of a document that is sent.
const DOCUMENT_MOST: usize = 66 * 1024 * 1024;

/// Most bytes of the smaller forms: an area of GeoJSON as it is pasted or sent, and what goes with it.
const AREA_MOST: usize = 2_200_000;

/// The addresses of land.
pub(super) const ROUTES: [Route; 10] = [
    own("/land", list),
    change("/land", forms::add),
    own("/land/{id}", page),
    change("/land/{id}/edit", forms::edit),
    upload("/land/{id}/leave", DOCUMENT_MOST, forms::leave),
    upload("/land/{id}/keep", AREA_MOST, forms::keep),
    own("/land/{id}/leave/{key}", files::document),
    own("/land/{id}/bounds/{key}", files::area),
    change("/land/{id}/remove", forms::remove),
    own("/land/{id}/statement", statement::page),
];

/// The address of a piece of land.
fn address(id: &str) -> String {
    format!("/land/{}", segment(id))
}

fn gone() -> Fault {
    Fault::new(404, "there is no such land", "see what is kept under Land")
}

/// The land that the path names.
fn held(desk: &Desk, asked: &Asked) -> Result<(Shelf, Holding), Fault> {
    let shelf = desk.shelf()?.ok_or_else(gone)?;
    let id = asked.path.get("id").unwrap_or_default();
    let holding = shelf.holding(id).map_err(|_| gone())?;
    Ok((shelf, holding))
}

/// What is to be heeded of land today.
fn heeded(desk: &Desk, shelf: &Shelf, id: &str) -> Result<Vec<String>, Fault> {
    let today = desk.today()?;
    let said = heed(shelf, id, &today.iso(), today).map_err(Wrong::from)?;
    Ok(said.iter().map(|line| sentence(&for_pages(line))).collect())
}

fn list(desk: &Desk, asked: &Asked) -> Reply {
    listed(desk, asked, None).into()
}

/// The list, with the form for new land.
fn listed(desk: &Desk, asked: &Asked, wrong: Option<&Wrong>) -> Result<Reply, Fault> {
    let shelf = desk.shelf()?;
    let mut rows = Vec::new();
    if let Some(shelf) = &shelf {
        for land in shelf.lands()? {
            let said = heeded(desk, shelf, &land.id)?;
            rows.push((shelf.holding(&land.id)?, said));
        }
    }
    Ok(Reply::Page {
        place: Place::Land,
        title: "Land".into(),
        body: html! {
            h1 { "Land" }
            p { "Whose it is, with whose leave you search, where it ends and what to heed. Have the leave of owner and occupier before you search; the law in force governs." }
            @if rows.is_empty() { p { "No land is kept yet." } }
            ul.lands {
                @for (one, said) in &rows {
                    li.field-of-holding[one.land.kind == LandKind::Field] {
                        a href=(address(&one.land.id)) { (one.land.name) } " "
                        span.how { (one.land.id) ", " (one.land.kind.word()) ", " (one.finds) " find(s)" }
                        @if !said.is_empty() { ul.care { @for line in said { li { (line) } } } }
                    }
                }
            }
            (forms::new_land(asked, shelf.as_ref(), wrong)?)
        },
    })
}

fn page(desk: &Desk, asked: &Asked) -> Reply {
    shown(desk, asked, None).into()
}

/// The page again after a form of it was refused.
fn refused(desk: &Desk, asked: &Asked, form: &'static str, wrong: Wrong) -> Reply {
    Reply::from(shown(desk, asked, Some((form, &wrong)))).refused()
}

fn shown(
    desk: &Desk,
    asked: &Asked,
    wrong: Option<(&'static str, &Wrong)>,
) -> Result<Reply, Fault> {
    let (shelf, one) = held(desk, asked)?;
    let said = heeded(desk, &shelf, &one.land.id)?;
    let land = &one.land;
    Ok(Reply::Page {
        place: Place::Land,
        title: land.name.clone(),
        body: html! {
            p.back { a href="/land" { "All land" } }
            h1 { (land.name) }
            @if !said.is_empty() {
                section.care aria-label="Take heed" { ul { @for line in &said { li { (line) } } } }
            }
            (facts(&one))
            p.beside {
                a.button href=(Fields::of([("land", &land.id)]).address("/tray")) { "Finds of this land (" (one.finds) ")" }
                " " a.button.quiet href=(format!("{}/statement", address(&land.id))) { "Statement for the owner" }
            }
            (kept(&one))
            (forms::of_land(desk, asked, &one, wrong)?)
        },
    })
}

fn facts(one: &Holding) -> Markup {
    let land = &one.land;
    html! {
        dl.kept-facts {
            div { dt { "Number" } dd { (land.id) } }
            div { dt { "Kind" } dd { (raised(land.kind.word())) } }
            @if let Some(parent) = &one.parent { div { dt { "Of" } dd { a href=(address(&parent.id)) { (parent.name) } } } }
            @for (name, text) in [("Used as", &land.landuse), ("Country", &land.country)] {
                @if let Some(text) = text { div { dt { (name) } dd { (text) } } }
            }
            @for person in &one.people {
                div { dt { (raised(person.role.word())) } dd { (person.name) @if let Some(contact) = &person.contact { br; (contact) } } }
            }
        }
        @if !land.notes.is_empty() { p.said { (land.notes) } }
    }
}

/// Leave, each with the way to its document.
fn leave(one: &Holding) -> Markup {
    if one.leave.is_empty() {
        return html! {};
    }
    html! {
        h2 { "Leave" }
        ul {
            @for leave in &one.leave {
                li {
                    (raised(&of_leave(leave)))
                    @if leave.document.is_some() {
                        " " a href=(files::of_leave(&one.land.id, leave)) { "Take the document" }
                    }
                }
            }
        }
    }
}

/// Where it ends: squares as they are, an area of GeoJSON as a file.
fn bounds(one: &Holding) -> Markup {
    if one.boundaries.is_empty() {
        return html! {};
    }
    html! {
        h2 { "Where it ends" }
        ul {
            @for bound in &one.boundaries {
                li {
                    @match bound.form {
                        Form::Squares => (bound.text),
                        Form::GeoJson => {
                            "An area as GeoJSON, " (bound.text.len()) " bytes. "
                            a href=(files::of_bounds(&one.land.id, bound)) { "Take the file" }
                        },
                    }
                }
            }
        }
    }
}

/// Leave, bounds, restrictions, notes and days.
fn kept(one: &Holding) -> Markup {
    let days = |from: &Option<String>, to: &Option<String>| match (from, to) {
        (Some(from), Some(to)) => format!(", {from} to {to}"),
        (Some(from), None) => format!(", from {from}"),
        (None, Some(to)) => format!(", until {to}"),
        (None, None) => String::new(),
    };
    let marked = one.restrictions.iter().map(|mark| {
        let note = mark
            .note
            .as_ref()
            .map_or(String::new(), |note| format!(" ({note})"));
        format!(
            "{}{note}{}",
            mark.kind.word(),
            days(&mark.from_day, &mark.to_day)
        )
    });
    let notes = one.notes.iter().map(|note| {
        let parts = [
            Some(note.text.clone()),
            note.source.clone(),
            note.day.clone(),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
    });
    let searched = one.search_days.iter().map(|day| {
        let hours = day.hours.map(|hours| format!("{hours} h"));
        let parts = [
            Some(day.day.clone()),
            hours,
            day.who.clone(),
            day.text.clone(),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
    });
    let lists: [(&str, Vec<String>); 3] = [
        ("What it is marked", marked.collect()),
        ("Notes", notes.collect()),
        ("Days of searching", searched.collect()),
    ];
    html! {
        (leave(one))
        (bounds(one))
        @for (heading, lines) in lists {
            @if !lines.is_empty() {
                h2 { (heading) }
                ul { @for line in lines { li { (raised(&line)) } } }
            }
        }
    }
}
